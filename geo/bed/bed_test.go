package bed_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

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

// at is a place in metres east and north.
func at(eastM, northM float64) geo.Offset { return geo.Offset{EastM: eastM, NorthM: northM} }

// ring is a polygon with the corners given.
func ring(corners ...geo.Offset) orb.Polygon {
	return orb.Polygon{orb.Ring(line(append(corners, corners[0])...))}
}

func line(places ...geo.Offset) orb.LineString {
	var l orb.LineString
	for _, p := range places {
		l = append(l, frame.Position(p).Point())
	}
	return l
}

// box is a rectangle of land.
func box(westM, southM, eastM, northM float64) orb.Polygon {
	return ring(at(westM, southM), at(eastM, southM), at(eastM, northM), at(westM, northM))
}

func slope(at geo.Offset) float64 { return 5 + at.EastM/100 + at.NorthM/50 }

// projectionM is what projecting there and back leaves of a depth on slope.
const projectionM = 1e-6

func TestDepthOnASlopeIsTheSlope(t *testing.T) {
	b := build(t, surveyed(scattered(2000, 1000, 1), slope), geo.Shoreline{}, 200)
	for _, p := range scattered(1000, 900, 2) {
		p = p.Plus(at(50, 50))
		d, err := b.Depth(p)
		if err != nil {
			t.Fatalf("%v: %v", p, err)
		}
		if math.Abs(float64(d)-slope(p)) > projectionM {
			t.Errorf("%v: %g, want %g", p, d, slope(p))
		}
		s := b.Shallowest(p, 20)
		want := slope(p) - 20*math.Hypot(0.01, 0.02)
		if !s.Whole || math.Abs(float64(s.Depth.Or(-1))-want) > projectionM {
			t.Errorf("%v: shallowest %v whole %v (%s), want %g", p, s.Depth, s.Whole, s.Why, want)
		}
	}
}

func TestDepthOnEdgesAndCornersOfAGrid(t *testing.T) {
	var places []geo.Offset
	for i := range 30 {
		for j := range 30 {
			places = append(places, at(float64(i)*10, float64(j)*10))
		}
	}
	b := build(t, surveyed(places, slope), geo.Shoreline{}, 20)
	for i := 1; i < 28; i++ {
		for j := 1; j < 28; j++ {
			corner := at(float64(i)*10, float64(j)*10)
			for _, p := range []geo.Offset{corner, corner.Plus(at(5, 0)), corner.Plus(at(0, 5)), corner.Plus(at(5, 5))} {
				if d, err := b.Depth(p); err != nil || math.Abs(float64(d)-slope(p)) > projectionM {
					t.Fatalf("%v: %v, %v, want %g", p, d, err, slope(p))
				}
				if s := b.Shallowest(p, 0); !s.Whole || math.Abs(float64(s.Depth.Or(-1))-slope(p)) > projectionM {
					t.Fatalf("%v: a circle of no size has %+v, want %g", p, s, slope(p))
				}
			}
		}
	}
}

