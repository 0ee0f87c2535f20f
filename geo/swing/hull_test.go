package swing_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/swing"
)

func signedAreaM2(ring []geo.Offset) (sum float64) {
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += (p.EastM*q.NorthM - q.EastM*p.NorthM) / 2
	}
	return sum
}

func TestOutlineIsAConvexHullOfHerLengthAndBeam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stern := rapid.Float64Range(-360, 360).Draw(t, "stern")
		length, beam := rapid.Float64Range(3, 25).Draw(t, "length"), rapid.Float64Range(1, 6).Draw(t, "beam")
		ring := swing.Outline(geo.Offset{EastM: 7, NorthM: -3}, stern, geo.Metres(length), geo.Metres(beam))
		if a := signedAreaM2(ring); a <= 0.5*length*beam || a > length*beam {
			t.Fatalf("area %g of %g by %g: counterclockwise and no larger than its box is expected", a, length, beam)
		}
		sin, cos := math.Sincos(stern * math.Pi / 180)
		aftMost, widest := 0.0, 0.0
		for i, p := range ring {
			q, r := ring[(i+1)%len(ring)], ring[(i+2)%len(ring)]
			if turn := (q.EastM-p.EastM)*(r.NorthM-q.NorthM) - (q.NorthM-p.NorthM)*(r.EastM-q.EastM); turn < -1e-9 {
				t.Fatalf("corner %d turns the wrong way", i)
			}
			e, n := p.EastM-7, p.NorthM+3
			aftMost, widest = max(aftMost, e*sin+n*cos), max(widest, math.Abs(e*cos-n*sin))
		}
		if math.Abs(aftMost-length) > 1e-9 || math.Abs(2*widest-beam) > 1e-9 {
			t.Fatalf("%g long and %g wide, want %g and %g", aftMost, 2*widest, length, beam)
		}
	})
}

func box(east, north, width, height float64) []geo.Offset {
	return []geo.Offset{{EastM: east, NorthM: north}, {EastM: east + width, NorthM: north}, {EastM: east + width, NorthM: north + height},
		{EastM: east, NorthM: north + height}}
}

func TestHullGapOfBoxes(t *testing.T) {
	for _, tc := range []struct {
		name string
		b    []geo.Offset
		want float64
	}{
		{"side by side", box(7, 1, 2, 2), 3},
		{"corner to corner, 3-4-5", box(7, 6, 2, 2), 5},
		{"touching", box(4, 0, 1, 1), 0},
		{"overlapping by half a metre", box(3.5, -5, 9, 20), -0.5},
		{"one within the other", box(1, 1, 0.5, 0.2), -1 /* upwards; downwards it takes 1.2 */},
	} {
		for _, got := range []float64{swing.HullGap(box(0, 0, 4, 2), tc.b), swing.HullGap(tc.b, box(0, 0, 4, 2))} {
			if math.Abs(got-tc.want) > 1e-12 {
				t.Errorf("%s: %g, want %g", tc.name, got, tc.want)
			}
		}
	}
}

func TestHullGapAgreesWithPointsAlongTheOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		a := swing.Outline(geo.Offset{}, draw(0, 360, "stern a"), geo.Metres(draw(4, 15, "length a")), geo.Metres(draw(1.5, 5, "beam a")))
		b := swing.Outline(geo.Offset{EastM: draw(-40, 40, "east"), NorthM: draw(-40, 40, "north")}, draw(0, 360, "stern b"),
			geo.Metres(draw(4, 15, "length b")), geo.Metres(draw(1.5, 5, "beam b")))
		got := swing.HullGap(a, b)
		if back := swing.HullGap(b, a); math.Abs(got-back) > 1e-9 {
			t.Fatalf("%g one way, %g the other", got, back)
		}
		if got <= 0 {
			// Moved apart by what they overlap, in the best of many directions, they touch no more; by less in any direction they still do.
			for deg := 0.0; deg < 360; deg += 5 {
				sin, cos := math.Sincos(deg * math.Pi / 180)
				moved := make([]geo.Offset, len(b))
				for i, p := range b {
					moved[i] = geo.Offset{EastM: p.EastM - 0.99*got*sin, NorthM: p.NorthM - 0.99*got*cos}
				}
				if swing.HullGap(a, moved) > 1e-9 {
					t.Fatalf("overlap %g, and %g towards %g° part them", got, -0.99*got, deg)
				}
			}
			return
		}
		const steps = 60
		least := math.Inf(1)
		points := func(ring []geo.Offset) (all []geo.Offset) {
			for i, p := range ring {
				q := ring[(i+1)%len(ring)]
				for s := range steps {
					f := float64(s) / steps
					all = append(all, geo.Offset{EastM: p.EastM + f*(q.EastM-p.EastM), NorthM: p.NorthM + f*(q.NorthM-p.NorthM)})
				}
			}
			return all
		}
		bs := points(b)
		for _, p := range points(a) {
			for _, q := range bs {
				least = min(least, math.Hypot(p.EastM-q.EastM, p.NorthM-q.NorthM))
			}
		}
		const between = 0.15 // m: between two points of the longest side
		if got > least+1e-9 || got < least-between {
			t.Fatalf("gap %g, sampled %g", got, least)
		}
	})
}
