package shape

import (
	"cmp"
	"slices"

	"swingroom/geo"
)

// outline is a ring with what is asked of it often, worked out once.
type outline struct {
	ring   [][]geo.Offset // the ring, then its holes
	areaM2 float64        // positive counterclockwise
	lo, hi geo.Offset
}

func outlineOf(ring []geo.Offset) outline {
	o := outline{ring: [][]geo.Offset{ring}, areaM2: RingAreaM2(ring), lo: ring[0], hi: ring[0]}
	for _, p := range ring {
		o.lo, o.hi = lower(o.lo, p), upper(o.hi, p)
	}
	return o
}

// lower and upper are the corners of the box round two places.
func lower(a, b geo.Offset) geo.Offset {
	return geo.Offset{EastM: min(a.EastM, b.EastM), NorthM: min(a.NorthM, b.NorthM)}
}

func upper(a, b geo.Offset) geo.Offset {
	return geo.Offset{EastM: max(a.EastM, b.EastM), NorthM: max(a.NorthM, b.NorthM)}
}

func (o *outline) boxHolds(h *outline) bool {
	return o.lo.EastM <= h.lo.EastM && o.lo.NorthM <= h.lo.NorthM && h.hi.EastM <= o.hi.EastM && h.hi.NorthM <= o.hi.NorthM
}

// Nest sorts closed rings into polygons: counterclockwise ones are outer rings, the others holes in the smallest outer ring round them.
func Nest(rings [][]geo.Offset) [][][]geo.Offset {
	outers, holes := outersAndHoles(rings)
	slices.SortStableFunc(outers, func(a, b outline) int { return cmp.Compare(a.areaM2, b.areaM2) })
	for h := range holes {
		if i := slices.IndexFunc(outers, func(o outline) bool { return o.holds(&holes[h]) }); i >= 0 {
			outers[i].ring = append(outers[i].ring, holes[h].ring[0])
		}
	}
	polygons := make([][][]geo.Offset, len(outers))
	for i := range outers {
		polygons[i] = outers[i].ring
	}
	return polygons
}

// outersAndHoles tells rings apart by the way they run, and leaves out those without an area.
func outersAndHoles(rings [][]geo.Offset) (outers, holes []outline) {
	const noneM2 = 1e-6 // what rounding leaves of a ring whose places all lie on one line
	for _, r := range rings {
		if len(r) < 4 {
			continue
		}
		switch o := outlineOf(r); {
		case o.areaM2 > noneM2:
			outers = append(outers, o)
		case o.areaM2 < -noneM2:
			holes = append(holes, o)
		}
	}
	return outers, holes
}

// holds tells whether a hole lies in the ring.
func (o *outline) holds(h *outline) bool { return o.boxHolds(h) && ringInRing(h.ring[0], o.ring[0]) }

// RingAreaM2 is the area of a closed ring, positive when it runs counterclockwise.
func RingAreaM2(ring []geo.Offset) float64 {
	var twice float64
	for i := 1; i < len(ring); i++ {
		twice += cross(ring[i-1].Sub(ring[0]), ring[i].Sub(ring[0]))
	}
	return twice / 2
}

// ringInRing asks the middle of the hole's longest side: its corners can lie on the outer ring.
func ringInRing(hole, ring []geo.Offset) bool {
	longest := longestSide(hole)
	return pointInRing(hole[longest-1].Plus(hole[longest]).Times(0.5), ring)
}

// longestSide is the number of the place at which a ring's longest side ends.
func longestSide(ring []geo.Offset) int {
	longest := 1
	for i := 2; i < len(ring); i++ {
		if ring[i].Sub(ring[i-1]).Length() > ring[longest].Sub(ring[longest-1]).Length() {
			longest = i
		}
	}
	return longest
}

func pointInRing(p geo.Offset, ring []geo.Offset) bool {
	inside := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a.NorthM > p.NorthM) != (b.NorthM > p.NorthM) && (cross(b.Sub(a), p.Sub(a)) > 0) == (b.NorthM > a.NorthM) {
			inside = !inside
		}
	}
	return inside
}
