package room

import (
	"math"

	"swingroom/geo"
)

// disc is round water that is taken: the anchor of the boat that is placed keeps keepM from its middle, and her own radius besides when own
// is true.
type disc struct {
	at    geo.Offset
	keepM float64
	own   bool
	name  int32 // of the one who asks
}

// zone is a polygon, or several, in which the whole swing has to stay, or which it has to keep out of.
type zone struct {
	edges []edge
	slabs slabs
	in    bool    // to stay in
	keepM float64 // a setback
	own   bool    // her own radius counts besides; where it does not, only the anchor has to keep the zone
	open  bool    // the edges are lines without an inside
	name  int32
}

type edge struct{ a, b geo.Offset }

// plan is everything that a place for an anchor is held against, on one plane.
type plan struct {
	discs []disc
	zones []zone
	low   geo.Offset // corners of the box in which a place is looked for
	high  geo.Offset
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
	n := len(p.discs)
	for i := range p.zones {
		n += len(p.zones[i].edges)
	}
	all := make([]item, 0, n)
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

// mostZones is how many zones a plan may have.
const mostZones = 48

// weighed is what the items say of one place.
type weighed struct {
	ownM   float64 // least clearance of what counts her radius, before it is taken off
	bareM  float64 // of what does not
	own    item    // which of them is the least
	bare   item
	leastM [mostZones]float64 // distance to each zone's edges
	inside [mostZones]bool
}

// side is what is known of a zone over a whole cell.
type side int8

const (
	unsure side = iota
	inner
	outer
)

// weigh finds the clearances at a place from the items that can be the least there. sides says on which side of each zone the place lies,
// as far as that is known; distM is filled with each item's distance.
func (p *plan) weigh(at geo.Offset, items []item, sides *[mostZones]side, distM []float64, w *weighed) {
	w.ownM, w.bareM = math.Inf(1), math.Inf(1)
	w.own, w.bare = item{-1, -1}, item{-1, -1}
	var nearest [mostZones]int32
	for z := range p.zones {
		w.leastM[z], nearest[z] = math.Inf(1), -1
	}
	for k, it := range items {
		if it.zone < 0 {
			d := &p.discs[it.n]
			e, n := at.EastM-d.at.EastM, at.NorthM-d.at.NorthM
			m := math.Sqrt(e*e+n*n) - d.keepM
			distM[k] = m
			if d.own && m < w.ownM {
				w.ownM, w.own = m, it
			} else if !d.own && m < w.bareM {
				w.bareM, w.bare = m, it
			}
			continue
		}
		g := &p.zones[it.zone].edges[it.n]
		m := g.distanceM(at)
		distM[k] = m
		if m < w.leastM[it.zone] {
			w.leastM[it.zone], nearest[it.zone] = m, it.n
		}
	}
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
		if nearest[z] < 0 && w.inside[z] == zone.in {
			continue // far from its edge, and on the right side
		}
		m := w.leastM[z]
		if w.inside[z] != zone.in {
			m = -m
		}
		m -= zone.keepM
		it := item{int32(z), nearest[z]}
		if zone.own && m < w.ownM {
			w.ownM, w.own = m, it
		} else if !zone.own && m < w.bareM {
			w.bareM, w.bare = m, it
		}
	}
}

