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
	levM     float64 // the clearance whose line is followed: the polygons then lie inside
	again    leaves  // halved all the way, whatever their corners tell
	ended    bool
	cut      int      // squares of that level are put by, so that all cores may look at them
	cuts     []cutOff // put by
	distM    []float64
	w        weighed
	steps    int
	legs     []leg
}

// cutOff is a square of the grid with what can be nearest in it.
type cutOff struct {
	east, north int32
	level       int
	items       []item
	sides       [mostZones]side
}

// side64 names a side of a finest leaf: its place in the grid, and whether it runs east (0) or north (1).
type side64 struct {
	east, north int32
	way         int8
}

// square64 names a leaf by its south west corner.
type square64 struct{ east, north int32 }

type leaves map[square64]bool

// add takes a leaf and its neighbours.
func (l leaves) add(leaf square64, step int32) {
	for east := -step; east <= step; east += step {
		for north := -step; north <= step; north += step {
			l[square64{leaf.east + east, leaf.north + north}] = true
		}
	}
}

// leg leads from one side of a leaf to another, the region on its left.
type leg struct {
	start  side64
	from   geo.Offset
	turns  []geo.Offset // where the edge turns on the way
	gainM2 float64      // area of the true region beyond the leg
	cuts   bool         // it cuts out of the true region
	end    side64
}

// trace follows the line of a clearance, on all cores; false: it was stopped. Of the tracer that is given, cellM, levM, halvings
// and again count.
func (p *plan) trace(ctx context.Context, as tracer) (*tracer, bool) {
	items := p.items()
	fresh := func(cut int) *tracer {
		t := as
		t.plan, t.cut, t.distM = p, cut, make([]float64, len(items))
		return &t
	}
	const none, cuts = -1, 3 // 64 squares, of which most are wholly outside
	width := max(p.high.EastM-p.low.EastM, p.high.NorthM-p.low.NorthM) + 2*as.cellM
	if !(width > 0) || math.IsInf(width, 0) {
		return fresh(none), true
	}
	level := as.halvings + int(math.Ceil(math.Log2(width/as.cellM)))
	t := fresh(max(as.halvings, level-cuts))
	outside := -int32(1) << as.halvings // one leaf beyond the box
	t.divide(ctx, outside, outside, level, items, &[mostZones]side{})
	parts := make([]*tracer, len(t.cuts))
	onAllCores(len(parts), func(i int) {
		parts[i] = fresh(none)
		s := &t.cuts[i]
		parts[i].divide(ctx, s.east, s.north, s.level, s.items, &s.sides)
	})
	for _, part := range parts {
		t.ended = t.ended || part.ended
		t.legs = append(t.legs, part.legs...)
	}
	return t, !t.ended
}

func (t *tracer) finestM() float64 { return t.cellM / float64(int32(1)<<t.halvings) }

// at is the place of a corner of the grid of the finest leaves.
func (t *tracer) at(east, north int32) geo.Offset {
	m := t.finestM()
	return geo.Offset{EastM: t.plan.low.EastM + float64(east)*m, NorthM: t.plan.low.NorthM + float64(north)*m}
}

// leafAt is the leaf, not halved, about a place, and the step to the next.
func (t *tracer) leafAt(at geo.Offset) (leaf square64, step int32) {
	step = int32(1) << t.halvings
	d := at.Sub(t.plan.low).Times(1 / t.cellM)
	return square64{int32(math.Floor(d.EastM)) * step, int32(math.Floor(d.NorthM)) * step}, step
}

// divide looks at a square of 2^level finest leaves on a side, with its south west corner at a place of the grid.
func (t *tracer) divide(ctx context.Context, east, north int32, level int, items []item, sides *[mostZones]side) {
	if t.ended {
		return
	}
	if t.steps++; t.steps%1024 == 0 && ctx.Err() != nil {
		t.ended = true
		return
	}
	p := t.plan
	halfM := t.finestM() * float64(uint64(1)<<level) / 2
	corner := t.at(east, north)
	middle := geo.Offset{EastM: corner.EastM + halfM, NorthM: corner.NorthM + halfM}
	const rounding = 1e-9
	reachM := halfM*math.Sqrt2 + rounding
	p.weigh(middle, items, sides, t.distM, &t.w)
	leastM, mostM := p.radius.boundsM(middle, reachM)
	if min(t.w.ownM-leastM, t.w.bareM)+reachM < t.levM || min(t.w.ownM-mostM, t.w.bareM)-reachM > t.levM {
		return // all of it is outside, or inside
	}
	known := *sides
	kept := p.keep(items, t.distM, &t.w, reachM, &known)
	if level == t.cut {
		t.cuts = append(t.cuts, cutOff{east, north, level, kept, known})
		return
	}
	if level <= t.halvings {
		n := &near{t: t, items: kept, sides: &known, east: east, north: north, level: level, leastRadiusM: leastM, mostRadiusM: mostM}
		if n.followed() {
			return
		}
	}
	half := int32(1) << (level - 1)
	t.divide(ctx, east, north, level-1, kept, &known)
	t.divide(ctx, east+half, north, level-1, kept, &known)
	t.divide(ctx, east, north+half, level-1, kept, &known)
	t.divide(ctx, east+half, north+half, level-1, kept, &known)
}
