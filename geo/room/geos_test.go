package room

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// geos compiles the program of testdata/room/geos.c and gives a function that runs it.
func geos(t testing.TB) func(p *plan, quad, circles int, spacingM float64) (areaM2 float64, found []bestPlace, took time.Duration) {
	t.Helper()
	cc := outside.Program(t, "cc", "gcc")
	program := filepath.Join(t.TempDir(), "geos")
	if out, err := exec.Command(cc, "-O2", "-o", program, "../../testdata/room/geos.c", "-lgeos_c", "-lm").CombinedOutput(); err != nil {
		outside.Missing(t, "GEOS (Debian package libgeos-dev) does not compile: "+string(out))
	}
	return func(p *plan, quad, circles int, spacingM float64) (areaM2 float64, all []bestPlace, took time.Duration) {
		t.Helper()
		var in strings.Builder
		fmt.Fprintf(&in, "%.17g %d %d %.17g\n", p.radius.fixedM, quad, circles, spacingM)
		for _, z := range p.zones {
			if z.in {
				fmt.Fprintf(&in, "area %d", len(z.edges))
			} else {
				fmt.Fprintf(&in, "land %d %.17g", len(z.edges), z.keepM)
			}
			for _, g := range z.edges {
				fmt.Fprintf(&in, " %.17g %.17g", g.a.EastM, g.a.NorthM)
			}
			in.WriteString("\n")
		}
		for _, d := range p.discs {
			fmt.Fprintf(&in, "disc %.17g %.17g %.17g\n", d.at.EastM, d.at.NorthM, d.keepM)
		}
		in.WriteString("end\n")
		cmd := exec.Command(program)
		cmd.Stdin = strings.NewReader(in.String())
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(strings.NewReader(string(out)))
		for n := 0; lines.Scan(); n++ {
			cells := strings.Fields(lines.Text())
			num := func(i int) float64 {
				v, err := strconv.ParseFloat(cells[i], 64)
				if err != nil {
					t.Fatal(lines.Text())
				}
				return v
			}
			switch {
			case n == 0:
				areaM2 = num(0)
			case cells[0] == "seconds":
				took = time.Duration(num(1) * float64(time.Second))
			default:
				all = append(all, bestPlace{at: geo.Offset{EastM: num(0), NorthM: num(1)}, clearanceM: num(2)})
			}
		}
		return areaM2, all, took
	}
}

// harbor is a plan of the size of a harbor: discs in rows with some missing, a shore of many corners, and an island.
func harborPlan(discs, corners int) *plan {
	r := rand.New(rand.NewPCG(31, 7))
	const width, height = 1400.0, 900.0
	outer := make([]float64, 0, 8)
	outer = append(outer, 0, 0, width, 0, width, height, 0, height)
	shore := make([]float64, 0, 2*corners)
	for i := range corners - 2 { // along the north side, counterclockwise: from east to west below, and back above
		share := float64(i) / float64(corners-3)
		shore = append(shore, -50+share*(width+100), height-60-25*math.Sin(share*9)-8*r.Float64())
	}
	shore = append(shore, width+50, height+200, -50, height+200)
	p := &plan{zones: []zone{zoneOf(true, 0, ringOf(outer...)), zoneOf(false, 2, ringOf(shore...)),
		zoneOf(false, 1, ringOf(610, 300, 660, 310, 670, 380, 620, 400))}}
	p.radius.fixedM = 17
	for i := 0; len(p.discs) < discs; i++ {
		at := geo.Offset{EastM: 25 + float64(i%28)*48 + 6*r.Float64(), NorthM: 25 + float64(i/28)*40 + 6*r.Float64()}
		if r.Float64() < 0.94 {
			p.discs = append(p.discs, disc{at: at, keepM: 14 + 6*r.Float64(), own: true})
		}
	}
	return boxed(p)
}

