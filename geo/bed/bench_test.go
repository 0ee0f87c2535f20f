package bed_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/bed"
)

// spacingM is about that of the demo harbor's soundings.
const spacingM = 40

// bay is n soundings at spacingM on a wavy bottom about the frame's origin, with a coast of a thousand sides round them.
func bay(n int) (places []geo.Offset, depth func(geo.Offset) float64, shore geo.Shoreline) {
	sideM := spacingM * math.Sqrt(float64(n))
	var coast []geo.Offset
	for i := range 1000 {
		sin, cos := math.Sincos(float64(i) / 1000 * 2 * math.Pi)
		coast = append(coast, at(cos, sin).Times(sideM*(0.6+0.02*math.Sin(float64(i)))))
	}
	depth = func(p geo.Offset) float64 { return 5 + 3*math.Sin(p.EastM/100)*math.Cos(p.NorthM/130) }
	land := orb.Polygon{box(-sideM, -sideM, sideM, sideM)[0], ring(coast...)[0]}
	return about(scattered(n, sideM, 9), sideM), depth, geo.Shoreline{Land: orb.MultiPolygon{land}}
}

// about moves places of a square with its corner at the origin so that its middle is there.
func about(places []geo.Offset, sideM float64) []geo.Offset {
	for i := range places {
		places[i] = places[i].Sub(at(sideM/2, sideM/2))
	}
	return places
}

func TestAMillionSoundings(t *testing.T) {
	if testing.Short() {
		t.Skip("a million soundings take seconds")
	}
	places := scattered(1_000_000, 10000, 9)
	for i := range 200_000 { // some of them as a grid, a row, and in one place
		switch {
		case i < 100_000:
			places[i] = at(1000+float64(i%400)*5, 1000+float64(i/400)*5)
		case i < 150_000:
			places[i] = at(float64(i-100_000)/5, 5000)
		default:
			places[i] = at(7000, 7000)
		}
	}
	b := build(t, surveyed(places, slope), geo.Shoreline{Land: orb.MultiPolygon{box(3000, 3000, 3500, 3400)}}, 150)
	if b.Count() < 949_000 || b.Count() > 950_001 {
		t.Errorf("%d soundings in use, want those that are not in one place", b.Count())
	}
	for _, p := range scattered(2000, 9800, 10) {
		p = p.Plus(at(100, 100))
		if p.EastM > 2800 && p.EastM < 3700 && p.NorthM > 2800 && p.NorthM < 3600 {
			continue
		}
		if d, err := b.Depth(p); err != nil || math.Abs(float64(d)-slope(p)) > 1e-5 {
			t.Fatalf("%v: %v, %v, want %g", p, d, err, slope(p))
		}
		if s := b.Shallowest(p, 25); !s.Whole || math.Abs(float64(s.Depth.Or(-1))-(slope(p)-25*math.Hypot(0.01, 0.02))) > 1e-5 {
			t.Fatalf("%v: %+v, want %g", p, s, slope(p)-25*math.Hypot(0.01, 0.02))
		}
	}
}

func BenchmarkNew(b *testing.B) {
	for _, n := range []int{1500, 100_000, 1_000_000} {
		places, depth, shore := bay(n)
		soundings := surveyed(places, depth)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				build(b, soundings, shore, 100)
			}
		})
	}
}

func BenchmarkAsk(b *testing.B) {
	for _, n := range []int{1500, 1_000_000} {
		soundings, depth, shore := bay(n)
		field := build(b, surveyed(soundings, depth), shore, 100)
		sideM := spacingM * math.Sqrt(float64(n))
		places := about(scattered(1024, sideM, 10), sideM)
		i := 0
		for name, ask := range map[string]func(geo.Offset){
			"depth":              func(p geo.Offset) { _, _ = field.Depth(p) },
			"nearest":            func(p geo.Offset) { field.Nearest(p) },
			"shallowest in 25 m": func(p geo.Offset) { field.Shallowest(p, 25) },
		} {
			b.Run(strconv.Itoa(n)+"/"+name, func(b *testing.B) {
				for b.Loop() {
					ask(places[i&1023])
					i++
				}
			})
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	for _, n := range []int{1500, 100_000} {
		places, depth, shore := bay(n)
		field := build(b, surveyed(places, depth), shore, 100)
		limits := []geo.Metres{0, 2, 3, 5, 7}
		b.Run(strconv.Itoa(n)+"/lines", func(b *testing.B) {
			var lines []bed.Line
			for b.Loop() {
				lines = field.Lines(limits)
			}
			b.ReportMetric(float64(len(lines)), "lines")
		})
		b.Run(strconv.Itoa(n)+"/bands", func(b *testing.B) {
			for b.Loop() {
				field.Bands(limits)
			}
		})
	}
}
