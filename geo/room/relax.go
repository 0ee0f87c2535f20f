package room

import (
	"cmp"
	"context"
	"math"
	"slices"

	"swingroom/geo"
)

// relaxation pushes the anchors of a layout from each other until all keep their distances, or no push brings them nearer to that. It goes
// downhill on the squares of what is missing, with a momentum that is dropped when it leads uphill (the fast inertial relaxation engine of
// Bitzek and others 2006, from memory).
type relaxation struct {
	chartReader
	site   *site
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
	pace   pace
	steps  int // how many anchors were moved, in all
}

// pace is how a relaxation goes on.
type pace struct {
	step     float64 // of the time in which a spring of two anchors swings
	mixRatio float64 // how much of the speed is turned into the force's direction at each step
	downhill int     // steps since it last led uphill
}

// The pace of a relaxation. The paper has the same, but for a mixing of 0.1 (from memory); it has no steps of its own.
const (
	minStep, maxStep = 0.02, 0.4
	firstStep        = 0.1
	mixing           = 0.15
	surely           = 5 // steps downhill after which it goes faster
	faster           = 1.1
	straighter       = 0.99
)

// missingM is below what a layout that aims at aimM more than it needs is taken to keep its distances.
const missingM = aimM - keptM

// Within patience steps three tenths of what is missing have to go, or the relaxation is given up.
const (
	patience  = 30
	leftRatio = 0.7
)

// radiiEvery is how often the radii are looked up anew: anchors move by a tenth of a spacing at most, and depths change slowly.
const radiiEvery = 8

// relax works on layout in place and reports whether all distances are kept.
func (r *relaxation) relax(ctx context.Context, layout []anchor, maxSteps int) bool {
	r.begin(layout)
	before := math.Inf(1)
	for k := range maxSteps {
		if k%radiiEvery == 0 {
			r.radii()
		}
		r.forces()
		r.steps += len(layout)
		if r.settled() {
			return true
		}
		if k%patience == patience-1 {
			if r.sumM2 > leftRatio*before || ctx.Err() != nil {
				return false
			}
			before = r.sumM2
		}
		if !r.accelerate() {
			return false
		}
		r.move()
	}
	return false
}

// begin takes a layout up, at rest.
func (r *relaxation) begin(layout []anchor) {
	n := len(layout)
	r.layout = layout
	r.force, r.speed, r.lackM2 = resized(r.force, n), resized(r.speed, n), resized(r.lackM2, n)
	clear(r.speed)
	r.listed = r.listed[:0]
	r.pace = pace{step: firstStep, mixRatio: mixing}
}

// settled reports whether all distances are kept, with the radii where the anchors have come to.
func (r *relaxation) settled() bool {
	if r.worstM > missingM {
		return false
	}
	r.radii()
	r.forces()
	return r.worstM <= missingM
}

// accelerate turns the speeds to the forces while that leads downhill, and begins again at rest when it does not. It reports false where
// nothing is pushed any more.
func (r *relaxation) accelerate() bool {
	power, f2, v2 := r.power()
	if f2 == 0 {
		return false
	}
	if power > 0 {
		turn := r.pace.mixRatio * math.Sqrt(v2/f2)
		for i := range r.speed {
			r.speed[i] = r.speed[i].Times(1 - r.pace.mixRatio).Plus(r.force[i].Times(turn))
		}
	} else {
		clear(r.speed)
	}
	r.pace.adapt(power > 0)
	return true
}

// power is what the forces add to the motion, with the sums of the squares of forces and speeds.
func (r *relaxation) power() (power, f2, v2 float64) {
	for i := range r.force {
		power += dot(r.force[i], r.speed[i])
		f2 += dot(r.force[i], r.force[i])
		v2 += dot(r.speed[i], r.speed[i])
	}
	return power, f2, v2
}

// adapt goes faster after a while downhill, and slowly after a step uphill.
func (p *pace) adapt(downhill bool) {
	if !downhill {
		*p = pace{step: max(minStep, p.step/2), mixRatio: mixing}
		return
	}
	if p.downhill++; p.downhill > surely {
		p.step, p.mixRatio = min(maxStep, p.step*faster), p.mixRatio*straighter
	}
}

