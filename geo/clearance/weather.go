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

// LyingBoat is one boat of a field as it lies in a weather.
type LyingBoat struct {
	Index  int    `json:"-"` // in Harbor.Moorings
	Number string `json:"number"`
	Boat   string `json:"boat"`
	swing.Equilibrium
	Hull []geo.Offset `json:"-"` // its outline on the harbor's plane
	// GapM is the gap to the hull that comes closest to its own, of those nearer than the margin; unknown: none does. Nearest is its
	// number.
	GapM    geo.Maybe[float64] `json:"gap_m"`
	Nearest string             `json:"nearest"`
	State   State              `json:"state"`
}

// HullGap is the gap between two hulls nearer than the margin between their moorings.
type HullGap struct {
	A       string       `json:"a"`
	B       string       `json:"b"`
	GapM    float64      `json:"gap_m"` // under 0 where they overlap
	MarginM float64      `json:"margin_m"`
	State   State        `json:"state"`
	At      geo.Position `json:"at"`
}

// NotDrawn is a boat of which it cannot be told how it lies.
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
		if f.harbor.Moorings[i].Boat != nil {
			f.lay(x, i)
		}
	}
	f.findGaps(x)
	return x, nil
}

// lay adds the boat of a mooring as it lies, or why that cannot be told.
func (f *Field) lay(x *InWeather, i int) {
	boat, err := f.lieOf(i, x.Weather)
	if err != nil {
		x.Unknown = append(x.Unknown, notDrawn(f.harbor.Moorings[i].Number, err))
		return
	}
	x.Boats = append(x.Boats, boat)
}

// lieOf is how one boat lies.
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

// notDrawn says why a boat cannot be drawn.
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

// hullBox is the box round a hull with the margin asked round it, on the harbor's plane.
type hullBox struct {
	n                            int // in InWeather.Boats
	westM, eastM, southM, northM float64
	marginM, accuracyM           float64
}

// findGaps finds the pairs nearer than the margin, by a sweep from west to east over the hulls' boxes.
func (f *Field) findGaps(x *InWeather) {
	boxes := f.hullBoxes(x.Boats)
	for i := range boxes {
		a := &boxes[i]
		for j := i + 1; j < len(boxes) && boxes[j].westM < a.eastM; j++ {
			if b := &boxes[j]; b.southM <= a.northM && b.northM >= a.southM {
				f.findGap(x, a, b)
			}
		}
	}
	slices.SortFunc(x.Gaps, func(a, b HullGap) int {
		return cmp.Or(cmp.Compare(a.GapM, b.GapM), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
}

// hullBoxes are the boxes round all hulls, from west to east.
func (f *Field) hullBoxes(boats []LyingBoat) []hullBox {
	boxes := make([]hullBox, len(boats))
	for n := range boats {
		circle := &f.index.at[boats[n].Index]
		boxes[n] = hullBox{n, math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), circle.MarginM, circle.AccuracyM}
		for _, p := range boats[n].Hull {
			boxes[n].add(p)
		}
	}
	slices.SortFunc(boxes, func(a, b hullBox) int { return cmp.Compare(a.westM, b.westM) })
	return boxes
}

// add makes the box hold a corner of the hull with its margin.
func (b *hullBox) add(p geo.Offset) {
	b.westM, b.eastM = min(b.westM, p.EastM-b.marginM), max(b.eastM, p.EastM+b.marginM)
	b.southM, b.northM = min(b.southM, p.NorthM-b.marginM), max(b.northM, p.NorthM+b.marginM)
}

// findGap notes the gap between two hulls whose boxes meet, where it is under the margin.
func (f *Field) findGap(x *InWeather, a, b *hullBox) {
	one, two := &x.Boats[min(a.n, b.n)], &x.Boats[max(a.n, b.n)]
	margin := max(a.marginM, b.marginM)
	gap := swing.HullGap(one.Hull, two.Hull)
	state := stateOf(-gap, margin, math.Hypot(a.accuracyM, b.accuracyM))
	if state == Clear {
		return
	}
	x.Gaps = append(x.Gaps, HullGap{A: one.Number, B: two.Number, GapM: gap, MarginM: margin, State: state,
		At: f.frame.Position(swing.GapMiddle(one.Hull, two.Hull))})
	one.addGap(gap, two.Number, state)
	two.addGap(gap, one.Number, state)
}

// addGap notes a hull that comes near.
func (b *LyingBoat) addGap(gapM float64, number string, state State) {
	if before, known := b.GapM.Get(); !known || gapM < before {
		b.GapM, b.Nearest = geo.Known(gapM), number
	}
	b.State = worse(b.State, state)
}
