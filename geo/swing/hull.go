package swing

import (
	"math"

	"swingroom/geo"
)

// bowShare is the share of a hull's length over which her bow narrows to the stem; common practice, no source.
const bowShare = 0.45

// bowSteps is how many corners each side of the bow has.
const bowSteps = 5

// Outline is a boat's hull seen from above as a convex polygon, counterclockwise: her stem at bow, her stern the length away towards sternDeg (true, degrees). The bow narrows along a
// parabola, the stern is square. It holds the hull of any boat of that length and beam whose bow is finer.
func Outline(bow geo.Offset, sternDeg float64, length, beam geo.Metres) []geo.Offset {
	sin, cos := math.Sincos(sternDeg * math.Pi / 180)
	at := func(aftM, portM float64) geo.Offset {
		return geo.Offset{EastM: bow.EastM + aftM*sin + portM*cos, NorthM: bow.NorthM + aftM*cos - portM*sin}
	}
	half, shoulder := float64(beam)/2, bowShare*float64(length)
	// With the stern to the north, what is called port here lies to the east: stem, east side, stern, west side is counterclockwise.
	ring := make([]geo.Offset, 0, 2*bowSteps+3)
	for i := range bowSteps + 1 {
		x := float64(i) / bowSteps
		ring = append(ring, at(shoulder*x, half*x*(2-x)))
	}
	ring = append(ring, at(float64(length), half), at(float64(length), -half))
	for i := bowSteps; i > 0; i-- {
		x := float64(i) / bowSteps
		ring = append(ring, at(shoulder*x, -half*x*(2-x)))
	}
	return ring
}

// HullGap is the distance between two convex outlines in metres; where they overlap it is below 0 by the least way that would part them.
func HullGap(a, b []geo.Offset) float64 {
	// The least way to part two convex polygons runs square to a side of one of them (separating axis).
	if apart := max(alongSides(a, b), alongSides(b, a)); apart <= 0 {
		return apart
	}
	leastM2 := math.Inf(1)
	for i := range a {
		p, q := a[i], a[(i+1)%len(a)]
		for j := range b {
			leastM2 = min(leastM2, toSideM2(b[j], p, q), toSideM2(p, b[j], b[(j+1)%len(b)]))
		}
	}
	return math.Sqrt(leastM2)
}

// alongSides is the greatest distance at which b lies outside a side of a: below 0 where it is outside none.
func alongSides(a, b []geo.Offset) float64 {
	most := math.Inf(-1)
	for i := range a {
		p, q := a[i], a[(i+1)%len(a)]
		east, north := q.NorthM-p.NorthM, p.EastM-q.EastM // outwards, for the ring runs counterclockwise
		length := math.Hypot(east, north)
		if length == 0 {
			continue
		}
		least := math.Inf(1)
		for _, v := range b {
			least = min(least, (v.EastM-p.EastM)*east+(v.NorthM-p.NorthM)*north)
		}
		most = max(most, least/length)
	}
	return most
}

// toSideM2 is the square of the distance of a point to a side.
func toSideM2(v, p, q geo.Offset) float64 {
	east, north := q.EastM-p.EastM, q.NorthM-p.NorthM
	share := 0.0
	if square := east*east + north*north; square > 0 {
		share = min(1, max(0, ((v.EastM-p.EastM)*east+(v.NorthM-p.NorthM)*north)/square))
	}
	e, n := v.EastM-p.EastM-share*east, v.NorthM-p.NorthM-share*north
	return e*e + n*n
}
