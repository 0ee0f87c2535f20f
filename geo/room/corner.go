package room

import (
	"context"
	"math"
	"math/rand/v2"

	"swingroom/geo"
)

// shore is the edge of the water in which a new boat's anchor may lie, as points close together.
type shore struct {
	at      []geo.Offset
	next    []int32 // the point that follows
	radiusM []float64
	seeds   []int32 // points at which a boat may be tried first
	binM    float64
	bins    map[[2]int32][]int32
}

func newShore(region *Region, r *radius, leastM float64) shore {
	s := shore{binM: leastM / 2, bins: map[[2]int32][]int32{}}
	for _, polygon := range region.Polygons {
		for _, ring := range polygon {
			first := int32(len(s.at))
			last := geo.Offset{EastM: math.Inf(1)}
			for i, p := range ring[:len(ring)-1] {
				n := int32(len(s.at))
				s.at, s.radiusM, s.next = append(s.at, p), append(s.radiusM, r.at(p)), append(s.next, n+1)
				bin := s.bin(p)
				s.bins[bin] = append(s.bins[bin], n)
				before := ring[(i+len(ring)-2)%(len(ring)-1)]
				if lengthM(p.Sub(last)) > leastM/8 || turns(before, p, ring[i+1]) {
					s.seeds, last = append(s.seeds, n), p
				}
			}
			s.next[len(s.next)-1] = first
		}
	}
	return s
}

func (s *shore) bin(p geo.Offset) [2]int32 {
	return [2]int32{int32(math.Floor(p.EastM / s.binM)), int32(math.Floor(p.NorthM / s.binM))}
}

// turns reports a corner: more than a sixth of a right angle on the way from a over b to c.
func turns(a, b, c geo.Offset) bool {
	u, v := b.Sub(a), c.Sub(b)
	const cosRatio = 0.9659
	return u.EastM*v.EastM+u.NorthM*v.NorthM < cosRatio*lengthM(u)*lengthM(v)
}

// candidate is a place where one more boat may lie.
type candidate struct {
	anchor
	wastes int // how many samples of free water she would take
	stray  int // a little chance, so that fillings differ
}

// filler lays new boats one by one, each where she touches two others, or one and the edge, or a corner of the edge; of all those places
// where she takes the least of the water that is still free. (Corner placing by the least waste, from memory of the literature on packing.)
type filler struct {
	looker
	y          *yard
	layout     []anchor
	candidates []candidate
	taken      []bool // by coarse sample
	strayRatio float64
	random     *rand.Rand
	middle     geo.Offset // only places within reachM of it are filled
	reachM     float64
}