// move moves the anchors for one step, each by no more than a tenth of a spacing.
func (r *relaxation) move() {
	far := 0.1 * r.site.minM
	for i := range r.layout {
		r.speed[i] = r.speed[i].Plus(r.force[i].Times(r.pace.step))
		d := r.speed[i].Times(r.pace.step)
		if m := lengthM(d); m > far {
			d = d.Times(far / m)
		}
		a := &r.layout[i]
		a.at = r.site.class(a).chart.clamp(a.at.Plus(d))
	}
}

// radii are those where the anchors have come to. Where the depth is not known the last one holds, until the anchor is pushed out of there.
func (r *relaxation) radii() {
	for i := range r.layout {
		a := &r.layout[i]
		if m := r.site.class(a).chart.plan.radius.at(a.at); !math.IsInf(m, 1) {
			a.radiusM = m
		} else if math.IsInf(a.radiusM, 1) {
			a.radiusM = r.site.maxM / 2
		}
	}
}

// forces are what pushes each anchor: everything fixed, and the others.
func (r *relaxation) forces() {
	r.worstM, r.sumM2 = 0, 0
	for i := range r.layout {
		a := &r.layout[i]
		f, worst := r.push(r.site.class(a).chart, a.at, a.radiusM, aimM)
		r.force[i] = f
		r.lackM2[i] = dot(f, f)
		r.worstM, r.sumM2 = max(r.worstM, worst), r.sumM2+r.lackM2[i]
	}
	r.list()
	for _, p := range r.pairs {
		a, b := &r.layout[p[0]], &r.layout[p[1]]
		d := b.at.Sub(a.at)
		need := r.site.needM(a, b) + aimM
		if m2 := dot(d, d); m2 < need*need {
			r.pushPair(p, d, math.Sqrt(m2), need)
		}
	}
}

// pushPair pushes two anchors from each other that lie so far from each other and need more.
func (r *relaxation) pushPair(p [2]int32, d geo.Offset, distanceM, needM float64) {
	const togetherM = 1e-9 // no direction then leads from one to the other, and east is as good as any
	if distanceM < togetherM {
		d, distanceM = geo.Offset{EastM: togetherM}, togetherM
	}
	lack := needM - distanceM
	f := d.Times(lack / distanceM)
	r.force[p[0]], r.force[p[1]] = r.force[p[0]].Sub(f), r.force[p[1]].Plus(f)
	r.lackM2[p[0]] += lack * lack
	r.lackM2[p[1]] += lack * lack
	r.worstM, r.sumM2 = max(r.worstM, lack), r.sumM2+lack*lack
}

// skinRatio is how much farther than its need a pair is listed, of a spacing: more is listed seldom, less makes fewer pairs.
const skinRatio = 0.3

// list finds the pairs that are near each other, again when an anchor has moved so far that a pair may have been left out.
func (r *relaxation) list() {
	skin := skinRatio * r.site.minM
	if r.listedStill(skin / 2) {
		return
	}
	r.sortByEasting()
	r.pairs = r.pairs[:0]
	reach := r.site.maxM + skin
	for k, i := range r.order {
		a := &r.layout[i]
		for _, j := range r.order[k+1:] {
			d := r.layout[j].at.Sub(a.at)
			if d.EastM > reach {
				break
			}
			if near := r.site.needM(a, &r.layout[j]) + skin; dot(d, d) < near*near {
				r.pairs = append(r.pairs, [2]int32{i, j})
			}
		}
	}
}

// listedStill reports whether no anchor has moved so far since the pairs were listed.
func (r *relaxation) listedStill(farM float64) bool {
	if len(r.listed) != len(r.layout) {
		return false
	}
	for i := range r.listed {
		if lengthM(r.listed[i].Sub(r.layout[i].at)) >= farM {
			return false
		}
	}
	return true
}

// sortByEasting puts the anchors in order from west to east, and notes where each is.
func (r *relaxation) sortByEasting() {
	n := len(r.layout)
	r.listed, r.order = resized(r.listed, n), resized(r.order, n)
	for i := range r.layout {
		r.listed[i], r.order[i] = r.layout[i].at, int32(i)
	}
	slices.SortFunc(r.order, func(i, j int32) int { return cmp.Compare(r.layout[i].at.EastM, r.layout[j].at.EastM) })
}

// resized is a slice of n elements, with the memory of another where that is enough.
func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
