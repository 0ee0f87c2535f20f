package clearance_test

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/tidwall/rtree"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// harbors lays n circles out as harbors of 1,000 on a wobbly pattern, each circle with one or two conflicts.
func harbors(n int, seed uint64) []clearance.Circle {
	r := rand.New(rand.NewPCG(seed, 3))
	circles := make([]clearance.Circle, 0, n)
	for len(circles) < n {
		at := geo.Position{LatDeg: r.Float64()*110 - 45, LonDeg: r.Float64()*360 - 180}
		lat := geo.MetresPerFoot / 0.3048 / 111000
		lon := lat / math.Cos(at.LatDeg*math.Pi/180)
		for i := 0; i < 1000 && len(circles) < n; i++ {
			east, north := float64(i%32)*38+r.Float64()*14, float64(i/32)*38+r.Float64()*14
			lonDeg := at.LonDeg + east*lon
			if lonDeg > 180 {
				lonDeg -= 360
			}
			circles = append(circles, clearance.Circle{
				Position: geo.Position{LatDeg: at.LatDeg + north*lat, LonDeg: lonDeg},
				RadiusM:  12 + r.Float64()*13, AccuracyM: 1,
			})
		}
	}
	return circles
}

func allPairs(circles []clearance.Circle) []clearance.Pair {
	var pairs []clearance.Pair
	for i, a := range circles {
		for j, b := range circles[:i] {
			if !(a.RadiusM > 0) || !(b.RadiusM > 0) {
				continue
			}
			d, _ := geo.Geodesic(a.Position, b.Position)
			if a.RadiusM+b.RadiusM+max(a.MarginM, b.MarginM)-float64(d) > 0 {
				pairs = append(pairs, clearance.Pair{A: int32(j), B: int32(i), DistanceM: float64(d),
					OverlapM: a.RadiusM + b.RadiusM - float64(d)})
			}
		}
	}
	return pairs
}

func byNumber(a, b clearance.Pair) int { return cmp.Or(cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B)) }

// samePairs holds the scan against all pairs by geodesics: the same pairs, distances within 1 mm.
func samePairs(got, want []clearance.Pair) error {
	slices.SortFunc(got, byNumber)
	slices.SortFunc(want, byNumber)
	const mm = 1e-3
	for len(got) > 0 || len(want) > 0 {
		switch {
		case len(want) == 0 || len(got) > 0 && byNumber(got[0], want[0]) < 0:
			return fmt.Errorf("pair %v is none by the geodesic", got[0])
		case len(got) == 0 || byNumber(got[0], want[0]) > 0:
			return fmt.Errorf("pair %v is missing", want[0])
		case math.Abs(got[0].DistanceM-want[0].DistanceM) > mm || math.Abs(got[0].OverlapM-want[0].OverlapM) > mm:
			return fmt.Errorf("pair %v should be %v", got[0], want[0])
		}
		got, want = got[1:], want[1:]
	}
	return nil
}

func TestScanFindsThePairsOfAllPairsByGeodesics(t *testing.T) {
	for _, tc := range []struct {
		name           string
		lat, lon, span float64 // of the field, span in degrees
		radius, ratio  float64 // smallest radius, and how many times larger the largest is
	}{
		{"a harbor at 44° N", 44, -41, 0.01, 10, 2.5},
		{"on the equator and the prime meridian", 0, 0, 0.01, 10, 2.5},
		{"70° S", -70, 30, 0.01, 10, 2.5},
		{"across the antimeridian, north", 52, 180, 0.01, 10, 2.5},
		{"across the antimeridian, south", -17, -180, 0.01, 10, 2.5},
		{"radii over three orders of magnitude", 30, 10, 0.05, 2, 1000},
		{"wide circles across the antimeridian", 60, 180, 0.05, 2, 1000},
		{"near a pole", 86, 10, 0.05, 10, 2.5},
		{"astride the line beyond which every pair is tried", 85, 10, 0.02, 10, 2.5},
		{"everywhere", 0, 0, 170, 10, 2.5},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(1, 9))
			n := 1500
			if testing.Short() {
				n = 750
			}
			circles := make([]clearance.Circle, n)
			for i := range circles {
				lon := tc.lon + (r.Float64()-0.5)*tc.span
				circles[i] = clearance.Circle{
					Position: geo.Position{LatDeg: tc.lat + (r.Float64()-0.5)*tc.span, LonDeg: math.Remainder(lon, 360)},
					RadiusM:  tc.radius * math.Pow(tc.ratio, r.Float64()*r.Float64()*r.Float64()), MarginM: r.Float64() * 3,
				}
			}
			circles[7].RadiusM, circles[8].RadiusM = math.NaN(), -1
			want := allPairs(circles)
			if tc.span < 1 && len(want) < 100 {
				t.Fatalf("only %d pairs: the test asks too little", len(want))
			}
			if err := samePairs(clearance.Scan(circles), want); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestScanDoesNotDependOnTheOrderOfTheList(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		circles := harbors(rapid.IntRange(0, 3000).Draw(t, "circles"), rapid.Uint64().Draw(t, "seed"))
		order := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 0)).Perm(len(circles))
		shuffled := make([]clearance.Circle, len(circles))
		for to, from := range order {
			shuffled[to] = circles[from]
		}
		back := clearance.Scan(shuffled)
		for i := range back {
			a, b := int32(order[back[i].A]), int32(order[back[i].B])
			back[i].A, back[i].B = min(a, b), max(a, b)
		}
		want := clearance.Scan(circles)
		if err := samePairs(back, want); err != nil {
			t.Fatal(err)
		}
	})
}

