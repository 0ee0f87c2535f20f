package room

import (
	"math"

	"swingroom/geo"
)

// to is the clearance to one thing alone.
func (n *leaf) to(it item, at geo.Offset) float64 {
	p := n.t.plan
	m := p.distanceM(it, at) - p.keepM(it)
	if p.own(it) {
		m -= p.radius.at(at)
	}
	return m - n.t.levelM
}

// chordEnd is a place of the edge at which a chord begins or ends.
type chordEnd struct {
	at      geo.Offset
	nearest item // the thing from which the edge keeps there
}

// leg leads from a to b.
func (n *leaf) leg(a, b geo.Offset) leg {
	from, to := n.chordEnd(a), n.chordEnd(b)
	l := leg{from: a}
	const maxDepth = 3 // seven turns at most, in a leaf of 40 cm
	for depth := maxDepth; depth >= 0; depth-- {
		if l.turns = n.turns(from, to, depth); unfolded(a, l.turns, b) {
			break
		}
	}
	at := a
	for _, next := range append(l.turns[:len(l.turns):len(l.turns)], b) {
		gainM2, minM := n.beyond(at, next)
		l.gainM2 += gainM2
		l.cuts = l.cuts || n.t.levelM > 0 && (minM < 0 || from.nearest != to.nearest && !n.clears(at, next))
		at = next
	}
	return l
}

// chordEnd is a place of the edge with the thing that is nearest there.
func (n *leaf) chordEnd(at geo.Offset) chordEnd {
	_, nearest := n.clearance(at)
	return chordEnd{at, nearest}
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
		if meetsAny(sides, &side) {
			return false
		}
		sides, at = append(sides, side), next
	}
	return true
}

// meetsAny reports whether the next side of a line runs back over the one before it, or meets an earlier one.
func meetsAny(sides []edge, side *edge) bool {
	for i := range sides {
		if last := i == len(sides)-1; last && sides[i].folds(side) || !last && sides[i].distanceToM(side) == 0 {
			return true
		}
	}
	return false
}

// turns are the places where the edge turns between a and b: where it is that of one thing at a and of another at b, the place
// at which both are 0; where a third comes between them, the places on either side of it; and where a chord would all but cut
// out of the region, as where the bed's slope changes, its middle brought to the edge.
func (n *leaf) turns(a, b chordEnd, depth int) []geo.Offset {
	if a.nearest.n < 0 || b.nearest.n < 0 {
		return nil
	}
	at := halfway(a.at, b.at)
	if a.nearest != b.nearest {
		if c, ok := n.meeting(a.nearest, b.nearest, at); ok {
			return []geo.Offset{c}
		}
	}
	f, third := n.clearance(at)
	same := third == a.nearest && third == b.nearest
	if same && f > -n.t.levelM/2 || depth == 0 || third.n < 0 {
		return nil
	}
	at, ok := n.onEdge(at, f)
	if !ok || !n.holds(at) {
		return nil
	}
	middle := n.chordEnd(at)
	first := n.turns(a, middle, depth-1)
	return append(append(first, at), n.turns(middle, b, depth-1)...)
}

// slopeStepM is over what distance a slope of the clearance is measured: far above rounding, and far below a leaf's side.
const slopeStepM = 1e-4

// slope is how a function of the place rises to the east and to the north, where it is f.
func slope(at geo.Offset, f float64, of func(geo.Offset) float64) geo.Offset {
	east := of(geo.Offset{EastM: at.EastM + slopeStepM, NorthM: at.NorthM})
	north := of(geo.Offset{EastM: at.EastM, NorthM: at.NorthM + slopeStepM})
	return geo.Offset{EastM: (east - f) / slopeStepM, NorthM: (north - f) / slopeStepM}
}

// onEdge brings a place near the edge to it along the steepest way.
func (n *leaf) onEdge(at geo.Offset, clearM float64) (geo.Offset, bool) {
	const (
		tries    = 4    // each leaves the square of what was missing
		minSlope = 0.01 // squared: at less the clearance hardly changes with the place, as at a ridge
	)
	for range tries {
		if math.Abs(clearM) < 1e-6 {
			return at, true
		}
		grad := slope(at, clearM, n.clearMAt)
		if dot(grad, grad) < minSlope {
			return at, false
		}
		at = at.Sub(grad.Times(clearM / dot(grad, grad)))
		clearM = n.clearMAt(at)
	}
	return at, math.Abs(clearM) < samePlaceM
}

