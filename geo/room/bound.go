package room

import (
	"container/heap"
	"context"
	"fmt"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// water is one connected part of the region in which anchors may lie, a little larger than it is.
type water struct {
	polygon [][]geo.Offset
	areaM2  float64
	edgeM   float64 // length of its edge, that of holes with it
	holes   int
}

// mostApart is how many points at least apartM from each other a water can hold: 2/√3·A/D² + P/2D + 1 - holes, with its area A and its edge
// P (J. H. Folkman and R. L. Graham, A packing inequality for compact convex subsets of the plane, Canadian Mathematical Bulletin 12, 1969,
// which has it for every complex of triangles with its Euler characteristic; from memory). Errs on the large side.
func (w *water) mostApart(apartM float64) int {
	const rounding = 1e-9
	n := 2/math.Sqrt(3)*w.areaM2/(apartM*apartM) + w.edgeM/(2*apartM) + float64(1-w.holes)
	return int(math.Floor(n + rounding))
}

// waters are the connected parts of a region that holds every place of a plan: its edge is where the clearance is a little below 0, so that
// every place has a circle of more than the diagonal of a leaf about it, and none is lost between the corners of the leaves. steepRatio is
// how much the radius may change over a distance.
func (p *plan) waters(ctx context.Context, cellM, steepRatio float64) ([]water, bool) {
	const chordM = 0.02 // by how much a chord may cut into the region, twice over
	around := math.Sqrt2*cellM*(1+steepRatio) + chordM
	wide := *p
	grown := geo.Offset{EastM: around + cellM, NorthM: around + cellM}
	wide.low, wide.high = p.low.Sub(grown), p.high.Plus(grown)
	t, ok := wide.trace(ctx, tracer{cellM: cellM, levM: -around})
	if !ok {
		return nil, false
	}
	region, faults := t.rings()
	if len(faults) > 0 {
		return nil, false
	}
	var all []water
	for _, polygon := range region.Polygons {
		w := water{polygon: polygon, holes: len(polygon) - 1}
		for _, ring := range polygon {
			w.areaM2 += shape.RingAreaM2(ring)
			for i := 1; i < len(ring); i++ {
				w.edgeM += lengthM(ring[i].Sub(ring[i-1]))
			}
		}
		all = append(all, w)
	}
	return all, true
}

// within reports whether all of a water lies nearer than apartM to every corner of some others, so that with them it holds one anchor at
// most.
func (w *water) within(apartM float64, others []*water) bool {
	apart := func(o *water) bool {
		for _, p := range o.polygon[0] {
			for _, q := range w.polygon[0] {
				if d := p.Sub(q); d.EastM*d.EastM+d.NorthM*d.NorthM >= apartM*apartM {
					return true
				}
			}
		}
		return false
	}
	return !apart(w) && !slices.ContainsFunc(others, apart)
}

// upper is how many anchors at least apartM from each other all waters can hold, with words that say how that is found. Waters so small and
// so near each other that no two anchors find room in all of them count one together.
func upper(all []water, apartM float64) (most int, words geo.Words) {
	var small [][]*water
	large := 0
	areaM2, edgeM, holes := 0.0, 0.0, 0
	for i := range all {
		w := &all[i]
		areaM2, edgeM, holes = areaM2+w.areaM2, edgeM+w.edgeM, holes+w.holes
		// The hull of what is narrower than D is no longer round than pi D, so that there is no need to look at every corner of the large
		// ones.
		if w.edgeM > math.Pi*apartM || !w.within(apartM, nil) {
			most += w.mostApart(apartM)
			large++
			continue
		}
		placed := false
		for k := range small {
			if placed = w.within(apartM, small[k]); placed {
				small[k] = append(small[k], w)
				break
			}
		}
		if !placed {
			small = append(small, []*water{w})
			most++
		}
	}
	if len(all) == 0 {
		return 0, geo.Plain(noWater)
	}
	words = geo.Tell("two boats keep at least D = %s between their anchors", geo.Metres(apartM))
	if large > 0 {
		words = geo.Tell("%s; by the inequality of Folkman and Graham a connected water holds at most 2/√3·A/D² + P/2D + 1 - holes "+
			"(waters %d)", words, large)
	}
	if len(small) > 0 {
		words = geo.Tell("%s; waters in which no two find room hold one for each group that is narrower than D (waters %d, groups %d)",
			words, len(all)-large, len(small))
	}
	return most, geo.WordsOf(func(u geo.Units) string {
		return fmt.Sprintf("%s; A %s, P %s, holes %d in all", words.In(u), geo.Figure(areaM2, "m²", u), geo.Figure(edgeM, "m", u), holes)
	})
}

// leastRadiusM is no more than the radius at any place of a plan, and little less than the least: squares of water are divided, those with
// the least radius first, until it hardly changes within one. some is false where no place has room.
func (p *plan) leastRadiusM(ctx context.Context) (leastM float64, some bool) {
	if p.radius.byDepth == nil {
		return p.radius.fixedM, true
	}
	const closeM = 0.05
	var open cells
	var w weighed
	items := p.items()
	distM := make([]float64, len(items))
	push := func(middle geo.Offset, halfM float64, items []item, sides [mostZones]side) {
		c := &cell{middle: middle, halfM: halfM, sides: sides}
		reachM := halfM * math.Sqrt2
		p.weigh(middle, items, &c.sides, distM, &w)
		least := p.radius.leastM(middle, reachM)
		if min(w.ownM-least, w.bareM)+reachM < 0 {
			return
		}
		c.mostM = -least // the heap has the most first
		c.items = p.keep(items, distM, &w, reachM, &c.sides)
		heap.Push(&open, c)
	}
	push(p.low.Plus(p.high).Times(0.5), max(p.high.EastM-p.low.EastM, p.high.NorthM-p.low.NorthM, 1e-3)/2, items, [mostZones]side{})
	for steps := 0; len(open) > 0; steps++ {
		top := open[0]
		if _, most := p.radius.boundsM(top.middle, top.halfM*math.Sqrt2); most+top.mostM < closeM || top.halfM < closeM ||
			steps%stepsToCheck == 0 && ctx.Err() != nil {
			return -top.mostM, true
		}
		heap.Pop(&open)
		h := top.halfM / 2
		for _, d := range [4]geo.Offset{{EastM: -h, NorthM: -h}, {EastM: h, NorthM: -h}, {EastM: -h, NorthM: h}, {EastM: h, NorthM: h}} {
			push(top.middle.Plus(d), h, top.items, top.sides)
		}
	}
	return 0, false
}

// bound is how many anchors no layout beats, and in words why.
type bound struct {
	most  int
	words geo.Words
}

const noWater = "there is no water in which her anchor may lie"

// boundCellM is the side of the squares with which the region of a bound is followed.
const boundCellM = 0.25

// boundOf bounds the anchors at least apartM from each other in the water of a plan. Stopped, it tells what follows from the box of the
// area alone.
func (p *plan) boundOf(ctx context.Context, apartM, steepRatio float64) bound {
	if ctx.Err() == nil { // stopped before, not even the steepness need be whole
		if all, ok := p.waters(ctx, boundCellM, steepRatio); ok {
			most, words := upper(all, apartM)
			return bound{most, words}
		}
	}
	size := p.high.Sub(p.low)
	box := water{areaM2: size.EastM * size.NorthM, edgeM: 2 * (size.EastM + size.NorthM)}
	return bound{box.mostApart(apartM), geo.Tell("two boats keep at least D = %s between their anchors; "+
		"by the inequality of Folkman and Graham the box about the area holds at most 2/√3·A/D² + P/2D + 1; stopped before the water "+
		"itself was measured", geo.Metres(apartM))}
}

// How finely the water is parted by depth for a bound: cutting costs half of the cut's length over each side's distance, so that few cuts
// serve.
const (
	bandCellM   = 0.5
	bandCuts    = 3   // one after the other: eight parts
	bandRatio   = 1.2 // of the greatest over the least distance in a part, below which it is not cut
	bandAnchors = 15  // no part of fewer is cut
)

// byBands betters a bound where her radius changes with the depth: between two depth lines two boats keep the least distance of there, and
// the parts' bounds add up.
func (q *Question) byBands(ctx context.Context, y *yard, b bound) bound {
	if q.plan.radius.byDepth == nil || len(q.plan.zones)+2 > mostZones {
		return b
	}
	shallow, deep := q.depths()
	most, parts := q.parted(ctx, y, float64(shallow), float64(deep), bandCuts, b.most)
	if most >= b.most {
		return b
	}
	return bound{most, geo.Tell("two boats keep at least D = %s between their anchors, and more where her radius is larger: "+
		"so the water is parted by depth (parts %d), and by the inequality of Folkman and Graham "+
		"a connected water of a part holds at most 2/√3·A/D² + P/2D + 1 - holes, with the least D of the part", geo.Metres(y.leastM),
		parts)}
}

// parted is how many anchors the water between two depths holds at most, when it is known to be no more than most: cut again and again
// where that makes it less.
func (q *Question) parted(ctx context.Context, y *yard, fromM, toM float64, cuts, most int) (less, parts int) {
	r := q.plan.radius.byDepth
	a, b := r(fromM), r(toM)
	if cuts == 0 || most < bandAnchors || math.IsInf(a+b, 0) || max(y.alikeM(a), y.alikeM(b)) < bandRatio*min(y.alikeM(a), y.alikeM(b)) {
		return most, 1
	}
	lo, hi := fromM, toM
	for range 40 { // to where her radius is half way
		if middle := (lo + hi) / 2; (r(middle) < (a+b)/2) == (a < b) {
			lo = middle
		} else {
			hi = middle
		}
	}
	for i, d := range [2][2]float64{{fromM, lo}, {lo, toM}} {
		p := q.between(y, d[0], d[1])
		all, ok := p.waters(ctx, bandCellM, y.water.steepRatio())
		if !ok {
			return most, 1
		}
		n, _ := upper(all, max(y.leastM, y.alikeM(min(r(d[0]), r(d[1])))))
		n, k := q.parted(ctx, y, d[0], d[1], cuts-1, n)
		if less, parts = less+n, parts+k; i == 0 && less >= most {
			break
		}
	}
	if less >= most {
		return most, 1
	}
	return less, parts
}

// between is the plan of the water between two depths below chart datum; the shallowest and the deepest water of the area lie in the
// outermost.
func (q *Question) between(y *yard, fromM, toM float64) *plan {
	p := q.plan
	shallow, deep := q.depths()
	p.zones = slices.Clone(p.zones)
	add := func(depthM float64, deeper bool) {
		z := zone{edges: q.water.band(geo.Metres(depthM), deeper), in: true}
		z.slabs = newSlabs(z.edges)
		p.zones = append(p.zones, z)
	}
	if geo.Metres(fromM) > shallow {
		add(fromM, true)
	}
	if geo.Metres(toM) < deep {
		add(toM, false)
	}
	return &p
}
