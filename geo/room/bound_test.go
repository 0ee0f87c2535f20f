package room

import (
	"context"
	"math"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// waterOf is the water inside a ring.
func waterIn(edges []edge) water {
	w := water{}
	for _, g := range edges {
		w.areaM2 += (g.a.EastM*g.b.NorthM - g.a.NorthM*g.b.EastM) / 2
		w.edgeM += lengthM(g.b.Sub(g.a))
	}
	return w
}

// A hexagon of k rows of triangles to a side holds 3k² + 3k + 1 points one side of a triangle apart, and the inequality is then an
// equality: it can be no lower, and is no higher.
func TestTheInequalityIsSharpForPatchesOfTriangles(t *testing.T) {
	for k := 1; k <= 12; k++ {
		const spacingM = 37.0
		w := waterIn(circleOf(float64(k)*spacingM, 6))
		if got, want := w.maxAnchors(spacingM), 3*k*k+3*k+1; got != want {
			t.Errorf("a hexagon of %d: %d, want %d", k, got, want)
		}
	}
	// So is it for points along a line, and round a ring without any width: as many as there are sides.
	line := water{edgeM: 2 * 10 * 5}
	ring := water{edgeM: 2 * 10 * 5, holes: 1}
	if line.maxAnchors(5) != 11 || ring.maxAnchors(5) != 10 {
		t.Errorf("along a line of ten steps %d, round a ring of ten %d", line.maxAnchors(5), ring.maxAnchors(5))
	}
}

// The middles of the best known packings lie in the square or circle that is a radius smaller all round, two radii apart.
func TestTheInequalityIsNeverBelowAKnownPacking(t *testing.T) {
	far := 0
	for _, row := range outside.Table(t, "../../testdata/room/packings.csv")[1:] {
		n, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		r := outside.Figure(t, row[2])
		w := water{areaM2: (1 - 2*r) * (1 - 2*r), edgeM: 4 * (1 - 2*r)}
		if row[0] == "circle" {
			w = water{areaM2: math.Pi * (1 - r) * (1 - r), edgeM: 2 * math.Pi * (1 - r)}
		}
		most := w.maxAnchors(2 * r * (1 - 1e-4)) // the figures of a circle have four digits
		if most < n {
			t.Errorf("%s: at most %d, and %d are known", row[0], most, n)
		}
		far = max(far, most-n)
	}
	if far > 4 {
		t.Errorf("the bound is %d too high for one of them", far)
	}
}

// The waters of a bound hold every place that has room, however narrow the water is.
func TestNoPlaceLiesOutsideTheWatersOfTheBound(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		// Narrow water between two discs, from nothing to a few decimetres wide.
		width := rapid.Float64Range(-0.2, 0.5).Draw(t, "width")
		at := geo.Offset{EastM: rapid.Float64Range(60, 140).Draw(t, "east"), NorthM: rapid.Float64Range(60, 110).Draw(t, "north")}
		keep := p.radius.at(at) + 5
		p.discs = append(p.discs, disc{at: at.Sub(geo.Offset{EastM: keep}), keepM: keep - width/2},
			disc{at: at.Plus(geo.Offset{EastM: keep}), keepM: keep - width/2})
		all, ok := p.waters(context.Background(), boundCellM, 0.1)
		if !ok {
			t.Fatal("stopped")
		}
		for n := range 400 {
			place := geo.Offset{EastM: rapid.Float64Range(p.low.EastM, p.high.EastM).Draw(t, "e"),
				NorthM: rapid.Float64Range(p.low.NorthM, p.high.NorthM).Draw(t, "n")}
			if n%2 == 0 { // along the narrow water
				place = at.Plus(geo.Offset{NorthM: rapid.Float64Range(-30, 30).Draw(t, "along")})
			}
			if brute(p, place) < 0 {
				continue
			}
			if !slices.ContainsFunc(all, func(w water) bool {
				winding := 0
				for _, ring := range w.polygon {
					if pointIn(place, ring) {
						winding++
					}
				}
				return winding == 1
			}) {
				t.Fatalf("%v has room and lies in none of %d waters", place, len(all))
			}
		}
	})
}

func TestSmallWatersNearEachOtherCountOnce(t *testing.T) {
	at := func(e, n float64) water {
		w := waterIn(ringOf(e, n, e+2, n, e+2, n+2, e, n+2))
		w.polygon = [][]geo.Offset{{{EastM: e, NorthM: n}, {EastM: e + 2, NorthM: n}, {EastM: e + 2, NorthM: n + 2},
			{EastM: e, NorthM: n + 2}, {EastM: e, NorthM: n}}}
		return w
	}
	// 10 m across the first two: one boat in both at 11 m, one in each at 9 m; the third is far.
	all := []water{at(0, 0), at(8, 0), at(100, 0)}
	for spacingM, want := range map[float64]int{11: 2, 9: 3} {
		if got, words := upper(all, spacingM); got != want {
			t.Errorf("%g m apart: %d, want %d (%s)", spacingM, got, want, words)
		}
	}
}

func TestTheLeastRadiusIsThatOfNoPlaceLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		least, some := p.minRadiusM(context.Background())
		nearest := math.Inf(1)
		for range 300 {
			at := geo.Offset{EastM: rapid.Float64Range(p.low.EastM, p.high.EastM).Draw(t, "e"),
				NorthM: rapid.Float64Range(p.low.NorthM, p.high.NorthM).Draw(t, "n")}
			if brute(p, at) >= 0 {
				nearest = min(nearest, p.radius.at(at))
			}
		}
		if nearest < least || !some && !math.IsInf(nearest, 1) {
			t.Fatalf("a place with %g, told %g, %v", nearest, least, some)
		}
	})
}
