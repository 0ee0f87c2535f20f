package bed_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/bed"
	"swingroom/geo/shape"
)

// rough is a bed of random depths with a spit and an island, and a circle on it.
func rough(t *rapid.T) (b *bed.Bed, centre geo.Offset, radiusM float64, r *rand.Rand) {
	seed := rapid.Uint64().Draw(t, "seed")
	r = rand.New(rand.NewPCG(seed, 2))
	var shore geo.Shoreline
	if rapid.Bool().Draw(t, "land") {
		shore.Land = orb.MultiPolygon{box(90, -10, 95, 120), box(40, 40, 44, 47)}
		shore.Lines = orb.MultiLineString{line(at(150, 60), at(170, 61))}
	}
	places := scattered(rapid.IntRange(4, 300).Draw(t, "soundings"), 200, seed)
	reach := geo.Metres(rapid.SampledFrom([]float64{15, 30, 1000}).Draw(t, "reach"))
	b, err := bed.New(surveyed(places, func(geo.Offset) float64 { return r.Float64()*10 - 2 }), shore, frame, reach)
	if err != nil {
		t.Fatal(err)
	}
	centre = at(r.Float64()*240-20, r.Float64()*240-20)
	return b, centre, rapid.Float64Range(0, 60).Draw(t, "radius"), r
}

// sampled is a place in a circle.
func sampled(r *rand.Rand, centre geo.Offset, radiusM float64) geo.Offset {
	sin, cos := math.Sincos(r.Float64() * 2 * math.Pi)
	return centre.Plus(at(cos, sin).Times(radiusM * math.Sqrt(r.Float64())))
}

func TestShallowestIsNeverDeeperThanAnySample(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, centre, radiusM, r := rough(t)
		s := b.Shallowest(centre, geo.Metres(radiusM))
		depth, known := s.Depth.Get()
		for range 2000 {
			p := sampled(r, centre, radiusM)
			switch d, err := b.Depth(p); {
			case err == nil && (!known || d < depth-1e-9):
				t.Fatalf("shallowest %v, but a sample has %g", s, d)
			case err != nil && s.Whole && !b.OnLand(p):
				t.Fatalf("whole, but %v at %v", err, p)
			case err != nil && s.Why == "":
				t.Fatalf("nothing is said to be missing, but %v at %v", err, p)
			}
		}
		if !known {
			return
		}
		if float64(s.At.Sub(centre).Length()) > radiusM+1e-9 {
			t.Fatalf("it is said to be at %v, outside the circle", s.At)
		}
		if d, err := b.Depth(s.At); err == nil && math.Abs(float64(d-depth)) > 1e-9 {
			t.Fatalf("%g is said to be at %v, where the bed has %g", depth, s.At, d)
		}
	})
}

func TestShallowestIsTheLeastOverAllTriangles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, centre, radiusM, _ := rough(t)
		want := math.Inf(1)
		for _, c := range b.Soundings() {
			if float64(c.At.Sub(centre).Length()) <= radiusM {
				want = min(want, c.DepthM)
			}
		}
		for _, triangle := range b.Triangles() {
			if !triangle.Off {
				want = min(want, leastByHalving(triangle, centre, radiusM))
			}
		}
		s := b.Shallowest(centre, geo.Metres(radiusM))
		if s.Gap == bed.OnLand && !s.Whole { // nothing but land
			want = math.Inf(1)
		}
		if got, known := s.Depth.Get(); !known && !math.IsInf(want, 1) || known && math.Abs(float64(got)-want) > 1e-9 {
			t.Fatalf("got %v (known: %v), want %g", got, known, want)
		}
	})
}

