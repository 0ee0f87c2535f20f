package room

import (
	"math"

	"swingroom/geo"
)

// to is the clearance to one thing alone.
func (n *near) to(it item, at geo.Offset) float64 {
	var own bool
	var m float64
	if it.zone < 0 {
		d := &n.t.plan.discs[it.n]
		own, m = d.own, lengthM(at.Sub(d.at))-d.keepM
	} else {
		z := &n.t.plan.zones[it.zone]
		own, m = z.own, z.edges[it.n].distanceM(at)-z.keepM
	}
	if own {
		m -= n.t.plan.radius.at(at)
	}
	return m - n.t.levM
}

// leg leads from a to b.
func (n *near) leg(a, b geo.Offset) leg {
	_, one := n.clearance(a)
	_, other := n.clearance(b)
	l := leg{from: a}
	const deepest = 3
	for deep := deepest; deep >= 0; deep-- {
		if l.turns = n.turns(a, b, one, other, deep); unfolded(a, l.turns, b) {
			break
		}
	}
	at := a
	for _, next := range append(l.turns[:len(l.turns):len(l.turns)], b) {
		gainM2, leastM := n.beyond(at, next)
		l.gainM2 += gainM2
		l.cuts = l.cuts || n.t.levM > 0 && (leastM < 0 || one != other && !n.clears(at, next))
		at = next
	}
	return l
}

// unfolded reports whether a line with turns neither crosses itself nor runs back.
func unfolded(a geo.Offset, turns []geo.Offset, b geo.Offset) bool {
	if len(turns) == 0 {
		return true
	}
	at := a
	sides := make([]edge, 0, len(turns)+1)
	for _, next := range append(turns[:len(turns):len(turns)], b) {
		side := edge{at, next}
		for i := range sides {
			if last := i == len(sides)-1; last && sides[i].folds(&side) || !last && sides[i].apartM(&side) == 0 {
				return false
			}
		}
		sides, at = append(sides, side), next
	}
	return true
}

// turns are the places where the edge turns between a and b: where it is that of one thing at a and of another at b, the place
// at which both are 0; where a third comes between them, the places on either side of it; and where a chord would all but cut
// out of the region, as where the bed's slope changes, its middle brought to the edge.
func (n *near) turns(a, b geo.Offset, one, other item, deep int) []geo.Offset {
	if one.n < 0 || other.n < 0 {
		return nil
	}
	middle := a.Plus(b).Times(0.5)
	if one != other {
		if c, ok := n.meeting(one, other, middle); ok {
			return []geo.Offset{c}
		}
	}
	f, third := n.clearance(middle)
	same := third == one && third == other
	if same && f > -n.t.levM/2 || deep == 0 || third.n < 0 {
		return nil
	}
	middle, ok := n.onEdge(middle, f)
	if !ok || !n.holds(middle) {
		return nil
	}
	_, third = n.clearance(middle)
	first := n.turns(a, middle, one, third, deep-1)
	return append(append(first, middle), n.turns(middle, b, third, other, deep-1)...)
}

// onEdge brings a place near the edge to it along the steepest way.
func (n *near) onEdge(at geo.Offset, clearM float64) (geo.Offset, bool) {
	const h = 1e-4
	for range 4 {
		if math.Abs(clearM) < 1e-6 {
			return at, true
		}
		fe, _ := n.clearance(geo.Offset{EastM: at.EastM + h, NorthM: at.NorthM})
		fn, _ := n.clearance(geo.Offset{EastM: at.EastM, NorthM: at.NorthM + h})
		grad := geo.Offset{EastM: (fe - clearM) / h, NorthM: (fn - clearM) / h}
		square := grad.EastM*grad.EastM + grad.NorthM*grad.NorthM
		if square < 0.01 {
			return at, false
		}
		at = at.Sub(grad.Times(clearM / square))
		clearM, _ = n.clearance(at)
	}
	return at, math.Abs(clearM) < 1e-5
}

