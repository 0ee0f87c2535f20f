package clearance

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// LyingBoat is one boat of a field as she lies in a weather.
type LyingBoat struct {
	Index  int    `json:"-"` // in Harbor.Moorings
	Number string `json:"number"`
	Boat   string `json:"boat"`
	swing.Equilibrium
	Hull []geo.Offset `json:"-"` // her outline on the harbor's plane
	// GapM is the gap to the hull that comes closest to hers, of those nearer than the margin; unknown: none does. Nearest is its number.
	GapM    geo.Maybe[float64] `json:"gap_m"`
	Nearest string             `json:"nearest"`
	State   State              `json:"state"`
}

// Closing is two hulls nearer than the margin between their moorings.
type HullGap struct {
	A       string       `json:"a"`
	B       string       `json:"b"`
	GapM    float64      `json:"gap_m"` // under 0 where they overlap
	MarginM float64      `json:"margin_m"`
	State   State        `json:"state"`
	At      geo.Position `json:"at"`
}

// Unlaid is a boat of which it cannot be told how she lies.
type NotDrawn struct {
	Mooring string    `json:"mooring"`
	Missing []string  `json:"missing"`
	Words   geo.Words `json:"words"`
}

// InWeather is a field as it lies in one weather.
type InWeather struct {
	Weather geo.Weather `json:"weather"`
	Boats   []LyingBoat `json:"boats"`
	Gaps    []HullGap   `json:"gaps"` // closest first
	// Unknown are the boats of which it cannot be told how they lie.
	Unknown []NotDrawn `json:"unknown"`
}

// Weather lays every boat of the field to a weather and finds the gaps under the margin. Each lies exactly as the weather says: there is no
// scatter in it. The error is that of the weather: geo.ErrInvalid.
func (f *Field) Weather(w geo.Weather) (*InWeather, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	x := &InWeather{Weather: w, Boats: make([]LyingBoat, 0, len(f.harbor.Moorings)), Gaps: []HullGap{}, Unknown: []NotDrawn{}}
	for i := range f.harbor.Moorings {
		m := &f.harbor.Moorings[i]
		if m.Boat == nil {
			continue
		}
		boat, err := f.lieOf(i, w)
		if err != nil {
			x.Unknown = append(x.Unknown, notDrawn(m.Number, err))
			continue
		}
		x.Boats = append(x.Boats, boat)
	}
	f.findGaps(x)
	return x, nil
}

// lay lays one boat.
func (f *Field) lieOf(i int, w geo.Weather) (LyingBoat, error) {
	m := &f.harbor.Moorings[i]
	if _, far := f.far(m.Position); far {
		return LyingBoat{}, fmt.Errorf("mooring %s lies far from the field", m.Number)
	}
	craft, err := f.vessel(f.pairSide(i))
	if err != nil {
		return LyingBoat{}, err
	}
	moored, err := craft.At(w.Level)
	if err != nil {
		return LyingBoat{}, err
	}
	lie, err := moored.Equilibrium(w)
	if err != nil {
		return LyingBoat{}, err
	}
	at := f.frame.Project(m.Position)
	return LyingBoat{Index: i, Number: m.Number, Boat: m.Boat.Name, Equilibrium: lie,
		Hull: swing.Outline(at.Plus(lie.Bow()), lie.SternDeg, craft.Length, craft.Beam), State: Clear}, nil
}

func notDrawn(number string, err error) NotDrawn {
	u := NotDrawn{Mooring: number, Missing: []string{}, Words: geo.ErrorWords(err)}
	for _, fe := range geo.FieldErrors(err) {
		u.Missing = append(u.Missing, fe.Field)
	}
	switch {
	case len(u.Missing) > 0:
		u.Words = geo.Plain("cannot be drawn: " + isAre(u.Missing) + " not on record")
	case errors.Is(err, geo.ErrShortRode):
		u.Missing = append(u.Missing, "rode_m")
	}
	return u
}

// closings finds the pairs nearer than the margin, by a sweep from west to east over the hulls' boxes.
func (f *Field) findGaps(x *InWeather) {
	type box struct {
		n                            int
		westM, eastM, southM, northM float64
		marginM, accuracyM           float64
	}
	boxes := make([]box, len(x.Boats))
	for n := range x.Boats {
		b := &boxes[n]
		circle := &f.index.at[x.Boats[n].Index]
		*b = box{n, math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), circle.MarginM, circle.AccuracyM}
		for _, p := range x.Boats[n].Hull {
			b.westM, b.eastM = min(b.westM, p.EastM-b.marginM), max(b.eastM, p.EastM+b.marginM)
			b.southM, b.northM = min(b.southM, p.NorthM-b.marginM), max(b.northM, p.NorthM+b.marginM)
		}
	}
	slices.SortFunc(boxes, func(a, b box) int { return cmp.Compare(a.westM, b.westM) })
	for i := range boxes {
		a := &boxes[i]
		for j := i + 1; j < len(boxes) && boxes[j].westM < a.eastM; j++ {
			b := &boxes[j]
			if b.southM > a.northM || b.northM < a.southM {
				continue
			}
			one, two := &x.Boats[min(a.n, b.n)], &x.Boats[max(a.n, b.n)]
			margin := max(a.marginM, b.marginM)
			gap := swing.HullGap(one.Hull, two.Hull)
			state := stateOf(-gap, margin, math.Hypot(a.accuracyM, b.accuracyM))
			if state == Clear {
				continue
			}
			x.Gaps = append(x.Gaps, HullGap{A: one.Number, B: two.Number, GapM: gap, MarginM: margin, State: state,
				At: f.frame.Position(swing.GapMiddle(one.Hull, two.Hull))})
			one.addGap(gap, two.Number, state)
			two.addGap(gap, one.Number, state)
		}
	}
	slices.SortFunc(x.Gaps, func(a, b HullGap) int {
		return cmp.Or(cmp.Compare(a.GapM, b.GapM), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
}

// closes notes a hull that comes near.
func (b *LyingBoat) addGap(gapM float64, number string, state State) {
	if before, known := b.GapM.Get(); !known || gapM < before {
		b.GapM, b.Nearest = geo.Known(gapM), number
	}
	b.State = worse(b.State, state)
}