// keep leaves of the items those that can be the least anywhere within reachM of the place that was weighed, and tells the sides that are
// sure there.
func (p *plan) keep(items []item, distM []float64, w *weighed, reachM float64, sides *[mostZones]side) []item {
	for z := range p.zones {
		if sides[z] == unsure && (p.zones[z].open || w.leastM[z] > reachM) {
			if sides[z] = outer; w.inside[z] {
				sides[z] = inner
			}
		}
	}
	kept := make([]item, 0, min(len(items), 64))
	for k, it := range items {
		if it.zone < 0 {
			most := w.bareM
			if p.discs[it.n].own {
				most = w.ownM
			}
			if distM[k] <= most+2*reachM {
				kept = append(kept, it)
			}
			continue
		}
		zone := &p.zones[it.zone]
		most := w.bareM
		if zone.own {
			most = w.ownM
		}
		// Of a zone only the edges count that can be its nearest, and none where all of the cell is far on the right side.
		if distM[k] <= w.leastM[it.zone]+2*reachM &&
			(sides[it.zone] == unsure || w.inside[it.zone] != zone.in || w.leastM[it.zone]-zone.keepM <= most+2*reachM) {
			kept = append(kept, it)
		}
	}
	return kept
}

func (g *edge) distanceM(p geo.Offset) float64 {
	abE, abN := g.b.EastM-g.a.EastM, g.b.NorthM-g.a.NorthM
	apE, apN := p.EastM-g.a.EastM, p.NorthM-g.a.NorthM
	along := (abE*apE + abN*apN) / (abE*abE + abN*abN)
	if along > 1 {
		along = 1
	} else if !(along > 0) {
		along = 0
	}
	e, n := apE-along*abE, apN-along*abN
	return math.Sqrt(e*e + n*n)
}

// slabs are a zone's edges by bands of north, so that a place is held against few of them.
type slabs struct {
	southM, heightM float64
	band            [][]edge
}

func newSlabs(edges []edge) slabs {
	if len(edges) == 0 {
		return slabs{}
	}
	s := slabs{southM: math.Inf(1)}
	northM := math.Inf(-1)
	for _, g := range edges {
		s.southM = min(s.southM, g.a.NorthM, g.b.NorthM)
		northM = max(northM, g.a.NorthM, g.b.NorthM)
	}
	n := max(1, min(1024, len(edges)))
	s.heightM = max(1e-9, (northM-s.southM)/float64(n))
	s.band = make([][]edge, n+1)
	for _, g := range edges {
		for b := s.at(min(g.a.NorthM, g.b.NorthM)); b <= s.at(max(g.a.NorthM, g.b.NorthM)); b++ {
			s.band[b] = append(s.band[b], g)
		}
	}
	return s
}

func (s *slabs) at(northM float64) int {
	return max(0, min(len(s.band)-1, int((northM-s.southM)/s.heightM)))
}

// inside reports whether a place lies inside, by the winding number: the inside is on the left of each edge, and polygons that overlap
// count as one.
func (s *slabs) inside(p geo.Offset) bool {
	if len(s.band) == 0 || p.NorthM < s.southM {
		return false
	}
	winding := 0
	for _, g := range s.band[s.at(p.NorthM)] {
		if g.a.NorthM <= p.NorthM == (g.b.NorthM <= p.NorthM) {
			continue
		}
		left := (g.b.EastM-g.a.EastM)*(p.NorthM-g.a.NorthM) - (p.EastM-g.a.EastM)*(g.b.NorthM-g.a.NorthM)
		if g.a.NorthM <= p.NorthM && left > 0 {
			winding++
		} else if g.a.NorthM > p.NorthM && left < 0 {
			winding--
		}
	}
	return winding > 0
}

// radius is how far the boat that is placed swings, at a depth of her anchor below chart datum.
type radius struct {
	fixedM  float64
	byDepth func(depthM float64) float64 // nil: it is fixed
	// between are no more and no less than the radius at any depth from one to another; nil where it never grows
	// with the depth, or never shrinks, so that the two ends tell.
	between func(shallowM, deepM float64) (leastM, mostM float64)
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

// leastM is no more than the radius anywhere within reachM of a place.
func (r *radius) leastM(p geo.Offset, reachM float64) float64 {
	least, _ := r.boundsM(p, reachM)
	return least
}

// boundsM are no more and no less than the radius anywhere within reachM of a place.
func (r *radius) boundsM(p geo.Offset, reachM float64) (leastM, mostM float64) {
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