// meeting is the place in the leaf where the clearance to two things is 0, by Newton's method.
func (n *near) meeting(one, other item, at geo.Offset) (geo.Offset, bool) {
	const h = 1e-4
	middle, reachM := n.middle()
	for range 12 {
		f, g := n.to(one, at), n.to(other, at)
		if math.Abs(f)+math.Abs(g) < 1e-8 {
			break
		}
		east, north := geo.Offset{EastM: at.EastM + h, NorthM: at.NorthM}, geo.Offset{EastM: at.EastM, NorthM: at.NorthM + h}
		fe, fn := (n.to(one, east)-f)/h, (n.to(one, north)-f)/h
		ge, gn := (n.to(other, east)-g)/h, (n.to(other, north)-g)/h
		det := fe*gn - fn*ge
		if math.Abs(det) < 1e-6 {
			return at, false
		}
		at = geo.Offset{EastM: at.EastM - (f*gn-fn*g)/det, NorthM: at.NorthM - (fe*g-f*ge)/det}
		if lengthM(at.Sub(middle)) > 8*reachM {
			return at, false
		}
	}
	// It has to lie in the leaf, or the legs of its neighbours cross these; and nothing else may be nearer there.
	f, _ := n.clearance(at)
	return at, n.holds(at) && math.Abs(f) < 1e-5
}

// holds reports whether a place lies in the leaf.
func (n *near) holds(at geo.Offset) bool {
	low, high := n.corners[0], n.corners[2]
	return at.EastM >= low.EastM && at.EastM <= high.EastM && at.NorthM >= low.NorthM && at.NorthM <= high.NorthM
}

// clears reports whether all of a chord lies in the true region. Where the radius is the same everywhere it is sure; where it
// changes, five places of the chord are asked.
func (n *near) clears(a, b geo.Offset) bool {
	if n.leastRadiusM < n.mostRadiusM {
		for _, share := range [5]float64{0, 0.25, 0.5, 0.75, 1} {
			if f, _ := n.clearance(a.Plus(b.Sub(a).Times(share))); f < -n.t.levM {
				return false
			}
		}
		return true
	}
	chord := edge{a, b}
	for _, it := range n.items {
		keepM, own := n.keepM(it)
		keepM -= n.t.levM
		if own {
			keepM += n.mostRadiusM
		}
		fromM := 0.0
		if it.zone < 0 {
			fromM = chord.distanceM(n.t.plan.discs[it.n].at)
		} else {
			fromM = chord.apartM(&n.t.plan.zones[it.zone].edges[it.n])
		}
		if fromM < keepM {
			return false
		}
	}
	f, _ := n.clearance(a)
	return f >= -n.t.levM
}

// beyond is the area between a chord and the region's edge, outwards positive: two thirds of the chord times how far the line
// that is followed lies from its middle, to the fourth order for an arc, and the strip between that line and the edge itself.
// leastM is the clearance of the chord's middle.
func (n *near) beyond(a, b geo.Offset) (gainM2, leastM float64) {
	chordM := lengthM(b.Sub(a))
	if chordM < 1e-9 {
		return 0, 0
	}
	middle := a.Plus(b).Times(0.5)
	// The region is on the left of the leg, so outwards is to the right.
	out := geo.Offset{EastM: b.NorthM - a.NorthM, NorthM: a.EastM - b.EastM}.Times(1 / chordM)
	f, it := n.clearance(middle)
	const h = 1e-3
	g, _ := n.clearance(middle.Plus(out.Times(h)))
	slope := (f - g) / h                      // how fast the clearance shrinks outwards; 1 where the radius does not change
	if it.n < 0 || slope < 0.5 || slope > 2 { // at a turn that was not found
		return chordM * n.t.levM, f + n.t.levM
	}
	return chordM * (2.0/3*f + n.t.levM) / slope, f + n.t.levM
}
