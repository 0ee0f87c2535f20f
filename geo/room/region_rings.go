package room

import (
	"cmp"
	"slices"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// fault is a place where a region came out wrong.
type fault struct {
	at  geo.Offset
	why string
}

// samePlaceM is how near to each other two places of a ring are one: a leg is found to a tenth of it, and its ends may run back
// over each other by as much. It is far less than what the polygons lie inside.
const samePlaceM = 1e-5

func samePlace(a, b geo.Offset) bool { return lengthM(a.Sub(b)) <= samePlaceM }

// joiner makes rings of a tracer's legs.
type joiner struct {
	t      *tracer
	next   map[gridSide]int32 // the leg that begins at a side
	joined []bool
	faults []fault
	rings  [][]geo.Offset
	gainM2 float64 // area of the true region beyond the rings
}

// rings joins the legs.
func (t *tracer) rings() (Region, []fault) {
	j := joiner{t: t, next: make(map[gridSide]int32, len(t.legs)), joined: make([]bool, len(t.legs))}
	for i := range t.legs {
		j.next[t.legs[i].start] = int32(i)
	}
	for i := range t.legs {
		if !j.joined[i] {
			j.ringFrom(i)
		}
	}
	return j.region()
}

// fault notes what came out wrong.
func (j *joiner) fault(at geo.Offset, why string) { j.faults = append(j.faults, fault{at, why}) }

// ringFrom follows the legs from one on until they come back to where they began.
func (j *joiner) ringFrom(i int) {
	start := j.t.legs[i].start
	if int(j.next[start]) != i {
		j.fault(j.t.legs[i].from, "two legs of it begin at one place")
		return
	}
	var ring []geo.Offset
	gainM2 := 0.0
	at := start
	for k, ok := j.next[at]; ok && !j.joined[k]; k, ok = j.next[at] {
		j.joined[k] = true
		l := &j.t.legs[k]
		ring = l.addTo(ring)
		if l.cuts {
			j.fault(l.from, "a side of it cuts through water that is taken")
		}
		gainM2 += l.gainM2
		at = l.end
	}
	if at != start {
		j.fault(j.t.at(at.grid), "it ends in open water")
		return
	}
	j.add(closed(ring), gainM2)
}

// addTo adds a leg's places to a ring.
func (l *leg) addTo(ring []geo.Offset) []geo.Offset {
	ring = withPlace(ring, l.from)
	for _, at := range l.turns {
		ring = withPlace(ring, at)
	}
	return ring
}

// withPlace adds a place to a ring, unless it is that which the ring has come to.
func withPlace(ring []geo.Offset, at geo.Offset) []geo.Offset {
	if len(ring) > 0 && samePlace(at, ring[len(ring)-1]) {
		return ring
	}
	return append(ring, at)
}

// closed ends a ring where it begins; nil for one of less than three corners.
func closed(ring []geo.Offset) []geo.Offset {
	for len(ring) > 1 && samePlace(ring[0], ring[len(ring)-1]) {
		ring = ring[:len(ring)-1]
	}
	if len(ring) < 3 {
		return nil
	}
	return append(ring, ring[0])
}

// add takes a ring in. A free water smaller than the smallest leaf is left out, and counts no water; one that is taken is never left out.
func (j *joiner) add(ring []geo.Offset, gainM2 float64) {
	const noneM2 = 1e-6 // what rounding leaves of a ring without water
	if ring == nil {
		return
	}
	if areaM2 := shape.RingAreaM2(ring); areaM2 > j.t.finestM()*j.t.finestM() || areaM2 < -noneM2 {
		j.rings = append(j.rings, ring)
		j.gainM2 += gainM2
	}
}

// region makes polygons of the rings.
func (j *joiner) region() (Region, []fault) {
	r := Region{InsideM: 2 * j.t.levelM, Polygons: shape.Nest(j.rings)}
	nested := 0
	for _, polygon := range r.Polygons {
		nested += len(polygon)
		for _, ring := range polygon {
			r.PolygonsM2 += shape.RingAreaM2(ring)
		}
	}
	if nested < len(j.rings) && len(j.faults) == 0 {
		j.fault(j.rings[0][0], "water that is taken lies in no water that is free")
	}
	r.AreaM2 = r.PolygonsM2 + j.gainM2
	return r, j.faults
}

// sides are those of all rings of the polygons.
func (r *Region) sides() (sides []edge) {
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			sides = append(sides, sidesOf(ring)...)
		}
	}
	return sides
}

// check looks for what cannot be in a region that was followed rightly, knowing nothing of how it was: rings that cross or touch,
// and the middle of a disc or the end of an edge inside. As no side of a ring cuts through water that is taken, the water that
// one thing takes lies wholly inside or wholly outside a polygon, so that one place of it tells.
func (t *tracer) check(r *Region) []fault {
	sides := r.sides()
	faults := t.taken(newSlabs(sides))
	slices.SortFunc(sides, func(a, b edge) int { return cmp.Compare(a.westM(), b.westM()) })
	for i := range sides {
		faults = crossed(faults, &sides[i], sides[i+1:])
	}
	return faults
}

// crossed adds a fault for each of some sides, which lie in order from west to east, that crosses another west of them.
func crossed(faults []fault, g *edge, others []edge) []fault {
	b := g.box()
	for k := range others {
		o := &others[k]
		if o.westM() > b.high.EastM {
			break
		}
		if max(o.a.NorthM, o.b.NorthM) < b.low.NorthM || min(o.a.NorthM, o.b.NorthM) > b.high.NorthM || g.follows(o) {
			continue
		}
		if g.distanceToM(o) == 0 {
			faults = append(faults, fault{g.a, "it crosses itself"})
		}
	}
	return faults
}

// westM is how far west an edge reaches.
func (g *edge) westM() float64 { return min(g.a.EastM, g.b.EastM) }

// follows reports whether one of two sides of a ring follows the other without running back over it.
func (g *edge) follows(o *edge) bool {
	return g.b == o.a && g.a != o.b && !g.folds(o) || o.b == g.a && o.a != g.b && !o.folds(g)
}

// taken looks for what is taken inside the polygons.
func (t *tracer) taken(sides slabs) (faults []fault) {
	p := t.plan
	check := func(keepM float64, own bool, at geo.Offset) {
		if own {
			keepM += p.radius.at(at)
		}
		if keepM >= 0 && sides.inside(at) {
			faults = append(faults, fault{at, "water that is taken lies inside it"})
		}
	}
	for i := range p.discs {
		check(p.discs[i].keepM, p.discs[i].own, p.discs[i].at)
	}
	for i := range p.zones {
		z := &p.zones[i]
		for k := range z.edges {
			check(z.keepM, z.own, z.edges[k].a)
		}
	}
	return faults
}
