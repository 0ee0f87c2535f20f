package bed_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/bed"
)

var origin = geo.Position{LatDeg: 44.2, LonDeg: -41.5}

// frame and surveyed make soundings at places in metres on the plane.
var frame = geo.NewFrame(origin)

func surveyed(places []geo.Offset, depth func(geo.Offset) float64) *geom.MultiPoint {
	flat := make([]float64, 0, 3*len(places))
	for _, at := range places {
		p := frame.Position(at)
		flat = append(flat, p.LonDeg, p.LatDeg, depth(at))
	}
	return geom.NewMultiPointFlat(geom.XYZ, flat)
}

func scattered(n int, sideM float64, seed uint64) []geo.Offset {
	r := rand.New(rand.NewPCG(seed, 1))
	places := make([]geo.Offset, n)
	for i := range places {
		places[i] = geo.Offset{EastM: r.Float64() * sideM, NorthM: r.Float64() * sideM}
	}
	return places
}

func build(t testing.TB, soundings *geom.MultiPoint, shore geo.Shoreline, reach geo.Metres) *bed.Bed {
	t.Helper()
	b, err := bed.New(soundings, shore, frame, reach)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func slope(at geo.Offset) float64 { return 5 + at.EastM/100 + at.NorthM/50 }

func TestDepthOnASlopeIsTheSlope(t *testing.T) {
	b := build(t, surveyed(scattered(2000, 1000, 1), slope), geo.Shoreline{}, 200)
	for _, at := range scattered(1000, 900, 2) {
		at = at.Plus(geo.Offset{EastM: 50, NorthM: 50})
		d, err := b.Depth(at)
		if err != nil {
			t.Fatalf("%v: %v", at, err)
		}
		if math.Abs(float64(d)-slope(at)) > 1e-6 /* 1 µm: projection there and back */ {
			t.Errorf("%v: %g, want %g", at, d, slope(at))
		}
		s := b.Shallowest(at, 20)
		want := slope(at) - 20*math.Hypot(0.01, 0.02)
		if !s.Whole || math.Abs(float64(s.Depth.Or(-1))-want) > 1e-6 {
			t.Errorf("%v: shallowest %v whole %v (%s), want %g", at, s.Depth, s.Whole, s.Why, want)
		}
	}
}

func TestUnknownDepthsSayWhy(t *testing.T) {
	square := []geo.Offset{{EastM: 0, NorthM: 0}, {EastM: 100, NorthM: 0}, {EastM: 100, NorthM: 100}, {EastM: 0, NorthM: 100}}
	// A spit from south to north parts the square.
	spit := ring(geo.Offset{EastM: 45, NorthM: -50}, geo.Offset{EastM: 55, NorthM: -50}, geo.Offset{EastM: 55, NorthM: 150}, geo.Offset{EastM: 45, NorthM: 150})
	row := []geo.Offset{{EastM: 0}, {EastM: 10}, {EastM: 20}, {EastM: 30}}
	for _, tc := range []struct {
		name   string
		places []geo.Offset
		land   orb.MultiPolygon
		reach  geo.Metres
		at     geo.Offset
		want   bed.Gap
	}{
		{"no soundings", nil, nil, 100, geo.Offset{}, bed.NoSoundings},
		{"one sounding", square[:1], nil, 100, geo.Offset{}, bed.Collinear},
		{"two soundings", square[:2], nil, 100, geo.Offset{}, bed.Collinear},
		{"a row", row, nil, 100, geo.Offset{EastM: 5}, bed.Collinear},
		{"all in one place", []geo.Offset{{}, {}, {}, {}}, nil, 100, geo.Offset{}, bed.Collinear},
		{"outside", square, nil, 100, geo.Offset{EastM: -1, NorthM: 50}, bed.Outside},
		{"far", square, nil, 50, geo.Offset{EastM: 50, NorthM: 50}, bed.TooFar},
		{"on the spit", square, orb.MultiPolygon{spit}, 100, geo.Offset{EastM: 50, NorthM: 50}, bed.OnLand},
		{"beside the spit", square, orb.MultiPolygon{spit}, 100, geo.Offset{EastM: 40, NorthM: 50}, bed.AcrossLand},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := build(t, surveyed(tc.places, slope), geo.Shoreline{Land: tc.land}, tc.reach)
			_, err := b.Depth(tc.at)
			var unknown *bed.Unknown
			if !errors.As(err, &unknown) || !errors.Is(err, geo.ErrUnknown) || unknown.Gap != tc.want {
				t.Errorf("got %v, want %q", err, tc.want)
			}
			if tc.want != bed.OnLand {
				if s := b.Shallowest(tc.at, 5); s.Whole || s.Why == "" {
					t.Errorf("a circle there is called whole: %+v", s)
				}
			}
		})
	}
}

