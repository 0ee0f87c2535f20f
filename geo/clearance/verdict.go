package clearance

import (
	"cmp"
	"encoding/json"
	"slices"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// Constraint is one thing that is asked of a boat on a mooring.
type Constraint string

// The constraints, in the order in which they are told.
const (
	ByNeighbour   Constraint = "neighbour"
	ByShore       Constraint = "shore"
	ByShoal       Constraint = "shoal"
	ByFairway     Constraint = "fairway"
	ByClosed      Constraint = "closed_water"
	ByAreaEdge    Constraint = "area_edge"
	ByAreaLOA     Constraint = "area_largest_loa"
	ByAreaDraft   Constraint = "area_largest_draft"
	ByPlaceLOA    Constraint = "place_largest_loa"
	ByPlaceDraft  Constraint = "place_largest_draft"
	ByPlaceMinLOA Constraint = "place_smallest_loa"
	ByScope       Constraint = "scope"
	ByAnchor      Constraint = "anchor"
	ByStrength    Constraint = "strength"
	ByTable       Constraint = "tackle_table"
	ByRecord      Constraint = "record"
)

// Kind says what kind of trouble it is when a constraint is not kept.
type Kind string

// The kinds of trouble.
const (
	KindConflict Kind = "conflict" // with a neighbour
	KindHazard   Kind = "hazard"   // with something fixed
	KindTackle   Kind = "tackle"   // scope, anchor, strength
	KindLimit    Kind = "limit"    // of the area or the place
	KindRecord   Kind = "record"   // what is on record is missing or contradicts itself
)

// Kinds lists them in the order in which they are told.
func Kinds() []Kind { return []Kind{KindConflict, KindHazard, KindTackle, KindLimit, KindRecord} }

// Kind is that of the trouble when the constraint is not kept.
func (c Constraint) Kind() Kind {
	switch c {
	case ByNeighbour:
		return KindConflict
	case ByShore, ByShoal, ByFairway, ByClosed, ByAreaEdge:
		return KindHazard
	case ByScope, ByAnchor, ByStrength, ByTable:
		return KindTackle
	case ByAreaLOA, ByAreaDraft, ByPlaceLOA, ByPlaceDraft, ByPlaceMinLOA:
		return KindLimit
	}
	return KindRecord
}

// Reason says what a verdict found, where its figures alone do not: sentences are made from it.
type Reason string

// Case is where a constraint is tightest: the water level, and the weather that makes the load.
type Case struct {
	LevelM   geo.Maybe[geo.Metres] `json:"level_m"`   // above chart datum
	WindKn   geo.Maybe[float64]    `json:"wind_kn"`   // mean speed
	StreamKn geo.Maybe[float64]    `json:"stream_kn"` // at its strongest
}

// Verdict is one constraint with its figures. Where it is kept Spare is not below 0.
type Verdict struct {
	Constraint Constraint `json:"constraint"`
	Of         string     `json:"of"` // number of the neighbour, name of the fairway or area, kind of part
	// KeepOut is the number in Harbor.KeepOuts of the fairway or closed water that Of names: two may have one name. 0 for other
	// constraints.
	KeepOut int `json:"-"`
	// Fits is unknown where it cannot be said; Missing names what would have to be on record.
	Fits  geo.Maybe[bool]    `json:"fits"`
	Has   geo.Maybe[float64] `json:"has"`
	Needs geo.Maybe[float64] `json:"needs"`
	IsMax bool               `json:"most"`  // Needs is the most that may be, not the least
	Spare geo.Maybe[float64] `json:"spare"` // what is left over; below 0 what is missing
	Unit  string             `json:"unit"`  // "m", "mm", "N", "kg", "deg"
	// Reason says what was found. Note holds what the figures cannot say: where one comes from, or what was taken for one.
	Reason Reason `json:"reason"`
	Note   string `json:"note"`
	// Told is a note that holds figures of its own; it is told with the words.
	Told geo.Words `json:"-"`
	// Certainty of a no: possible where the accuracy of the positions, or a figure that is only a bound, may explain it.
	Certainty Certainty `json:"certainty,omitempty"`
	Bound     bool      `json:"bound"` // a figure is an upper bound, since something is not on record
	Case      *Case     `json:"case"`
	Missing   []string  `json:"missing"`
	// At is where it is worst.
	At geo.Maybe[geo.Position] `json:"at"`
	// Working are the figures that a person can redo it with.
	Working []swing.Step `json:"working"`
	// Lying is by which a neighbour is judged; Unison is how near the hulls come when both lie to the same weather, where the circles come
	// near each other.
	Lying  geo.Lying `json:"lying,omitempty"`
	Unison *InUnison `json:"unison,omitempty"`
}

// figures fills in what there is, what is needed, and what is left over.
func (v *Verdict) figures(has, needs float64, unit string) {
	v.Has, v.Needs, v.Spare, v.Unit = geo.Known(has), geo.Known(needs), geo.Known(has-needs), unit
}

// figuresWith is figures where what is left over is not what there is less what is needed.
func (v *Verdict) figuresWith(has, needs, spare float64, unit string) {
	v.figures(has, needs, unit)
	v.Spare = geo.Known(spare)
}

// surelyNot makes a verdict a certain no.
func (v *Verdict) surelyNot(reason Reason) {
	v.Fits, v.Certainty, v.Reason = geo.Known(false), Certain, reason
}

// not is a certain no for which no figure is needed.
func not(k Constraint, of string, reason Reason) Verdict {
	v := Verdict{Constraint: k, Of: of}
	v.surelyNot(reason)
	return v
}

// MarshalJSON adds the kind of trouble and the sentence in both units.
func (v Verdict) MarshalJSON() ([]byte, error) {
	type plain Verdict
	v.Working, v.Missing = notNil(v.Working), notNil(v.Missing)
	return json.Marshal(struct {
		plain
		Kind  Kind      `json:"kind"`
		Words geo.Words `json:"words"`
	}{plain(v), v.Constraint.Kind(), geo.WordsOf(v.Sentence)})
}

// Ordered are the verdicts as they are told: what fails, what cannot be said, and what is kept.
func (f *Fit) Ordered() []Verdict {
	told := slices.Clone(f.Verdicts)
	slices.SortStableFunc(told, func(a, b Verdict) int { return cmp.Compare(a.rank(), b.rank()) })
	return told
}

// rank is that of a verdict among those of a fit check.
func (v *Verdict) rank() int {
	switch fits, known := v.Fits.Get(); {
	case !known:
		return 1
	case fits:
		return 2
	}
	return 0
}

// notNil is a list that JSON writes as [] and not as null.
func notNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
