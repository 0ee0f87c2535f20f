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
			e.addRing(frame, ring, feature, i > 0)
		}
	}
}

// addRing turns a ring so that its inside, or that of the polygon whose hole it is, lies on the left of each edge.
func (e *Edges) addRing(frame geo.Frame, ring orb.Ring, feature int32, hole bool) {
	at := project(frame, ring)
	if (RingAreaM2(at) > 0) == hole {
		ring = slices.Clone(ring)
		slices.Reverse(ring)
		slices.Reverse(at)
	}
	e.add(at, feature, true, func(i int) bool { return cut(ring[i-1], ring[i]) })
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
		e.tree.Insert(corner(lower(a, b)), corner(upper(a, b)), int32(len(e.edges)))
		e.edges = append(e.edges, Edge{A: a, B: b, Feature: feature})
		e.areal = append(e.areal, areal)
	}
}

// corner is a place as the tree has it.
func corner(p geo.Offset) [2]float64 { return [2]float64{p.EastM, p.NorthM} }

// square is the box of half-side reachM round a place.
func square(p geo.Offset, reachM float64) (lo, hi [2]float64) {
	return [2]float64{p.EastM - reachM, p.NorthM - reachM}, [2]float64{p.EastM + reachM, p.NorthM + reachM}
}

// cross is the z of the cross product, in m².
func cross(a, b geo.Offset) float64 { return a.EastM*b.NorthM - a.NorthM*b.EastM }

// Inside reports whether p lies inside a polygon, by the winding number, so that polygons that overlap, as those of
// neighbouring charts do, count as one. feature limits it to the polygons of one number; AnyFeature asks of all.
func (e *Edges) Inside(p geo.Offset, feature int32) bool {
	winding := 0
	lo, hi := [2]float64{p.EastM, p.NorthM}, [2]float64{math.Inf(1), p.NorthM}
	e.tree.Search(lo, hi, func(_, _ [2]float64, i int32) bool {
		if edge := &e.edges[i]; e.areal[i] && edge.of(feature) {
			winding += edge.winding(p)
		}
		return true
	})
	return winding > 0
}

// of tells whether the edge is of a feature.
func (e *Edge) of(feature int32) bool { return feature == AnyFeature || e.Feature == feature }

// winding is what the edge adds to the winding number round p: 1 where it passes east of p to the north, -1 to the south, else 0.
func (e *Edge) winding(p geo.Offset) int {
	switch {
	case e.A.NorthM <= p.NorthM && e.B.NorthM > p.NorthM && e.left(p) > 0:
		return 1
	case e.A.NorthM > p.NorthM && e.B.NorthM <= p.NorthM && e.left(p) < 0:
		return -1
	}
	return 0
}

// left is above 0 where p lies to the left of the edge, and 0 on its line.
func (e *Edge) left(p geo.Offset) float64 { return cross(e.B.Sub(e.A), p.Sub(e.A)) }

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
	lo, hi := square(p, reachM)
	e.tree.Search(lo, hi, func(_, _ [2]float64, i int32) bool {
		edge := &e.edges[i]
		if !edge.of(feature) {
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
	lo, hi := square(p, reachM)
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
	e.tree.Search(corner(lower(a, b)), corner(upper(a, b)), func(_, _ [2]float64, i int32) bool {
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
	return onSegment(a, b, c) || onSegment(a, b, d) || onSegment(c, d, a) || onSegment(c, d, b)
}

// onSegment reports whether p lies on the segment from a to b, its ends included.
func onSegment(a, b, p geo.Offset) bool {
	return cross(b.Sub(a), p.Sub(a)) == 0 && min(a.EastM, b.EastM) <= p.EastM && p.EastM <= max(a.EastM, b.EastM) &&
		min(a.NorthM, b.NorthM) <= p.NorthM && p.NorthM <= max(a.NorthM, b.NorthM)
}
