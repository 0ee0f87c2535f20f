package room

import (
	"maps"
	"math"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// Region is the whole water in which the anchor may stand.
type Region struct {
	// Polygons, each an outer ring counterclockwise and then its holes; rings end where they begin. They lie wholly in the true region, and nowhere more than InsideM from its edge.
	Polygons [][][]geo.Offset
	InsideM  float64
	// AreaM2 is the area of the true region, and PolygonsM2 that of the polygons, which is never more.
	AreaM2     float64
	PolygonsM2 float64
}

// regionCellM is the side of the squares with which a region's edge is followed. The edge is of arcs of many metres, and where two of them meet the corner is
// worked out, so that a chord is out by millimetres.
const regionCellM = 0.4

// Region follows the edge of the water in which her anchor may stand: where the least clearance is 0. A stop, which several may ask at once, ends it early, and ok is false.
func (q *Question) Region(stop func() bool) (region Region, ok bool) {
	return q.plan.region(regionCellM, stop)
}

// tracer follows the edge of a region.
type tracer struct {
	plan  *plan
	cellM float64
	levM  float64 // the clearance whose line is followed: the polygons then lie inside
	stop  func() bool
	ended bool
	cut   int      // squares of that level are put by, so that all cores may look at them
	cuts  []cutOff // put by
	distM []float64
	w     weighed
	steps int
	next  map[side64]leg
	order []side64 // of next, so that the rings come in an order of their own
}

// cutOff is a square of the grid with what can be nearest in it.
type cutOff struct {
	east, north int32
	level       int
	items       []item
	sides       [mostZones]side
}

// side64 names a side of a leaf: its place in the grid, and whether it runs east (0) or north (1).
type side64 struct {
	east, north int32
	way         int8
}

// leg leads from one side of a leaf to another, the region on its left.
type leg struct {
	from   geo.Offset
	turns  []geo.Offset // where the edge turns on the way
	gainM2 float64      // area of the true region beyond the leg
	end    side64
}

func (p *plan) region(cellM float64, stop func() bool) (Region, bool) {
	// The sharpest arcs are those round a single obstacle: chords of the diagonal of a leaf cut so deep into them.
	leastM := math.Inf(1)
	radiusM := p.radius.leastM(p.low.Plus(p.high).Times(0.5), float64(p.high.Sub(p.low).Length())/2)
	round := func(keepM float64, own bool) {
		if own {
			keepM += radiusM
		}
		leastM = min(leastM, keepM)
	}
	for i := range p.discs {
		round(p.discs[i].keepM, p.discs[i].own)
	}
	for i := range p.zones {
		if p.zones[i].own { // the edge of one that she does not swing against has corners and no arcs
			round(p.zones[i].keepM, true)
		}
	}
	leastM = max(0.2, leastM)
	const deepestM = 0.01 // of a chord's cut, so that the edge stays true to 5 cm
	cellM = min(cellM, math.Sqrt(4*deepestM*leastM))
	t, ok := p.trace(cellM, 1.25*cellM*cellM/(4*leastM)+5e-4, stop)
	if !ok {
		return Region{}, false
	}
	return t.rings(), true
}

// trace follows the line of a clearance, on all cores; false: it was stopped.
func (p *plan) trace(cellM, levM float64, stop func() bool) (*tracer, bool) {
	items := p.items()
	fresh := func(cut int) *tracer {
		return &tracer{plan: p, cellM: cellM, stop: stop, next: map[side64]leg{}, cut: cut, levM: levM, distM: make([]float64, len(items))}
	}
	const none, cuts = -1, 3 // 64 squares, of which most are wholly outside
	width := max(p.high.EastM-p.low.EastM, p.high.NorthM-p.low.NorthM) + 2*cellM
	if !(width > 0) || math.IsInf(width, 0) {
		return fresh(none), true
	}
	level := int(math.Ceil(math.Log2(width / cellM)))
	t := fresh(max(0, level-cuts))
	t.divide(-1, -1, level, items, &[mostZones]side{})
	parts := make([]*tracer, len(t.cuts))
	onAllCores(len(parts), func(i int) {
		parts[i] = fresh(none)
		s := &t.cuts[i]
		parts[i].divide(s.east, s.north, s.level, s.items, &s.sides)
	})
	for _, part := range parts {
		t.ended = t.ended || part.ended
		maps.Copy(t.next, part.next)
		t.order = append(t.order, part.order...)
	}
	return t, !t.ended
}

// at is the place of a corner of the grid.
func (t *tracer) at(east, north int32) geo.Offset {
	return geo.Offset{EastM: t.plan.low.EastM + float64(east)*t.cellM, NorthM: t.plan.low.NorthM + float64(north)*t.cellM}
}

// divide looks at a square of 2^level leaves with its south west corner at a place of the grid.
func (t *tracer) divide(east, north int32, level int, items []item, sides *[mostZones]side) {
	if t.ended {
		return
	}
	if t.steps++; t.stop != nil && t.steps%1024 == 0 && t.stop() {
		t.ended = true
		return
	}
	p := t.plan
	halfM := t.cellM * float64(uint64(1)<<level) / 2
	corner := t.at(east, north)
	middle := geo.Offset{EastM: corner.EastM + halfM, NorthM: corner.NorthM + halfM}
	reachM := halfM * math.Sqrt2
	p.weigh(middle, items, sides, t.distM, &t.w)
	least, most := p.radius.boundsM(middle, reachM)
	if min(t.w.ownM-least, t.w.bareM)+reachM < t.levM || min(t.w.ownM-most, t.w.bareM)-reachM > t.levM {
		return // all of it is outside, or inside
	}
	known := *sides
	kept := p.keep(items, t.distM, &t.w, reachM, &known)
	if level == t.cut {
		t.cuts = append(t.cuts, cutOff{east, north, level, kept, known})
		return
	}
	if level == 0 {
		t.leaf(east, north, kept, &known)
		return
	}
	half := int32(1) << (level - 1)
	t.divide(east, north, level-1, kept, &known)
	t.divide(east+half, north, level-1, kept, &known)
	t.divide(east, north+half, level-1, kept, &known)
	t.divide(east+half, north+half, level-1, kept, &known)
}

// near is the ground of one leaf.
type near struct {
	t     *tracer
	items []item
	sides *[mostZones]side
}

// clearance at a place less the level that is followed, and what it is the clearance to.
func (n *near) clearance(at geo.Offset) (float64, item) {
	t := n.t
	t.plan.weigh(at, n.items, n.sides, t.distM, &t.w)
	own := t.w.ownM - t.plan.radius.at(at)
	if own <= t.w.bareM {
		return max(-1e9, own-t.levM), t.w.own
	}
	return max(-1e9, t.w.bareM-t.levM), t.w.bare
}

// to is the clearance to one thing alone.
func (n *near) to(it item, at geo.Offset) float64 {
	var own bool
	var m float64
	if it.zone < 0 {
		d := &n.t.plan.discs[it.n]
		own, m = d.own, float64(at.Sub(d.at).Length())-d.keepM
	} else {
		z := &n.t.plan.zones[it.zone]
		own, m = z.own, z.edges[it.n].distanceM(at)-z.keepM
	}
	if own {
		m -= n.t.plan.radius.at(at)
	}
	return m - n.t.levM
}

// leaf joins the places where the edge crosses the sides of one leaf.
func (t *tracer) leaf(east, north int32, items []item, sides *[mostZones]side) {
	n := &near{t, items, sides}
	corners := [4]geo.Offset{t.at(east, north), t.at(east+1, north), t.at(east+1, north+1), t.at(east, north+1)}
	names := [4]side64{{east, north, 0}, {east + 1, north, 1}, {east, north + 1, 0}, {east, north, 1}}
	var f [4]float64
	for i, c := range corners {
		f[i], _ = n.clearance(c)
	}
	// Counterclockwise round the leaf: where the region ends on a side a leg begins that comes in again where it goes on, the region on its left.
	var outs, ins []int
	for i := range 4 {
		a, b := f[i] >= 0, f[(i+1)%4] >= 0
		if a && !b {
			outs = append(outs, i)
		} else if !a && b {
			ins = append(ins, i)
		}
	}
	if len(outs) == 0 {
		return
	}
	joined := func(out, in int) {
		a := n.crossing(corners[out], corners[(out+1)%4], f[out], f[(out+1)%4])
		b := n.crossing(corners[in], corners[(in+1)%4], f[in], f[(in+1)%4])
		t.next[names[out]] = n.leg(a, b, names[in], corners)
		t.order = append(t.order, names[out])
	}
	if len(outs) == 1 {
		joined(outs[0], ins[0])
		return
	}
	// A saddle: the middle tells which corners hang together.
	middle, _ := n.clearance(corners[0].Plus(corners[2]).Times(0.5))
	for _, out := range outs {
		in := (out + 1) % 4 // around the corner that is outside
		if middle < 0 {
			in = (out + 3) % 4 // around the corner that is inside
		}
		joined(out, in)
	}
}

// crossing is where the clearance is 0 between two places of which it is not below 0 at one and below at the other. The bracket keeps it (Illinois, from memory).
func (n *near) crossing(a, b geo.Offset, fa, fb float64) geo.Offset {
	lo, hi := 0.0, 1.0
	at := a
	for range 40 {
		share := lo + (hi-lo)*fa/(fa-fb)
		at = a.Plus(b.Sub(a).Times(share))
		f, _ := n.clearance(at)
		if math.Abs(f) < 1e-7 || hi-lo < 1e-9 {
			return at
		}
		if (f >= 0) == (fa >= 0) {
			lo, fa, fb = share, f, fb/2
		} else {
			hi, fb, fa = share, f, fa/2
		}
	}
	return at
}

// leg leads from a to b.
func (n *near) leg(a, b geo.Offset, end side64, corners [4]geo.Offset) leg {
	_, one := n.clearance(a)
	_, other := n.clearance(b)
	l := leg{from: a, end: end}
	l.turns = n.turns(a, b, one, other, corners, 3)
	at := a
	for _, next := range append(l.turns[:len(l.turns):len(l.turns)], b) {
		l.gainM2 += n.gainM2(at, next)
		at = next
	}
	return l
}

// turns are the places where the edge turns between a and b: where it is that of one thing at a and of another at b, the place at which both are 0; where a third comes between
// them, the places on either side of it.
func (n *near) turns(a, b geo.Offset, one, other item, corners [4]geo.Offset, deep int) []geo.Offset {
	if one.n < 0 || other.n < 0 {
		return nil
	}
	middle := a.Plus(b).Times(0.5)
	if one != other {
		if c, ok := n.meeting(one, other, middle, corners); ok {
			return []geo.Offset{c}
		}
	}
	f, third := n.clearance(middle)
	if third == one && third == other || deep == 0 || third.n < 0 {
		return nil
	}
	middle, ok := n.onEdge(middle, f)
	if !ok {
		return nil
	}
	_, third = n.clearance(middle)
	first := n.turns(a, middle, one, third, corners, deep-1)
	return append(append(first, middle), n.turns(middle, b, third, other, corners, deep-1)...)
}

// onEdge brings a place near the edge to it along the steepest way.
func (n *near) onEdge(at geo.Offset, clearM float64) (geo.Offset, bool) {
	const h = 1e-4
	for range 4 {
		if math.Abs(clearM) < 1e-6 {
			return at, true
		}
		fe, _ := n.clearance(geo.Offset{EastM: at.EastM + h, NorthM: at.NorthM})
		fn, _ := n.clearance(geo.Offset{EastM: at.EastM, NorthM: at.NorthM + h})
		grad := geo.Offset{EastM: (fe - clearM) / h, NorthM: (fn - clearM) / h}
		square := grad.EastM*grad.EastM + grad.NorthM*grad.NorthM
		if square < 0.01 {
			return at, false
		}
		at = at.Sub(grad.Times(clearM / square))
		clearM, _ = n.clearance(at)
	}
	return at, math.Abs(clearM) < 1e-5
}

// meeting is the place near a leaf where the clearance to two things is 0, by Newton's method.
func (n *near) meeting(one, other item, at geo.Offset, corners [4]geo.Offset) (geo.Offset, bool) {
	const h = 1e-4
	for range 12 {
		f, g := n.to(one, at), n.to(other, at)
		if math.Abs(f)+math.Abs(g) < 1e-8 {
			break
		}
		east, north := geo.Offset{EastM: at.EastM + h, NorthM: at.NorthM}, geo.Offset{EastM: at.EastM, NorthM: at.NorthM + h}
		fe, fn := (n.to(one, east)-f)/h, (n.to(one, north)-f)/h
		ge, gn := (n.to(other, east)-g)/h, (n.to(other, north)-g)/h
		det := fe*gn - fn*ge
		if math.Abs(det) < 1e-6 {
			return at, false
		}
		at = geo.Offset{EastM: at.EastM - (f*gn-fn*g)/det, NorthM: at.NorthM - (fe*g-f*ge)/det}
		if math.Abs(at.EastM-corners[0].EastM) > 4*n.t.cellM || math.Abs(at.NorthM-corners[0].NorthM) > 4*n.t.cellM {
			return at, false
		}
	}
	// It has to lie in the leaf, or the legs of its neighbours cross these; and nothing else may be nearer there.
	const rounding = 1e-6
	inside := at.EastM >= corners[0].EastM-rounding && at.EastM <= corners[2].EastM+rounding && at.NorthM >= corners[0].NorthM-rounding && at.NorthM <= corners[2].NorthM+rounding
	f, _ := n.clearance(at)
	return at, inside && math.Abs(f) < 1e-5
}

// gainM2 is the area between a chord and the region's edge, outwards positive: two thirds of the chord times how far the line that is followed lies from its middle, to the fourth order for an
// arc, and the strip between that line and the edge itself.
func (n *near) gainM2(a, b geo.Offset) float64 {
	chord := float64(b.Sub(a).Length())
	if chord < 1e-9 {
		return 0
	}
	middle := a.Plus(b).Times(0.5)
	// The region is on the left of the leg, so outwards is to the right.
	out := geo.Offset{EastM: b.NorthM - a.NorthM, NorthM: a.EastM - b.EastM}.Times(1 / chord)
	f, it := n.clearance(middle)
	const h = 1e-3
	g, _ := n.clearance(middle.Plus(out.Times(h)))
	slope := (f - g) / h                      // how fast the clearance shrinks outwards; 1 where the radius does not change
	if it.n < 0 || slope < 0.5 || slope > 2 { // at a turn that was not found
		return chord * n.t.levM
	}
	return chord * (2.0/3*f + n.t.levM) / slope
}

// rings joins the legs.
func (t *tracer) rings() Region {
	r := Region{InsideM: 2 * t.levM}
	var rings [][]geo.Offset
	allM2 := 0.0
	for _, start := range t.order {
		var ring []geo.Offset
		gainM2 := 0.0
		for name := start; ; {
			l, ok := t.next[name]
			if !ok {
				break // it has come round, or the edge was lost between two leaves
			}
			delete(t.next, name)
			ring = append(ring, l.from)
			ring = append(ring, l.turns...)
			gainM2 += l.gainM2
			name = l.end
		}
		// Where two edges all but touch, the water between them is narrower than a leaf, and falls to pieces that no anchor needs.
		if len(ring) > 2 && math.Abs(shape.RingAreaM2(append(ring, ring[0]))) > t.cellM*t.cellM {
			rings = append(rings, append(ring, ring[0]))
			allM2 += gainM2
		}
	}
	r.Polygons = shape.Nest(rings)
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			r.PolygonsM2 += shape.RingAreaM2(ring)
		}
	}
	r.AreaM2 = r.PolygonsM2 + allM2
	return r
}
