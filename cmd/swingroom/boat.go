package main

import (
	"swingroom/geo"
)

// boatFlags are a boat by its lengths.
type boatFlags struct {
	LOA   length `help:"Length overall of the boat, such as 9.2m or 30ft." name:"loa" placeholder:"LENGTH"`
	Draft length `help:"Draft." placeholder:"LENGTH"`
	hullFlags
}

// hullFlags are what is said of a boat beside its length and draft.
type hullFlags struct {
	All  length `help:"Length with everything fixed to the boat." name:"length-all" placeholder:"LENGTH"`
	Beam length `help:"Beam." placeholder:"LENGTH"`
	Bow  length `help:"Height from the waterline to where the pennant is made fast." name:"bow-height" placeholder:"LENGTH"`
	Kind string `help:"What kind of boat: sloop, work boat, ..."`
}

// boat is the record of a boat of a length and draft.
func (b *hullFlags) boat(loa, draft length) geo.Boat {
	return geo.Boat{Kind: b.Kind, LOA: loa.value, LengthAll: b.All.value, Beam: b.Beam.value, Draft: draft.value, BowHeight: b.Bow.value}
}

// boat is the record of the boat.
func (b *boatFlags) boat() geo.Boat { return b.hullFlags.boat(b.LOA, b.Draft) }
