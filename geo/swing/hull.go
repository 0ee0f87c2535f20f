package swing

import (
	"math"

	"swingroom/geo"
)

// bowShare is the share of a hull's length over which the bow narrows to the stem; common practice, no source.
const bowShare = 0.45

// bowSteps is how many corners each side of the bow has: with these the outline lies within a hundredth of the beam of the parabola.
const bowSteps = 5

// Outline is a boat's hull seen from above as a convex polygon, counterclockwise: its stem at bow, its stern the length away towards
// sternDeg (true, degrees). The bow narrows along a parabola, the stern is square. It holds the hull of any boat of that length and beam
// whose bow is finer.
func Outline(bow geo.Offset, sternDeg float64, length, beam geo.Metres) []geo.Offset {
	h := outline(bow, geo.Toward(sternDeg, length), beam)
	return append([]geo.Offset(nil), h.ring[:]...)
}

// hullCorners is how many corners an outline has.
const hullCorners = 2*bowSteps + 3

type hull struct{ ring [hullCorners]geo.Offset }

// outline is that of a hull from the stem and what leads from there to the stern.
func outline(bow, aft geo.Offset, beam geo.Metres) (h hull) {
	across := geo.Offset{}
	if l := lengthM(aft); l > 0 {
		across = outward(geo.Offset{}, aft).Times(float64(beam) / 2 / l)
	}
	// With the stern to the north, across points east: stem, east side, stern, west side is counterclockwise.
	for i, c := range corners {
		h.ring[i] = bow.Plus(aft.Times(c.aftRatio)).Plus(across.Times(c.acrossRatio))
	}
	return h
}

// HullGap is the distance between two convex outlines in metres; where they overlap it is below 0 by the shortest way that would separate
// them.
func HullGap(a, b []geo.Offset) float64 {
	// The shortest way to separate two convex polygons runs square to a side of one of them (separating axis theorem).
	if gapM := max(sideDistance(a, b), sideDistance(b, a)); gapM <= 0 {
		return gapM
	}
	minM2 := math.Inf(1)
	for i := range a {
		p, q := a[i], a[(i+1)%len(a)]
		for j := range b {
			minM2 = min(minM2, toSideM2(b[j], p, q), toSideM2(p, b[j], b[(j+1)%len(b)]))
		}
	}
	return math.Sqrt(minM2)
}

// sideDistance is the greatest distance at which b lies outside a side of a: below 0 where it is outside none.
func sideDistance(a, b []geo.Offset) float64 {
	maxM := math.Inf(-1)
	for i := range a {
		out := outward(a[i], a[(i+1)%len(a)])
		length := lengthM(out)
		if length == 0 {
			continue
		}
		minM2 := math.Inf(1)
		for _, v := range b {
			minM2 = min(minM2, dot(v.Sub(a[i]), out))
		}
		maxM = max(maxM, minM2/length)
	}
	return maxM
}

// outward leads out of a ring square to a side, as long as the side; the ring runs counterclockwise.
func outward(p, q geo.Offset) geo.Offset {
	return geo.Offset{EastM: q.NorthM - p.NorthM, NorthM: p.EastM - q.EastM}
}

// toSideM2 is the square of the distance of a point to a side.
func toSideM2(v, p, q geo.Offset) float64 {
	to := toSide(v, p, q.Sub(p))
	return dot(to, to)
}

// toSide leads from a point to the nearest of a side, which is given by its beginning and what leads to its end.
func toSide(v, p, along geo.Offset) geo.Offset {
	share := 0.0
	if square := dot(along, along); square > 0 {
		share = min(1, max(0, dot(v.Sub(p), along)/square))
	}
	return p.Plus(along.Times(share)).Sub(v)
}

// GapMiddle is the middle of the gap between two outlines; of two that overlap, the middle between their own middles.
func GapMiddle(a, b []geo.Offset) geo.Offset {
	if max(sideDistance(a, b), sideDistance(b, a)) <= 0 {
		return middle(a).Plus(middle(b)).Times(0.5)
	}
	best := nearest{gapM2: math.Inf(1)}
	best.tryCorners(a, b)
	best.tryCorners(b, a)
	return best.at
}

// nearest is the middle of the shortest way found so far, and the square of its length.
type nearest struct {
	at    geo.Offset
	gapM2 float64
}

// tryCorners tries the ways from the corners of one outline to the sides of another.
func (n *nearest) tryCorners(corners, ring []geo.Offset) {
	for _, v := range corners {
		for i, p := range ring {
			to := toSide(v, p, ring[(i+1)%len(ring)].Sub(p))
			if gapM2 := dot(to, to); gapM2 < n.gapM2 {
				n.at, n.gapM2 = v.Plus(to.Times(0.5)), gapM2
			}
		}
	}
}

func middle(ring []geo.Offset) geo.Offset {
	var sum geo.Offset
	for _, p := range ring {
		sum = sum.Plus(p)
	}
	return sum.Times(1 / float64(len(ring)))
}

// corner is one of a hull from the stem, as shares of the length and of half the beam.
type corner struct{ aftRatio, acrossRatio float64 }

// corners are those of every hull, in the order of an outline.
var corners = func() (all [hullCorners]corner) {
	for i := range bowSteps + 1 {
		x := float64(i) / bowSteps
		all[i] = corner{bowShare * x, x * (2 - x)}
		if i > 0 {
			all[hullCorners-i] = corner{bowShare * x, -x * (2 - x)}
		}
	}
	all[bowSteps+1], all[bowSteps+2] = corner{1, 1}, corner{1, -1}
	return all
}()

func dot(a, b geo.Offset) float64 { return a.EastM*b.EastM + a.NorthM*b.NorthM }

// lengthM is that of an offset of a harbor's size, which needs none of the care that math.Hypot takes.
func lengthM(o geo.Offset) float64 { return math.Sqrt(dot(o, o)) }
