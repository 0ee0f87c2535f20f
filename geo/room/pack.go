package room

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"swingroom/geo"
)

// kind is one sort of boat that is laid out: the new ones are of the first, and each mooring that is moved is of one of its own.
type kind struct {
	number  string // of the mooring that is moved
	chart   *chart
	marginM float64
}

// anchor is one that is laid.
type anchor struct {
	at      geo.Offset
	kind    int32
	row     int32 // of a lattice
	radiusM float64
}

// yard is what all layouts of one question have in common.
type yard struct {
	kinds []kind
	// keepM is how far two anchors keep by the hulls, by their kinds and without the margin; infinite where circles decide.
	keepM       [][]float64
	leastM      float64 // no two new boats may be nearer
	mostM       float64 // no two boats have to be farther apart
	mostRadiusM float64 // of a new boat
	water       samples // where new boats may lie
	shore       shore   // the edge of that water
}

// yard makes ready what layouts in the water of a plan need, with the bound that none can beat; nil where there is no water, or where it
// was stopped before. The first of the kinds, that of the new boats, gets its chart here.
func (p *plan) yard(ctx context.Context, kinds []kind, keepM [][]float64) (*yard, bound) {
	leastRadiusM, some := p.leastRadiusM(ctx)
	if !some {
		return nil, bound{words: geo.Plain(noWater)}
	}
	y := &yard{kinds: kinds, keepM: keepM}
	y.leastM = max(0.01, y.alikeM(leastRadiusM)) // a formula can tell of no radius at all over drying ground
	const leastCellM, mostCellM, leastPitchM, mostPitches = 2.0, 10.0, 0.1, 2000
	kinds[0].chart = newChart(p, max(leastCellM, min(mostCellM, y.leastM/6)))
	pitchM := max(y.leastM/24, leastPitchM, max(p.high.EastM-p.low.EastM, p.high.NorthM-p.low.NorthM)/mostPitches)
	y.water = survey(ctx, kinds[0].chart, pitchM)
	for _, n := range y.water.places {
		y.mostRadiusM = max(y.mostRadiusM, y.water.radiusAtM(int(n)))
	}
	most := max(leastRadiusM, y.mostRadiusM)
	for _, k := range kinds[1:] {
		most = max(most, k.chart.plan.radius.fixedM)
	}
	for _, k := range kinds {
		y.mostM = max(y.mostM, 2*most+k.marginM)
	}
	var b bound
	var region Region // of one that cannot be followed there is no edge to begin at, and layouts are begun elsewhere
	var err error
	onAllCores(2, func(i int) {
		if i == 0 {
			b = p.boundOf(ctx, y.leastM, y.water.steepRatio())
		} else {
			region, _, err = p.region(ctx, regionCellM)
		}
	})
	if err != nil {
		return nil, b
	}
	y.shore = newShore(&region, &p.radius, y.leastM)
	return y, b
}

// Layouts are made a little wider than they have to be: every distance and clearance is at least keptM more than is asked, so that no
// rounding takes it below, and the search aims at aimM more.
const (
	keptM = 1e-4
	aimM  = 2e-3
)

// needM is how far two anchors have to be apart.
func (y *yard) needM(a, b *anchor) float64 {
	m := a.radiusM + b.radiusM
	if y.keepM != nil {
		m = min(m, y.keepM[a.kind][b.kind])
	}
	return m + max(y.kinds[a.kind].marginM, y.kinds[b.kind].marginM)
}

// lay makes an anchor of a kind at a place.
func (y *yard) lay(kind int32, at geo.Offset) anchor {
	return anchor{at: at, kind: kind, radiusM: y.kinds[kind].chart.plan.radius.at(at)}
}

// free reports whether an anchor keeps from everything fixed and from the others.
func (y *yard) free(l *looker, a *anchor, others []anchor) bool {
	if !l.fits(y.kinds[a.kind].chart, a.at, a.radiusM, keptM) {
		return false
	}
	for i := range others {
		d := a.at.Sub(others[i].at)
		need := y.needM(a, &others[i]) + keptM
		if d.EastM*d.EastM+d.NorthM*d.NorthM < need*need {
			return false
		}
	}
	return true
}

