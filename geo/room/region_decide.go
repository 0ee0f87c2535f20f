package room

import (
	"math"

	"swingroom/geo"
)

// blocked is the water that one thing takes of a leaf, which is convex: a disc, all that is nearer to an edge than some distance,
// or all on one side of a line.
type blocked struct {
	clearM [4]float64 // the clearance to it at the corners
	sideM  [4]float64 // no place of a side has less
}

// touches reports whether it takes any water of the leaf at all.
func (k *blocked) touches() bool {
	return min(k.sideM[0], k.sideM[1], k.sideM[2], k.sideM[3]) < 0
}

// cornersDecide reports whether the corners of the leaf tell all about it: that the edge crosses each side no more than once, and that no
// water is free or taken in it that does not hang together with a corner. It is sure where the radius is the same all over the
// leaf; where it changes, bounds and convexity are as good as its change over a leaf is small, and what slips through comes out
// when the legs are joined.
//
// Free at all four corners: nothing takes any of its water. Taken at all four: one thing takes all of it. Else at most two
// things take water of it; each takes a corner, takes nothing of a side with two free corners, of a side with one free corner
// takes water only if it takes the other, and a side without a free corner is taken by one of them as a whole. As two convex
// sets cannot enclose anything, and all corners that are taken lie side by side, both what is taken and what is free then hang
// together.
func (n *leaf) cornersDecide() bool {
	free := n.freeCorners()
	if free == 0 {
		return n.wholly()
	}
	var all [2]blocked
	count, ok := n.blockedBy(&all, free == 4)
	if !ok {
		return false
	}
	for i := range 4 {
		if !n.sideDecided(i, all[:count]) {
			return false
		}
	}
	return free == 4 || count > 0
}

func (n *leaf) freeCorners() (free int) {
	for _, m := range n.clearM {
		if m >= 0 {
			free++
		}
	}
	return free
}

// blockedBy finds what takes water of the leaf; false where that is more than two things, or not convex, or anything at all where none is
// expected.
func (n *leaf) blockedBy(all *[2]blocked, none bool) (count int, ok bool) {
	for _, it := range n.items {
		if n.away(it) {
			continue
		}
		if none || count == len(all) {
			return count, false
		}
		if all[count], ok = n.blockedByItem(it); !ok {
			return count, false
		}
		if all[count].touches() {
			count++
		}
	}
	return count, true
}

func (n *leaf) blockedByItem(it item) (blocked, bool) {
	if it.zone < 0 {
		return n.byDisc(it)
	}
	return n.byEdge(it)
}

// sideDecided reports whether the edge crosses a side as its corners tell.
func (n *leaf) sideDecided(i int, all []blocked) bool {
	j := (i + 1) % 4
	taken := n.clearM[i] < 0 && n.clearM[j] < 0
	for _, k := range all {
		a, b := k.clearM[i] < 0, k.clearM[j] < 0
		if taken && a && b {
			return true // the side as a whole by one thing
		}
		if !taken && k.sideM[i] < 0 && !a && !b {
			return false // water of the side, and neither of its corners
		}
	}
	return !taken
}

// keepM is what an item keeps, from which the level that is followed makes no difference any more, without the boat's radius.
func (n *leaf) keepM(it item) float64 { return n.t.plan.keepM(it) + n.t.levelM }

// withRadiusM is what an item keeps of a boat of a radius.
func (n *leaf) withRadiusM(it item, radiusM float64) float64 {
	keepM := n.keepM(it)
	if n.t.plan.own(it) {
		keepM += radiusM
	}
	return keepM
}

func (n *leaf) middle() (at geo.Offset, reachM float64) {
	return halfway(n.corners[0], n.corners[2]), lengthM(n.corners[2].Sub(n.corners[0])) / 2
}

// away reports an item that surely takes nothing of the leaf, as its distance tells. An edge of which the far side is taken is
// not away while the leaf may reach beyond it.
func (n *leaf) away(it item) bool {
	if n.onWrongSide(it) {
		return false
	}
	keepM := n.withRadiusM(it, n.maxRadiusM)
	if it.zone >= 0 {
		keepM = max(0, keepM)
	}
	middle, reachM := n.middle()
	return n.t.plan.distanceM(it, middle)-reachM >= keepM
}