func TestScanOfNothingIsNothing(t *testing.T) {
	for _, circles := range [][]clearance.Circle{nil, {{}}, {{RadiusM: math.Inf(1)}, {RadiusM: 5}}} {
		if pairs := clearance.Scan(circles); len(pairs) != 0 {
			t.Errorf("%v: %v", circles, pairs)
		}
	}
}

// plainRTree is the plain use of the R-tree: insert one by one, one search a circle.
func plainRTree(circles []clearance.Circle) int {
	var tree rtree.RTreeG[int32]
	box := func(c clearance.Circle) (lo, hi [2]float64) {
		lat := (c.RadiusM + c.MarginM) / 110500
		lon := lat / math.Cos(c.Position.LatDeg*math.Pi/180) * 1.01
		return [2]float64{c.Position.LonDeg - lon, c.Position.LatDeg - lat}, [2]float64{c.Position.LonDeg + lon, c.Position.LatDeg + lat}
	}
	for i, c := range circles {
		lo, hi := box(c)
		tree.Insert(lo, hi, int32(i))
	}
	found := 0
	for i, c := range circles {
		lo, hi := box(c)
		a := geo.NewStation(c.Position)
		tree.Search(lo, hi, func(_, _ [2]float64, j int32) bool {
			if int(j) > i {
				o := circles[j]
				if float64(a.PairDistance(geo.NewStation(o.Position))) < c.RadiusM+o.RadiusM+max(c.MarginM, o.MarginM) {
					found++
				}
			}
			return true
		})
	}
	return found
}

// BenchmarkScan measures what is promised of the full scan: a million circles, how it grows, what strays and shuffling cost, and
// how many times faster it is than the plain use of the R-tree in the same run.
func BenchmarkScan(b *testing.B) {
	million := harbors(1_000_000, 1)
	best := func(circles []clearance.Circle, runs int) float64 {
		least := math.Inf(1)
		for range runs {
			start := time.Now()
			clearance.Scan(circles)
			least = min(least, time.Since(start).Seconds())
		}
		return least
	}
	for b.Loop() {
		one := best(million, 7)
		small := best(million[:10_000], 50)
		strays := slices.Clone(million[:10_000])
		strays = append(strays,
			clearance.Circle{Position: geo.Ahead(strays[0].Position, 80, 1e6), RadiusM: 20},
			clearance.Circle{Position: geo.Ahead(strays[0].Position, 190, 1e6), RadiusM: 20})
		oneHarbor := harbors(1000, 5)
		strayed := append(slices.Clone(oneHarbor), strays[10_000:]...)
		shuffled := slices.Clone(million)
		rand.New(rand.NewPCG(1, 1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		start := time.Now()
		found := plainRTree(million)
		plain := time.Since(start).Seconds()
		if pairs := clearance.Scan(million); len(pairs) != found {
			b.Fatalf("the scan finds %d pairs, the plain R-tree %d", len(pairs), found)
		}
		b.ReportMetric(one*1e3, "ms/1M")
		b.ReportMetric(plain/one, "x-plain-rtree")
		b.ReportMetric(one/small, "x-growth-10k-1M")
		b.ReportMetric(max(best(strays, 50)/small, best(strayed, 200)/best(oneHarbor, 200)), "x-strays")
		b.ReportMetric(best(shuffled, 7)/one, "x-shuffled")
		b.ReportMetric(float64(found), "pairs")
	}
}