func TestUnknownDepthsSayWhy(t *testing.T) {
	square := []geo.Offset{at(0, 0), at(100, 0), at(100, 100), at(0, 100)}
	spit := orb.MultiPolygon{box(45, -50, 55, 150)} // parts the square
	for _, tc := range []struct {
		name   string
		places []geo.Offset
		land   orb.MultiPolygon
		reach  geo.Metres
		at     geo.Offset
		want   bed.Gap
	}{
		{"no soundings", nil, nil, 100, at(0, 0), bed.NoSoundings},
		{"one sounding", square[:1], nil, 100, at(0, 0), bed.Collinear},
		{"two soundings", square[:2], nil, 100, at(0, 0), bed.Collinear},
		{"a row", []geo.Offset{at(0, 0), at(10, 0), at(20, 0), at(30, 0)}, nil, 100, at(5, 0), bed.Collinear},
		{"a long row, which projection bends", row(5000), nil, 100, at(5, 0), bed.Collinear},
		{"all in one place", make([]geo.Offset, 10_000), nil, 100, at(0, 0), bed.Collinear},
		{"outside", square, nil, 100, at(-1, 50), bed.Outside},
		{"far", square, nil, 50, at(50, 50), bed.TooFar},
		{"on the spit", square, spit, 100, at(50, 50), bed.OnLand},
		{"on land outside", square, spit, 100, at(50, 149), bed.OnLand},
		{"beside the spit", square, spit, 100, at(40, 50), bed.AcrossLand},
		{"no number", square, nil, 100, at(math.NaN(), 50), bed.NoPlace},
		{"beyond the Earth", square, nil, 100, at(1e200, 0), bed.NoPlace},
		{"endless", square, nil, 100, at(50, math.Inf(-1)), bed.NoPlace},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := build(t, surveyed(tc.places, slope), geo.Shoreline{Land: tc.land}, tc.reach)
			_, err := b.Depth(tc.at)
			var unknown *bed.Unknown
			if !errors.As(err, &unknown) || !errors.Is(err, geo.ErrUnknown) || unknown.Gap != tc.want {
				t.Errorf("got %v, want %q", err, tc.want)
			}
			if s := b.Shallowest(tc.at, 4); s.Whole || s.Why == "" {
				t.Errorf("a circle there is called whole: %+v", s)
			}
		})
	}
}

// row is n places along a parallel of latitude, 10 m apart in places 1 m: no straight line on the plane.
func row(n int) []geo.Offset {
	places := make([]geo.Offset, n)
	for i := range places {
		p := origin
		p.LonDeg += float64(i) * 1e-7
		places[i] = frame.Project(p)
	}
	return places
}

func TestSoundingsOnTheHullHaveTheirDepth(t *testing.T) {
	b := build(t, surveyed(scattered(300, 100, 16), slope), geo.Shoreline{}, 100)
	for _, s := range b.Soundings() {
		if d, err := b.Depth(s.At); err != nil || math.Abs(float64(d)-s.DepthM) > 1e-9 {
			t.Errorf("at the sounding of %g m: %v, %v", s.DepthM, d, err)
		}
	}
	outline := b.Bands(nil)[0].Polygons[0][0]
	for i := 1; i < len(outline); i++ {
		for share := range 10 { // rounding puts half of these a hair outside
			p := outline[i-1].Plus(outline[i].Sub(outline[i-1]).Times(float64(share) / 10))
			if d, err := b.Depth(p); err != nil || math.Abs(float64(d)-slope(p)) > projectionM {
				t.Errorf("on the hull: %v, %v, want %g", d, err, slope(p))
			}
		}
	}
}

func TestTheNearestSoundingsDistanceIsTold(t *testing.T) {
	b := build(t, surveyed([]geo.Offset{at(0, 0), at(200, 0), at(0, 200)}, slope), geo.Shoreline{}, 75)
	_, err := b.Depth(at(93, 10))
	if want := "depth unknown: the nearest sounding is 93.5 m away (believed up to 75 m)"; err == nil || err.Error() != want {
		t.Fatalf("got %v, want %s", err, want)
	}
	if got, want := geo.ErrorIn(err, geo.UnitsFeet),
		"depth unknown: the nearest sounding is 307 ft away (believed up to 246 ft)"; got != want {
		t.Errorf("in feet: %s, want %s", got, want)
	}
}

func TestOfTwoSoundingsInOnePlaceTheShallowerCounts(t *testing.T) {
	for _, tc := range []struct {
		name  string
		apart geo.Offset
	}{
		{"the very place", at(0, 0)}, {"a nanometre apart", at(1e-9, 0)}, {"half a centimetre apart", at(0.004, -0.003)},
		{"across the corner of a square centimetre", at(0.005, 0.005)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, shallowFirst := range []bool{true, false} {
				middle := at(50.005-1e-9, 50.005-1e-9)
				places := append(scattered(200, 100, 3), middle, middle.Plus(tc.apart))
				depths := map[int]float64{200: 2, 201: 7}
				if !shallowFirst {
					depths = map[int]float64{200: 7, 201: 2}
				}
				i := -1
				b := build(t, surveyed(places, func(geo.Offset) float64 {
					i++
					return depths[i] + 3*boolFloat(i < 200)
				}), geo.Shoreline{}, 100)
				if b.Count() != 201 {
					t.Errorf("%d soundings in use, want 201", b.Count())
				}
				if _, depth, _ := b.Nearest(middle); depth != 2 {
					t.Errorf("depth %g, want the shallower, 2", depth)
				}
			}
		})
	}
}

