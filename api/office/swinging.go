package office

import (
	"encoding/json"
	"fmt"
	"math"
	"runtime"
	"strconv"
	"time"

	"golang.org/x/sync/errgroup"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/tide"
)

// Swinging is a field that swings: one state after another, for playing.
type Swinging struct {
	Play string `json:"play"` // "shift" or "tide"
	// Moorings are the boats of every frame, in order, with length and beam for drawing them.
	Moorings []string     `json:"moorings"`
	Lengths  []geo.Metres `json:"length_m"`
	Beams    []geo.Metres `json:"beam_m"`
	Frames   []Frame      `json:"frames"`
	// Unknown are the boats of which it cannot be told in every frame how they lie.
	Unknown []clearance.NotDrawn `json:"unknown"`
	Words   string               `json:"words"`
}

// Frame is one state. A frame has thousands of numbers, so that they stand in rows.
type Frame struct {
	Weather geo.Weather          `json:"weather"`
	At      geo.Maybe[time.Time] `json:"at"`   // null in a shift of wind
	Lies    rows                 `json:"lies"` // of each boat: reach_m, load_deg, stern_deg
	Gaps    rows                 `json:"gaps"` // under the margin: the two boats by their places in the list, and gap_m to the decimetre
}

// rows are written rounded: metres to a centimetre, degrees and the metres of a gap to a tenth.
type rows [][3]float64

var rowSteps = [3]float64{100, 10, 10}

// MarshalJSON writes the rows.
func (r rows) MarshalJSON() ([]byte, error) {
	out := append(make([]byte, 0, 24*len(r)+2), '[')
	for i, row := range r {
		if i > 0 {
			out = append(out, ',')
		}
		for k, v := range row {
			out = strconv.AppendFloat(append(out, "[,,"[k]), math.Round(v*rowSteps[k])/rowSteps[k]+0, 'f', -1, 64) // +0: never -0
		}
		out = append(out, ']')
	}
	return append(out, ']'), nil
}

const (
	shiftStepDeg     = 5
	tideFrameMinutes = 10
	tideHours        = 12.5 // from one high water to the next, about
)

// SwingingQuestion is what is played.
type SwingingQuestion struct {
	Play string `json:"play"` // shift or tide; shift unless said
	From string `json:"from"` // for a tide, from when; see geo.ParseTime; now unless said
	WeatherQuestion
}

// Swinging plays the field while the wind shifts once round the compass, or over half a day of tide. Errors: geo.ErrInvalid, ErrNoTide.
func (h *Harbor) Swinging(q SwingingQuestion) (*Swinging, error) {
	w, err := q.weather(h.Field.Harbor())
	if err != nil {
		return nil, err
	}
	switch q.Play {
	case "shift", "":
		return Shift(h.Field, w)
	case "tide":
		from, err := timeOrNow(q.From)
		if err != nil {
			return nil, err
		}
		return OverTide(h.Field, w, from)
	}
	return nil, fmt.Errorf("%w: play=%q; shift or tide is expected", geo.ErrInvalid, q.Play)
}

// Shift turns the wind once round the compass, clockwise, from where it blows. Errors: geo.ErrInvalid.
func Shift(f *clearance.Field, w geo.Weather) (*Swinging, error) {
	var all []geo.Weather
	for turnDeg := 0.0; turnDeg < 360; turnDeg += shiftStepDeg {
		at := w
		at.WindFromDeg = math.Mod(w.WindFromDeg+turnDeg+360, 360)
		all = append(all, at)
	}
	s, err := play(f, all)
	if err != nil {
		return nil, err
	}
	s.Play, s.Words = "shift", "The wind shifts once round the compass; stream and level stay."
	return s, nil
}

// OverTide plays half a day of predicted water from a time on. The stream runs with the rise and fall: w's is the strongest, with the
// flood, and the ebb sets the other way. Errors: ErrNoTide, geo.ErrInvalid.
func OverTide(f *clearance.Field, w geo.Weather, from time.Time) (*Swinging, error) {
	h := f.Harbor()
	if h.Tide == nil {
		return nil, ErrNoTide
	}
	p, err := tide.New(*h.Tide)
	if err != nil {
		return nil, err
	}
	from = from.Truncate(time.Minute)
	s, err := play(f, tideWeathers(p, w, from))
	if err != nil {
		return nil, err
	}
	for n := range s.Frames {
		s.Frames[n].At = geo.Known(from.Add(time.Duration(n) * tideFrameMinutes * time.Minute))
	}
	s.Play, s.Words = "tide", "The stream is taken to run as fast as the water rises or falls, strongest as given. "+tide.Caution
	return s, nil
}

