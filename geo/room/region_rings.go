package room

import (
	"cmp"
	"math"
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

// rings joins the legs.
func (t *tracer) rings() (r Region, faults []fault) {
	r.InsideM = 2 * t.levM
	next := make(map[side64]int32, len(t.legs))
	for i := range t.legs {
		next[t.legs[i].start] = int32(i)
	}
	joined := make([]bool, len(t.legs))
	var rings [][]geo.Offset
	allM2 := 0.0
	for i := range t.legs {
		if joined[i] {
			continue
		}
		var ring []geo.Offset
		gainM2 := 0.0
		start := t.legs[i].start
		if int(next[start]) != i {
			faults = append(faults, fault{t.legs[i].from, "two legs of it begin at one place"})
			continue
		}
		name := start
		for {
			k, ok := next[name]
			if !ok || joined[k] {
				break
			}
			joined[k] = true
			l := &t.legs[k]
			ring = withPlace(ring, l.from)
			for _, at := range l.turns {
				ring = withPlace(ring, at)
			}
			if l.cuts {
				faults = append(faults, fault{l.from, "a side of it cuts through water that is taken"})
			}
			gainM2 += l.gainM2
			name = l.end
		}
		if name != start {
			faults = append(faults, fault{t.at(name.east, name.north), "it ends in open water"})
			continue
		}
		// A free water smaller than the smallest leaf is left out, and counts no water; one that is taken is never left out.
		for len(ring) > 1 && lengthM(ring[0].Sub(ring[len(ring)-1])) <= samePlaceM {
			ring = ring[:len(ring)-1]
		}
		if len(ring) < 3 {
			continue
		}
		ring = append(ring, ring[0])
		const noneM2 = 1e-6 // what rounding leaves of a ring without water
		if areaM2 := shape.RingAreaM2(ring); areaM2 > t.finestM()*t.finestM() || areaM2 < -noneM2 {
			rings = append(rings, ring)
			allM2 += gainM2
		}
	}
	r.Polygons = shape.Nest(rings)
	nested := 0
	for _, polygon := range r.Polygons {
		nested += len(polygon)
		for _, ring := range polygon {
			r.PolygonsM2 += shape.RingAreaM2(ring)
		}
	}
	if nested < len(rings) && len(faults) == 0 {
		faults = append(faults, fault{rings[0][0], "water that is taken lies in no water that is free"})
	}
	r.AreaM2 = r.PolygonsM2 + allM2
	return r, faults
}

// withPlace adds a place to a ring, unless it is that which the ring has come to.
func withPlace(ring []geo.Offset, at geo.Offset) []geo.Offset {
	if len(ring) > 0 && lengthM(at.Sub(ring[len(ring)-1])) <= samePlaceM {
		return ring
	}
	return append(ring, at)
}

// check looks for what cannot be in a region that was followed rightly, knowing nothing of how it was: rings that cross or touch,
// and the middle of a disc or the end of an edge inside. As no side of a ring cuts through water that is taken, the water that
// one thing takes lies wholly inside or wholly outside a polygon, so that one place of it tells.
func (t *tracer) check(r *Region) []fault {
	var sides []edge
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				sides = append(sides, edge{ring[i-1], ring[i]})
			}
		}
	}
	faults := t.taken(newSlabs(sides))
	slices.SortFunc(sides, func(a, b edge) int { return cmp.Compare(min(a.a.EastM, a.b.EastM), min(b.a.EastM, b.b.EastM)) })
	for i := range sides {
		g := &sides[i]
		east := max(g.a.EastM, g.b.EastM)
		south, north := min(g.a.NorthM, g.b.NorthM), max(g.a.NorthM, g.b.NorthM)
		for k := i + 1; k < len(sides); k++ {
			o := &sides[k]
			if min(o.a.EastM, o.b.EastM) > east {
				break
			}
			if max(o.a.NorthM, o.b.NorthM) < south || min(o.a.NorthM, o.b.NorthM) > north {
				continue
			}
			if g.b == o.a && g.a != o.b && !g.folds(o) || o.b == g.a && o.a != g.b && !o.folds(g) {
				continue // they follow each other
			}
			if g.apartM(o) == 0 {
				faults = append(faults, fault{g.a, "it crosses itself"})
			}
		}
	}
	return faults
}

// folds reports a side that all but runs back over the one before it.
func (g *edge) folds(next *edge) bool {
	a, b := g.b.Sub(g.a), next.b.Sub(next.a)
	const leastRatio = 1e-3 // of the sine of the angle between them
	across, along := a.EastM*b.NorthM-a.NorthM*b.EastM, a.EastM*b.EastM+a.NorthM*b.NorthM
	return along < 0 && math.Abs(across) <= leastRatio*-along
}

// taken looks for what is taken inside the polygons.
func (t *tracer) taken(sides slabs) (faults []fault) {
	const why = "water that is taken lies inside it"
	p := t.plan
	keeps := func(keepM float64, own bool, at geo.Offset) bool {
		if own {
			keepM += p.radius.at(at)
		}
		return keepM >= 0
	}
	for i := range p.discs {
		if d := &p.discs[i]; keeps(d.keepM, d.own, d.at) && sides.inside(d.at) {
			faults = append(faults, fault{d.at, why})
		}
	}
	for i := range p.zones {
		z := &p.zones[i]
		for k := range z.edges {
			if at := z.edges[k].a; keeps(z.keepM, z.own, at) && sides.inside(at) {
				faults = append(faults, fault{at, why})
			}
		}
	}
	return faults
}
