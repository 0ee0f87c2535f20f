package exchange

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// repair makes the shapes of a feature what the core relies on, or tells what cannot be made so: rings closed and turned by RFC 7946,
// longitudes within ±180; a ring that crosses itself, or has no area, is refused.
func (f *feature) repair() {
	closed, turned := 0, 0
	for _, polygon := range f.polygons {
		for i, ring := range polygon {
			repaired, wasOpen, wasTurned := f.repairRing(ring, i == 0)
			polygon[i] = repaired
			closed += count(wasOpen)
			turned += count(wasTurned)
		}
	}
	f.tellRepaired(closed, "did not end where they begin and are closed")
	f.tellRepaired(turned, "were wound the wrong way and are turned")
	f.repairLines()
}

// tellRepaired tells how many rings were put right.
func (f *feature) tellRepaired(rings int, what string) {
	if rings > 0 {
		f.r.notice(f.r.file, 0, "%s: %d rings %s", f.of, rings, what)
	}
}

// repairLines brings longitudes of lines within ±180.
func (f *feature) repairLines() {
	for i, line := range f.lines {
		if !f.onEarth(line) {
			return
		}
		f.lines[i] = orb.LineString(normal(unwrap(line)))
	}
}

func count(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// onEarth refuses points that are no places on Earth; only the first is reported.
func (f *feature) onEarth(points []orb.Point) bool {
	for _, pt := range points {
		if !f.position(pt) {
			return false
		}
	}
	return true
}

// position refuses what is no place on Earth.
func (f *feature) position(pt orb.Point) bool {
	p := geo.PositionOf(pt)
	// A longitude may run on beyond 180 where a shape crosses the antimeridian.
	if math.IsNaN(p.LatDeg+p.LonDeg) || math.Abs(p.LatDeg) > geo.MaxLatDeg || math.Abs(p.LonDeg) > 540 {
		f.refuse("geometry", fmt.Sprintf("[%g, %g]", p.LonDeg, p.LatDeg),
			fmt.Sprintf("a position is [longitude, latitude], the latitude between -%d and %[1]d; are the two swapped?", geo.MaxLatDeg))
		return false
	}
	return true
}

// repairRing closes a ring and turns an outer one counterclockwise, an inner one clockwise.
func (f *feature) repairRing(ring orb.Ring, outer bool) (repaired orb.Ring, wasOpen, wasTurned bool) {
	if !f.onEarth(ring) {
		return ring, false, false
	}
	flat := slices.Compact(unwrap(ring))
	if len(flat) > 0 && flat[0] != flat[len(flat)-1] {
		flat, wasOpen = append(flat, flat[0]), true
	}
	if !f.isRing(flat, len(ring)) {
		return ring, false, false
	}
	if ccw := orb.Ring(flat).Orientation() == orb.CCW; ccw != outer {
		slices.Reverse(flat)
		wasTurned = true
	}
	return orb.Ring(normal(flat)), wasOpen, wasTurned
}

// isRing refuses a ring that crosses itself or has no area; written is how many positions it has in the file.
func (f *feature) isRing(flat []orb.Point, written int) bool {
	if at, crosses := selfCrossing(flat); crosses {
		f.refuse("geometry", "", "the ring crosses itself at "+geo.PositionOf(normal([]orb.Point{at})[0]).DDM())
		return false
	}
	if len(flat) < 4 || orb.Ring(flat).Orientation() == 0 {
		f.refuse("geometry", fmt.Sprintf("a ring of %d positions", written), "at least three corners that are not in a row are expected")
		return false
	}
	return true
}

// unwrap lets longitudes run on over the antimeridian, so that the points lie as they do on the Earth.
func unwrap[T ~[]orb.Point](line T) []orb.Point {
	flat := make([]orb.Point, len(line))
	for i, pt := range line {
		flat[i] = pt
		if i > 0 && math.Abs(pt.Lon()-flat[i-1].Lon()) > 180 {
			flat[i][0] = flat[i-1].Lon() + math.Remainder(pt.Lon()-flat[i-1].Lon(), 360)
		}
	}
	return flat
}

// normal brings longitudes back within ±180.
func normal(flat []orb.Point) []orb.Point {
	for i, pt := range flat {
		if math.Abs(pt.Lon()) > 180 {
			flat[i][0] = math.Remainder(pt.Lon(), 360)
		}
	}
	return flat
}

// selfCrossing finds a place where two sides of a ring meet that are not neighbours. A corner that lies on another side is none: charts
// have such rings, and the validity of OGC 06-103r4, which libraries test, refuses them.
func selfCrossing(ring []orb.Point) (at orb.Point, crosses bool) {
	var tree rtree.RTreeGN[float64, int]
	for i := range len(ring) - 1 {
		a, b := side(ring, i)
		lo := [2]float64{min(a.EastM, b.EastM), min(a.NorthM, b.NorthM)}
		hi := [2]float64{max(a.EastM, b.EastM), max(a.NorthM, b.NorthM)}
		tree.Search(lo, hi, func(_, _ [2]float64, j int) bool {
			if c, d := side(ring, j); shape.SegmentsCross(a, b, c, d) {
				at, crosses = meeting(a, b, c, d), true
			}
			return !crosses
		})
		if crosses {
			return at, true
		}
		tree.Insert(lo, hi, i)
	}
	return at, false
}

// side is one side of a ring in degrees, taken for a plane.
func side(ring []orb.Point, i int) (a, b geo.Offset) {
	return flatOffset(ring[i]), flatOffset(ring[i+1])
}

func flatOffset(pt orb.Point) geo.Offset { return geo.Offset{EastM: pt.Lon(), NorthM: pt.Lat()} }

// meeting is where two sides that cross do so.
func meeting(a, b, c, d geo.Offset) orb.Point {
	ab, cd, ac := b.Sub(a), d.Sub(c), c.Sub(a)
	share := (ac.EastM*cd.NorthM - ac.NorthM*cd.EastM) / (ab.EastM*cd.NorthM - ab.NorthM*cd.EastM)
	p := a.Plus(ab.Times(share))
	return orb.Point{p.EastM, p.NorthM}
}
