package geo

import (
	"fmt"
	"slices"
)

// PartKind is a kind of tackle part.
type PartKind string

// The parts from anchor to bow. A rode whose parts are not on record is one part of kind Rode.
const (
	Anchor      PartKind = "anchor"
	GroundChain PartKind = "ground_chain"
	TopChain    PartKind = "top_chain"
	Elastic     PartKind = "elastic"
	Rope        PartKind = "rope"
	Swivel      PartKind = "swivel"
	Shackle     PartKind = "shackle"
	Buoy        PartKind = "buoy"
	Pennant     PartKind = "pennant"
	Rode        PartKind = "rode"
	// MarkerLine and Marker are no parts of the rode: in winter the stick floats on its line at the upper end of the sunk chain.
	MarkerLine PartKind = "marker_line"
	Marker     PartKind = "marker"
)

// PartKinds lists every kind in the order from anchor to bow.
func PartKinds() []PartKind {
	return []PartKind{Anchor, GroundChain, TopChain, Elastic, Rope, Rode, Swivel, Shackle, Buoy, Pennant, MarkerLine, Marker}
}

// Part is one part of the tackle.
type Part struct {
	Kind   PartKind      `json:"kind"`
	Length Maybe[Metres] `json:"length_m"` // what it adds to the rode; anchors and fittings may leave it unknown
	// Size is the diameter of chain wire, rope, pin or buoy.
	Size     Maybe[Metres]    `json:"size_m"`
	Weight   Maybe[Kilograms] `json:"weight_kg"` // of an anchor, in air
	Material string           `json:"material"`  // "galvanised steel", "nylon", "mushroom", "granite block"
	// LeftRatio is what was left at the last inspection: of a chain, shackle or swivel the share of its wire's diameter where it is
	// thinnest, of a rope the share of its strength.
	LeftRatio Maybe[float64] `json:"left,omitzero"`
	Installed Date           `json:"installed,omitzero"` // when it was laid
	Inspected Date           `json:"inspected,omitzero"` // when it was last looked at
}

// Lengthens reports whether the rode is longer by this kind of part, so that its length has to be known.
func (k PartKind) Lengthens() bool {
	switch k {
	case GroundChain, TopChain, Elastic, Rope, Pennant, Rode:
		return true
	}
	return false
}

// OfRode reports whether a part of this kind belongs to the rode; the winter marker and its line do not.
func (k PartKind) OfRode() bool { return k != MarkerLine && k != Marker }

// Tackle is everything between the bottom and the bow, in order from the anchor up.
type Tackle []Part

// RodeLength is the length L from anchor to bow: the sum of the parts' lengths. It is unknown when there is no part with a length, or when
// a chain, rope or pennant lacks its length; missing names that part. A part of kind Rode with a length is the whole.
func (t Tackle) RodeLength() (length Maybe[Metres], missing PartKind) {
	for _, p := range t {
		if p.Kind == Rode && p.Length.IsKnown() {
			return p.Length, ""
		}
	}
	var sum Metres
	some := false
	for _, p := range t {
		l, known := p.Length.Get()
		if !p.Kind.OfRode() {
			continue
		}
		if !known && p.Kind.Lengthens() {
			return Maybe[Metres]{}, p.Kind
		}
		if known {
			sum += l
			some = some || p.Kind.Lengthens()
		}
	}
	if !some {
		return Maybe[Metres]{}, Rode
	}
	return Known(sum), ""
}

// Validate returns every FieldError of the tackle, joined. who names the mooring.
func (t Tackle) Validate(who string) error {
	var all problems
	for i, p := range t {
		pr := problems{noun: "tackle of mooring", name: who}
		if !slices.Contains(PartKinds(), p.Kind) {
			pr.add(fmt.Sprintf("part %d", i+1), string(p.Kind), "expected a kind of tackle part")
		}
		p.problems(&pr)
		all.join(pr.err())
	}
	return all.err()
}

// problems notes what is wrong with the figures, dates and texts of a part.
func (p *Part) problems(pr *problems) {
	kind := string(p.Kind)
	pr.within(kind+"_m", p.Length, 0, 500)
	pr.within(kind+"_size_m", p.Size, 0, 5)
	if left, known := p.LeftRatio.Get(); known && !(left >= 0 && left <= 1) {
		pr.add(kind+"_left", fmt.Sprintf("%g", left), "what is left lies between 0 and 1 (100 %)")
	}
	pr.date(kind+"_installed", p.Installed, false)
	pr.date(kind+"_inspected", p.Inspected, false)
	pr.text(kind+"_material", p.Material, maxNameLength)
	pr.mass(kind+"_kg", p.Weight, 0)
}
