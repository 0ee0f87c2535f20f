package room

import (
	"context"
	"math"

	"swingroom/geo"
)

// tracer follows the line of one clearance about a region. The plan's box is divided into leaves, and a leaf through which the
// line runs gives a leg of it, from one of its sides to another. A leaf whose corners do not tell how the line runs is halved
// further. Legs are joined by the places where they end: these are named by the sides of the finest leaves there can be, so
// that a leaf and its halved neighbour give the same name to the same place.
type tracer struct {
	plan     *plan
	cellM    float64 // side of a leaf that is not halved
	halvings int     // of a leaf at most
	levelM   float64 // the clearance whose line is followed: the polygons then lie inside
	finest   leafSet // halved all the way, whatever their corners tell
	ended    bool
	cut      int      // squares of that level are put by, so that all cores may look at them
	cuts     []ground // put by
	distM    []float64
	w        weighed
	steps    int
	legs     []leg
}

// grid is a place in the grid of the finest leaves.
type grid struct{ east, north int32 }

// ground is a square of the grid with what can be nearest in it: 2^level finest leaves on a side, from its south west corner.
type ground struct {
	grid
	level int
	items []item
	sides [maxZones]side
}

// size is the side of the square in finest leaves.
func (g *ground) size() int32 { return int32(1) << g.level }

// corners are the square's, counterclockwise from the south west.
func (g *ground) corners() [4]grid {
	n := g.size()
	return [4]grid{g.grid, {g.east + n, g.north}, {g.east + n, g.north + n}, {g.east, g.north + n}}
}

// gridSide names a side of a finest leaf: its place in the grid, and whether it runs east (0) or north (1).
type gridSide struct {
	grid
	way int8
}

// leafSet are leaves by their south west corners.
type leafSet map[grid]bool

// add takes a leaf and its neighbours.
func (l leafSet) add(leaf grid, step int32) {
	for east := -step; east <= step; east += step {
		for north := -step; north <= step; north += step {
			l[grid{leaf.east + east, leaf.north + north}] = true
		}
	}
}

// leg leads from one side of a leaf to another, the region on its left.
type leg struct {
	start  gridSide
	from   geo.Offset
	turns  []geo.Offset // where the edge turns on the way
	gainM2 float64      // area of the true region beyond the leg
	cuts   bool         // it cuts out of the true region
	end    gridSide
}

// trace follows the line of a clearance, on all cores; false: it was stopped. Of the tracer that is given, cellM, levelM, halvings
// and finest count.
func (p *plan) trace(ctx context.Context, as tracer) (*tracer, bool) {
	const none, cuts = -1, 3 // 64 squares, of which most are wholly outside
	widthM := p.longSideM() + 2*as.cellM
	if !(widthM > 0) || math.IsInf(widthM, 0) {
		return as.fresh(p, none), true
	}
	level := as.halvings + int(math.Ceil(math.Log2(widthM/as.cellM)))
	t := as.fresh(p, max(as.halvings, level-cuts))
	outside := -int32(1) << as.halvings // one leaf beyond the box
	t.divide(ctx, &ground{grid: grid{outside, outside}, level: level, items: p.items()})
	parts := make([]*tracer, len(t.cuts))
	onAllCores(len(parts), func(i int) {
		parts[i] = as.fresh(p, none)
		parts[i].divide(ctx, &t.cuts[i])
	})
	for _, part := range parts {
		t.ended = t.ended || part.ended
		t.legs = append(t.legs, part.legs...)
	}
	return t, !t.ended
}

// fresh is a tracer of the same fineness that has followed nothing yet, and puts the squares of a level by.
func (t *tracer) fresh(p *plan, cut int) *tracer {
	return &tracer{plan: p, cellM: t.cellM, halvings: t.halvings, levelM: t.levelM, finest: t.finest, cut: cut,
		distM: make([]float64, p.itemCount())}
}

func (t *tracer) finestM() float64 { return t.cellM / float64(int32(1)<<t.halvings) }

// at is the place of a corner of the grid of the finest leaves.
func (t *tracer) at(g grid) geo.Offset {
	m := t.finestM()
	return geo.Offset{EastM: t.plan.low.EastM + float64(g.east)*m, NorthM: t.plan.low.NorthM + float64(g.north)*m}
}

// leafAt is the leaf, not halved, about a place, and the step to the next.
func (t *tracer) leafAt(at geo.Offset) (leaf grid, step int32) {
	step = int32(1) << t.halvings
	d := at.Sub(t.plan.low).Times(1 / t.cellM)
	return grid{int32(math.Floor(d.EastM)) * step, int32(math.Floor(d.NorthM)) * step}, step
}

// squaresToCheck is how many squares are looked at before it is asked again whether the search is stopped: so seldom that asking costs
// nothing.
const squaresToCheck = 1024

// stopped reports whether the search is to end, which it asks now and then.
func (t *tracer) stopped(ctx context.Context) bool {
	t.steps++
	t.ended = t.ended || t.steps%squaresToCheck == 0 && ctx.Err() != nil
	return t.ended
}

// divide looks at a square: wholly outside or inside it gives nothing, small enough it is followed as a leaf, and else it is looked at in
// quarters.
func (t *tracer) divide(ctx context.Context, s *ground) {
	if t.stopped(ctx) {
		return
	}
	halfM := t.finestM() * float64(uint64(1)<<s.level) / 2
	middle := t.at(s.grid).Plus(geo.Offset{EastM: halfM, NorthM: halfM})
	const rounding = 1e-9 // a nanometre, so that no corner lies beyond the reach
	reachM := halfM*math.Sqrt2 + rounding
	t.plan.weigh(middle, s.items, &s.sides, t.distM, &t.w)
	minM, maxM := t.plan.radius.boundsM(middle, reachM)
	if t.w.clearanceM(minM)+reachM < t.levelM || t.w.clearanceM(maxM)-reachM > t.levelM {
		return // all of it is outside, or inside
	}
	inner := ground{grid: s.grid, level: s.level, sides: s.sides}
	inner.items = t.plan.keep(s.items, t.distM, &t.w, reachM, &inner.sides)
	if s.level == t.cut {
		t.cuts = append(t.cuts, inner)
		return
	}
	if s.level <= t.halvings && t.follow(&inner, minM, maxM) {
		return
	}
	t.divideQuarters(ctx, &inner)
}

// divideQuarters looks at the quarters of a square, which it becomes one after another.
func (t *tracer) divideQuarters(ctx context.Context, s *ground) {
	from := s.grid
	s.level--
	half := s.size()
	for _, by := range [4]grid{{0, 0}, {half, 0}, {0, half}, {half, half}} {
		s.grid = grid{from.east + by.east, from.north + by.north}
		t.divide(ctx, s)
	}
}
