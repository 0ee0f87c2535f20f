package swing

import (
	"math"

	"swingroom/geo"
)

// separator is what separates two hulls.
type separator uint8

const (
	cornerPair separator = iota
	sideOfA
	sideOfB
)

// separation is how two hulls are separated: the gap as [HullGap] tells it, and the direction from the first to the second, of length 1,
// along which it is measured.
type separation struct {
	gapM      float64
	direction geo.Offset
	by        separator
}

// separationOf is that of two hulls.
func separationOf(a, b *hull) separation {
	offA, outA := maxSideDistance(a, b)
	offB, outB := maxSideDistance(b, a)
	w := separation{offA, outA, sideOfA}
	if offB > offA {
		w = separation{offB, outB.Times(-1), sideOfB}
	}
	if w.gapM <= 0 {
		return w
	}
	// Apart, the nearest may be two corners, which are farther apart than any side tells.
	way := shortestWay(a, b)
	if m := lengthM(way); m > w.gapM*(1+1e-9) {
		w = separation{m, way.Times(1 / m), cornerPair}
	}
	return w
}

// shortest is the shortest of some offsets, and the square of its length.
type shortest struct {
	way   geo.Offset
	gapM2 float64
}

func (s *shortest) try(way geo.Offset) {
	if gapM2 := dot(way, way); gapM2 < s.gapM2 {
		s.way, s.gapM2 = way, gapM2
	}
}

// shortestWay leads from one hull to another.
func shortestWay(a, b *hull) geo.Offset {
	s := shortest{gapM2: math.Inf(1)}
	for i := range a.ring {
		p, along := a.ring[i], a.ring[(i+1)%hullCorners].Sub(a.ring[i])
		for j := range b.ring {
			q := b.ring[j]
			s.try(toSide(q, p, along).Times(-1))
			s.try(toSide(p, q, b.ring[(j+1)%hullCorners].Sub(q)))
		}
	}
	return s.way
}

// maxSideDistance is the side of a hull beyond which another lies farthest, by how much, and the direction outwards.
func maxSideDistance(a, b *hull) (maxM float64, out geo.Offset) {
	maxM = math.Inf(-1)
	for i, p := range a.ring {
		to := outward(p, a.ring[(i+1)%hullCorners])
		length := lengthM(to)
		if length == 0 {
			continue
		}
		to = to.Times(1 / length)
		minM := math.Inf(1)
		for _, v := range b.ring {
			minM = min(minM, dot(v.Sub(p), to))
		}
		if minM > maxM {
			maxM, out = minM, to
		}
	}
	return maxM, out
}
