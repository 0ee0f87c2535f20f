package room

import (
	"math"

	"swingroom/geo"
)

// taken is the water that one thing takes of a leaf, which is convex: a disc, all that is nearer to an edge than some distance,
// or all on one side of a line.
type taken struct {
	clearM [4]float64 // the clearance to it at the corners
	sideM  [4]float64 // no place of a side has less
}

// told reports whether the corners of the leaf tell all about it: that the edge crosses each side no more than once, and that no
// water is free or taken in it that does not hang together with a corner. It is sure where the radius is the same all over the
// leaf; where it changes, bounds and convexity are as good as its change over a leaf is small, and what slips through comes out
// when the legs are joined.
//
// Free at all four corners: nothing takes any of its water. Taken at all four: one thing takes all of it. Else at most two
// things take water of it; each takes a corner, takes nothing of a side with two free corners, of a side with one free corner
// takes water only if it takes the other, and a side without a free corner is taken by one of them as a whole. As two convex
// sets cannot enclose anything, and all corners that are taken lie side by side, both what is taken and what is free then hang
// together.
func (n *near) told() bool {
	free := 0
	for _, m := range n.clearM {
		if m >= 0 {
			free++
		}
	}
	if free == 0 {
		return n.wholly()
	}
	var all [2]taken
	count := 0
	for _, it := range n.items {
		if n.away(it) {
			continue
		}
		if free == 4 || count == len(all) {
			return false
		}
		var ok bool
		if it.zone < 0 {
			all[count], ok = n.byDisc(it)
		} else {
			all[count], ok = n.byEdge(it)
		}
		if !ok {
			return false
		}
		if all[count].touches() {
			count++
		}
	}
	for i := range 4 {
		if !n.sideTold(i, all[:count]) {
			return false
		}
	}
	return free == 4 || count > 0
}

func (k *taken) touches() bool {
	return min(k.sideM[0], k.sideM[1], k.sideM[2], k.sideM[3]) < 0
}

// sideTold reports whether the edge crosses a side as its corners tell.
func (n *near) sideTold(i int, all []taken) bool {
	j := (i + 1) % 4
	a, b := n.clearM[i] >= 0, n.clearM[j] >= 0
	if !a && !b {
		for _, k := range all {
			if k.clearM[i] < 0 && k.clearM[j] < 0 {
				return true
			}
		}
		return false
	}
	for _, k := range all {
		if k.sideM[i] < 0 && !(k.clearM[i] < 0 || k.clearM[j] < 0) {
			return false
		}
	}
	return true
}

// keepM is what an item keeps, from which the level that is followed makes no difference any more, without her radius.
func (n *near) keepM(it item) (keepM float64, own bool) {
	if it.zone < 0 {
		d := &n.t.plan.discs[it.n]
		return d.keepM + n.t.levM, d.own
	}
	z := &n.t.plan.zones[it.zone]
	return z.keepM + n.t.levM, z.own
}

// fromM is the distance of a place from an item's middle or edge.
func (n *near) fromM(it item, at geo.Offset) float64 {
	if it.zone < 0 {
		return lengthM(at.Sub(n.t.plan.discs[it.n].at))
	}
	return n.t.plan.zones[it.zone].edges[it.n].distanceM(at)
}

func (n *near) middle() (at geo.Offset, reachM float64) {
	return n.corners[0].Plus(n.corners[2]).Times(0.5), lengthM(n.corners[2].Sub(n.corners[0])) / 2
}

// away reports an item that surely takes nothing of the leaf, as its distance tells. An edge of which the far side is taken is
// not away while the leaf may reach beyond it.
func (n *near) away(it item) bool {
	keepM, own := n.keepM(it)
	if own {
		keepM += n.mostRadiusM
	}
	if it.zone >= 0 {
		z := &n.t.plan.zones[it.zone]
		wrong := n.sides[it.zone] == inner && !z.in || n.sides[it.zone] == outer && z.in
		if !z.open && wrong {
			return false
		}
		keepM = max(0, keepM)
	}
	middle, reachM := n.middle()
	return n.fromM(it, middle)-reachM >= keepM
}

