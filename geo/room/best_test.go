package room

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
)

// ringOf makes the edges of a closed ring, the inside on the left.
func ringOf(corners ...float64) (edges []edge) {
	n := len(corners) / 2
	for i := range n {
		j := (i + 1) % n
		edges = append(edges, edge{geo.Offset{EastM: corners[2*i], NorthM: corners[2*i+1]},
			geo.Offset{EastM: corners[2*j], NorthM: corners[2*j+1]}})
	}
	return edges
}

func zoneOf(in bool, keepM float64, edges []edge) zone {
	return zone{edges: edges, slabs: newSlabs(edges), in: in, keepM: keepM, own: true}
}

// boxed sets the box of a plan by its first zone.
func boxed(p *plan) *plan {
	p.low, p.high = geo.Offset{EastM: math.Inf(1), NorthM: math.Inf(1)}, geo.Offset{EastM: math.Inf(-1), NorthM: math.Inf(-1)}
	for _, g := range p.zones[0].edges {
		p.low = geo.Offset{EastM: min(p.low.EastM, g.a.EastM), NorthM: min(p.low.NorthM, g.a.NorthM)}
		p.high = geo.Offset{EastM: max(p.high.EastM, g.a.EastM), NorthM: max(p.high.NorthM, g.a.NorthM)}
	}
	return p
}

// The polygon with a hole of the PostGIS manual's page on the largest inscribed circle: from memory; its distance is worked again from the
// coordinates.
func TestLargestInscribedCircleOfThePostGISManual(t *testing.T) {
	outer := ringOf(20, 50, 70, 40, 80, 10, 160, 40, 140, 90, 180, 120, 180, 180, 110, 160, 40, 180)
	hole := ringOf(60, 140, 50, 90, 90, 140)
	p := boxed(&plan{zones: []zone{zoneOf(true, 0, outer), zoneOf(false, 0, hole)}})
	got, ok := newSearch(p, 1e-4, 0).next(context.Background())
	// Their centre is (96.953125, 76.328125), 45.165845650018 from (140, 90); their search stops at a thousandth of the width, 0.17, short
	// of the best.
	const theirs, short = 45.165845650018, 0.17
	if off := float64(got.at.Sub(geo.Offset{EastM: 96.953125, NorthM: 76.328125}).Length()); !ok || got.clearanceM < theirs ||
		got.clearanceM > theirs+short || off > 0.5 {
		t.Errorf("%+v, %g from theirs", got, off)
	}
}

func TestSquareWithFourCorners(t *testing.T) {
	square := zoneOf(true, 0, ringOf(0, 0, 1, 0, 1, 1, 0, 1))
	square.own = false
	p := boxed(&plan{zones: []zone{square}, discs: []disc{{own: true}, {at: geo.Offset{EastM: 1}, own: true},
		{at: geo.Offset{NorthM: 1}, own: true}, {at: geo.Offset{EastM: 1, NorthM: 1}, own: true}}})
	// The anchor has only to be inside: what keeps it from the corners is largest in the middle. With the sides counting, half the side is.
	got, ok := newSearch(p, 1e-4, 0).next(context.Background())
	if !ok || math.Abs(got.clearanceM-0.5) > 1e-4 {
		t.Errorf("%+v", got)
	}
	p.zones[0].keepM = -10 // now the sides do not limit
	if got, _ = newSearch(p, 1e-4, 0).next(context.Background()); math.Abs(got.clearanceM-math.Sqrt(0.5)) > 1e-4 ||
		got.boundM < math.Sqrt(0.5)-1e-9 {
		t.Errorf("%+v", got)
	}
}

// brute is the clearance at a place from every disc and edge.
func brute(p *plan, at geo.Offset) float64 {
	own, bare := math.Inf(1), math.Inf(1)
	take := func(mine bool, m float64) {
		if mine {
			own = min(own, m)
		} else {
			bare = min(bare, m)
		}
	}
	for _, d := range p.discs {
		take(d.own, float64(at.Sub(d.at).Length())-d.keepM)
	}
	for _, z := range p.zones {
		least := math.Inf(1)
		winding := 0.0
		for _, g := range z.edges {
			least = min(least, g.distanceM(at))
			a, b := g.a.Sub(at), g.b.Sub(at)
			winding += math.Atan2(a.EastM*b.NorthM-a.NorthM*b.EastM, a.EastM*b.EastM+a.NorthM*b.NorthM)
		}
		if inside := winding > math.Pi; inside != z.in && !z.open {
			least = -least
		}
		take(z.own, least-z.keepM)
	}
	return min(own-p.radius.at(at), bare)
}

// drawn is a random plan: an area with a dent, an island, some discs, and a radius that may change over the water.
func drawn(t *rapid.T) *plan {
	f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	p := &plan{zones: []zone{
		zoneOf(true, f(0, 2, "setback"), ringOf(0, 0, 200, 0, 200, 150, f(90, 120, "dent"), f(60, 140, "dent"), 0, 150)),
		zoneOf(false, 1, ringOf(40, 40, 60, 35, 70, 60, 50, 70)),
	}}
	for range rapid.IntRange(0, 14).Draw(t, "discs") {
		p.discs = append(p.discs, disc{at: geo.Offset{EastM: f(-20, 220, "east"), NorthM: f(-20, 170, "north")}, keepM: f(2, 30, "keep"),
			own: rapid.IntRange(0, 3).Draw(t, "own") > 0})
	}
	if p.radius.fixedM = f(6, 25, "radius"); rapid.Bool().Draw(t, "slope") {
		rise := f(-0.2, 0.2, "rise")
		p.radius.byDepth = func(d float64) float64 { return 25 - 0.3*d }
		p.radius.depth = func(at geo.Offset) (float64, bool) { return 10 + rise*at.EastM, true }
		p.radius.span = func(at geo.Offset, reachM float64) (float64, float64) {
			d := 10 + rise*at.EastM
			return d - math.Abs(rise)*reachM, d + math.Abs(rise)*reachM
		}
	}
	return boxed(p)
}

func TestNoPlaceBeatsTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		const closeM, spacingM = 0.01, 25.0
		s := newSearch(p, closeM, spacingM)
		var given []bestPlace
		for range 4 {
			f, ok := s.next(context.Background())
			if !ok {
				break
			}
			if again := brute(p, f.at); math.Abs(again-f.clearanceM) > 1e-9 {
				t.Fatalf("%+v has %g", f, again)
			}
			if f.boundM-f.clearanceM > closeM {
				t.Fatalf("bound %g of %g", f.boundM, f.clearanceM)
			}
			for range 60 {
				at := geo.Offset{EastM: rapid.Float64Range(p.low.EastM, p.high.EastM).Draw(t, "e"),
					NorthM: rapid.Float64Range(p.low.NorthM, p.high.NorthM).Draw(t, "n")}
				apart := true
				for _, g := range given {
					apart = apart && float64(g.at.Sub(at).Length()) >= spacingM
				}
				if c := brute(p, at); apart && c > f.boundM+1e-9 {
					t.Fatalf("%v has %g, more than the bound of %+v", at, c, f)
				}
			}
			given = append(given, f)
		}
		if len(given) == 0 {
			t.Fatal("nothing found")
		}
	})
}