// sound leaves of a layout what keeps every rule, looked at from all pairs and all items and not from what the search goes by.
func (y *yard) sound(layout []anchor) (kept, lost []anchor) {
	var w weighed
	var distM []float64
	for _, a := range layout {
		p := y.kinds[a.kind].chart.plan
		items := p.items()
		if len(distM) < len(items) {
			distM = make([]float64, len(items))
		}
		a.radiusM = p.radius.at(a.at)
		p.weigh(a.at, items, &[mostZones]side{}, distM, &w)
		ok := min(w.ownM-a.radiusM, w.bareM) >= 0
		for i := range kept {
			ok = ok && lengthM(a.at.Sub(kept[i].at)) >= y.needM(&a, &kept[i])
		}
		if ok {
			kept = append(kept, a)
		} else {
			lost = append(lost, a)
		}
	}
	return kept, lost
}

// relaxer pushes the anchors of a layout apart until all keep their distances, or no push brings them nearer to that. It goes downhill on
// the squares of what is missing, with a momentum that is dropped when it leads uphill (the fast inertial relaxation engine of Bitzek and
// others 2006, from memory).
type relaxer struct {
	looker
	y      *yard
	layout []anchor
	force  []geo.Offset
	speed  []geo.Offset
	pairs  [][2]int32 // that may come too near before they are looked for again
	listed []geo.Offset
	order  []int32
	// worstM is what is missing most, and sumM2 the sum of the squares of all that is missing; lackM2 is that by anchor.
	worstM float64
	sumM2  float64
	lackM2 []float64
	steps  int // how many anchors were moved, in all
}

// missingM is below what a layout that aims at aimM more than it needs is taken to keep its distances.
const missingM = aimM - keptM

// relax works on layout in place and reports whether all distances are kept.
func (r *relaxer) relax(ctx context.Context, layout []anchor, most int) bool {
	r.layout = layout
	n := len(layout)
	r.force, r.speed, r.lackM2 = resized(r.force, n), resized(r.speed, n), resized(r.lackM2, n)
	clear(r.speed)
	r.listed = r.listed[:0]
	const (
		leastStep, mostStep = 0.02, 0.4 // of the time in which a spring of two anchors swings
		mixing              = 0.15
		patience            = 30 // steps in which three tenths of what is missing have to go
	)
	step, mix, downhill := 0.1, mixing, 0
	before := math.Inf(1)
	for k := 0; k < most; k++ {
		if k%8 == 0 {
			r.radii()
		}
		r.forces()
		r.steps += n
		if r.worstM <= missingM {
			r.radii()
			if r.forces(); r.worstM <= missingM {
				return true
			}
		}
		if k%patience == patience-1 {
			if r.sumM2 > 0.7*before || ctx.Err() != nil {
				return false
			}
			before = r.sumM2
		}
		power, f2, v2 := 0.0, 0.0, 0.0
		for i := range r.force {
			power += r.force[i].EastM*r.speed[i].EastM + r.force[i].NorthM*r.speed[i].NorthM
			f2 += r.force[i].EastM*r.force[i].EastM + r.force[i].NorthM*r.force[i].NorthM
			v2 += r.speed[i].EastM*r.speed[i].EastM + r.speed[i].NorthM*r.speed[i].NorthM
		}
		if f2 == 0 {
			return false
		}
		if power > 0 {
			turn := mix * math.Sqrt(v2/f2)
			for i := range r.speed {
				r.speed[i] = r.speed[i].Times(1 - mix).Plus(r.force[i].Times(turn))
			}
			if downhill++; downhill > 5 {
				step, mix = min(mostStep, step*1.1), mix*0.99
			}
		} else {
			clear(r.speed)
			step, mix, downhill = max(leastStep, step/2), mixing, 0
		}
		r.move(step)
	}
	return false
}

func (r *relaxer) move(stepRatio float64) {
	far := 0.1 * r.y.leastM
	for i := range r.layout {
		r.speed[i] = r.speed[i].Plus(r.force[i].Times(stepRatio))
		d := r.speed[i].Times(stepRatio)
		if m := lengthM(d); m > far {
			d = d.Times(far / m)
		}
		a := &r.layout[i]
		a.at = r.y.kinds[a.kind].chart.clamp(a.at.Plus(d))
	}
}

// radii are those where the anchors have come to. Where the depth is not known the last one holds, until she is pushed out of there.
func (r *relaxer) radii() {
	for i := range r.layout {
		a := &r.layout[i]
		if m := r.y.kinds[a.kind].chart.plan.radius.at(a.at); !math.IsInf(m, 1) {
			a.radiusM = m
		} else if math.IsInf(a.radiusM, 1) {
			a.radiusM = r.y.mostM / 2
		}
	}
}

