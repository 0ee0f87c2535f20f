package room

import (
	"math"

	"swingroom/geo"
)

// disc is round water that is taken: the anchor of the boat that is placed keeps keepM from its middle, and the boat's radius besides when
// own is true.
type disc struct {
	at    geo.Offset
	keepM float64
	own   bool
	name  int32 // of the one who asks
}

// clearanceM is the distance of a place from the disc's middle less what the disc keeps.
func (d *disc) clearanceM(at geo.Offset) float64 { return lengthM(at.Sub(d.at)) - d.keepM }

// zone is a polygon, or several, in which the whole swing has to stay, or which it has to keep out of.
type zone struct {
	edges []edge
	slabs slabs
	in    bool    // to stay in
	keepM float64 // a setback
	own   bool    // the boat's radius counts besides; where it does not, only the anchor has to keep the zone
	open  bool    // the edges are lines without an inside
	name  int32
}

// signedM is the distance of a place from the zone's edge, negative on the wrong side of it, less the setback.
func (z *zone) signedM(at geo.Offset) float64 {
	m := z.edgeM(at)
	if !z.open && z.slabs.inside(at) != z.in || z.open && z.in {
		m = -m
	}
	return m - z.keepM
}

// edgeM is the distance of a place from the zone's edge.
func (z *zone) edgeM(at geo.Offset) float64 {
	minM := math.Inf(1)
	for k := range z.edges {
		minM = min(minM, z.edges[k].distanceM(at))
	}
	return minM
}

// right reports a cell that is known to lie on the side of the zone on which an anchor may lie.
func (z *zone) right(s side) bool { return z.open || s == inner && z.in || s == outer && !z.in }

// wrong reports a cell that is known to lie on the other.
func (z *zone) wrong(s side) bool { return !z.open && (s == inner && !z.in || s == outer && z.in) }

// plan is everything that a place for an anchor is held against, on one plane.
type plan struct {
	discs []disc
	zones []zone
	box   // in which a place is looked for
	// radius is that of the boat that is placed.
	radius radius
}

// item names a disc (zone -1) or an edge of a zone.
type item struct {
	zone int32
	n    int32
}

// items are all of the plan's, the discs first and then zone by zone.
func (p *plan) items() []item {
	all := make([]item, 0, p.itemCount())
	for i := range p.discs {
		all = append(all, item{-1, int32(i)})
	}
	for z := range p.zones {
		for i := range p.zones[z].edges {
			all = append(all, item{int32(z), int32(i)})
		}
	}
	return all
}

func (p *plan) itemCount() int {
	n := len(p.discs)
	for i := range p.zones {
		n += len(p.zones[i].edges)
	}
	return n
}

// own reports whether the boat's radius counts against an item.
func (p *plan) own(it item) bool {
	if it.zone < 0 {
		return p.discs[it.n].own
	}
	return p.zones[it.zone].own
}

// keepM is what an item keeps, without the boat's radius.
func (p *plan) keepM(it item) float64 {
	if it.zone < 0 {
		return p.discs[it.n].keepM
	}
	return p.zones[it.zone].keepM
}

// distanceM is that of a place from an item's middle or edge.
func (p *plan) distanceM(it item, at geo.Offset) float64 {
	if it.zone < 0 {
		return lengthM(at.Sub(p.discs[it.n].at))
	}
	return p.zones[it.zone].edges[it.n].distanceM(at)
}

// maxZones is how many zones a plan may have: what is known of them stands in arrays of that length, which a search copies for each of its
// cells. A harbor has some ten fairways and closed waters near one area.
const maxZones = 48

// side is what is known of a zone over a whole cell.
type side int8

const (
	unsure side = iota
	inner
	outer
)

// weighed is what the items say of one place.
type weighed struct {
	ownM    float64 // least clearance of what counts the boat's radius, before it is taken off
	bareM   float64 // of what does not
	own     item    // which of them is the least
	bare    item
	minM    [maxZones]float64 // distance to each zone's edges
	nearest [maxZones]int32   // which edge that is; -1 for none
	inside  [maxZones]bool
}

// noItem is where nothing limits.
var noItem = item{-1, -1}

// reset begins a place.
func (w *weighed) reset(zones int) {
	w.ownM, w.bareM = math.Inf(1), math.Inf(1)
	w.own, w.bare = noItem, noItem
	for z := range zones {
		w.minM[z], w.nearest[z] = math.Inf(1), -1
	}
}

// limit takes the clearance of one item in.
func (w *weighed) limit(spareM float64, it item, own bool) {
	if own {
		if spareM < w.ownM {
			w.ownM, w.own = spareM, it
		}
	} else if spareM < w.bareM {
		w.bareM, w.bare = spareM, it
	}
}

// clearanceM is the least at the place for a boat of a radius.
func (w *weighed) clearanceM(radiusM float64) float64 { return min(w.ownM-radiusM, w.bareM) }

