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

// waterOf measures a polygon.
func waterOf(polygon [][]geo.Offset) water {
	w := water{polygon: polygon, holes: len(polygon) - 1}
	for _, ring := range polygon {
		w.areaM2 += shape.RingAreaM2(ring)
		w.edgeM += ringLengthM(ring)
	}
	return w
}

// maxAnchors is how many points at least spacingM from each other a water can hold: 2/√3·A/D² + P/2D + 1 - holes, with its area A and its
// edge P (J. H. Folkman and R. L. Graham, A packing inequality for compact convex subsets of the plane, Canadian Mathematical Bulletin 12,
// 1969, which has it for every complex of triangles with its Euler characteristic; from memory). Errs on the large side.
func (w *water) maxAnchors(spacingM float64) int {
	const rounding = 1e-9 // so that a layout that is exactly full counts whole
	n := 2/math.Sqrt(3)*w.areaM2/(spacingM*spacingM) + w.edgeM/(2*spacingM) + float64(1-w.holes)
	return int(math.Floor(n + rounding))
}

// waters are the connected parts of a region that holds every place of a plan: its edge is where the clearance is a little below 0, so that
// every place has a circle of more than the diagonal of a leaf about it, and none is lost between the corners of the leaves. steepRatio is
// how much the radius may change over a distance.
func (p *plan) waters(ctx context.Context, cellM, steepRatio float64) ([]water, bool) {
	const chordM = 0.02 // by how much a chord may cut into the region, twice over
	around := math.Sqrt2*cellM*(1+steepRatio) + chordM
	wide := *p
	wide.box = p.grown(around + cellM)
	t, ok := wide.trace(ctx, tracer{cellM: cellM, levelM: -around})
	if !ok {
		return nil, false
	}
	region, faults := t.rings()
	if len(faults) > 0 {
		return nil, false
	}
	var all []water
	for _, polygon := range region.Polygons {
		all = append(all, waterOf(polygon))
	}
	return all, true
}

// within reports whether all of a water lies nearer than spacingM to every corner of some others, so that with them it holds one anchor at
// most.
func (w *water) within(spacingM float64, others []*water) bool {
	return !w.reaches(spacingM, w) && !slices.ContainsFunc(others, func(o *water) bool { return w.reaches(spacingM, o) })
}

// reaches reports whether a corner of one water and one of another lie spacingM or more from each other.
func (w *water) reaches(spacingM float64, o *water) bool {
	for _, p := range o.polygon[0] {
		for _, q := range w.polygon[0] {
			if d := p.Sub(q); dot(d, d) >= spacingM*spacingM {
				return true
			}
		}
	}
	return false
}

// narrow reports a water of which no two places lie spacingM from each other. The hull of what is narrower than D is no longer round than
// pi D, so that there is no need to look at every corner of the large ones.
func (w *water) narrow(spacingM float64) bool {
	return w.edgeM <= math.Pi*spacingM && w.within(spacingM, nil)
}

// upper is how many anchors at least spacingM from each other all waters can hold, with words that say how that is found. Waters so small
// and so near each other that no two anchors find room in all of them count one together.
func upper(all []water, spacingM float64) (maxCount int, words geo.Words) {
	if len(all) == 0 {
		return 0, geo.Plain(noWater)
	}
	var groups [][]*water
	large := 0
	for i := range all {
		if w := &all[i]; w.narrow(spacingM) {
			groups = grouped(groups, w, spacingM)
		} else {
			maxCount += w.maxAnchors(spacingM)
			large++
		}
	}
	return maxCount + len(groups), upperWords(all, spacingM, large, len(groups))
}

// grouped adds a narrow water to the first group with which it holds no more than one anchor, or begins a group with it.
func grouped(groups [][]*water, w *water, spacingM float64) [][]*water {
	k := slices.IndexFunc(groups, func(group []*water) bool { return w.within(spacingM, group) })
	if k < 0 {
		return append(groups, []*water{w})
	}
	groups[k] = append(groups[k], w)
	return groups
}