func ring(corners ...geo.Offset) orb.Polygon {
	var r orb.Ring
	for _, c := range append(corners, corners[0]) {
		r = append(r, frame.Position(c).Point())
	}
	return orb.Polygon{r}
}

func TestOfTwoSoundingsInOnePlaceTheShallowerCounts(t *testing.T) {
	places := append(scattered(200, 100, 3), geo.Offset{EastM: 50, NorthM: 50}, geo.Offset{EastM: 50, NorthM: 50})
	i := 0
	b := build(t, surveyed(places, func(geo.Offset) float64 { i++; return float64(min(i, 201) % 2 * 7) }), geo.Shoreline{}, 100)
	if b.Count() != 201 {
		t.Errorf("%d soundings in use, want 201", b.Count())
	}
	_, depth, _ := b.Nearest(geo.Offset{EastM: 50, NorthM: 50})
	if depth != 0 && depth != 7 {
		t.Errorf("depth %g", depth)
	}
}

func TestDryingShoreSoundingsKeepTheirTriangles(t *testing.T) {
	// Heights surveyed on the shore lie on land or on its line; the water between them and the next sounding is covered.
	land := ring(geo.Offset{EastM: -100, NorthM: -100}, geo.Offset{EastM: 0, NorthM: -100}, geo.Offset{EastM: 0, NorthM: 200}, geo.Offset{EastM: -100, NorthM: 200})
	places := []geo.Offset{{EastM: -1, NorthM: 0}, {EastM: -1, NorthM: 50}, {EastM: 40, NorthM: 0}, {EastM: 40, NorthM: 50}}
	b := build(t, surveyed(places, func(at geo.Offset) float64 { return at.EastM / 10 }), geo.Shoreline{Land: orb.MultiPolygon{land}}, 100)
	d, err := b.Depth(geo.Offset{EastM: 20, NorthM: 25})
	if err != nil || math.Abs(float64(d)-2) > 1e-6 {
		t.Errorf("got %v, %v", d, err)
	}
}

func TestShallowestIsNeverDeeperThanAnySample(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		r := rand.New(rand.NewPCG(seed, 2))
		n := rapid.IntRange(4, 300).Draw(t, "soundings")
		b, err := bed.New(surveyed(scattered(n, 200, seed), func(geo.Offset) float64 { return r.Float64()*10 - 2 }), geo.Shoreline{}, frame, 1000)
		if err != nil {
			t.Fatal(err)
		}
		centre := geo.Offset{EastM: r.Float64() * 200, NorthM: r.Float64() * 200}
		radius := rapid.Float64Range(0, 60).Draw(t, "radius")
		s := b.Shallowest(centre, geo.Metres(radius))
		least, depth := math.Inf(1), 0.0
		for range 4000 {
			angle, far := r.Float64()*2*math.Pi, radius*math.Sqrt(r.Float64())
			at := centre.Plus(geo.Offset{EastM: far * math.Cos(angle), NorthM: far * math.Sin(angle)})
			if d, err := b.Depth(at); err == nil {
				least = min(least, float64(d))
			} else if s.Whole {
				t.Fatalf("whole, but %v at %v", err, at)
			}
		}
		got, known := s.Depth.Get()
		if !known {
			if !math.IsInf(least, 1) {
				t.Fatalf("no depth, but a sample has %g", least)
			}
			return
		}
		depth = float64(got)
		if depth > least+1e-9 {
			t.Fatalf("shallowest %g, but a sample has %g", depth, least)
		}
		if float64(s.At.Sub(centre).Length()) > radius+1e-6 {
			t.Fatalf("it is said to be at %v, outside the circle", s.At)
		}
		if at, err := b.Depth(s.At); err == nil && math.Abs(float64(at)-depth) > 1e-6 {
			t.Fatalf("%g is said to be at %v, where the bed has %g", depth, s.At, at)
		}
	})
}

