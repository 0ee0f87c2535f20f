// Package shape answers the plain questions about polygons and lines on a harbor's plane: is a place inside, how
// far is the nearest edge, does a line cross one. It holds no rule of the trade.
package shape

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"swingroom/geo"
)

// Edge is one straight piece of a ring or line, in metres on the plane of a Frame.
type Edge struct {
	A, B    geo.Offset
	Feature int32 // the number that the user gave to the polygon or line
}

// Edges is an index over the edges of polygons and lines. The zero value is empty and ready. Add before asking.
type Edges struct {
	edges []Edge
	// areal[i] tells whether edge i bounds a polygon; a line has no inside.
	areal []bool
	tree  rtree.RTreeGN[float64, int32]
}

// Len is the number of edges.
func (e *Edges) Len() int { return len(e.edges) }

// All are the edges in the order in which they were added. Treat them as immutable.
func (e *Edges) All() []Edge { return e.edges }

// AddPolygons adds every ring of a shape. Rings are turned so that the inside is on the left of each edge, which Inside
// relies on.
func (e *Edges) AddPolygons(frame geo.Frame, shape orb.MultiPolygon, feature int32) {
	for _, polygon := range shape {
		for i, ring := range polygon {
			at := project(frame, ring)
			if (RingAreaM2(at) > 0) != (i == 0) {
				ring = slices.Clone(ring)
				slices.Reverse(ring)
				slices.Reverse(at)
			}
			e.add(at, feature, true, func(i int) bool { return cut(ring[i-1], ring[i]) })
		}
	}
}

// cut reports a side that is none: where a shape is cut in two at the antimeridian (RFC 7946, section 3.1.9), each piece has it, and the
// water goes on across it.
func cut(a, b orb.Point) bool { return math.Abs(a.Lon()) == 180 && math.Abs(b.Lon()) == 180 }

// AddLines adds lines that have no inside.
func (e *Edges) AddLines(frame geo.Frame, lines orb.MultiLineString, feature int32) {
	for _, line := range lines {
		e.add(project(frame, line), feature, false, func(int) bool { return false })
	}
}

func project[T ~[]orb.Point](frame geo.Frame, line T) []geo.Offset {
	at := make([]geo.Offset, len(line))
	for i, pt := range line {
		at[i] = frame.ProjectPoint(pt)
	}
	return at
}

// add takes the sides of a line but those that end in a place i for which skip says so.
func (e *Edges) add(at []geo.Offset, feature int32, areal bool, skip func(i int) bool) {
	for i := 1; i < len(at); i++ {
		a, b := at[i-1], at[i]
		if a == b || skip(i) {
			continue
		}
		lo := [2]float64{min(a.EastM, b.EastM), min(a.NorthM, b.NorthM)}
		hi := [2]float64{max(a.EastM, b.EastM), max(a.NorthM, b.NorthM)}
		e.tree.Insert(lo, hi, int32(len(e.edges)))
		e.edges = append(e.edges, Edge{A: a, B: b, Feature: feature})
		e.areal = append(e.areal, areal)
	}
}

// cross is the z of the cross product, in m².
func cross(a, b geo.Offset) float64 { return a.EastM*b.NorthM - a.NorthM*b.EastM }

// Inside reports whether p lies inside a polygon, by the winding number, so that polygons that overlap, as those of
// neighbouring charts do, count as one. feature limits it to the polygons of one number; AnyFeature asks of all.
func (e *Edges) Inside(p geo.Offset, feature int32) bool {
	winding := 0
	lo, hi := [2]float64{p.EastM, p.NorthM}, [2]float64{math.Inf(1), p.NorthM}
	e.tree.Search(lo, hi, func(_, _ [2]float64, i int32) bool {
		if !e.areal[i] || feature != AnyFeature && e.edges[i].Feature != feature {
			return true
		}
		a, b := e.edges[i].A, e.edges[i].B
		left := cross(b.Sub(a), p.Sub(a))
		switch {
		case a.NorthM <= p.NorthM && b.NorthM > p.NorthM && left > 0:
			winding++
		case a.NorthM > p.NorthM && b.NorthM <= p.NorthM && left < 0:
			winding--
		}
		return true
	})
	return winding > 0
}