func (r *relaxer) forces() {
	r.worstM, r.sumM2 = 0, 0
	for i := range r.layout {
		a := &r.layout[i]
		f, worst := r.push(r.y.kinds[a.kind].chart, a.at, a.radiusM, aimM)
		r.force[i] = f
		r.lackM2[i] = f.EastM*f.EastM + f.NorthM*f.NorthM
		r.worstM, r.sumM2 = max(r.worstM, worst), r.sumM2+r.lackM2[i]
	}
	r.list()
	for _, p := range r.pairs {
		a, b := &r.layout[p[0]], &r.layout[p[1]]
		d := b.at.Sub(a.at)
		m2 := d.EastM*d.EastM + d.NorthM*d.NorthM
		need := r.y.needM(a, b) + aimM
		if m2 >= need*need {
			continue
		}
		m := math.Sqrt(m2)
		if m < 1e-9 {
			d, m = geo.Offset{EastM: 1e-9}, 1e-9
		}
		lack := need - m
		f := d.Times(lack / m)
		r.force[p[0]], r.force[p[1]] = r.force[p[0]].Sub(f), r.force[p[1]].Plus(f)
		r.lackM2[p[0]] += lack * lack
		r.lackM2[p[1]] += lack * lack
		r.worstM, r.sumM2 = max(r.worstM, lack), r.sumM2+lack*lack
	}
}

// list finds the pairs that are near each other, again when an anchor has moved so far that a pair may have been left out.
func (r *relaxer) list() {
	skin := 0.3 * r.y.leastM
	fresh := len(r.listed) == len(r.layout)
	for i := 0; fresh && i < len(r.listed); i++ {
		fresh = lengthM(r.listed[i].Sub(r.layout[i].at)) < skin/2
	}
	if fresh {
		return
	}
	n := len(r.layout)
	r.listed, r.order = resized(r.listed, n), resized(r.order, n)
	for i := range r.layout {
		r.listed[i], r.order[i] = r.layout[i].at, int32(i)
	}
	slices.SortFunc(r.order, func(i, j int32) int { return cmp.Compare(r.layout[i].at.EastM, r.layout[j].at.EastM) })
	r.pairs = r.pairs[:0]
	reach := r.y.mostM + skin
	for k, i := range r.order {
		a := &r.layout[i]
		for _, j := range r.order[k+1:] {
			d := r.layout[j].at.Sub(a.at)
			if d.EastM > reach {
				break
			}
			if near := r.y.needM(a, &r.layout[j]) + skin; d.EastM*d.EastM+d.NorthM*d.NorthM < near*near {
				r.pairs = append(r.pairs, [2]int32{i, j})
			}
		}
	}
}

func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// spread lays n anchors in the water of a plan so that the least distance between any two is large, and gives that distance: from random
// places the anchors are pushed apart to a distance that is halved in towards the greatest at which they still find room, tries times.
func spread(p *plan, n, tries int, seed uint64) (best []geo.Offset, distanceM float64) {
	random := rand.New(rand.NewPCG(seed, 1))
	y := &yard{kinds: []kind{{chart: newChart(p, float64(p.high.Sub(p.low).Length())/64)}}}
	var l looker
	for range tries {
		layout := make([]anchor, 0, n)
		for len(layout) < n {
			a := y.lay(0, geo.Offset{EastM: p.low.EastM + random.Float64()*(p.high.EastM-p.low.EastM),
				NorthM: p.low.NorthM + random.Float64()*(p.high.NorthM-p.low.NorthM)})
			if l.fits(y.kinds[0].chart, a.at, a.radiusM, 0) {
				layout = append(layout, a)
			}
		}
		r := relaxer{y: y}
		var good []anchor
		lo, hi := 0.0, 2*float64(p.high.Sub(p.low).Length())/math.Sqrt(float64(n)) // no layout reaches so much
		if distanceM > 0 {
			hi = min(hi, distanceM*1.1) // what beats the best so far will not beat it by more
		}
		for hi > distanceM && hi-lo > 2e-5*hi {
			middle := (lo + hi) / 2
			if lo == 0 {
				middle = hi * 0.9
			}
			y.kinds[0].marginM, y.leastM, y.mostM = middle, middle, middle
			if r.relax(context.Background(), layout, 1500) {
				good, lo = append(good[:0], layout...), middle
			} else { // what the push has come to is a better start for a smaller distance than where it began
				hi = middle
			}
		}
		y.kinds[0].marginM = lo
		if kept, _ := y.sound(good); lo > distanceM && len(kept) == n {
			distanceM, best = lo, places(kept)
		}
	}
	return best, distanceM
}

func places(layout []anchor) []geo.Offset {
	at := make([]geo.Offset, len(layout))
	for i := range layout {
		at[i] = layout[i].at
	}
	return at
}