// onWrongSide reports whether the leaf lies where an edge's zone lets no anchor lie.
func (n *leaf) onWrongSide(it item) bool {
	return it.zone >= 0 && n.t.plan.zones[it.zone].wrong(n.sides[it.zone])
}

// wholly reports whether one thing takes all of the leaf.
func (n *leaf) wholly() bool {
	for _, it := range n.items {
		keepM := n.withRadiusM(it, n.minRadiusM)
		if n.farthestCornerM(it) < keepM {
			return true
		}
		if n.onWrongSide(it) && keepM >= 0 {
			return true
		}
	}
	return false
}

// farthestCornerM is the distance of an item from the corner that is farthest from it.
func (n *leaf) farthestCornerM(it item) (maxM float64) {
	for _, c := range n.corners {
		maxM = max(maxM, n.t.plan.distanceM(it, c))
	}
	return maxM
}

// side is the i-th side of the leaf.
func (n *leaf) side(i int) edge { return edge{n.corners[i], n.corners[(i+1)%4]} }

// byDisc is what a disc takes of the leaf.
func (n *leaf) byDisc(it item) (k blocked, ok bool) {
	maxKeepM := n.withRadiusM(it, n.maxRadiusM)
	d := &n.t.plan.discs[it.n]
	if maxKeepM <= 0 || n.holds(d.at) {
		return k, false
	}
	for i, c := range n.corners {
		side := n.side(i)
		k.sideM[i] = side.distanceM(d.at) - maxKeepM
		k.clearM[i] = n.to(it, c)
	}
	return k, true
}

// byEdge is what an edge takes of the leaf: all that is too near to it, where all of the leaf is known to lie on the right side;
// else all beyond a line along it, where no other edge of its zone counts in the leaf.
func (n *leaf) byEdge(it item) (k blocked, ok bool) {
	z := &n.t.plan.zones[it.zone]
	maxKeepM := n.withRadiusM(it, n.maxRadiusM)
	if z.right(n.sides[it.zone]) && maxKeepM > 0 {
		return n.byNearness(it, &z.edges[it.n], maxKeepM)
	}
	for _, other := range n.items {
		if other.zone == it.zone && other.n != it.n {
			return k, false
		}
	}
	return n.byLine(it)
}

// byNearness is what lies too near to an edge; false where an end of it lies in the leaf.
func (n *leaf) byNearness(it item, g *edge, maxKeepM float64) (k blocked, ok bool) {
	if n.holds(g.a) || n.holds(g.b) {
		return k, false
	}
	for i, c := range n.corners {
		side := n.side(i)
		k.sideM[i] = side.distanceToM(g) - maxKeepM
		k.clearM[i] = n.to(it, c)
	}
	return k, true
}

// byLine is what lies beyond a line along an edge; false where the leaf reaches beyond an end of the edge.
func (n *leaf) byLine(it item) (k blocked, ok bool) {
	z := &n.t.plan.zones[it.zone]
	g := &z.edges[it.n]
	keepM := n.keepM(it)
	var surelyM [4]float64
	for i, c := range n.corners {
		insideM, beside := g.insideM(c)
		if !beside {
			return k, false
		}
		if !z.in {
			insideM = -insideM
		}
		k.clearM[i], surelyM[i] = insideM-keepM, insideM-keepM
		if z.own {
			k.clearM[i] -= n.t.plan.radius.at(c)
			surelyM[i] -= n.maxRadiusM
		}
	}
	for i := range 4 {
		k.sideM[i] = min(surelyM[i], surelyM[(i+1)%4])
	}
	return k, true
}

// insideM is how far a place lies to the left of the line along an edge; beside is false where it lies beyond an end of it.
func (g *edge) insideM(at geo.Offset) (distanceM float64, beside bool) {
	along, to := g.along(), at.Sub(g.a)
	lengthOfM := lengthM(along)
	if !(lengthOfM > 0) {
		return math.NaN(), false
	}
	share := dot(to, along) / (lengthOfM * lengthOfM)
	return cross(along, to) / lengthOfM, !(share < 0 || share > 1)
}
