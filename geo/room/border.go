package room

import (
	"math"

	"swingroom/geo"
)

// border is the edge of the water in which a new boat's anchor may lie, as points close together.
type border struct {
	at      []geo.Offset
	next    []int32 // the point that follows
	radiusM []float64
	seeds   []int32 // points at which a boat may be tried first
	binM    float64
	bins    map[bin][]int32
}

// bin is a square of the plane by its number to the east and to the north.
type bin struct{ east, north int32 }

// newBorder is the edge of a region, in which boats keep minM from each other.
func newBorder(region *Region, r *radius, minM float64) border {
	s := border{binM: minM / 2, bins: map[bin][]int32{}}
	for _, polygon := range region.Polygons {
		for _, ring := range polygon {
			s.addRing(ring, r, minM)
		}
	}
	return s
}

// addRing adds the points of a ring. Seeds are its corners, and on the way from one to the next a point every eighth of a spacing.
func (s *border) addRing(ring []geo.Offset, r *radius, minM float64) {
	first := int32(len(s.at))
	last := geo.Offset{EastM: math.Inf(1)}
	sides := len(ring) - 1 // the last point is the first
	for i, p := range ring[:sides] {
		n := s.add(p, r.at(p))
		if lengthM(p.Sub(last)) > minM/8 || turns(ring[(i+sides-1)%sides], p, ring[i+1]) {
			s.seeds, last = append(s.seeds, n), p
		}
	}
	s.next[len(s.next)-1] = first
}

// add adds a point and gives its number.
func (s *border) add(p geo.Offset, radiusM float64) int32 {
	n := int32(len(s.at))
	s.at, s.radiusM, s.next = append(s.at, p), append(s.radiusM, radiusM), append(s.next, n+1)
	b := s.bin(p)
	s.bins[b] = append(s.bins[b], n)
	return n
}

func (s *border) bin(p geo.Offset) bin {
	return bin{int32(math.Floor(p.EastM / s.binM)), int32(math.Floor(p.NorthM / s.binM))}
}

// around visits the points in the bins that come within reachM of a place.
func (s *border) around(at geo.Offset, reachM float64, visit func(n int32)) {
	reach := geo.Offset{EastM: reachM, NorthM: reachM}
	lo, hi := s.bin(at.Sub(reach)), s.bin(at.Plus(reach))
	for e := lo.east; e <= hi.east; e++ {
		for n := lo.north; n <= hi.north; n++ {
			for _, p := range s.bins[bin{e, n}] {
				visit(p)
			}
		}
	}
}

// turns reports a corner on the way from a over b to c: more than a sixth of a right angle, so that the arcs about circles are none.
func turns(a, b, c geo.Offset) bool {
	u, v := b.Sub(a), c.Sub(b)
	const cos15 = 0.9659
	return dot(u, v) < cos15*lengthM(u)*lengthM(v)
}