// of is the least clearance of the sort of things that counts the radius, or of the other.
func (w *weighed) of(own bool) float64 {
	if own {
		return w.ownM
	}
	return w.bareM
}

// weigh finds the clearances at a place from the items that can be the least there. sides says on which side of each zone the place lies,
// as far as that is known; distM is filled with each item's distance.
func (p *plan) weigh(at geo.Offset, items []item, sides *[maxZones]side, distM []float64, w *weighed) {
	w.reset(len(p.zones))
	for k, it := range items {
		if it.zone < 0 {
			d := &p.discs[it.n]
			distM[k] = d.clearanceM(at)
			w.limit(distM[k], it, d.own)
			continue
		}
		m := p.zones[it.zone].edges[it.n].distanceM(at)
		distM[k] = m
		if m < w.minM[it.zone] {
			w.minM[it.zone], w.nearest[it.zone] = m, it.n
		}
	}
	p.weighZones(at, sides, w)
}

// weighZones finds the side of each zone and, from its nearest edge, its clearance. It is one loop and no call for each zone, for it is all
// that many a search does.
func (p *plan) weighZones(at geo.Offset, sides *[maxZones]side, w *weighed) {
	for z := range p.zones {
		zone := &p.zones[z]
		switch {
		case zone.open:
			w.inside[z] = false
		case sides[z] != unsure:
			w.inside[z] = sides[z] == inner
		default:
			w.inside[z] = zone.slabs.inside(at)
		}
		right := w.inside[z] == zone.in
		if w.nearest[z] < 0 && right {
			continue // far from its edge, and on the right side
		}
		m := w.minM[z]
		if !right {
			m = -m
		}
		w.limit(m-zone.keepM, item{int32(z), w.nearest[z]}, zone.own)
	}
}

// keep leaves of the items those that can be the least anywhere within reachM of the place that was weighed, and tells the sides that are
// sure there.
func (p *plan) keep(items []item, distM []float64, w *weighed, reachM float64, sides *[maxZones]side) []item {
	p.tellSides(w, reachM, sides)
	const few = 64 // most cells keep fewer
	kept := make([]item, 0, min(len(items), few))
	for k, it := range items {
		if it.zone < 0 {
			if distM[k] <= w.of(p.discs[it.n].own)+2*reachM {
				kept = append(kept, it)
			}
		} else if distM[k] <= w.minM[it.zone]+2*reachM && p.counts(it.zone, w, reachM, sides) {
			kept = append(kept, it) // of a zone only the edges that can be its nearest
		}
	}
	return kept
}

// tellSides finds the sides of zones that are the same all over a cell.
func (p *plan) tellSides(w *weighed, reachM float64, sides *[maxZones]side) {
	for z := range p.zones {
		if sides[z] == unsure && (p.zones[z].open || w.minM[z] > reachM) {
			if sides[z] = outer; w.inside[z] {
				sides[z] = inner
			}
		}
	}
}

// counts reports whether a zone can limit a place of a cell: not where all of the cell is far on the right side.
func (p *plan) counts(z int32, w *weighed, reachM float64, sides *[maxZones]side) bool {
	zone := &p.zones[z]
	return sides[z] == unsure || w.inside[z] != zone.in || w.minM[z]-zone.keepM <= w.of(zone.own)+2*reachM
}

// radius is how far the boat that is placed swings, at a depth of its anchor below chart datum.
type radius struct {
	fixedM  float64
	byDepth func(depthM float64) float64 // nil: it is fixed
	// between are no more and no less than the radius at any depth from one to another; nil where it never grows
	// with the depth, or never shrinks, so that the two ends tell.
	between func(shallowM, deepM float64) (minM, maxM float64)
	// depth is that at a place, and over all places within a distance; nil where the radius is fixed.
	depth func(at geo.Offset) (depthM float64, known bool)
	span  func(at geo.Offset, reachM float64) (shallowM, deepM float64)
}

// at is the radius at a place; infinite where the depth is not known.
func (r *radius) at(p geo.Offset) float64 {
	if r.byDepth == nil {
		return r.fixedM
	}
	d, known := r.depth(p)
	if !known {
		return math.Inf(1)
	}
	return r.byDepth(d)
}

// atDepth is the radius at a depth.
func (r *radius) atDepth(depthM float64) float64 {
	if r.byDepth == nil {
		return r.fixedM
	}
	return r.byDepth(depthM)
}

// minM is no more than the radius anywhere within reachM of a place.
func (r *radius) minM(p geo.Offset, reachM float64) float64 {
	minM, _ := r.boundsM(p, reachM)
	return minM
}

// boundsM are no more and no less than the radius anywhere within reachM of a place.
func (r *radius) boundsM(p geo.Offset, reachM float64) (minM, maxM float64) {
	if r.byDepth == nil {
		return r.fixedM, r.fixedM
	}
	shallow, deep := r.span(p, reachM)
	if r.between != nil {
		return r.between(shallow, deep)
	}
	a, b := r.byDepth(shallow), r.byDepth(deep)
	return min(a, b), max(a, b)
}
