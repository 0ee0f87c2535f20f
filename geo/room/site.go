package room

import (
	"context"

	"swingroom/geo"
)

// boatClass is one sort of boat that is laid out: the new ones are of the first, and each mooring that is moved is of one of its own.
type boatClass struct {
	number  string // of the mooring that is moved
	chart   *chart
	marginM float64
}

// anchor is one that is laid.
type anchor struct {
	at      geo.Offset
	class   int32
	row     int32 // of a lattice
	radiusM float64
}

// site is what all layouts of one question have in common.
type site struct {
	classes []boatClass
	// keepM is how far two anchors keep by the hulls, by their classes and without the margin; infinite where circles decide.
	keepM      [][]float64
	minM       float64 // no two new boats may be nearer
	maxM       float64 // no two boats have to be farther from each other
	maxRadiusM float64 // of a new boat
	samples    samples // where new boats may lie
	border     border  // the edge of that water
}

// How finely a site is looked at, by the least distance that two boats keep: leaves of the chart are a sixth of it, so that few things
// count in each, and samples stand a twenty-fourth from each other, so that a lattice that holds most of them holds most boats. The others
// keep memory and time in bounds where boats are tiny or an area is huge.
const (
	leavesInSpacing    = 6
	minCellM, maxCellM = 2.0, 10.0
	samplesInSpacing   = 24
	minPitchM          = 0.1
	maxSamplesAcross   = 2000
)

// site makes ready what layouts in the water of a plan need, with the bound that none can beat; nil where there is no water, or where it
// was stopped before. The first of the classes, that of the new boats, gets its chart here.
func (p *plan) site(ctx context.Context, classes []boatClass, keepM [][]float64) (*site, bound) {
	minRadiusM, some := p.minRadiusM(ctx)
	if !some {
		return nil, bound{words: geo.Plain(noWater)}
	}
	y := &site{classes: classes, keepM: keepM}
	y.minM = max(0.01, y.alikeM(minRadiusM)) // a formula can tell of no radius at all over drying ground
	classes[0].chart = newChart(p, max(minCellM, min(maxCellM, y.minM/leavesInSpacing)))
	y.samples = survey(ctx, classes[0].chart, max(y.minM/samplesInSpacing, minPitchM, p.longSideM()/maxSamplesAcross))
	y.findMost(minRadiusM)
	b, region, err := y.boundAndRegion(ctx, p)
	if err != nil {
		return nil, b
	}
	y.border = newBorder(&region, &p.radius, y.minM)
	return y, b
}

// boundAndRegion measures the water twice, at once: of a region that cannot be followed there is no edge to begin at, and layouts are begun
// elsewhere. The error is of one that was stopped.
func (y *site) boundAndRegion(ctx context.Context, p *plan) (b bound, region Region, err error) {
	onAllCores(2, func(i int) {
		if i == 0 {
			b = p.boundOf(ctx, y.minM, y.samples.steepRatio())
		} else {
			region, _, err = p.region(ctx, regionCellM)
		}
	})
	return b, region, err
}

// findMost finds the greatest radius of a new boat, and the greatest distance that any two boats have to keep.
func (y *site) findMost(minRadiusM float64) {
	for _, n := range y.samples.places {
		y.maxRadiusM = max(y.maxRadiusM, y.samples.radiusAtM(int(n)))
	}
	radiusM := max(minRadiusM, y.maxRadiusM)
	for _, k := range y.classes[1:] {
		radiusM = max(radiusM, k.chart.plan.radius.fixedM)
	}
	for _, k := range y.classes {
		y.maxM = max(y.maxM, 2*radiusM+k.marginM)
	}
}

// Layouts are made a little wider than they have to be: every distance and clearance is at least keptM more than is asked, so that no
// rounding takes it below, and the search aims at aimM more.
const (
	keptM = 1e-4
	aimM  = 2e-3
)

// needM is how far two anchors have to be from each other.
func (y *site) needM(a, b *anchor) float64 {
	m := a.radiusM + b.radiusM
	if y.keepM != nil {
		m = min(m, y.keepM[a.class][b.class])
	}
	return m + max(y.classes[a.class].marginM, y.classes[b.class].marginM)
}

// alikeM is how far two new boats of one radius have to be from each other.
func (y *site) alikeM(radiusM float64) float64 {
	a := anchor{radiusM: radiusM}
	return y.needM(&a, &a)
}

// class is that of an anchor.
func (y *site) class(a *anchor) *boatClass { return &y.classes[a.class] }

// chart is that of the new boats.
func (y *site) chart() *chart { return y.classes[0].chart }

// lay makes an anchor of a class at a place.
func (y *site) lay(class int32, at geo.Offset) anchor {
	return anchor{at: at, class: class, radiusM: y.classes[class].chart.plan.radius.at(at)}
}

// free reports whether an anchor keeps from everything fixed and from the others.
func (y *site) free(l *chartReader, a *anchor, others []anchor) bool {
	if !l.fits(y.class(a).chart, a.at, a.radiusM, keptM) {
		return false
	}
	for i := range others {
		d := a.at.Sub(others[i].at)
		need := y.needM(a, &others[i]) + keptM
		if dot(d, d) < need*need {
			return false
		}
	}
	return true
}

// valid leaves of a layout what keeps every rule, looked at from all pairs and all items and not from what the search goes by.
func (y *site) valid(layout []anchor) (kept, lost []anchor) {
	var w weighed
	for _, a := range layout {
		p := y.class(&a).chart.plan
		a.radiusM = p.radius.at(a.at)
		p.weigh(a.at, p.items(), &[maxZones]side{}, make([]float64, p.itemCount()), &w)
		if w.clearanceM(a.radiusM) >= 0 && y.keepsFrom(&a, kept) {
			kept = append(kept, a)
		} else {
			lost = append(lost, a)
		}
	}
	return kept, lost
}

// keepsFrom reports whether an anchor keeps its distance from all others.
func (y *site) keepsFrom(a *anchor, others []anchor) bool {
	for i := range others {
		if lengthM(a.at.Sub(others[i].at)) < y.needM(a, &others[i]) {
			return false
		}
	}
	return true
}
