// Package swing works out how far a moored boat's farthest point can lie from its anchor: the swing radius by the
// rule of its area, with its working shown.
package swing

import "swingroom/geo"

// Basis says whose water the radius is.
type Basis string

const (
	// ForBoat: the boat on the mooring.
	ForBoat Basis = "boat"
	// ForLargest: the mooring is vacant and keeps the water of the largest boat set for its place.
	ForLargest Basis = "largest_boat"
	// ForNone: the mooring is vacant and no largest boat is set, so it keeps no water.
	ForNone Basis = "none"
	// ByStatement: the radius is a number on record.
	ByStatement Basis = "stated"
)

// Source says where a figure of the working comes from.
type Source string

// Figures are on record, computed, a default of the harbor or its area, or assumed for want of a record.
const (
	OnRecord Source = "record"
	Computed Source = "computed"
	Default  Source = "default"
	Assumed  Source = "assumed"
)

// Step is one line of the working: a figure that somebody can redo with a pocket calculator.
type Step struct {
	Symbol  string  `json:"symbol"`  // "L", "h", "R"
	Name    string  `json:"name"`    // "rode"
	Formula string  `json:"formula"` // "sqrt(L² - h²) + o"; empty for what is on record
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"` // "m", or "" for a ratio
	From    Source  `json:"from"`
	Note    string  `json:"note"` // why a figure was assumed, and on which side it errs
}

// Answer is a swing radius with its working.
type Answer struct {
	Rule geo.RuleKind `json:"rule"`
	// Radius of the swing circle; unknown when Missing stands in the way of any, or when the mooring keeps no water.
	Radius geo.Maybe[geo.Metres] `json:"radius_m"`
	// Bound is true when something is unknown and Radius is an upper bound instead: never too small.
	Bound   bool     `json:"bound"`
	Basis   Basis    `json:"basis"`
	Working []Step   `json:"working"`
	Missing []string `json:"missing"` // fields that would have to be on record: "rode_m", "depth_m"
	// Faults are errors in the record, in words: "the rode is shorter than the water is deep at high water".
	Faults []geo.Words `json:"faults"`
	// Contradictions are radii that are too small for what else is on record.
	Contradictions []Contradiction `json:"contradictions"`
}

// Input is what a radius is worked out from.
type Input struct {
	Mooring *geo.Mooring
	Rules   geo.Rules
	Levels  geo.Maybe[geo.Levels]
	// Depth at the anchor below chart datum, and where it comes from: the card (OnRecord) or the bed (Computed).
	Depth     geo.Maybe[geo.Metres]
	DepthFrom Source
	// Lines are the harbor's own tables of chain and rope, for the statics.
	Lines geo.Lines
}
