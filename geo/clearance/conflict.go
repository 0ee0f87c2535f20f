package clearance

import (
	"math"

	"swingroom/geo"
)

// Circle is a swing circle on the Earth: the anchor, the radius, the margin asked round it and the accuracy of its
// position, all in metres. A radius that is not above zero is no circle and is passed over.
type Circle struct {
	Position  geo.Position
	RadiusM   float64
	MarginM   float64
	AccuracyM float64
	Bound     bool // the radius is an upper bound because something is unknown
}

// Pair is two circles, by their numbers in the list, that come closer than the margin; A < B.
type Pair struct {
	A, B      int32
	DistanceM float64 // between the anchors
	OverlapM  float64 // the sum of the radii less the distance
}

// preparedCircle is a circle made ready for many pairs.
type preparedCircle struct {
	geo.Station
	radiusM, marginM float64
}

func prepare(c Circle) preparedCircle {
	return preparedCircle{geo.NewStation(c.Position), c.RadiusM, c.MarginM}
}

// isCircle reports whether there is a circle: its radius is above 0 and finite.
func (p *preparedCircle) isCircle() bool { return p.radiusM > 0 && !math.IsInf(p.radiusM, 0) }

// extentM is how far the circle and its margin reach: two circles whose extents do not meet are no conflict.
func (p *preparedCircle) extentM() float64 { return p.radiusM + p.marginM }

// conflict is the one place that says what a conflict is: two circles are one when the distance between the anchors is less than the
// sum of the radii and the larger of the two margins. overlapM is the sum of the radii less the distance. The
// distance is that of geo.Distance.
func conflict(a, b *preparedCircle) (distanceM, overlapM float64, is bool) {
	radii := a.radiusM + b.radiusM
	need := radii + max(a.marginM, b.marginM)
	d2 := a.PairDistance2(b.Station)
	if d2 >= need*need && need < float64(geo.FieldRange) {
		return 0, 0, false
	}
	distanceM = math.Sqrt(d2)
	if distanceM >= float64(geo.FieldRange) {
		distanceM = a.far(b)
	}
	return distanceM, radii - distanceM, distanceM < need
}

// distanceM is the distance of geo.Distance.
func (p *preparedCircle) distanceM(q *preparedCircle) float64 {
	if d := float64(p.PairDistance(q.Station)); d < float64(geo.FieldRange) {
		return d
	}
	return p.far(q)
}

// far is the geodesic between circles that are wider than the field's own formula is made for.
func (p *preparedCircle) far(q *preparedCircle) float64 {
	d, _ := geo.Geodesic(p.Position(), q.Position())
	return float64(d)
}

// judge turns a pair into a conflict with its certainty and state.
func judge(pair Pair, a, b *Circle, numberA, numberB string) Conflict {
	margin := max(a.MarginM, b.MarginM)
	accuracy := math.Hypot(a.AccuracyM, b.AccuracyM)
	k := Conflict{
		A: numberA, B: numberB, DistanceM: pair.DistanceM, OverlapM: pair.OverlapM, MarginM: margin, AccuracyM: accuracy,
		Certainty: Possible, State: stateOf(pair.OverlapM, margin, accuracy), Bound: a.Bound || b.Bound,
	}
	if pair.OverlapM+margin > accuracy && !k.Bound {
		k.Certainty = Certain
	}
	// The middle of the shared water: halfway between the two rims along the line of the anchors.
	along := (a.RadiusM + pair.DistanceM - b.RadiusM) / 2
	_, bearing := geo.Geodesic(a.Position, b.Position)
	k.At = geo.Ahead(a.Position, bearing, geo.Metres(along))
	return k
}

func stateOf(overlapM, marginM, accuracyM float64) State {
	switch {
	case overlapM+marginM <= 0:
		return Clear
	case overlapM > accuracyM:
		return Touching
	case overlapM < -accuracyM:
		return Tight
	}
	return MayTouch
}