// upperWords say how a bound is found.
func upperWords(all []water, spacingM float64, large, groups int) geo.Words {
	words := geo.Tell("two boats keep at least D = %s between their anchors", geo.Metres(spacingM))
	if large > 0 {
		words = geo.Tell("%s; by the inequality of Folkman and Graham a connected water holds at most 2/√3·A/D² + P/2D + 1 - holes "+
			"(waters %d)", words, large)
	}
	if groups > 0 {
		words = geo.Tell("%s; waters in which no two find room hold one for each group that is narrower than D (waters %d, groups %d)",
			words, len(all)-large, groups)
	}
	areaM2, edgeM, holes := 0.0, 0.0, 0
	for i := range all {
		areaM2, edgeM, holes = areaM2+all[i].areaM2, edgeM+all[i].edgeM, holes+all[i].holes
	}
	return geo.WordsOf(func(u geo.Units) string {
		return fmt.Sprintf("%s; A %s, P %s, holes %d in all", words.In(u), geo.Figure(areaM2, "m²", u), geo.Figure(edgeM, "m", u), holes)
	})
}

// radiusSearch is a branch and bound for the least radius at any place that has room: squares of water are divided, those with the least
// radius first.
type radiusSearch struct {
	plan  *plan
	open  cells // by the least radius, negative: the heap has the most first
	distM []float64
	w     weighed
}

// push keeps a cell if any place in it may have room.
func (s *radiusSearch) push(c *cell) {
	reachM := c.reachM()
	s.plan.weigh(c.middle, c.items, &c.sides, s.distM, &s.w)
	minM := s.plan.radius.minM(c.middle, reachM)
	if s.w.clearanceM(minM)+reachM < 0 {
		return
	}
	c.maxM = -minM
	c.items = s.plan.keep(c.items, s.distM, &s.w, reachM, &c.sides)
	heap.Push(&s.open, c)
}

// settled reports a cell within which the radius hardly changes, or which is hardly anything.
func (s *radiusSearch) settled(c *cell) bool {
	const closeM = 0.05 // two boats then keep 10 cm less than they might: little beside the 20 m and more that they keep
	_, maxM := s.plan.radius.boundsM(c.middle, c.reachM())
	return maxM+c.maxM < closeM || c.halfM < closeM
}

// minRadiusM is no more than the radius at any place of a plan, and little less than the least. some is false where no place has room.
func (p *plan) minRadiusM(ctx context.Context) (minM float64, some bool) {
	if p.radius.byDepth == nil {
		return p.radius.fixedM, true
	}
	s := &radiusSearch{plan: p, distM: make([]float64, p.itemCount())}
	s.push(p.rootCell())
	for steps := 0; len(s.open) > 0; steps++ {
		if top := s.open[0]; s.settled(top) || steps%stepsToCheck == 0 && ctx.Err() != nil {
			return -top.maxM, true
		}
		for _, part := range heap.Pop(&s.open).(*cell).divided() {
			s.push(part)
		}
	}
	return 0, false
}

// bound is how many anchors no layout beats, and in words why.
type bound struct {
	max   int
	words geo.Words
}

const noWater = "there is no water in which the boat's anchor may lie"

// boundCellM is the side of the squares with which the region of a bound is followed: the water comes out some 0.4 m too wide all round,
// which is little beside the 20 m and more that boats keep between their anchors.
const boundCellM = 0.25

// boundOf bounds the anchors at least spacingM from each other in the water of a plan. Stopped, it tells what follows from the box of the
// area alone.
func (p *plan) boundOf(ctx context.Context, spacingM, steepRatio float64) bound {
	if ctx.Err() == nil { // stopped before, not even the steepness need be whole
		if all, ok := p.waters(ctx, boundCellM, steepRatio); ok {
			maxCount, words := upper(all, spacingM)
			return bound{maxCount, words}
		}
	}
	size := p.size()
	whole := water{areaM2: size.EastM * size.NorthM, edgeM: 2 * (size.EastM + size.NorthM)}
	return bound{whole.maxAnchors(spacingM), geo.Tell("two boats keep at least D = %s between their anchors; "+
		"by the inequality of Folkman and Graham the box about the area holds at most 2/√3·A/D² + P/2D + 1; stopped before the water "+
		"itself was measured", geo.Metres(spacingM))}
}