func TestTheRegionIsThatOfGEOS(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	run := geos(t)
	for _, discs := range []int{40, 160, 300} {
		p := harborPlan(discs, 300)
		// A buffer of q segments a quadrant falls short of its circle; what it leaves is overstated by about 1/q². Two of them tell what
		// none would.
		coarse, _, _ := run(p, 16, 0, 0)
		middle, _, _ := run(p, 64, 0, 0)
		fine, _, _ := run(p, 128, 0, 0)
		want := fine + (fine-middle)/3
		r, fault, err := p.region(context.Background(), regionCellM)
		if fault != nil || err != nil || math.Abs(r.AreaM2-want) > 2e-5*want || r.PolygonsM2 > want {
			t.Errorf("%d discs: area %.3f m², polygons %.3f m², GEOS %.3f m²", discs, r.AreaM2, r.PolygonsM2, want)
		}
		if coarse <= want*(1+1e-5) {
			t.Errorf("%d discs: 16 segments leave %.3f m² of %.3f m²: they should overstate what is free", discs, coarse, want)
		}
		t.Logf("%d discs: %.3f m² (%+.1e of GEOS), polygons %+.1e; 16 segments %+.1e", discs, r.AreaM2, r.AreaM2/want-1,
			r.PolygonsM2/want-1, coarse/want-1)
	}
}

// Random plans of one radius: an area with a dent, an island and some discs, many of which overlap or all but touch.
func TestRegionsOfRandomPlansAreThoseOfGEOS(t *testing.T) {
	if testing.Short() {
		t.Skip("GEOS makes many buffers; run without -short")
	}
	run := geos(t)
	random := rand.New(rand.NewPCG(11, 13))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*random.Float64() }
	worst := 0.0
	for n := range 60 {
		p := &plan{zones: []zone{
			zoneOf(true, 0, ringOf(0, 0, 200, 0, 200, 150, between(90, 120), between(60, 140), 0, 150)),
			zoneOf(false, 1, ringOf(40, 40, 60, 35, 70, 60, 50, 70)),
		}}
		p.radius.fixedM = between(4, 15)
		for range random.IntN(15) {
			p.discs = append(p.discs, disc{at: geo.Offset{EastM: between(-20, 220), NorthM: between(-20, 170)}, keepM: between(1, 20),
				own: true})
		}
		boxed(p)
		middle, _, _ := run(p, 64, 0, 0)
		fine, _, _ := run(p, 128, 0, 0)
		wantM2 := fine + (fine-middle)/3
		r, fault, err := p.region(context.Background(), regionCellM)
		// In little water what GEOS itself is out by, a thousandth of a square metre, counts more than the share.
		tolM2 := 2e-5*wantM2 + 1e-3
		if off := math.Abs(r.AreaM2 - wantM2); fault != nil || err != nil || off > tolM2 || r.PolygonsM2 > wantM2+tolM2 {
			t.Errorf("plan %d: %+v, %v, area %.4f m², polygons %.4f m², GEOS %.4f m²", n, fault, err, r.AreaM2, r.PolygonsM2, wantM2)
		} else {
			worst = max(worst, off/tolM2)
		}
	}
	t.Logf("at worst %.2f of the tolerance", worst)
}

func TestTheBestPlaceIsTheLargestCircleOfGEOS(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	run := geos(t)
	for _, discs := range []int{40, 160, 300} {
		p := harborPlan(discs, 300)
		_, theirs, _ := run(p, 128, 1, 0)
		ours, ok := newSearch(p, Close, 0).next(context.Background())
		if !ok || len(theirs) != 1 || math.Abs(ours.clearanceM-theirs[0].clearanceM) > 0.02 /* 1 cm of each */ {
			t.Errorf("%d discs: %+v, GEOS %+v", discs, ours, theirs)
		}
	}
}

// BenchmarkAgainstGEOS: the best 5 places among 500 circles with a shore of 2,000 corners to 1 cm, beside GEOS's buffers, union, difference
// and largest inscribed circles in the same run.
func BenchmarkAgainstGEOS(b *testing.B) {
	run := geos(b)
	p := harborPlan(500, 2000)
	_, theirs, took := run(p, 16, 5, 40)
	for b.Loop() {
		s := newSearch(p, Close, 40)
		for i := range 5 {
			if f, ok := s.next(context.Background()); i == 0 &&
				(!ok || math.Abs(f.clearanceM-theirs[0].clearanceM) > 0.15 /* what 16 segments are out by */) {
				b.Fatalf("%+v, GEOS %+v", f, theirs[0])
			}
		}
	}
	each := b.Elapsed() / time.Duration(b.N)
	b.ReportMetric(float64(each.Microseconds())/1e3, "ms/best5")
	b.ReportMetric(float64(took)/float64(each), "times_GEOS")
}
