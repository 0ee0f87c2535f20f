package room

import (
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// The sizes in which parts are proposed, from thin to thick and from light to heavy: sizes of chain, shackle, swivel and rope in inches,
// and weights of anchors in pounds. Common sizes of the trade in the United States, from memory.
var (
	sizesIn   = []float64{0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 0.875, 1, 1.125, 1.25, 1.5, 1.75, 2}
	anchorsLb = []float64{75, 100, 150, 200, 250, 300, 400, 500, 600, 700, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000, 5000, 6000, 8000,
		10000}
)

// suited gives a mooring with its boat the least tackle that passes on strength, holding and the harbor's table, new where it is changed;
// parts tells what that is. ok is false where no such part is sold, or where it cannot be said of a part at all.
func suited(f *clearance.Field, m geo.Mooring) (with geo.Mooring, parts []phrase, ok bool) {
	with = m
	with.Tackle = slices.Clone(m.Tackle)
	changed := map[int]bool{}
	for bad, found := firstBad(f, with); found; bad, found = firstBad(f, with) {
		i := slices.IndexFunc(with.Tackle, func(p geo.Part) bool { return p.Kind == bad })
		if i < 0 || !larger(&with.Tackle[i]) {
			return m, nil, false
		}
		changed[i] = true
	}
	for i := range with.Tackle {
		if changed[i] {
			parts = append(parts, newPart(&with.Tackle[i]))
		}
	}
	return with, parts, true
}

// firstBad is the first part of a tackle that does not pass, or cannot be said to.
func firstBad(f *clearance.Field, m geo.Mooring) (geo.PartKind, bool) {
	for _, v := range f.FitTackle(m) {
		if !v.Fits.Or(false) {
			return partOf(&v), true
		}
	}
	return "", false
}

// partOf is the part that a verdict is about.
func partOf(v *clearance.Verdict) geo.PartKind {
	if v.Constraint == clearance.ByAnchor {
		return geo.Anchor
	}
	return geo.PartKind(v.Of)
}

// tolerance is by what ratio a size has to be larger to be another: figures on record are rounded, and an inch is not a whole millimetre.
const tolerance = 1.001

// larger makes a part new and one size larger, or heavier; new alone where it is worn or its wear is not known. false: nothing larger is
// sold, or a larger one of it would change nothing.
func larger(p *geo.Part) bool {
	if p.Kind == geo.Anchor {
		return heavier(p)
	}
	if left, known := p.LeftRatio.Get(); p.Size.IsKnown() && (!known || left < 1) {
		p.LeftRatio = geo.Known(1.0)
		return true
	}
	for _, in := range sizesIn {
		if size := geo.Feet(in / 12); size > p.Size.Or(0)*tolerance {
			p.Size, p.LeftRatio = geo.Known(size), geo.Known(1.0)
			return p.Kind != geo.Rode
		}
	}
	return false
}

// heavier makes an anchor the next heavier one; false where none is, or its kind is not known.
func heavier(p *geo.Part) bool {
	for _, lb := range anchorsLb {
		if geo.Pounds(lb) > p.Weight.Or(0)*tolerance {
			p.Weight = geo.Known(geo.Pounds(lb))
			return p.Material != ""
		}
	}
	return false
}

// newPart is a part in words.
func newPart(p *geo.Part) phrase {
	if p.Kind == geo.Anchor {
		return func(u geo.Units) string {
			return fmt.Sprintf("a %s of %s", p.Material, geo.Figure(float64(p.Weight.Or(0)), "kg", u))
		}
	}
	name := strings.ReplaceAll(string(p.Kind), "_", " ")
	if p.Kind == geo.Elastic {
		name = "elastic line"
	}
	return func(u geo.Units) string {
		return fmt.Sprintf("a new %s of %s", name, geo.Figure(float64(p.Size.Or(0))*1000, "mm", u))
	}
}
