package clearance_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

func indexOf(circles []clearance.Circle) *clearance.Index {
	x := &clearance.Index{}
	for _, c := range circles {
		x.Add(c)
	}
	x.Pack()
	return x
}

func TestIndexFindsTheConflictsOfTheScan(t *testing.T) {
	for _, lon := range []float64{-41, 180, -180} {
		circles := harbors(3000, 4)
		shift := lon - circles[0].Position.LonDeg
		for i := range circles {
			circles[i].Position.LonDeg = math.Remainder(circles[i].Position.LonDeg+shift, 360)
			circles[i].MarginM = float64(i % 3)
		}
		x := indexOf(circles)
		var got []clearance.Pair
		for i, c := range circles {
			for _, p := range x.Conflicts(c, i, nil) {
				if int(p.B) > i {
					p.A = int32(i)
					got = append(got, p)
				}
			}
		}
		if err := samePairs(got, clearance.Scan(circles)); err != nil {
			t.Errorf("around %g°: %v", lon, err)
		}
	}
}

func TestNearestIsThatOfAllByGeodesics(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	circles := harbors(4000, 2)
	for i := range 300 { // and some on both sides of the antimeridian
		circles = append(circles, clearance.Circle{Position: geo.Position{LatDeg: 12 + r.Float64()/100,
			LonDeg: math.Remainder(180+(r.Float64()-0.5)/100, 360)}})
		_ = i
	}
	x := indexOf(circles)
	tries := 200
	if testing.Short() {
		tries = 40
	}
	for range tries {
		near := circles[r.IntN(len(circles))].Position
		p := geo.Ahead(near, r.Float64()*360, geo.Metres(math.Pow(10, r.Float64()*7))) // from a metre to the other side of the world
		type far struct {
			i int32
			d float64
		}
		all := make([]far, len(circles))
		for i, c := range circles {
			d, _ := geo.Geodesic(p, c.Position)
			all[i] = far{int32(i), float64(d)}
		}
		slices.SortFunc(all, func(a, b far) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.i, b.i)) })
		got := x.Nearest(p, 10, nil)
		if len(got) != 10 {
			t.Fatalf("%d found, want 10", len(got))
		}
		for n, f := range got {
			if math.Abs(f.DistanceM-all[n].d) > 1e-3 /* 1 mm */ {
				t.Errorf("from %v, number %d is at %.4f m, by geodesics at %.4f m", p, n, f.DistanceM, all[n].d)
			}
		}
	}
	if got := x.Nearest(geo.Position{}, 0, nil); len(got) != 0 {
		t.Errorf("none asked, %d given", len(got))
	}
}

func TestWithLeavesTheOldIndexAsItIs(t *testing.T) {
	circles := harbors(1000, 8)
	old := indexOf(circles)
	moved := circles[10]
	moved.Position = circles[500].Position
	next := old.With(10, moved).With(len(circles), circles[501])
	if n := len(old.Conflicts(circles[500], 500, nil)); n != len(indexOf(circles).Conflicts(circles[500], 500, nil)) {
		t.Errorf("the old index has changed: %d conflicts", n)
	}
	changed := slices.Clone(circles)
	changed[10] = moved
	changed = append(changed, circles[501])
	want, got := indexOf(changed), next
	for i, c := range changed {
		a, b := want.Conflicts(c, i, nil), got.Conflicts(c, i, nil)
		if err := samePairs(b, a); err != nil {
			t.Fatalf("circle %d: %v", i, err)
		}
	}
}

// BenchmarkIndex measures what is promised of single questions among 100,000 circles.
func BenchmarkIndex(b *testing.B) {
	circles := harbors(100_000, 6)
	x := indexOf(circles)
	r := rand.New(rand.NewPCG(2, 2))
	ask := make([]int, 4096)
	for i := range ask {
		ask[i] = r.IntN(len(circles))
	}
	n := 0
	b.Run("changed", func(b *testing.B) {
		pairs := make([]clearance.Pair, 0, 64)
		b.ReportAllocs()
		for b.Loop() {
			i := ask[n&4095]
			n++
			c := circles[i]
			c.RadiusM += 0.5
			pairs = x.Conflicts(c, i, pairs[:0])
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e3, "µs/changed")
	})
	b.Run("nearest10", func(b *testing.B) {
		found := make([]clearance.Found, 0, 64)
		b.ReportAllocs()
		for b.Loop() {
			p := circles[ask[n&4095]].Position
			n++
			found = x.Nearest(p, 10, found[:0])
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e3, "µs/nearest10")
	})
}