// fill lays as many new boats more as find room so.
func (y *yard) fill(ctx context.Context, layout []anchor, middle geo.Offset, reachM, strayRatio float64, random *rand.Rand) []anchor {
	f := &filler{y: y, layout: layout[:len(layout):len(layout)], taken: make([]bool, y.water.coarseCount()), strayRatio: strayRatio,
		random: random, middle: middle, reachM: reachM}
	for i := range f.layout {
		f.cover(&f.layout[i])
	}
	for _, n := range y.shore.seeds {
		f.try(anchor{at: y.shore.at[n], radiusM: y.shore.radiusM[n]})
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
	best := 0
	for i := range f.candidates {
		if c, b := &f.candidates[i], &f.candidates[best]; c.wastes+c.stray < b.wastes+b.stray {
			best = i
		}
	}
	a := f.candidates[best].anchor
	f.layout = append(f.layout, a)
	f.cover(&a)
	kept := f.candidates[:0]
	for _, c := range f.candidates {
		m := lengthM(c.at.Sub(a.at))
		need := f.y.needM(&a, &c.anchor)
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

// try adds a place if it is free.
func (f *filler) try(a anchor) {
	if lengthM(a.at.Sub(f.middle)) > f.reachM || !f.y.free(&f.looker, &a, f.layout) {
		return
	}
	c := candidate{anchor: a, wastes: f.wastes(&a)}
	if f.strayRatio > 0 {
		c.stray = int(f.strayRatio * f.random.Float64() * float64(f.y.water.coarseIn(f.y.leastM)))
	}
	f.candidates = append(f.candidates, c)
}

// corners finds the places where a boat would touch the i-th and one before it or the edge.
func (f *filler) corners(i int) {
	a := &f.layout[i]
	if lengthM(a.at.Sub(f.middle)) > f.reachM+f.y.mostM {
		return
	}
	for j := range f.layout[:i] {
		b := &f.layout[j]
		if d := b.at.Sub(a.at); math.Abs(d.EastM) < 2*f.y.mostM && math.Abs(d.NorthM) < 2*f.y.mostM {
			f.touching(a, b, true)
			f.touching(a, b, false)
		}
	}
	s := &f.y.shore
	reach := f.y.mostM + 2*regionCellM
	lo, hi := s.bin(a.at.Sub(geo.Offset{EastM: reach, NorthM: reach})), s.bin(a.at.Plus(geo.Offset{EastM: reach, NorthM: reach}))
	for e := lo[0]; e <= hi[0]; e++ {
		for n := lo[1]; n <= hi[1]; n++ {
			for _, p := range s.bins[[2]int32{e, n}] {
				f.crossing(a, p)
			}
		}
	}
}

// touching tries the place where a new boat touches two others, on one side of the line between them. Her radius there is found as it goes.
func (f *filler) touching(a, b *anchor, left bool) {
	d := b.at.Sub(a.at)
	m := lengthM(d)
	if m < 1e-6 {
		return
	}
	c := anchor{radiusM: (f.y.leastM - f.y.kinds[0].marginM) / 2}
	r := &f.y.kinds[0].chart.plan.radius
	if r.byDepth == nil {
		c.radiusM = r.fixedM
	}
	for range 8 {
		ra, rb := f.y.needM(&c, a)+2*keptM, f.y.needM(&c, b)+2*keptM
		along := (m*m + ra*ra - rb*rb) / (2 * m)
		if ra*ra < along*along {
			return
		}
		across := math.Sqrt(ra*ra - along*along)
		if !left {
			across = -across
		}
		c.at = a.at.Plus(d.Times(along / m)).Plus(geo.Offset{EastM: -d.NorthM, NorthM: d.EastM}.Times(across / m))
		was := c.radiusM
		if c.radiusM = r.at(c.at); math.IsInf(c.radiusM, 1) {
			return
		}
		if math.Abs(c.radiusM-was) < keptM/2 {
			break
		}
	}
	f.try(c)
}

// crossing tries the place where the edge from its n-th point to the next leaves the water that a boat keeps.
func (f *filler) crossing(a *anchor, n int32) {
	s := &f.y.shore
	short := func(c *anchor) float64 { return lengthM(c.at.Sub(a.at)) - f.y.needM(c, a) - 2*keptM }
	in := anchor{at: s.at[n], radiusM: s.radiusM[n]}
	out := anchor{at: s.at[s.next[n]], radiusM: s.radiusM[s.next[n]]}
	was, is := short(&in), short(&out)
	if (was >= 0) == (is >= 0) {
		return
	}
	if was >= 0 {
		in, out = out, in
	}
	for range 12 { // to a fraction of a millimetre
		middle := f.y.lay(0, in.at.Plus(out.at).Times(0.5))
		if short(&middle) >= 0 {
			out = middle
		} else {
			in = middle
		}
	}
	f.try(out)
}

// wastes counts the samples of free water that a boat would take.
func (f *filler) wastes(a *anchor) (count int) {
	f.y.water.around(a.at, f.y.mostM, func(n int, at geo.Offset, radiusM float64) {
		if !f.taken[n] && f.takes(a, at, radiusM) {
			count++
		}
	})
	return count
}

func (f *filler) cover(a *anchor) {
	f.y.water.around(a.at, f.y.mostM, func(n int, at geo.Offset, radiusM float64) {
		f.taken[n] = f.taken[n] || f.takes(a, at, radiusM)
	})
}

// takes reports whether a new boat at a place would come too near to an anchor.
func (f *filler) takes(a *anchor, at geo.Offset, radiusM float64) bool {
	d := at.Sub(a.at)
	need := f.y.needM(a, &anchor{radiusM: radiusM})
	return d.EastM*d.EastM+d.NorthM*d.NorthM < need*need
}
