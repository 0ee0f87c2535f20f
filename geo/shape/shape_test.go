package shape_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/shape"
)

var frame = geo.NewFrame(geo.Position{LatDeg: 44.2, LonDeg: -41.5})

func at(eastM, northM float64) geo.Offset { return geo.Offset{EastM: eastM, NorthM: northM} }

func ring(places ...geo.Offset) orb.Ring {
	var r orb.Ring
	for _, p := range append(places, places[0]) {
		r = append(r, frame.Position(p).Point())
	}
	return r
}

func box(westM, southM, eastM, northM float64) orb.Ring {
	return ring(at(westM, southM), at(eastM, southM), at(eastM, northM), at(westM, northM))
}

// star is a ring about a place that does not cross itself, wound either way.
func star(r *rand.Rand, centre geo.Offset, corners int, sizeM float64) orb.Ring {
	places := make([]geo.Offset, corners)
	for i := range places {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		places[i] = centre.Plus(at(cos, sin).Times(sizeM * (0.3 + 0.7*r.Float64())))
	}
	made := ring(places...)
	if r.IntN(2) == 0 {
		made.Reverse()
	}
	return made
}

// stars are polygons, some with a hole, that may overlap.
func stars(r *rand.Rand, n int) orb.MultiPolygon {
	var all orb.MultiPolygon
	for range n {
		centre := at(r.Float64()*100, r.Float64()*100)
		polygon := orb.Polygon{star(r, centre, 3+r.IntN(30), 30)}
		if r.IntN(2) == 0 {
			// within the least reach of the outer ring's sides
			polygon = append(polygon, star(r, centre, 3+r.IntN(5), 9*math.Cos(math.Pi/3)))
		}
		all = append(all, polygon)
	}
	return all
}

// onPlane is a shape in metres, for orb's planar functions.
func onPlane(shapes orb.MultiPolygon) orb.MultiPolygon {
	var all orb.MultiPolygon
	for _, polygon := range shapes {
		var p orb.Polygon
		for _, ring := range polygon {
			var r orb.Ring
			for _, pt := range ring {
				o := frame.ProjectPoint(pt)
				r = append(r, orb.Point{o.EastM, o.NorthM})
			}
			p = append(p, r)
		}
		all = append(all, p)
	}
	return all
}

func TestInsideIsInsideAnyPolygonByOrbsPlanar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		shapes := stars(r, rapid.IntRange(0, 6).Draw(t, "polygons"))
		var edges shape.Edges
		edges.AddPolygons(frame, shapes, 0)
		plane := onPlane(shapes)
		for range 100 {
			p := at(r.Float64()*160-30, r.Float64()*160-30)
			want := false
			for _, polygon := range plane { // each for itself: in one polygon's hole can lie another
				want = want || planar.PolygonContains(polygon, orb.Point{p.EastM, p.NorthM})
			}
			if edges.Inside(p, shape.AnyFeature) != want {
				t.Fatalf("%v: inside %v, by orb %v", p, !want, want)
			}
		}
	})
}

func TestNearestIsNearestOfAllEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		var edges shape.Edges
		shapes := stars(r, rapid.IntRange(0, 5).Draw(t, "polygons"))
		for i, polygon := range shapes {
			edges.AddPolygons(frame, orb.MultiPolygon{polygon}, int32(i))
		}
		p, reachM := at(r.Float64()*160-30, r.Float64()*160-30), r.Float64()*60
		feature := int32(rapid.IntRange(-1, 4).Draw(t, "feature")) // -1 is AnyFeature
		want := math.Inf(1)
		for i, polygon := range onPlane(shapes) {
			if feature == shape.AnyFeature || feature == int32(i) {
				for _, ring := range polygon {
					want = min(want, planar.DistanceFrom(orb.LineString(ring), orb.Point{p.EastM, p.NorthM}))
				}
			}
		}
		near, found := edges.Nearest(p, reachM, feature)
		switch {
		case math.Abs(want-reachM) < 1e-9: // either answer will do
		case found != (want < reachM):
			t.Fatalf("found %v at %g within %g; orb's nearest is %g", found, near.DistanceM, reachM, want)
		case found && math.Abs(near.DistanceM-want) > 1e-9:
			t.Fatalf("nearest at %g, by orb %g", near.DistanceM, want)
		case found && math.Abs(float64(near.At.Sub(p).Length())-near.DistanceM) > 1e-9:
			t.Fatalf("%v is not %g from %v", near.At, near.DistanceM, p)
		case found && feature != shape.AnyFeature && near.Feature != feature:
			t.Fatalf("feature %d was asked, %d answered", feature, near.Feature)
		}
	})
}

