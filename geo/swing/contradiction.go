package swing

import "swingroom/geo"

// ContradictionKind says what in a record contradicts what.
type ContradictionKind string

// The contradictions.
const (
	// ShorterThanBoat: a radius that is stated, or that the area's formula gives, is less than the boat is long.
	ShorterThanBoat ContradictionKind = "shorter_than_boat"
	// ShorterThanLine: such a radius is less than what line and boat reach under the design load.
	ShorterThanLine ContradictionKind = "shorter_than_line"
	// WithoutStretch: the area's rule takes the line for rigid, and its rope stretches farther.
	WithoutStretch ContradictionKind = "without_stretch"
)

// Contradiction is a swing radius that is too small for what else is on record.
type Contradiction struct {
	Kind  ContradictionKind `json:"kind"`
	Field string            `json:"field"` // whose value it is: "radius_m", or "rule" of the area
	HasM  float64           `json:"has_m"` // the radius
	// NeedsM is what it would have to be at least; unknown where Missing stands in the way of any figure. Where Bound is true that is only
	// an upper bound, for Missing is not on record or the boat is only supposed, so that there may be no contradiction.
	NeedsM  geo.Maybe[float64] `json:"needs_m"`
	Bound   bool               `json:"bound"`
	Missing []string           `json:"missing"`
}

// contradictions compares a radius that the line itself did not give with the boat, and with what the line reaches when it stretches.
func (w *calculation) contradictions() {
	radius, known := w.answer.Radius.Get()
	if !known || !w.mayContradict() {
		return
	}
	set := w.radiusIsSet()
	line := w.withStretch()
	reach, known := line.answer.Radius.Get()
	longer := known && shorter(radius, reach)
	if o, from := line.length(); set && shorter(radius, o) {
		w.contradict(ShorterThanBoat, geo.Known(float64(o)), from == Assumed || line.answer.Basis == ForLargest, []string{})
		longer = longer && !line.answer.Bound
	}
	if !known && set && len(line.answer.Missing) > 0 {
		w.contradict(ShorterThanLine, geo.Maybe[float64]{}, true, line.answer.Missing)
	}
	if longer {
		kind := WithoutStretch
		if set {
			kind = ShorterThanLine
		}
		w.contradict(kind, geo.Known(float64(reach)), line.answer.Bound || line.answer.Basis == ForLargest, line.answer.Missing)
	}
}

// shorter tells whether a radius is too small for what it has to hold.
func shorter(radius, needs geo.Metres) bool {
	const rounding = 0.01 // a radius stated in whole centimetres
	return radius < needs-rounding
}

// radiusIsSet tells whether the radius is a number that somebody has fixed, whatever the line is.
func (w *calculation) radiusIsSet() bool {
	return w.answer.Rule == geo.Stated || w.answer.Rule == geo.Formula
}

// mayContradict tells whether the radius can be too small: it is set, or the rule takes rope for rigid.
func (w *calculation) mayContradict() bool {
	if w.radiusIsSet() {
		return true
	}
	stretches := w.answer.Rule == geo.TautStretch || w.answer.Rule == geo.Catenary
	return !stretches && len(ropesOf(w.in.Mooring, w.in.Lines.Ropes)) > 0
}

// contradict adds a contradiction of the radius.
func (w *calculation) contradict(kind ContradictionKind, needsM geo.Maybe[float64], bound bool, missing []string) {
	c := Contradiction{Kind: kind, Field: "rule", HasM: float64(w.answer.Radius.Or(0)), NeedsM: needsM, Bound: bound, Missing: missing}
	if w.answer.Rule == geo.Stated {
		c.Field = "radius_m"
	}
	w.answer.Contradictions = append(w.answer.Contradictions, c)
}

// withStretch is the answer for the same mooring by the rule that counts the stretch, whatever is stated.
func (w *calculation) withStretch() *calculation {
	in := w.in
	in.Mooring, in.Rules.Swing = withoutStatedRadius(in.Mooring), geo.SwingRule{Kind: geo.TautStretch}
	line := newCalculation(in)
	line.basis()
	if line.answer.Basis != ForNone {
		line.tautStretch()
	}
	return line
}

// length is the boat's, as the lines of the working have it; 0 where it is not known.
func (w *calculation) length() (geo.Metres, Source) {
	for _, s := range w.answer.Working {
		if s.Symbol == "o" {
			return geo.Metres(s.Value), s.From
		}
	}
	return 0, Assumed
}