// wholly reports whether one thing takes all of the leaf.
func (n *near) wholly() bool {
	for _, it := range n.items {
		keepM, own := n.keepM(it)
		if own {
			keepM += n.leastRadiusM
		}
		mostM := 0.0
		for _, c := range n.corners {
			mostM = max(mostM, n.fromM(it, c))
		}
		if mostM < keepM {
			return true
		}
		if it.zone < 0 {
			continue
		}
		z := &n.t.plan.zones[it.zone]
		if wrong := n.sides[it.zone] == inner && !z.in || n.sides[it.zone] == outer && z.in; !z.open && wrong && keepM >= 0 {
			return true
		}
	}
	return false
}

// byDisc is what a disc takes of the leaf.
func (n *near) byDisc(it item) (k taken, ok bool) {
	keepM, own := n.keepM(it)
	d := &n.t.plan.discs[it.n]
	mostKeepM := keepM
	if own {
		mostKeepM += n.mostRadiusM
	}
	if mostKeepM <= 0 {
		return k, false
	}
	low, high := n.corners[0], n.corners[2]
	if d.at.EastM >= low.EastM && d.at.EastM <= high.EastM && d.at.NorthM >= low.NorthM && d.at.NorthM <= high.NorthM {
		return k, false
	}
	for i, c := range n.corners {
		side := edge{c, n.corners[(i+1)%4]}
		k.sideM[i] = side.distanceM(d.at) - mostKeepM
		k.clearM[i] = n.to(it, c)
	}
	return k, true
}

// byEdge is what an edge takes of the leaf: all that is too near to it, where all of the leaf is known to lie on the right side;
// else all beyond a line along it, where no other edge of its zone counts in the leaf.
func (n *near) byEdge(it item) (k taken, ok bool) {
	z := &n.t.plan.zones[it.zone]
	g := &z.edges[it.n]
	keepM, own := n.keepM(it)
	mostKeepM := keepM
	if own {
		mostKeepM += n.mostRadiusM
	}
	right := z.open || n.sides[it.zone] == inner && z.in || n.sides[it.zone] == outer && !z.in
	if right && mostKeepM > 0 {
		low, high := n.corners[0], n.corners[2]
		for _, end := range [2]geo.Offset{g.a, g.b} {
			if end.EastM >= low.EastM && end.EastM <= high.EastM && end.NorthM >= low.NorthM && end.NorthM <= high.NorthM {
				return k, false
			}
		}
		for i, c := range n.corners {
			side := edge{c, n.corners[(i+1)%4]}
			k.sideM[i] = side.apartM(g) - mostKeepM
			k.clearM[i] = n.to(it, c)
		}
		return k, true
	}
	for _, other := range n.items {
		if other.zone == it.zone && other.n != it.n {
			return k, false
		}
	}
	return n.byLine(g, z.in, own, keepM)
}

// byLine is what lies beyond a line along an edge; false where the leaf reaches beyond an end of the edge.
func (n *near) byLine(g *edge, in, own bool, keepM float64) (k taken, ok bool) {
	along := g.b.Sub(g.a)
	lengthOfM := lengthM(along)
	if !(lengthOfM > 0) {
		return k, false
	}
	var surelyM [4]float64
	for i, c := range n.corners {
		to := c.Sub(g.a)
		if share := (to.EastM*along.EastM + to.NorthM*along.NorthM) / (lengthOfM * lengthOfM); share < 0 || share > 1 {
			return k, false
		}
		insideM := (along.EastM*to.NorthM - along.NorthM*to.EastM) / lengthOfM // the inside is on the left
		if !in {
			insideM = -insideM
		}
		k.clearM[i], surelyM[i] = insideM-keepM, insideM-keepM
		if own {
			k.clearM[i] -= n.t.plan.radius.at(c)
			surelyM[i] -= n.mostRadiusM
		}
	}
	for i := range 4 {
		k.sideM[i] = min(surelyM[i], surelyM[(i+1)%4])
	}
	return k, true
}

// apartM is the distance between two edges.
func (g *edge) apartM(o *edge) float64 {
	turn := func(a, b, c geo.Offset) float64 {
		return (b.EastM-a.EastM)*(c.NorthM-a.NorthM) - (b.NorthM-a.NorthM)*(c.EastM-a.EastM)
	}
	if turn(g.a, g.b, o.a)*turn(g.a, g.b, o.b) < 0 && turn(o.a, o.b, g.a)*turn(o.a, o.b, g.b) < 0 {
		return 0
	}
	return min(math.Min(g.distanceM(o.a), g.distanceM(o.b)), math.Min(o.distanceM(g.a), o.distanceM(g.b)))
}
