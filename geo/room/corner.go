package room

import (
	"context"
	"math"
	"math/rand/v2"

	"swingroom/geo"
)

// candidate is a place where one more boat may lie.
type candidate struct {
	anchor
	wastes int // how many samples of free water it would take
	jitter int // a little chance, so that fillings differ
}

// cost is by what candidates are compared.
func (c *candidate) cost() int { return c.wastes + c.jitter }

// filler lays new boats one by one, each where it touches two others, or one and the edge, or a corner of the edge; of all those places
// where it takes the least of the water that is still free. (Corner placing by the least waste, from memory of the literature on packing.)
type filler struct {
	chartReader
	filling
	site       *site
	layout     []anchor
	candidates []candidate
	taken      []bool // by coarse sample
}

// filling is what is filled, and how.
type filling struct {
	middle      geo.Offset // only places within reachM of it are filled
	reachM      float64
	jitterRatio float64 // how much chance decides, of the water that a boat takes
	random      *rand.Rand
}

// everywhere fills all of the water.
func (y *site) everywhere(jitterRatio float64, random *rand.Rand) filling {
	return filling{y.chart().root.middle, math.Inf(1), jitterRatio, random}
}

// fill lays as many new boats more as find room so.
func (y *site) fill(ctx context.Context, layout []anchor, where filling) []anchor {
	f := &filler{site: y, filling: where, layout: layout[:len(layout):len(layout)], taken: make([]bool, y.samples.coarseCount())}
	for i := range f.layout {
		f.cover(&f.layout[i])
	}
	for _, n := range y.border.seeds {
		f.try(anchor{at: y.border.at[n], radiusM: y.border.radiusM[n]})
	}
	for i := range f.layout {
		f.corners(i)
	}
	for len(f.candidates) > 0 && ctx.Err() == nil {
		f.next()
	}
	return f.layout
}

// next lays the candidate that wastes least.
func (f *filler) next() {
	a := f.minWaste()
	f.layout = append(f.layout, a)
	f.cover(&a)
	kept := f.candidates[:0]
	for _, c := range f.candidates {
		m := lengthM(c.at.Sub(a.at))
		need := f.site.needM(&a, &c.anchor)
		if m < need+keptM {
			continue
		}
		if m < 2*need {
			c.wastes = f.wastes(&c.anchor)
		}
		kept = append(kept, c)
	}
	f.candidates = kept
	f.corners(len(f.layout) - 1)
}

// minWaste is the candidate that wastes least, the first of those that waste as little.
func (f *filler) minWaste() anchor {
	best := 0
	for i := range f.candidates {
		if f.candidates[i].cost() < f.candidates[best].cost() {
			best = i
		}
	}
	return f.candidates[best].anchor
}

// try adds a place if it is free.
func (f *filler) try(a anchor) {
	if lengthM(a.at.Sub(f.middle)) > f.reachM || !f.site.free(&f.chartReader, &a, f.layout) {
		return
	}
	c := candidate{anchor: a, wastes: f.wastes(&a)}
	if f.jitterRatio > 0 {
		c.jitter = int(f.jitterRatio * f.random.Float64() * float64(f.site.samples.coarseIn(f.site.minM)))
	}
	f.candidates = append(f.candidates, c)
}

// corners finds the places where a boat would touch the i-th and one before it or the edge.
func (f *filler) corners(i int) {
	a := &f.layout[i]
	maxM := f.site.maxM
	if lengthM(a.at.Sub(f.middle)) > f.reachM+maxM {
		return
	}
	for j := range f.layout[:i] {
		b := &f.layout[j]
		if d := b.at.Sub(a.at); math.Abs(d.EastM) < 2*maxM && math.Abs(d.NorthM) < 2*maxM {
			f.touching(a, b, true)
			f.touching(a, b, false)
		}
	}
	f.site.border.around(a.at, maxM+2*regionCellM, func(n int32) { f.crossing(a, n) })
}

// touching tries the place where a new boat touches two others, on one side of the line between them. Its radius there is found as it goes.
func (f *filler) touching(a, b *anchor, left bool) {
	r := &f.site.chart().plan.radius
	c := anchor{radiusM: f.guessRadiusM(r)}
	const rounds = 8 // more than a radius needs to settle on a bed that is not a wall
	for range rounds {
		at, ok := f.touchingAt(&c, a, b, left)
		if !ok {
			return
		}
		was := c.radiusM
		c.at = at
		if c.radiusM = r.at(at); math.IsInf(c.radiusM, 1) {
			return
		}
		if math.Abs(c.radiusM-was) < keptM/2 {
			break
		}
	}
	f.try(c)
}

// guessRadiusM is a radius to begin with where the place is not known yet.
func (f *filler) guessRadiusM(r *radius) float64 {
	if r.byDepth == nil {
		return r.fixedM
	}
	return (f.site.minM - f.site.classes[0].marginM) / 2
}

// touchingAt is where a new boat of a radius touches two others; false where they are too far from each other, or at one place.
func (f *filler) touchingAt(c, a, b *anchor, left bool) (geo.Offset, bool) {
	d := b.at.Sub(a.at)
	m := lengthM(d)
	ra, rb := f.site.needM(c, a)+2*keptM, f.site.needM(c, b)+2*keptM
	along := (m*m + ra*ra - rb*rb) / (2 * m)
	if m < 1e-6 || ra*ra < along*along {
		return geo.Offset{}, false
	}
	across := math.Sqrt(ra*ra - along*along)
	if !left {
		across = -across
	}
	return a.at.Plus(d.Times(along / m)).Plus(leftOf(d).Times(across / m)), true
}

// crossing tries the place where the edge from its n-th point to the next leaves the water that a boat keeps.
func (f *filler) crossing(a *anchor, n int32) {
	in, out := f.site.border.anchor(n), f.site.border.anchor(f.site.border.next[n])
	free := f.keepsClearOf(a, &in)
	if free == f.keepsClearOf(a, &out) {
		return
	}
	if free {
		in, out = out, in
	}
	const halvings = 12 // of a leaf's side, to a fraction of a millimetre
	for range halvings {
		middle := f.site.lay(0, halfway(in.at, out.at))
		if f.keepsClearOf(a, &middle) {
			out = middle
		} else {
			in = middle
		}
	}
	f.try(out)
}

// anchor is one at the n-th point.
func (s *border) anchor(n int32) anchor { return anchor{at: s.at[n], radiusM: s.radiusM[n]} }

// keepsClearOf reports whether a new boat keeps its distance from an anchor.
func (f *filler) keepsClearOf(a, c *anchor) bool {
	return lengthM(c.at.Sub(a.at))-f.site.needM(c, a)-2*keptM >= 0
}

// wastes counts the samples of free water that a boat would take.
func (f *filler) wastes(a *anchor) (count int) {
	f.site.samples.around(a.at, f.site.maxM, func(n int, at geo.Offset, radiusM float64) {
		if !f.taken[n] && f.takes(a, at, radiusM) {
			count++
		}
	})
	return count
}

// cover marks them as taken.
func (f *filler) cover(a *anchor) {
	f.site.samples.around(a.at, f.site.maxM, func(n int, at geo.Offset, radiusM float64) {
		f.taken[n] = f.taken[n] || f.takes(a, at, radiusM)
	})
}

// takes reports whether a new boat at a place would come too near to an anchor.
func (f *filler) takes(a *anchor, at geo.Offset, radiusM float64) bool {
	d := at.Sub(a.at)
	need := f.site.needM(a, &anchor{radiusM: radiusM})
	return dot(d, d) < need*need
}
