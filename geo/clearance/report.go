// Package clearance tells which swing circles come too close to each other and to what is fixed.
package clearance

import "swingroom/geo"

// Certainty says whether the accuracy of the surveys leaves a doubt.
type Certainty string

const (
	// Certain: what is missing is more than the accuracy of the positions.
	Certain Certainty = "certain"
	// Possible: it is less, or a radius is only an upper bound.
	Possible Certainty = "possible"
)

// State of a pair, or of a mooring by its worst pair.
type State string

const (
	// Clear: farther apart than the margin.
	Clear State = "clear"
	// Tight: inside the margin, and apart by more than the accuracy of the surveys.
	Tight State = "tight"
	// MayTouch: the circles touch or not, within the accuracy of the surveys.
	MayTouch State = "may_touch"
	// Touching: the circles overlap by more than that.
	Touching State = "touching"
)

// Conflict is a pair of moorings whose swing circles overlap or come inside the margin.
type Conflict struct {
	A         string  `json:"a"`
	B         string  `json:"b"`
	DistanceM float64 `json:"distance_m"` // between the anchors, on the ellipsoid
	// OverlapM is the sum of the radii less the distance: under 0 it is the gap that is left, with its sign turned.
	OverlapM  float64      `json:"overlap_m"`
	Certainty Certainty    `json:"certainty"`
	State     State        `json:"state"`
	MarginM   float64      `json:"margin_m"`   // asked between the two circles
	AccuracyM float64      `json:"accuracy_m"` // of the distance: root of the sum of the squares of both positions'
	At        geo.Position `json:"at"`         // the middle of the shared water or of the gap
	// Bound is true when one of the radii is an upper bound because something is unknown, a pair that lies in unison is judged by its circles for want of a record, or by a boat that is only supposed.
	Bound bool `json:"bound"`
	// Lying is how the pair is judged: by its circles, or in unison by the hulls. Then OverlapM is that of the hulls.
	Lying  geo.Lying `json:"lying"`
	Unison *InUnison `json:"unison"` // null: one of the two does not lie in unison
}

// HazardKind says what a circle comes against.
type HazardKind string

// The hazards.
const (
	Shore    HazardKind = "shore"
	Shoal    HazardKind = "shoal"
	Fairway  HazardKind = "fairway"
	Closed   HazardKind = "closed_water"
	AreaEdge HazardKind = "area_edge"
)

// Hazard is a swing circle against something fixed.
type Hazard struct {
	Mooring string     `json:"mooring"`
	Kind    HazardKind `json:"kind"`
	// ByM: by how much the circle reaches too far; for a shoal, by how much the water is too shallow.
	ByM       float64      `json:"by_m"`
	At        geo.Position `json:"at"` // where it is worst
	Certainty Certainty    `json:"certainty"`
	Name      string       `json:"name"` // of the fairway, closed water or area
	Words     string       `json:"words"`
	Bound     bool         `json:"bound"`
}

// Unknown says what could not be checked for a mooring, and which record would be needed.
type Unknown struct {
	Mooring string   `json:"mooring"`
	What    string   `json:"what"` // "radius", "depth", "draft", "area", "hull", "neighbour"
	Missing []string `json:"missing"`
	Words   string   `json:"words"`
}

// Report is everything that was found, worst first.
type Report struct {
	Conflicts []Conflict `json:"conflicts"`
	Hazards   []Hazard   `json:"hazards"`
	Unknown   []Unknown  `json:"unknown"`
}

// Near is a mooring near a position.
type Near struct {
	Index          int        `json:"-"` // in Harbor.Moorings
	Number         string     `json:"number"`
	Distance       geo.Metres `json:"distance_m"`
	BearingTrueDeg float64    `json:"bearing_true_deg"` // from the position to the mooring
}
