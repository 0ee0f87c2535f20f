package swing

import (
	"math"

	"swingroom/geo"
)

// bowShare is the share of a hull's length over which her bow narrows to the stem; common practice, no source.
const bowShare = 0.45

// bowSteps is how many corners each side of the bow has.
const bowSteps = 5

// Outline is a boat's hull seen from above as a convex polygon, counterclockwise: her stem at bow, her stern the length away towards
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
		across = geo.Offset{EastM: aft.NorthM, NorthM: -aft.EastM}.Times(float64(beam) / 2 / l)
	}
	at := func(aftRatio, acrossRatio float64) geo.Offset {
		return geo.Offset{EastM: bow.EastM + aftRatio*aft.EastM + acrossRatio*across.EastM,
			NorthM: bow.NorthM + aftRatio*aft.NorthM + acrossRatio*across.NorthM}
	}
	// With the stern to the north, across points east: stem, east side, stern, west side is counterclockwise.
	for i, c := range corners {
		h.ring[i] = at(c.aftRatio, c.acrossRatio)
	}
	return h
}

// hullGap is HullGap of two hulls, each by its stem, what leads from there to the stern, and its beam.
func hullGap(bowA, aftA geo.Offset, beamA geo.Metres, bowB, aftB geo.Offset, beamB geo.Metres) float64 {
	a, b := outline(bowA, aftA, beamA), outline(bowB, aftB, beamB)
	return HullGap(a.ring[:], b.ring[:])
}

// HullGap is the distance between two convex outlines in metres; where they overlap it is below 0 by the least way that would part them.
func HullGap(a, b []geo.Offset) float64 {
	// The least way to part two convex polygons runs square to a side of one of them (separating axis).
	if apart := max(sideDistance(a, b), sideDistance(b, a)); apart <= 0 {
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

// sideDistance is the greatest distance at which b lies outside a side of a: below 0 where it is outside none.
func sideDistance(a, b []geo.Offset) float64 {
	most := math.Inf(-1)
	for i := range a {
		p, q := a[i], a[(i+1)%len(a)]
		east, north := q.NorthM-p.NorthM, p.EastM-q.EastM // outwards, for the ring runs counterclockwise
		length := math.Sqrt(east*east + north*north)
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
	to := toSide(v, p, q.Sub(p))
	return to.EastM*to.EastM + to.NorthM*to.NorthM
}

// toSide leads from a point to the nearest of a side, which is given by its beginning and what leads to its end.
func toSide(v, p, along geo.Offset) geo.Offset {
	share := 0.0
	if square := along.EastM*along.EastM + along.NorthM*along.NorthM; square > 0 {
		share = min(1, max(0, ((v.EastM-p.EastM)*along.EastM+(v.NorthM-p.NorthM)*along.NorthM)/square))
	}
	return geo.Offset{EastM: p.EastM + share*along.EastM - v.EastM, NorthM: p.NorthM + share*along.NorthM - v.NorthM}
}

// GapMiddle is the middle of the gap between two outlines; of two that overlap, the middle between their own middles.
func GapMiddle(a, b []geo.Offset) geo.Offset {
	if max(sideDistance(a, b), sideDistance(b, a)) <= 0 {
		return middle(a).Plus(middle(b)).Times(0.5)
	}
	best, leastM2 := geo.Offset{}, math.Inf(1)
	try := func(v geo.Offset, ring []geo.Offset) {
		for i, p := range ring {
			to := toSide(v, p, ring[(i+1)%len(ring)].Sub(p))
			if m2 := to.EastM*to.EastM + to.NorthM*to.NorthM; m2 < leastM2 {
				best, leastM2 = v.Plus(to.Times(0.5)), m2
			}
		}
	}
	for _, v := range a {
		try(v, b)
	}
	for _, v := range b {
		try(v, a)
	}
	return best
}

func middle(ring []geo.Offset) geo.Offset {
	var sum geo.Offset
	for _, p := range ring {
		sum = sum.Plus(p)
	}
	return sum.Times(1 / float64(len(ring)))
}

// corner is one of a hull from her stem, as shares of her length and of half her beam.
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

// separator is what parts two hulls.
type separator uint8

const (
	cornerPair separator = iota
	sideOfA
	sideOfB
)

// separation is how two hulls are parted: the gap as [HullGap] tells it, and the direction from the first to the second, of length 1, along which
// it is measured.
type separation struct {
	gapM      float64
	direction geo.Offset
	by        separator
}

// separationOf is the way between two hulls.
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
	leastM2 := math.Inf(1)
	var least geo.Offset
	try := func(to geo.Offset) {
		if m2 := dot(to, to); m2 < leastM2 {
			leastM2, least = m2, to
		}
	}
	for i := range a.ring {
		p, along := a.ring[i], a.ring[(i+1)%hullCorners].Sub(a.ring[i])
		for j := range b.ring {
			q := b.ring[j]
			try(toSide(q, p, along).Times(-1))
			try(toSide(p, q, b.ring[(j+1)%hullCorners].Sub(q)))
		}
	}
	if m := math.Sqrt(leastM2); m > w.gapM*(1+1e-9) {
		w = separation{m, least.Times(1 / m), cornerPair}
	}
	return w
}

// maxSideDistance is the side of a hull beyond which another lies farthest, by how much, and the direction outwards.
func maxSideDistance(a, b *hull) (mostM float64, out geo.Offset) {
	mostM = math.Inf(-1)
	for i, p := range a.ring {
		q := a.ring[(i+1)%hullCorners]
		to := geo.Offset{EastM: q.NorthM - p.NorthM, NorthM: p.EastM - q.EastM}
		lengthM := lengthM(to)
		if lengthM == 0 {
			continue
		}
		to = to.Times(1 / lengthM)
		leastM := math.Inf(1)
		for _, v := range b.ring {
			leastM = min(leastM, dot(v.Sub(p), to))
		}
		if leastM > mostM {
			mostM, out = leastM, to
		}
	}
	return mostM, out
}

func dot(a, b geo.Offset) float64 { return a.EastM*b.EastM + a.NorthM*b.NorthM }

// lengthM is that of an offset of a harbor's size, which needs none of the care that math.Hypot takes.
func lengthM(o geo.Offset) float64 { return math.Sqrt(dot(o, o)) }
