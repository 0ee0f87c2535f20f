package room

import (
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// RemedyKind is a way out for a boat that does not fit on a mooring.
type RemedyKind string

// The ways out, in the order of their effort.
const (
	OtherTackle      RemedyKind = "other_tackle"       // parts of it
	OtherRode        RemedyKind = "other_rode"         // shorter or longer
	OtherPlace       RemedyKind = "other_place"        // a vacant mooring
	NeighbourShorter RemedyKind = "neighbour_rode"     // a neighbour on a shorter rode
	Swapped          RemedyKind = "swap"               // two boats change places
	Ring             RemedyKind = "ring"               // three do
	NeighbourAway    RemedyKind = "neighbour_moved"    // a neighbour's boat to a vacant mooring
	NeighbourSmaller RemedyKind = "neighbour_exchange" // a neighbour's boat changes places with a smaller one
	AnchorMoved      RemedyKind = "anchor_moved"
)

var effort = []RemedyKind{OtherTackle, OtherRode, OtherPlace, NeighbourShorter, Swapped, Ring, NeighbourAway, NeighbourSmaller, AnchorMoved}

// Remedy is a way out. All that it changes has passed the fit check, with all of it done.
type Remedy struct {
	// ID names the way by what it does: the same change has the same name, however it is told.
	ID    string     `json:"id"`
	Kind  RemedyKind `json:"kind"`
	Words geo.Words  `json:"words"`
	// Mooring is where the boat then lies.
	Mooring string `json:"mooring"`
	// Moorings are all that it changes, as they would be.
	Moorings []geo.Mooring `json:"moorings"`
	// Remains are troubles that a neighbour has as it lies, and keeps with the change.
	Remains []clearance.Finding `json:"remains"`
}

// remedyID is made of the kind and all that is changed, but for names: who asks first may name the boat and its owner later.
func remedyID(kind RemedyKind, at string, changed []geo.Mooring) string {
	sum := fnv.New32a()
	changed = slices.Clone(changed)
	for i := range changed {
		if b := changed[i].Boat; b != nil {
			nameless := *b
			nameless.Name, nameless.Owner = "", ""
			changed[i].Boat = &nameless
		}
	}
	_ = json.NewEncoder(sum).Encode(changed) // records are plain values, and a hash takes every write
	return fmt.Sprintf("%s-%s-%08x", kind, at, sum.Sum32())
}

// remains are the troubles of the changed moorings with all of them in place.
func remains(f *clearance.Field, changed []geo.Mooring) []clearance.Finding {
	all := []clearance.Finding{}
	f, err := laid(f, changed)
	if err != nil {
		return all
	}
	for _, m := range changed {
		if m.Boat != nil {
			all = append(all, troubles(f, m)...)
		}
	}
	return all
}

// troubles are what speaks against a mooring.
func troubles(f *clearance.Field, m geo.Mooring) (all []clearance.Finding) {
	fit := f.Fit(m)
	for _, v := range fit.Against() {
		all = append(all, clearance.Finding{Mooring: m.Number, Verdict: v})
	}
	return all
}

// laid is a field with some moorings changed.
func laid(f *clearance.Field, changed []geo.Mooring) (*clearance.Field, error) {
	for _, m := range changed {
		var err error
		if f, err = f.With(m); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// proved reports whether all of some changed moorings fit with all of them in place.
func proved(f *clearance.Field, changed ...geo.Mooring) bool {
	f, err := laid(f, changed)
	return err == nil && !slices.ContainsFunc(changed, func(m geo.Mooring) bool {
		return m.Boat != nil && f.Outcome(m, f.Rules(&m)) != clearance.Fits
	})
}

// wholeAbove and wholeBelow are a length in whole decimetres: a rode is cut to no less.
func wholeAbove(l geo.Metres) geo.Metres { return geo.Metres(math.Ceil(float64(l)*10) / 10) }
func wholeBelow(l geo.Metres) geo.Metres { return geo.Metres(math.Floor(float64(l)*10) / 10) }

// bearingDeg is a bearing from 0 to 360.
func bearingDeg(deg float64) float64 { return math.Mod(deg+360, 360) }

// nearest is the place of the region nearest to another, a hand's breadth inside its edge so that rounding cannot put it out.
func (r *Region) nearest(from geo.Offset) (best geo.Offset, ok bool) {
	minM := math.Inf(1)
	for _, side := range r.sides() {
		at := side.nearest(from)
		if m := lengthM(at.Sub(from)); m < minM {
			minM, best, ok = m, side.insideOf(at), true
		}
	}
	return best, ok
}

// insideOf is a place of a region's side moved a little to the side's left, on which the region lies.
func (g *edge) insideOf(at geo.Offset) geo.Offset {
	const insideM = 0.1
	along := g.along()
	return at.Plus(leftOf(along).Times(insideM / max(1e-9, lengthM(along))))
}
