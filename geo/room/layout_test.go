package room

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// kept reports what is wrong with a layout, by all items and all pairs.
func kept(y *site, p *plan, layout []anchor) (fault string) {
	for i := range layout {
		a := layout[i]
		a.radiusM = p.radius.at(a.at)
		if c := brute(p, a.at); c < 0 {
			return "an anchor lies outside the water"
		}
		for j := range layout[:i] {
			b := layout[j]
			if lengthM(a.at.Sub(b.at)) < a.radiusM+p.radius.at(b.at)+y.classes[0].marginM {
				return "two anchors are too near each other"
			}
		}
	}
	return ""
}

func TestLayoutsKeepEveryRuleAndTheBound(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		ctx, p0 := context.Background(), &progress{}
		y, b := p.site(context.Background(), []boatClass{{marginM: rapid.Float64Range(0, 5).Draw(t, "margin")}}, nil)
		if y == nil {
			if s := newSearch(p, 0.01, 0); s != nil {
				if f, ok := s.next(context.Background()); ok && f.clearanceM >= 0 {
					t.Fatalf("no water, but %+v", f)
				}
			}
			return
		}
		_, hexagonal := y.lattice(ctx, Hexagonal, p0)
		_, square := y.lattice(ctx, Square, p0)
		starts := append(y.fillings(ctx, nil, p0), y.filled(ctx, hexagonal, p0), y.filled(ctx, square, p0))
		free := y.search(ctx, starts, b.max, 500, p0)
		for name, layout := range map[string][]anchor{"hexagonal": hexagonal, "square": square, "free": free, "filled": starts[0]} {
			sound, _ := y.valid(layout)
			if fault := kept(y, p, sound); fault != "" {
				t.Fatalf("%s: %s", name, fault)
			}
			if len(sound) < len(layout) {
				t.Fatalf("%s: %d of %d fell out at the end", name, len(layout)-len(sound), len(layout))
			}
			if len(sound) > b.max {
				t.Fatalf("%s: %d, and the bound is %d (%s)", name, len(sound), b.max, b.words)
			}
		}
		if len(free) < max(len(hexagonal), len(square)) {
			t.Fatalf("free %d, hexagonal %d, square %d", len(free), len(hexagonal), len(square))
		}
		if f, ok := newSearch(p, 0.01, 0).next(context.Background()); ok && f.clearanceM > 0.5 && len(free) == 0 {
			t.Fatalf("nothing laid, but there is room at %v for %g", f.at, f.clearanceM)
		}
	})
}

func TestTheSameQuestionHasTheSameAnswer(t *testing.T) {
	layouts := [2][]anchor{}
	for n := range layouts {
		p := boxed(&plan{zones: []zone{zoneOf(true, 0, ringOf(0, 0, 260, 0, 230, 190, 20, 200))},
			discs: []disc{{at: geo.Offset{EastM: 120, NorthM: 90}, keepM: 12, own: true}}})
		p.radius.fixedM = 14
		y, b := p.site(context.Background(), []boatClass{{marginM: 1}}, nil)
		layouts[n] = y.search(context.Background(), y.fillings(context.Background(), nil, &progress{}), b.max, 2000, &progress{})
	}
	if len(layouts[0]) != len(layouts[1]) || len(layouts[0]) < 20 {
		t.Fatalf("%d and %d", len(layouts[0]), len(layouts[1]))
	}
	for i := range layouts[0] {
		if layouts[0][i] != layouts[1][i] {
			t.Fatalf("anchor %d: %+v and %+v", i, layouts[0][i], layouts[1][i])
		}
	}
}

// A triangle of six meshes to a side holds 28 boats, and 21 when each keeps a little away from what she should touch. Filled from three
// corners, with a little play, it may lose one for each.
func TestFillingByCornersFillsATriangle(t *testing.T) {
	const spacingM = 20.0
	p := boxed(&plan{zones: []zone{zoneOf(true, 0, ringOf(0, 0, 6*spacingM, 0, 3*spacingM, 3*math.Sqrt(3)*spacingM))}})
	p.zones[0].own, p.zones[0].keepM = false, -0.05
	p.radius.fixedM = spacingM / 2
	y, b := p.site(context.Background(), []boatClass{{}}, nil)
	if layout := y.filled(context.Background(), nil, &progress{}); len(layout) < 25 || b.max != 28 {
		t.Errorf("%d of at most %d", len(layout), b.max)
	}
}

// The best known packings of a square, a hundredth looser: a walk from nothing finds all of the boats, which corners alone do not.
func TestAWalkFindsKnownPackings(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	missed := 0
	for _, row := range outside.Table(t, "../../testdata/room/packings.csv")[1:] {
		n, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		if row[0] != "square" || n < 5 || n > 16 {
			continue
		}
		p := boxed(&plan{zones: []zone{zoneOf(true, 0, ringOf(0, 0, 100, 0, 100, 100, 0, 100))}})
		p.radius.fixedM = 99 * outside.Figure(t, row[2])
		y, b := p.site(context.Background(), []boatClass{{}}, nil)
		start := y.filled(context.Background(), nil, &progress{})
		if len(start) < n {
			missed++
		}
		w := walker{relaxation: relaxation{site: y}, random: rand.New(rand.NewPCG(1, 1)), progress: &progress{}, maxCount: b.max}
		sound, lost := y.valid(w.walk(context.Background(), start, 500_000))
		if len(sound) < n || len(lost) > 0 {
			t.Errorf("%d of %d, %d fell out at the end", len(sound), n, len(lost))
		}
	}
	if missed < 4 {
		t.Errorf("corners alone miss only %d: the walks had nothing to do", missed)
	}
}

// The chart is only quicker: it says of every place what all items say.
func TestTheChartSaysWhatAllItemsSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		c := newChart(p, rapid.Float64Range(2, 30).Draw(t, "leaf"))
		var l chartReader
		for range 200 {
			at := geo.Offset{EastM: rapid.Float64Range(p.low.EastM-20, p.high.EastM+20).Draw(t, "e"),
				NorthM: rapid.Float64Range(p.low.NorthM-20, p.high.NorthM+20).Draw(t, "n")}
			want := brute(p, at)
			for _, extra := range []float64{-1, 0, 1, want - 1e-9, want + 1e-9} {
				if got := l.fits(c, at, p.radius.at(at), extra); got != (want >= extra) {
					t.Fatalf("%v has %g, fits with %g: %v", at, want, extra, got)
				}
			}
			push, worst := l.push(c, at, p.radius.at(at), 2)
			if math.Abs(worst-max(0, 2-want)) > 1e-9 || (lengthM(push) > 0) != (want < 2) {
				t.Fatalf("%v has %g: pushed by %v, worst %g", at, want, push, worst)
			}
		}
	})
}
