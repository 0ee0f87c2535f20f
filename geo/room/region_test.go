package room

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
)

func TestTheRegionOfASquareWithADisc(t *testing.T) {
	p := boxed(&plan{zones: []zone{zoneOf(true, 0, ringOf(0, 0, 100, 0, 100, 100, 0, 100))},
		discs: []disc{{at: geo.Offset{EastM: 50, NorthM: 47}, keepM: 5, own: true},
			{at: geo.Offset{EastM: 12, NorthM: 90}, keepM: 8, own: true}}})
	p.radius.fixedM = 10
	r, fault, err := p.region(context.Background(), regionCellM)
	// The square shrinks to 80 by 80; the first disc takes 15 m round. The second, 18 m round (12, 90), takes from the shrunken square what
	// lies beyond its corner (10, 90): an area by integration.
	taken := 0.0
	const steps = 200000
	for i := range steps {
		x := 10 + 20*(float64(i)+0.5)/steps
		if h := 18*18 - (x-12)*(x-12); h > 0 {
			taken += math.Sqrt(h) * 20 / steps
		}
	}
	want := 80*80 - math.Pi*15*15 - taken
	if fault != nil || err != nil || math.Abs(r.AreaM2-want) > 2e-5*want || r.PolygonsM2 > want {
		t.Errorf("area %.4f, polygons %.4f, want %.4f", r.AreaM2, r.PolygonsM2, want)
	}
	if len(r.Polygons) != 1 || len(r.Polygons[0]) != 2 {
		t.Errorf("%d polygons", len(r.Polygons))
	}
}

func TestTheRegionIsWhereThereIsRoom(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		r, fault, err := p.region(context.Background(), regionCellM)
		if fault != nil || err != nil || r.PolygonsM2 > r.AreaM2+1e-6 {
			t.Fatalf("%v: polygons of %g m² in %g m²", fault, r.PolygonsM2, r.AreaM2)
		}
		// The polygons lie in the water: every corner and the middle of every side has room.
		for _, polygon := range r.Polygons {
			for _, ring := range polygon {
				for i := 1; i < len(ring); i++ {
					for _, at := range []geo.Offset{ring[i], ring[i].Plus(ring[i-1]).Times(0.5)} {
						if c := brute(p, at); c < -1e-9 || c > 0.05+r.InsideM && i > 0 && at == ring[i] {
							t.Fatalf("%v on the edge has a clearance of %g", at, c)
						}
					}
				}
			}
		}
		// What has room lies in them, and what has none does not.
		for range 150 {
			at := geo.Offset{EastM: rapid.Float64Range(p.low.EastM, p.high.EastM).Draw(t, "e"),
				NorthM: rapid.Float64Range(p.low.NorthM, p.high.NorthM).Draw(t, "n")}
			inside := false
			for _, polygon := range r.Polygons {
				winding := 0
				for _, ring := range polygon {
					if pointIn(at, ring) {
						winding++
					}
				}
				inside = inside || winding == 1
			}
			if c := brute(p, at); math.Abs(c) > 0.05 && inside != (c > 0) {
				t.Fatalf("%v has a clearance of %g, inside is %v", at, c, inside)
			}
		}
	})
}

func pointIn(p geo.Offset, ring []geo.Offset) bool {
	inside := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a.NorthM > p.NorthM) != (b.NorthM > p.NorthM) && p.EastM < a.EastM+(p.NorthM-a.NorthM)/(b.NorthM-a.NorthM)*(b.EastM-a.EastM) {
			inside = !inside
		}
	}
	return inside
}

func TestRegionAreaConverges(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		coarse, _, _ := p.region(context.Background(), regionCellM)
		fine, _, _ := p.region(context.Background(), regionCellM/4)
		// Of slivers narrower than a leaf there is less, never more.
		if d := coarse.AreaM2 - fine.AreaM2; d > 2e-5*fine.AreaM2+0.02 || d < -2e-5*fine.AreaM2-4 {
			t.Fatalf("%.4f m² with leaves of %g m, %.4f m² with a quarter of them", coarse.AreaM2, regionCellM, fine.AreaM2)
		}
	})
}