func TestCrossesFindsACommonPlace(t *testing.T) {
	var edges shape.Edges
	edges.AddPolygons(frame, orb.MultiPolygon{{box(0, 0, 10, 10)}}, 0)
	edges.AddLines(frame, orb.MultiLineString{{frame.Position(at(20, 0)).Point(), frame.Position(at(20, 10)).Point()}}, 1)
	for _, tc := range []struct {
		name string
		a, b geo.Offset
		want bool
	}{
		{"through", at(-5, 5), at(15, 5), true},
		{"in", at(-5, 5), at(5, 5), true},
		{"wholly within", at(2, 5), at(8, 5), false},
		{"past", at(-5, 11), at(15, 11), false},
		{"past a corner within the box of both", at(-1, 9), at(2, 12), false},
		{"over the line", at(15, 5), at(25, 5), true},
		{"beyond the line's end", at(15, 11), at(25, 11), false},
		{"short of the line", at(15, 5), at(19.99, 5), false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if edges.Crosses(tc.a, tc.b) != tc.want || edges.Crosses(tc.b, tc.a) != tc.want {
				t.Errorf("crosses: want %v both ways", tc.want)
			}
		})
	}
}

func TestSegmentsThatTouchMeetButDoNotCross(t *testing.T) {
	for _, tc := range []struct {
		name        string
		a, b, c, d  geo.Offset
		meet, cross bool
	}{
		{"a cross", at(0, 0), at(2, 2), at(0, 2), at(2, 0), true, true},
		{"a T", at(0, 0), at(2, 0), at(1, 0), at(1, 5), true, false},
		{"a common end", at(0, 0), at(2, 0), at(2, 0), at(3, 5), true, false},
		{"one on the other", at(0, 0), at(4, 0), at(1, 0), at(2, 0), true, false},
		{"in one row, apart", at(0, 0), at(1, 0), at(2, 0), at(3, 0), false, false},
		{"side by side", at(0, 0), at(4, 0), at(0, 1), at(4, 1), false, false},
		{"the lines cross, the segments don't", at(0, 0), at(1, 1), at(0, 5), at(5, 0), false, false},
		{"a place on a segment", at(1, 1), at(1, 1), at(0, 0), at(2, 2), true, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, s := range [][4]geo.Offset{{tc.a, tc.b, tc.c, tc.d}, {tc.b, tc.a, tc.c, tc.d}, {tc.c, tc.d, tc.b, tc.a}} {
				if shape.SegmentsMeet(s[0], s[1], s[2], s[3]) != tc.meet || shape.SegmentsCross(s[0], s[1], s[2], s[3]) != tc.cross {
					t.Errorf("%v: want meet %v, cross %v", s, tc.meet, tc.cross)
				}
			}
		})
	}
}

func TestAShapeCutAtTheAntimeridianIsOne(t *testing.T) {
	f := geo.NewFrame(geo.Position{LatDeg: -16.8, LonDeg: 180})
	var edges shape.Edges
	edges.AddPolygons(f, orb.MultiPolygon{
		{{{179.99, -16.81}, {180, -16.81}, {180, -16.79}, {179.99, -16.79}, {179.99, -16.81}}},
		{{{-180, -16.81}, {-179.99, -16.81}, {-179.99, -16.79}, {-180, -16.79}, {-180, -16.81}}},
	}, 0)
	for _, eastM := range []float64{-500, -1e-6, 0, 1e-6, 500} {
		if !edges.Inside(at(eastM, 0), 0) {
			t.Errorf("%g m east of the antimeridian is outside", eastM)
		}
	}
	if near, found := edges.Nearest(at(0, 0), 500, 0); found {
		t.Errorf("an edge at %g m, on the cut", near.DistanceM)
	}
	if edges.Crosses(at(-100, 0), at(100, 0)) {
		t.Error("the cut is taken for a shore")
	}
}

func BenchmarkInside(b *testing.B) {
	var coast []geo.Offset
	for i := range 10_000 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 10_000)
		coast = append(coast, at(cos, sin).Times(3000+20*math.Sin(float64(i))))
	}
	var edges shape.Edges
	edges.AddPolygons(frame, orb.MultiPolygon{{ring(coast...)}}, 0)
	r := rand.New(rand.NewPCG(1, 3))
	for b.Loop() {
		edges.Inside(at(r.Float64()*6000-3000, r.Float64()*6000-3000), 0)
	}
}