// leastByHalving finds the least depth of a triangle within a circle in another way than the program: a depth is deep enough when the part
// of the triangle that is no deeper comes within the circle, and the range is halved until nothing is left of it.
func leastByHalving(t bed.Triangle, centre geo.Offset, radiusM float64) float64 {
	reaches := func(depthM float64) bool {
		part := clipDepth(t.Corners[:], depthM, false)
		if len(part) == 0 {
			return false
		}
		inside := true
		for i := range part {
			a, b := part[i].At, part[(i+1)%len(part)].At
			if float64(shape.ClosestOn(a, b, centre).Sub(centre).Length()) <= radiusM {
				return true
			}
			inside = inside && cross(a, b, centre) > 0
		}
		return inside && len(part) > 2
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range t.Corners {
		lo, hi = min(lo, c.DepthM), max(hi, c.DepthM)
	}
	if !reaches(hi) {
		return math.Inf(1)
	}
	for range 60 {
		if mid := (lo + hi) / 2; reaches(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// clipDepth is the part of a polygon on a triangle that is no deeper than depthM, or no shallower.
func clipDepth(polygon []bed.Corner, depthM float64, deeper bool) []bed.Corner {
	sign := 1.0
	if deeper {
		sign = -1
	}
	var part []bed.Corner
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		above, below := sign*(depthM-a.DepthM), sign*(depthM-b.DepthM)
		if above >= 0 {
			part = append(part, a)
		}
		if above*below < 0 {
			share := above / (above - below)
			part = append(part, bed.Corner{At: a.At.Plus(b.At.Sub(a.At).Times(share)), DepthM: depthM})
		}
	}
	return part
}

func cross(a, b, c geo.Offset) float64 {
	return (b.EastM-a.EastM)*(c.NorthM-a.NorthM) - (b.NorthM-a.NorthM)*(c.EastM-a.EastM)
}

func TestWhatACircleMisses(t *testing.T) {
	grid := func(stepM float64) []geo.Offset {
		var places []geo.Offset
		for e := 0.0; e <= 200; e += stepM {
			for n := 0.0; n <= 200; n += stepM {
				places = append(places, at(e, n))
			}
		}
		return places
	}
	for _, tc := range []struct {
		name    string
		places  []geo.Offset
		shore   geo.Shoreline
		reach   geo.Metres
		at      geo.Offset
		radius  geo.Metres
		whole   bool
		known   bool
		why     string
		without string // must not be said
	}{
		{"nothing", grid(20), geo.Shoreline{}, 20, at(100, 100), 60, true, true, "", " "},
		{"over the edge of the soundings", grid(20), geo.Shoreline{}, 20, at(190, 100), 11, false, true, "outside the soundings", "land"},
		{"just within the edge", grid(20), geo.Shoreline{}, 20, at(190, 100), 9.99, true, true, "", " "},
		{"outside, reaching in", grid(20), geo.Shoreline{}, 20, at(210, 100), 11, false, true, "outside the soundings", "land"},
		{"outside, touching nothing", grid(20), geo.Shoreline{}, 20, at(250, 100), 11, false, false, "outside the soundings", "land"},
		{"too far from soundings", grid(50), geo.Shoreline{}, 30, at(100, 100), 20, false, true, "the nearest sounding is too far away",
			"land"},
		{"too far, and over the edge", grid(50), geo.Shoreline{}, 30, at(190, 100), 11, false, true, "outside the soundings", "far"},
		{"too far, and beyond a spit", grid(50), geo.Shoreline{Land: orb.MultiPolygon{box(120, -10, 122, 250)}}, 30, at(95, 80), 11, false,
			true, "only soundings across land are near", "far"},
		{"near enough", grid(50), geo.Shoreline{}, 36, at(100, 100), 20, true, true, "", " "},
		{"beyond a spit", grid(20), geo.Shoreline{Land: orb.MultiPolygon{box(92, -10, 94, 150)}}, 20, at(87, 50), 3, false, false,
			"only soundings across land are near", "part"},
		{"beyond a wall known as a line", grid(20), geo.Shoreline{Lines: orb.MultiLineString{line(at(93, -10), at(93, 150))}}, 20,
			at(87, 50), 3, false, false, "only soundings across land are near", "part"},
		{"an islet without soundings", grid(20), geo.Shoreline{Land: orb.MultiPolygon{box(101, 109, 102, 111)}}, 20, at(101.5, 107), 1,
			false, false, "only soundings across land are near", "part"},
		{"the shore, sounded up to its heights", grid(20), geo.Shoreline{Land: orb.MultiPolygon{box(95, -10, 300, 300)}}, 20, at(85, 100),
			12, true, true, "part of it is on land", "outside"},
		{"nothing but land", grid(20), geo.Shoreline{Land: orb.MultiPolygon{box(50, 50, 150, 150)}}, 20, at(100, 100), 12, false, false,
			"on land", "part"},
		{"the shore and the edge of the soundings", grid(20), geo.Shoreline{Land: orb.MultiPolygon{box(-10, 195, 300, 300)}}, 20,
			at(100, 190), 12, false, true, "outside the soundings; part of it is on land", " x "},
		{"a negative radius", grid(20), geo.Shoreline{}, 20, at(100, 100), -1, false, false, "no such", "land"},
		{"a radius that is no number", grid(20), geo.Shoreline{}, 20, at(100, 100), geo.Metres(math.NaN()), false, false, "no such",
			"land"},
		{"a place beyond the Earth", grid(20), geo.Shoreline{}, 20, at(1e200, 100), 10, false, false, "no such", "land"},
		{"the whole Earth", grid(20), geo.Shoreline{}, 20, at(100, 100), 1e200, false, true, "outside the soundings", "land"},
		{"a row of soundings", row(100), geo.Shoreline{}, 20, at(0.5, 0), 2, false, true, "the soundings lie on one line", "land"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := build(t, surveyed(tc.places, slope), tc.shore, tc.reach)
			s := b.Shallowest(tc.at, tc.radius)
			if s.Whole != tc.whole || s.Depth.IsKnown() != tc.known || !strings.Contains(s.Why, tc.why) ||
				strings.Contains(s.Why, tc.without) || (s.Why == "") != (tc.why == "") {
				t.Errorf("got %+v; want whole %v, depth known %v, why %q", s, tc.whole, tc.known, tc.why)
			}
			if (s.Gap == "") != (s.Why == "") {
				t.Errorf("gap %q, why %q", s.Gap, s.Why)
			}
		})
	}
}

func TestShallowestOnTheEdgeOfTheSoundings(t *testing.T) {
	corners := []geo.Offset{at(0, 0), at(100, 0), at(100, 100), at(0, 100)}
	for i, from := range corners {
		along := corners[(i+1)%4].Sub(from).Times(0.01)
		for _, way := range []float64{1, -1} {
			// Shallower along the edge, deeper inward: the least is where the circle leaves the edge.
			depth := func(p geo.Offset) float64 {
				p = p.Sub(at(50, 50))
				return 20 - way*(p.EastM*along.EastM+p.NorthM*along.NorthM)/10 + (p.EastM*-along.NorthM+p.NorthM*along.EastM)/5
			}
			b := build(t, surveyed(corners, depth), geo.Shoreline{}, 100)
			middle := from.Plus(along.Times(50))
			want := middle.Plus(along.Times(10 * way))
			s := b.Shallowest(middle, 10)
			if s.Whole || float64(s.At.Sub(want).Length()) > 1e-6 || math.Abs(float64(s.Depth.Or(-1))-depth(want)) > 1e-6 {
				t.Errorf("edge %d: %+v, want %g m at %v", i, s, depth(want), want)
			}
		}
	}
}

func TestNoSoundingInTheCircleIsHidden(t *testing.T) {
	// The rock's triangles all reach across the two walls beside it, so it is no part of the surface.
	places := append(scattered(300, 200, 8), at(100, 100))
	walls := orb.MultiPolygon{box(97, 80, 98, 120), box(102, 80, 103, 120), box(96, 121, 104, 122), box(96, 78, 104, 79)}
	i := 0
	b := build(t, surveyed(places, func(geo.Offset) float64 {
		if i++; i == len(places) {
			return 0.3
		}
		return 6
	}), geo.Shoreline{Land: walls}, 100)
	if _, err := b.Depth(at(100, 101)); err == nil {
		t.Fatal("the rock has a surface after all: the test is none")
	}
	s := b.Shallowest(at(110, 100), 15)
	if d, known := s.Depth.Get(); s.Whole || !known || d != 0.3 {
		t.Errorf("got %+v, want the rock of 0.3 m", s)
	}
}

func TestManyMayAskAtOnce(t *testing.T) {
	b := build(t, surveyed(scattered(2000, 400, 14), slope), geo.Shoreline{Land: orb.MultiPolygon{box(100, 100, 110, 200)}}, 30)
	places := scattered(200, 400, 15)
	alone := make([]bed.Shallowest, len(places))
	for i, p := range places {
		alone[i] = b.Shallowest(p, 40)
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for i, p := range places {
				if s := b.Shallowest(p, 40); s != alone[i] {
					t.Errorf("%v: %+v among others, %+v alone", p, s, alone[i])
				}
			}
		})
	}
	all.Wait()
}