func TestAConeHasRoundDepthLines(t *testing.T) {
	b := build(t, surveyed(scattered(20000, 400, 5), func(at geo.Offset) float64 {
		return float64(at.Sub(geo.Offset{EastM: 200, NorthM: 200}).Length()) / 10
	}), geo.Shoreline{}, 100)
	lines := b.Lines([]geo.Metres{5, 10})
	if len(lines) != 2 {
		t.Fatalf("%d lines, want 2 rings", len(lines))
	}
	for _, l := range lines {
		if l.Points[0] != l.Points[len(l.Points)-1] {
			t.Errorf("the ring at %g m is open", l.Depth)
		}
		for _, p := range l.Points {
			if r := float64(p.Sub(geo.Offset{EastM: 200, NorthM: 200}).Length()); math.Abs(r-10*float64(l.Depth)) > 0.5 /* m: facets of a cone */ {
				t.Fatalf("depth line %g m at radius %g", l.Depth, r)
			}
		}
	}
}

func TestBandsTileTheCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		r := rand.New(rand.NewPCG(seed, 7))
		n := rapid.IntRange(5, 200).Draw(t, "soundings")
		whole := rapid.Bool().Draw(t, "whole metres") // so that soundings lie right at the limits
		b, err := bed.New(surveyed(scattered(n, 100, seed), func(geo.Offset) float64 {
			d := r.Float64() * 8
			if whole {
				d = math.Floor(d)
			}
			return d
		}), geo.Shoreline{}, frame, 1e4)
		if err != nil {
			t.Fatal(err)
		}
		area := func(limits ...geo.Metres) (sum float64, bands []bed.Band) {
			bands = b.Bands(limits)
			for _, band := range bands {
				for _, polygon := range band.Polygons {
					for i, ring := range polygon {
						a := areaM2(ring)
						if (a > 0) != (i == 0) {
							t.Fatalf("ring %d of a polygon has area %g", i, a)
						}
						sum += a
					}
				}
			}
			return sum, bands
		}
		all, _ := area()
		parts, _ := area(2, 4, 6)
		if math.Abs(all-parts) > 1e-6*all {
			t.Fatalf("the bands have %g m², the cover %g m²", parts, all)
		}
	})
}

func areaM2(ring []geo.Offset) float64 {
	var twice float64
	for i := 1; i < len(ring); i++ {
		twice += ring[i-1].EastM*ring[i].NorthM - ring[i-1].NorthM*ring[i].EastM
	}
	return twice / 2
}

func TestAMillionSoundings(t *testing.T) {
	if testing.Short() {
		t.Skip("a million soundings take seconds")
	}
	b := build(t, surveyed(scattered(1_000_000, 10000, 9), slope), geo.Shoreline{}, 100)
	d, err := b.Depth(geo.Offset{EastM: 5000, NorthM: 5000})
	if err != nil || math.Abs(float64(d)-155) > 1e-6 {
		t.Errorf("got %v, %v", d, err)
	}
}

func BenchmarkNew(b *testing.B) {
	for name, n := range map[string]int{"1500": 1500, "1M": 1_000_000} {
		soundings := surveyed(scattered(n, 40*math.Sqrt(float64(n)), 9), slope)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				build(b, soundings, geo.Shoreline{}, 100)
			}
		})
	}
}

func BenchmarkAsk(b *testing.B) {
	side := 40 * math.Sqrt(1500)
	field := build(b, surveyed(scattered(1500, side, 9), slope), geo.Shoreline{}, 100)
	places := scattered(1024, side, 10)
	i := 0
	b.Run("depth", func(b *testing.B) {
		for b.Loop() {
			_, _ = field.Depth(places[i&1023])
			i++
		}
	})
	b.Run("shallowest in 25 m", func(b *testing.B) {
		for b.Loop() {
			field.Shallowest(places[i&1023], 25)
			i++
		}
	})
}