// AnyFeature asks of every polygon or line.
const AnyFeature int32 = -1

// Nearest is a place on an edge.
type Nearest struct {
	DistanceM float64
	At        geo.Offset
	Feature   int32
}

// Nearest finds the nearest place on an edge within reachM of p; false when there is none.
func (e *Edges) Nearest(p geo.Offset, reachM float64, feature int32) (Nearest, bool) {
	best, found := Nearest{DistanceM: reachM}, false
	lo := [2]float64{p.EastM - reachM, p.NorthM - reachM}
	hi := [2]float64{p.EastM + reachM, p.NorthM + reachM}
	e.tree.Search(lo, hi, func(_, _ [2]float64, i int32) bool {
		edge := e.edges[i]
		if feature != AnyFeature && edge.Feature != feature {
			return true
		}
		at := ClosestOn(edge.A, edge.B, p)
		if d := float64(at.Sub(p).Length()); d <= best.DistanceM {
			best, found = Nearest{DistanceM: d, At: at, Feature: edge.Feature}, true
		}
		return true
	})
	return best, found
}

// Features calls visit for the number of each polygon or line that has an edge in the square of half-side reachM round p;
// a number may come more than once.
func (e *Edges) Features(p geo.Offset, reachM float64, visit func(feature int32)) {
	lo := [2]float64{p.EastM - reachM, p.NorthM - reachM}
	hi := [2]float64{p.EastM + reachM, p.NorthM + reachM}
	e.tree.Search(lo, hi, func(_, _ [2]float64, i int32) bool {
		visit(e.edges[i].Feature)
		return true
	})
}

// ClosestOn is the place on the segment from a to b that is closest to p.
func ClosestOn(a, b, p geo.Offset) geo.Offset {
	ab, ap := b.Sub(a), p.Sub(a)
	along := (ab.EastM*ap.EastM + ab.NorthM*ap.NorthM) / (ab.EastM*ab.EastM + ab.NorthM*ab.NorthM)
	switch {
	case !(along > 0): // also when a and b are the same place
		return a
	case along >= 1:
		return b
	}
	return a.Plus(ab.Times(along))
}

// Crosses reports whether the segment from a to b has a place in common with an edge.
func (e *Edges) Crosses(a, b geo.Offset) bool {
	crossed := false
	lo := [2]float64{min(a.EastM, b.EastM), min(a.NorthM, b.NorthM)}
	hi := [2]float64{max(a.EastM, b.EastM), max(a.NorthM, b.NorthM)}
	e.tree.Search(lo, hi, func(_, _ [2]float64, i int32) bool {
		crossed = SegmentsMeet(a, b, e.edges[i].A, e.edges[i].B)
		return !crossed
	})
	return crossed
}

// SegmentsCross reports whether ab and cd cross: each has its ends on different sides of the other.
func SegmentsCross(a, b, c, d geo.Offset) bool {
	ab, cd := b.Sub(a), d.Sub(c)
	return cross(ab, c.Sub(a))*cross(ab, d.Sub(a)) < 0 && cross(cd, a.Sub(c))*cross(cd, b.Sub(c)) < 0
}

// SegmentsMeet reports whether the closed segments ab and cd have a place in common.
func SegmentsMeet(a, b, c, d geo.Offset) bool {
	if SegmentsCross(a, b, c, d) {
		return true
	}
	ab, cd := b.Sub(a), d.Sub(c)
	c1, d1 := cross(ab, c.Sub(a)), cross(ab, d.Sub(a))
	a1, b1 := cross(cd, a.Sub(c)), cross(cd, b.Sub(c))
	return c1 == 0 && within(a, b, c) || d1 == 0 && within(a, b, d) || a1 == 0 && within(c, d, a) || b1 == 0 && within(c, d, b)
}

// within reports whether p, on the line through a and b, lies between them.
func within(a, b, p geo.Offset) bool {
	return min(a.EastM, b.EastM) <= p.EastM && p.EastM <= max(a.EastM, b.EastM) &&
		min(a.NorthM, b.NorthM) <= p.NorthM && p.NorthM <= max(a.NorthM, b.NorthM)
}
