package room

import (
	"math"

	"swingroom/geo"
)

// near is the ground of one leaf.
type near struct {
	t           *tracer
	items       []item
	sides       *[mostZones]side
	east, north int32
	level       int // 2^level finest leaves on a side
	// No place of the leaf has a smaller or a greater radius.
	leastRadiusM, mostRadiusM float64
	corners                   [4]geo.Offset // counterclockwise from the south west
	clearM                    [4]float64    // at the corners, less the level that is followed
}

// clearance at a place less the level that is followed, and what it is the clearance to.
func (n *near) clearance(at geo.Offset) (clearM float64, nearest item) {
	t := n.t
	t.plan.weigh(at, n.items, n.sides, t.distM, &t.w)
	own := t.w.ownM - t.plan.radius.at(at)
	if own <= t.w.bareM {
		return max(-1e9, own-t.levM), t.w.own
	}
	return max(-1e9, t.w.bareM-t.levM), t.w.bare
}

// followed joins the places where the edge crosses the sides of the leaf; false: it has to be halved first.
func (n *near) followed() bool {
	t := n.t
	size := int32(1) << n.level
	places := [4]square64{{n.east, n.north}, {n.east + size, n.north}, {n.east + size, n.north + size}, {n.east, n.north + size}}
	if n.level > 0 && len(t.again) > 0 {
		leaf, _ := t.leafAt(t.at(n.east, n.north).Plus(t.at(n.east+size, n.north+size)).Times(0.5))
		if t.again[leaf] {
			return false
		}
	}
	// Counterclockwise round the leaf: where the region ends on a side a leg begins that comes in again where it goes on, the
	// region on its left.
	var outs, ins []int
	for i, place := range places {
		n.corners[i] = t.at(place.east, place.north)
		n.clearM[i], _ = n.clearance(n.corners[i])
	}
	for i := range 4 {
		a, b := n.clearM[i] >= 0, n.clearM[(i+1)%4] >= 0
		if a && !b {
			outs = append(outs, i)
		} else if !a && b {
			ins = append(ins, i)
		}
	}
	if n.level > 0 && (len(outs) > 1 || !n.told()) {
		return false
	}
	switch len(outs) {
	case 0:
	case 1:
		n.join(outs[0], ins[0])
	default:
		// A saddle: the middle tells which corners hang together.
		middle, _ := n.clearance(n.corners[0].Plus(n.corners[2]).Times(0.5))
		for _, out := range outs {
			in := (out + 1) % 4 // around the corner that is outside
			if middle < 0 {
				in = (out + 3) % 4 // around the corner that is inside
			}
			n.join(out, in)
		}
	}
	return true
}

// join adds the leg from one side of the leaf to another.
func (n *near) join(out, in int) {
	a, name := n.crossing(out)
	b, end := n.crossing(in)
	l := n.leg(a, b)
	l.start, l.end = name, end
	n.t.legs = append(n.t.legs, l)
}

// crossing is where the edge crosses a side of the leaf, and which side of a finest leaf it lies on. From either leaf beside it
// the same is found: the side is always walked to the east or to the north.
func (n *near) crossing(sideOf int) (geo.Offset, side64) {
	size := int32(1) << n.level
	from, name := sideOf, side64{east: n.east, north: n.north}
	switch sideOf {
	case 1:
		name.east, name.way = n.east+size, 1
	case 2:
		name.north, from = n.north+size, 3
	case 3:
		name.way, from = 1, 0
	}
	to := (sideOf + 1) % 4
	if from == to {
		to = sideOf
	}
	along := func(steps int32) side64 {
		s := name
		if s.way == 0 {
			s.east += steps
		} else {
			s.north += steps
		}
		return s
	}
	place := func(steps int32) geo.Offset { s := along(steps); return n.t.at(s.east, s.north) }
	// Where the line through both ends crosses, the finest side is mostly found at once; if not, by halving.
	a, b, fa, fb := n.corners[from], n.corners[to], n.clearM[from], n.clearM[to]
	lo, hi := int32(0), size
	guess := int32(float64(size) * fa / (fa - fb))
	for try := 0; hi-lo > 1; try++ {
		k := (lo + hi) / 2
		if try < 2 {
			k = max(lo+1, min(hi-1, guess+int32(try)))
		}
		at := place(k)
		f, _ := n.clearance(at)
		if (f >= 0) == (n.clearM[from] >= 0) {
			lo, a, fa = k, at, f
		} else {
			hi, b, fb = k, at, f
		}
	}
	return n.zero(a, b, fa, fb), along(lo)
}

// zero is where the clearance is 0 between two places of which it is not below 0 at one and below at the other. The bracket
// keeps it (Illinois, from memory).
func (n *near) zero(a, b geo.Offset, fa, fb float64) geo.Offset {
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