// meeting is the place in the leaf where the clearance to two things is 0, by Newton's method.
func (n *leaf) meeting(one, other item, at geo.Offset) (geo.Offset, bool) {
	middle, reachM := n.middle()
	const (
		tries  = 12 // Newton's method has then met, or never will
		astray = 8  // times the leaf's reach: it has left for another meeting
	)
	for range tries {
		f, g := n.to(one, at), n.to(other, at)
		if math.Abs(f)+math.Abs(g) < 1e-8 {
			break
		}
		df := slope(at, f, func(p geo.Offset) float64 { return n.to(one, p) })
		dg := slope(at, g, func(p geo.Offset) float64 { return n.to(other, p) })
		det := cross(df, dg)
		if math.Abs(det) < 1e-6 {
			return at, false // they run beside each other
		}
		at = geo.Offset{EastM: at.EastM - (f*dg.NorthM-df.NorthM*g)/det, NorthM: at.NorthM - (df.EastM*g-f*dg.EastM)/det}
		if lengthM(at.Sub(middle)) > astray*reachM {
			return at, false
		}
	}
	// It has to lie in the leaf, or the legs of its neighbours cross these; and nothing else may be nearer there.
	return at, n.holds(at) && math.Abs(n.clearMAt(at)) < samePlaceM
}

// holds reports whether a place lies in the leaf.
func (n *leaf) holds(at geo.Offset) bool {
	b := box{low: n.corners[0], high: n.corners[2]}
	return b.holds(at)
}

// clears reports whether all of a chord lies in the true region. Where the radius is the same everywhere it is sure; where it
// changes, five places of the chord are asked.
func (n *leaf) clears(a, b geo.Offset) bool {
	if n.minRadiusM < n.maxRadiusM {
		for _, share := range [5]float64{0, 0.25, 0.5, 0.75, 1} {
			if n.clearMAt(a.Plus(b.Sub(a).Times(share))) < -n.t.levelM {
				return false
			}
		}
		return true
	}
	chord := edge{a, b}
	for _, it := range n.items {
		if n.blocks(it, &chord) {
			return false
		}
	}
	return n.clearMAt(a) >= -n.t.levelM
}

// blocks reports whether one thing takes water of a chord, where the radius is the same everywhere.
func (n *leaf) blocks(it item, chord *edge) bool {
	p := n.t.plan
	keepM := n.keepM(it) - n.t.levelM
	if p.own(it) {
		keepM += n.maxRadiusM
	}
	if it.zone < 0 {
		return chord.distanceM(p.discs[it.n].at) < keepM
	}
	return chord.distanceToM(&p.zones[it.zone].edges[it.n]) < keepM
}

// beyond is the area between a chord and the region's edge, outwards positive: two thirds of the chord times how far the line
// that is followed lies from its middle, to the fourth order for an arc, and the strip between that line and the edge itself.
// minM is the clearance of the chord's middle.
func (n *leaf) beyond(a, b geo.Offset) (gainM2, minM float64) {
	chordM := lengthM(b.Sub(a))
	if chordM < 1e-9 {
		return 0, 0
	}
	middle := halfway(a, b)
	f, it := n.clearance(middle)
	s := n.outwardSlope(middle, f, leftOf(b.Sub(a)).Times(-1/chordM)) // the region is on the left of the leg
	if it.n < 0 || s < 0.5 || s > 2 {                                 // at a turn that was not found
		return chordM * n.t.levelM, f + n.t.levelM
	}
	return chordM * (2.0/3*f + n.t.levelM) / s, f + n.t.levelM
}

// outwardSlope is how fast the clearance shrinks from a place in a direction; 1 where the radius does not change.
func (n *leaf) outwardSlope(at geo.Offset, f float64, out geo.Offset) float64 {
	const h = 1e-3 // far above the millionths to which the edge is found
	return (f - n.clearMAt(at.Plus(out.Times(h)))) / h
}
