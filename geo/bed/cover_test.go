package bed_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swingroom/geo"
)

func TestDryingShoreSoundingsKeepTheirTriangles(t *testing.T) {
	land := orb.MultiPolygon{box(-100, -100, 0, 200)}
	// The corners of this land and the places on its side are the very numbers of the soundings.
	onLine := orb.MultiPolygon{ring(at(0, -100), at(0, -1), at(0, 0), at(0, 50), at(0, 51), at(0, 200), at(-100, 200), at(-100, -100))}
	for _, tc := range []struct {
		name  string
		eastM float64
		shore geo.Shoreline
	}{
		{"on land", -1, geo.Shoreline{Land: land}},
		{"on the side of the land", 0, geo.Shoreline{Land: land}},
		{"at corners of the land", 0, geo.Shoreline{Land: onLine}},
		{"on a shore known as a line", 0, geo.Shoreline{Lines: orb.MultiLineString{line(at(0, -100), at(0, 200))}}},
		{"at corners of such a line", 0, geo.Shoreline{Lines: orb.MultiLineString{line(at(0, 0), at(0, 50), at(0, 200))}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			places := []geo.Offset{at(tc.eastM, 0), at(tc.eastM, 50), at(40, 0), at(40, 50)}
			b := build(t, surveyed(places, func(p geo.Offset) float64 { return p.EastM / 10 }), tc.shore, 100)
			for _, eastM := range []float64{0.5, 20, 39} {
				if d, err := b.Depth(at(eastM, 25)); err != nil || math.Abs(float64(d)-eastM/10) > 1e-6 {
					t.Errorf("%g m from the shore: %v, %v, want %g", eastM, d, err, eastM/10)
				}
			}
		})
	}
}

func TestAnIslandNeedsSoundingsOfItsOwn(t *testing.T) {
	square := []geo.Offset{at(0, 0), at(100, 0), at(100, 100), at(0, 100), at(50, 50)}
	island := orb.MultiPolygon{box(48, 20, 52, 24)}
	b := build(t, surveyed(square, slope), geo.Shoreline{Land: island}, 100)
	if d, err := b.Depth(at(50, 30)); err == nil {
		t.Errorf("beside an island that nobody sounded: %v", d)
	}
	if _, err := b.Depth(at(50, 70)); err != nil {
		t.Errorf("in the triangle without an island: %v", err)
	}
	withHeight := append(square, at(50, 22))
	b = build(t, surveyed(withHeight, slope), geo.Shoreline{Land: island}, 100)
	if d, err := b.Depth(at(50, 30)); err != nil || math.Abs(float64(d)-slope(at(50, 30))) > 1e-6 {
		t.Errorf("beside an island with a height: %v, %v", d, err)
	}
}

func TestALakeIsWater(t *testing.T) {
	land := orb.MultiPolygon{{box(0, 0, 100, 100)[0], box(20, 20, 80, 80)[0]}}
	b := build(t, surveyed(scattered(500, 100, 11), slope), geo.Shoreline{Land: land}, 100)
	if b.OnLand(at(50, 50)) || !b.OnLand(at(10, 50)) || b.OnLand(at(101, 50)) {
		t.Fatal("land and lake are mistaken for each other")
	}
	if _, err := b.Depth(at(50, 50)); err != nil {
		t.Error(err)
	}
	if s := b.Shallowest(at(50, 50), 20); !s.Whole || s.Why != "" {
		t.Errorf("a circle within the lake: %+v", s)
	}
}
