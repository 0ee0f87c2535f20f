package room

import (
	"math"

	"swingroom/geo"
)

// leaf is a square through which the edge may run, with what can be nearest in it.
type leaf struct {
	*ground
	t *tracer
	// No place of the leaf has a smaller or a greater radius.
	minRadiusM, maxRadiusM float64
	corners                [4]geo.Offset // counterclockwise from the south west
	clearM                 [4]float64    // at the corners, less the level that is followed
}

// follow joins the places where the edge crosses the sides of a leaf; false: it has to be halved first.
func (t *tracer) follow(g *ground, minRadiusM, maxRadiusM float64) bool {
	n := leaf{ground: g, t: t, minRadiusM: minRadiusM, maxRadiusM: maxRadiusM}
	if n.level > 0 && n.refined() {
		return false
	}
	for i, corner := range g.corners() {
		n.corners[i] = t.at(corner)
		n.clearM[i], _ = n.clearance(n.corners[i])
	}
	c := n.crossings()
	if n.level > 0 && (c.count > 1 || !n.cornersDecide()) {
		return false
	}
	n.joinAll(&c)
	return true
}

// refined reports whether the leaf is part of one that is to be halved all the way.
func (n *leaf) refined() bool {
	if len(n.t.finest) == 0 {
		return false
	}
	c := n.ground.corners()
	whole, _ := n.t.leafAt(n.t.at(c[0]).Plus(n.t.at(c[2])).Times(0.5))
	return n.t.finest[whole]
}

// clearance at a place less the level that is followed, and what it is the clearance to.
func (n *leaf) clearance(at geo.Offset) (clearM float64, nearest item) {
	t := n.t
	t.plan.weigh(at, n.items, &n.sides, t.distM, &t.w)
	own := t.w.ownM - t.plan.radius.at(at)
	if own <= t.w.bareM {
		return max(-1e9, own-t.levelM), t.w.own
	}
	return max(-1e9, t.w.bareM-t.levelM), t.w.bare
}

// clearMAt is the clearance at a place alone.
func (n *leaf) clearMAt(at geo.Offset) float64 {
	m, _ := n.clearance(at)
	return m
}

// crossings are the sides of a leaf at which the region ends and begins, counterclockwise: at most two of each.
type crossings struct {
	outs, ins [2]int
	count     int
}

// crossings goes counterclockwise round the leaf: where the region ends on a side a leg begins that comes in again where it goes on, the
// region on its left.
func (n *leaf) crossings() (c crossings) {
	ins := 0
	for i := range 4 {
		a, b := n.clearM[i] >= 0, n.clearM[(i+1)%4] >= 0
		if a && !b {
			c.outs[c.count] = i
			c.count++
		} else if !a && b {
			c.ins[ins] = i
			ins++
		}
	}
	return c
}

// joinAll adds the legs from where the region ends to where it goes on.
func (n *leaf) joinAll(c *crossings) {
	switch c.count {
	case 0:
	case 1:
		n.join(c.outs[0], c.ins[0])
	default:
		for _, out := range c.outs {
			n.join(out, n.acrossSaddle(out))
		}
	}
}

// acrossSaddle is the side to which a leg leads where the corners are free and taken in turn: the middle tells which of them hang together.
func (n *leaf) acrossSaddle(out int) (in int) {
	if middle := n.clearMAt(halfway(n.corners[0], n.corners[2])); middle < 0 {
		return (out + 3) % 4 // around the corner that is inside
	}
	return (out + 1) % 4 // around the corner that is outside
}

// join adds the leg from one side of the leaf to another.
func (n *leaf) join(out, in int) {
	a, name := n.crossing(out)
	b, end := n.crossing(in)
	l := n.leg(a, b)
	l.start, l.end = name, end
	n.t.legs = append(n.t.legs, l)
}

// sideWalk is a side of a leaf walked to the east or to the north, so that from either leaf beside it the same is found.
type sideWalk struct {
	first    gridSide // the finest side with which it begins
	from, to int      // corners
}

// sideWalk is that of the side from the i-th corner to the next.
func (n *leaf) sideWalk(i int) sideWalk {
	w := sideWalk{first: gridSide{grid: n.grid}, from: i, to: (i + 1) % 4}
	switch i {
	case 1:
		w.first.east, w.first.way = n.east+n.size(), 1
	case 2:
		w.first.north = n.north + n.size()
		w.from, w.to = w.to, w.from
	case 3:
		w.first.way = 1
		w.from, w.to = w.to, w.from
	}
	return w
}

// step is the finest side so many steps along.
func (s gridSide) step(steps int32) gridSide {
	if s.way == 0 {
		s.east += steps
	} else {
		s.north += steps
	}
	return s
}

// ends are two places of a line, with the clearance at each: not below 0 at one, and below at the other.
type ends struct {
	a, b   geo.Offset
	fa, fb float64
}

// crossing is where the edge crosses a side of the leaf, and which side of a finest leaf it lies on.
func (n *leaf) crossing(i int) (geo.Offset, gridSide) {
	w := n.sideWalk(i)
	e := ends{n.corners[w.from], n.corners[w.to], n.clearM[w.from], n.clearM[w.to]}
	lo, hi := int32(0), n.size()
	// Where the line through both ends crosses, the finest side is mostly found at once; if not, by halving.
	guess := int32(float64(hi) * e.fa / (e.fa - e.fb))
	for try := int32(0); hi-lo > 1; try++ {
		k := (lo + hi) / 2
		if try < 2 {
			k = max(lo+1, min(hi-1, guess+try))
		}
		at := n.t.at(w.first.step(k).grid)
		f := n.clearMAt(at)
		if (f >= 0) == (n.clearM[w.from] >= 0) {
			lo, e.a, e.fa = k, at, f
		} else {
			hi, e.b, e.fb = k, at, f
		}
	}
	return n.zero(e), w.first.step(lo)
}

// zero is where the clearance is 0 between two places. The bracket keeps it (Illinois, from memory).
func (n *leaf) zero(e ends) geo.Offset {
	const (
		closeM     = 1e-7 // a hundredth of [samePlaceM]
		closeRatio = 1e-9 // of the way between the ends, which is a leaf's side at most
		maxTries   = 40   // more than halving alone needs
	)
	lo, hi := 0.0, 1.0
	at := e.a
	for range maxTries {
		share := lo + (hi-lo)*e.fa/(e.fa-e.fb)
		at = e.a.Plus(e.b.Sub(e.a).Times(share))
		f := n.clearMAt(at)
		if math.Abs(f) < closeM || hi-lo < closeRatio {
			return at
		}
		if (f >= 0) == (e.fa >= 0) {
			lo, e.fa, e.fb = share, f, e.fb/2
		} else {
			hi, e.fb, e.fa = share, f, e.fa/2
		}
	}
	return at
}