func boolFloat(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func TestNewRefusesWhatIsNoSounding(t *testing.T) {
	for _, tc := range []struct {
		name      string
		soundings *geom.MultiPoint
		reach     geo.Metres
	}{
		{"no depth", geom.NewMultiPointFlat(geom.XY, []float64{0, 0}), 75},
		{"depth NaN", geom.NewMultiPointFlat(geom.XYZ, []float64{0, 0, math.NaN()}), 75},
		{"depth infinite", geom.NewMultiPointFlat(geom.XYZ, []float64{0, 0, math.Inf(1)}), 75},
		{"longitude NaN", geom.NewMultiPointFlat(geom.XYZ, []float64{math.NaN(), 0, 1}), 75},
		{"latitude 91", geom.NewMultiPointFlat(geom.XYZ, []float64{0, 91, 1}), 75},
		{"longitude infinite", geom.NewMultiPointFlat(geom.XYZ, []float64{math.Inf(-1), 0, 1}), 75},
		{"reach NaN", nil, geo.Metres(math.NaN())},
		{"reach negative", nil, -1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if _, err := bed.New(tc.soundings, geo.Shoreline{}, frame, tc.reach); !errors.Is(err, geo.ErrInvalid) {
				t.Errorf("got %v, want geo.ErrInvalid", err)
			}
		})
	}
}

func TestStraySoundingsAreLeftOut(t *testing.T) {
	for _, tc := range []struct {
		name  string
		at    geo.Position
		stray int
	}{
		{"the other hemisphere", geo.Position{LatDeg: -0.01, LonDeg: 0.01}, 0},
		{"50 km away", geo.Position{LatDeg: 0.45, LonDeg: 0}, 1},
		{"the far side of the Earth, which the plane shows through the near one", geo.Position{LatDeg: 0.01, LonDeg: 179.99}, 1},
		{"a pole", geo.Position{LatDeg: 90, LonDeg: 0}, 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			flat := []float64{0, 0, 5, 0.01, 0, 5, 0, 0.01, 5, tc.at.LonDeg, tc.at.LatDeg, 1}
			b, err := bed.New(geom.NewMultiPointFlat(geom.XYZ, flat), geo.Shoreline{}, geo.NewFrame(geo.Position{}), 1000)
			if err != nil || b.Stray() != tc.stray || b.Count() != 4-tc.stray {
				t.Errorf("%v: %d stray, %d in use; want %d stray", err, b.Stray(), b.Count(), tc.stray)
			}
			if d, err := b.Depth(at(300, 300)); err != nil || math.Abs(float64(d)-5) > 1e-9 {
				t.Errorf("depth %v, %v; want 5", d, err)
			}
		})
	}
}

func TestTheAntimeridianAndTheSouthAreWaterLikeAnyOther(t *testing.T) {
	f := geo.NewFrame(geo.Position{LatDeg: -16.8, LonDeg: 179.9999})
	var flat []float64
	for _, p := range scattered(300, 400, 12) {
		q := f.Position(p.Plus(at(-200, -200)))
		flat = append(flat, q.LonDeg, q.LatDeg, slope(p))
	}
	b, err := bed.New(geom.NewMultiPointFlat(geom.XYZ, flat), geo.Shoreline{}, f, 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range scattered(100, 300, 13) {
		p = p.Plus(at(50, 50))
		if d, err := b.Depth(p.Plus(at(-200, -200))); err != nil || math.Abs(float64(d)-slope(p)) > projectionM {
			t.Fatalf("%v: %v, %v, want %g", p, d, err, slope(p))
		}
	}
}