// tideWeathers are the weathers of the frames of a tide.
func tideWeathers(p *tide.Predictor, w geo.Weather, from time.Time) []geo.Weather {
	const frames = int(tideHours*60/tideFrameMinutes) + 1
	levels := p.Levels(from.Add(-tideFrameMinutes*time.Minute), tideFrameMinutes*time.Minute, frames+2)
	rise := func(n int) float64 { return float64(levels[n+2] - levels[n]) }
	fastest := 0.0
	for n := range frames {
		fastest = max(fastest, math.Abs(rise(n)))
	}
	all := make([]geo.Weather, frames)
	for n := range all {
		all[n] = w
		all[n].Level = levels[n+1]
		if fastest > 0 {
			all[n].Stream, all[n].StreamToDeg = tideStream(w, rise(n)/fastest)
		}
	}
	return all
}

// tideStream is the stream at a share of the strongest: below zero it ebbs.
func tideStream(w geo.Weather, share float64) (geo.MetresPerSecond, float64) {
	speed := w.Stream * geo.MetresPerSecond(math.Abs(share))
	if share < 0 {
		return speed, math.Mod(w.StreamToDeg+180, 360)
	}
	return speed, w.StreamToDeg
}

// play lays the field to one weather after another. A boat that cannot be laid in one of them is left out of all.
func play(f *clearance.Field, all []geo.Weather) (*Swinging, error) {
	states, err := layToEach(f, all)
	if err != nil {
		return nil, err
	}
	s := &Swinging{Moorings: []string{}, Lengths: []geo.Metres{}, Beams: []geo.Metres{}, Frames: make([]Frame, len(all)),
		Unknown: notDrawnIn(states)}
	laid := laidInAll(states, len(f.Harbor().Moorings))
	row := map[string]float64{}
	for i, always := range laid {
		if always {
			m := &f.Harbor().Moorings[i]
			row[m.Number] = float64(len(s.Moorings))
			s.add(m)
		}
	}
	for n, state := range states {
		s.Frames[n] = frameOf(state, laid, row)
	}
	return s, nil
}

// layToEach lays the field to each weather.
func layToEach(f *clearance.Field, all []geo.Weather) ([]*clearance.InWeather, error) {
	states := make([]*clearance.InWeather, len(all))
	var work errgroup.Group
	work.SetLimit(runtime.GOMAXPROCS(0))
	for n, w := range all {
		work.Go(func() (err error) {
			states[n], err = f.Weather(w)
			return err
		})
	}
	return states, work.Wait()
}

// laidInAll tells of each mooring whether its boat lies in every state.
func laidInAll(states []*clearance.InWeather, moorings int) []bool {
	times := make([]int, moorings)
	for _, state := range states {
		for i := range state.Boats {
			times[state.Boats[i].Index]++
		}
	}
	laid := make([]bool, moorings)
	for i := range laid {
		laid[i] = times[i] == len(states)
	}
	return laid
}

// notDrawnIn are the boats that cannot be laid in some state, each once.
func notDrawnIn(states []*clearance.InWeather) []clearance.NotDrawn {
	all, told := []clearance.NotDrawn{}, map[string]bool{}
	for _, state := range states {
		for _, u := range state.Unknown {
			if !told[u.Mooring] {
				told[u.Mooring] = true
				all = append(all, u)
			}
		}
	}
	return all
}

// add adds the boat of a mooring to those of every frame.
func (s *Swinging) add(m *geo.Mooring) {
	length, _ := m.Boat.SwingLength()
	s.Moorings = append(s.Moorings, m.Number)
	s.Lengths, s.Beams = append(s.Lengths, length.Or(0)), append(s.Beams, m.Boat.Beam.Or(0))
}

// frameOf is one state as rows; row is the place of each mooring among those that lie in every frame.
func frameOf(state *clearance.InWeather, laid []bool, row map[string]float64) Frame {
	frame := Frame{Weather: state.Weather}
	for i := range state.Boats {
		if b := &state.Boats[i]; laid[b.Index] {
			frame.Lies = append(frame.Lies, [3]float64{float64(b.Reach), b.LoadDeg, b.SternDeg})
		}
	}
	for _, g := range state.Gaps {
		a, okA := row[g.A]
		b, okB := row[g.B]
		if okA && okB {
			frame.Gaps = append(frame.Gaps, [3]float64{a, b, g.GapM})
		}
	}
	return frame
}

// UnmarshalJSON reads the rows back.
func (r *rows) UnmarshalJSON(text []byte) error { return json.Unmarshal(text, (*[][3]float64)(r)) }
