package rode_test

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/rode"
)

// figures reads a table of testdata/rode without its heading; cells that are no number are 0.
func figures(t *testing.T, name string) (rows [][]float64) {
	t.Helper()
	all := outside.Table(t, "../../testdata/rode/"+name)
	if len(all) < 2 {
		t.Fatal(name, "is empty")
	}
	for _, cells := range all[1:] {
		row := make([]float64, len(cells))
		for i, cell := range cells {
			row[i], _ = strconv.ParseFloat(cell, 64)
		}
		rows = append(rows, row)
	}
	return rows
}

func chain(lengthM, weightNPerM float64) rode.Part {
	return rode.Part{Name: "chain", Length: geo.Metres(lengthM), WeightNPerM: weightNPerM}
}

func must(t testing.TB, line rode.Line, water rode.Water) *rode.Rode {
	t.Helper()
	r, err := rode.New("1", line, water)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func at(t testing.TB, r *rode.Rode, loadN float64) rode.State {
	t.Helper()
	s, err := r.At(geo.Newtons(loadN))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6f, want %.6f ± %g", what, got, want, tol)
	}
}

// The tables are in feet and pounds; the statics do not care, so long as they are not mixed.
func TestOneChainAgreesWithTheClosedForms(t *testing.T) {
	r := must(t, rode.Line{Parts: []rode.Part{chain(50, 2)}}, rode.Water{Depth: 20})
	for _, row := range figures(t, "chain.csv") {
		s := at(t, r, row[0])
		const tol = 6e-5 // the table's last digit
		near(t, "lifted", 50-float64(s.OnBed), row[1], tol)
		near(t, "reach", float64(s.Reach), row[2], tol)
		near(t, "vertical pull at the top", s.Parts[0].HighUpN, row[3], tol)
		near(t, "vertical pull at the anchor", s.Parts[0].LowUpN, row[4], tol)
	}
	near(t, "uplift at 200 lb", at(t, r, 200).AnchorPullUpDeg, 11.1857, 6e-5)
	near(t, "uplift at 1000 lb", at(t, r, 1000).AnchorPullUpDeg, 21.1511, 6e-5)
	near(t, "slack", float64(at(t, r, 0).Reach), 30, 1e-5)
	near(t, "taut", float64(at(t, r, 1e9).Reach), math.Sqrt(50*50-20*20), 1e-6)
}

func TestTwoChainsAgreeWithTheClosedForms(t *testing.T) {
	r := must(t, rode.Line{Parts: []rode.Part{chain(30, 5), chain(20, 2)}}, rode.Water{Depth: 20})
	for _, row := range figures(t, "two_chains.csv") {
		s := at(t, r, row[0])
		near(t, "reach", float64(s.Reach), row[1], 6e-5)
		near(t, "lower chain lifted", 30-float64(s.OnBed), row[2], 6e-5)
		near(t, "pull at the top", float64(s.BowPull), row[3], 6e-5)
	}
	if s := at(t, r, 250); s.AnchorPullUpDeg <= 0 {
		t.Error("at 250 lb the anchor is pulled upwards; the table says so")
	}
}

func TestLoadAtAReachAgreesWithTheClosedForms(t *testing.T) {
	for _, row := range figures(t, "lines.csv") {
		r := must(t, rode.Line{Parts: []rode.Part{chain(row[1], row[2])}}, rode.Water{Depth: geo.Metres(row[3])})
		s := at(t, r, row[5])
		near(t, "reach", float64(s.Reach), row[4], 6e-4 /* 0.6 mm: the last digit of the printed reach */)
		near(t, "vertical pull at the top", s.Parts[0].HighUpN, row[6], row[8]+0.05*row[8])
		near(t, "on the bed", float64(s.OnBed), row[7], 0.005)
		load, err := r.Load(s.Reach)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "load at that reach", float64(load), row[5], 1e-3*row[5])
		if row[8] < 1 { // the closed form starts from the reach
			load, err = r.Load(geo.Metres(row[4]))
			if err != nil {
				t.Fatal(err)
			}
			near(t, "load", float64(load), row[5], row[8])
		}
	}
}

// drawn is a line of two chains, a rope that stretches and a buoy, in water, as a mooring has them.
func drawn(t *rapid.T) (rode.Line, rode.Water) {
	span := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	water := rode.Water{Depth: geo.Metres(span(0, 12, "depth")), Bow: geo.Metres(span(0, 2.5, "bow"))}
	buoy := rapid.Bool().Draw(t, "buoy")
	least := -1.0 // a rope that floats
	if buoy {
		least = 0 // the pennant hangs in air
	}
	line := rode.Line{Parts: []rode.Part{
		chain(float64(water.Depth)+span(0.1, 12, "ground"), span(5, 250, "ground weight")),
		chain(span(0.5, 12, "top"), span(2, 120, "top weight")),
		{Name: "pennant", Length: water.Bow + geo.Metres(span(0.1, 8, "pennant")), WeightNPerM: span(least, 3, "rope weight"),
			Stretch: rode.Stretch{{PullN: span(100, 3000, "bend"), StrainRatio: 0.12}, {PullN: 20000, StrainRatio: 0.3}}},
	}}
	if buoy {
		line.Buoy = &rode.Buoy{Below: 2, Lift: geo.Newtons(span(20, 4000, "lift")), WeightN: span(0, 300, "buoy weight")}
	}
	return line, water
}

func TestMoreLoadIsNeverLessReachAndForcesBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, water := drawn(t)
		r, err := rode.New("1", line, water)
		if err != nil {
			t.Fatal(err)
		}
		before := -math.MaxFloat64
		for _, loadN := range []float64{0, 1e-3, 1, 10, 60, 200, 900, 4000, 20000} {
			s, err := r.At(geo.Newtons(loadN))
			if err != nil {
				t.Fatal(err)
			}
			if !s.Reach.Finite() || float64(s.Reach) < before-1e-7 {
				t.Fatalf("%g N: reach %.9f after %.9f", loadN, float64(s.Reach), before)
			}
			before = float64(s.Reach)
			for i, p := range s.Parts {
				weight := line.Parts[i].WeightNPerM * float64(line.Parts[i].Length-p.OnBed)
				if p.OnBed > 0 && line.Parts[i].WeightNPerM <= 0 {
					continue
				}
				if d := p.HighUpN - p.LowUpN - weight; math.Abs(d) > 1e-6*(1+math.Abs(weight)) {
					t.Fatalf("%g N, part %d: out of balance by %g N", loadN, i, d)
				}
				if i == 0 {
					continue
				}
				lift := 0.0
				if s.Buoy != nil && i == line.Buoy.Below {
					lift = float64(s.Buoy.Lift)
				}
				if d := s.Parts[i-1].HighUpN - p.LowUpN - lift; math.Abs(d) > 1e-6*(1+math.Abs(lift)) && s.Parts[i-1].OnBed == 0 {
					t.Fatalf("%g N, joint under part %d: out of balance by %g N (%+v)", loadN, i, d, s.Buoy)
				}
			}
		}
	})
}

func TestReachLiesBetweenSlackAndTaut(t *testing.T) {
	// L - h <= reach <= sqrt(L² - h²) for a line that neither stretches nor floats; elementary.
	rapid.Check(t, func(t *rapid.T) {
		rise := rapid.Float64Range(0, 20).Draw(t, "rise")
		parts := []rode.Part{chain(rise+rapid.Float64Range(0.01, 40).Draw(t, "lower"), rapid.Float64Range(1, 300).Draw(t, "w1")),
			chain(rapid.Float64Range(0.1, 20).Draw(t, "upper"), rapid.Float64Range(0.5, 300).Draw(t, "w2"))}
		r, err := rode.New("1", rode.Line{Parts: parts}, rode.Water{Depth: geo.Metres(rise)})
		if err != nil {
			t.Fatal(err)
		}
		l := float64(parts[0].Length + parts[1].Length)
		x, err := r.Reach(geo.Newtons(math.Exp(rapid.Float64Range(-10, 14).Draw(t, "log load"))))
		if err != nil {
			t.Fatal(err)
		}
		if float64(x) < l-rise-1e-6 || float64(x) > math.Sqrt((l-rise)*(l+rise))+1e-6 {
			t.Fatalf("reach %g, slack %g, taut %g", float64(x), l-rise, math.Sqrt((l-rise)*(l+rise)))
		}
	})
}

func TestABuoyThatCannotCarryItsChainGoesUnder(t *testing.T) {
	line := rode.Line{Parts: []rode.Part{chain(12, 100), {Name: "pennant", Length: 4, WeightNPerM: 1}},
		Buoy: &rode.Buoy{Below: 1, Lift: 300, WeightN: 50}}
	s := at(t, must(t, line, rode.Water{Depth: 8, Bow: 1}), 0)
	if s.Buoy.Place != rode.Under || s.Buoy.Height >= 8 {
		t.Fatalf("8 m of chain at 100 N/m hang on 300 N of lift, and the buoy is %s at %.2f m", s.Buoy.Place, float64(s.Buoy.Height))
	}
	near(t, "the lift that it wants", float64(s.Buoy.NeededLift), 800, 5 /* N: the slack pennant's own weight */)
	line.Buoy.Lift = s.Buoy.NeededLift + 1
	if s = at(t, must(t, line, rode.Water{Depth: 8, Bow: 1}), 0); s.Buoy.Place != rode.Afloat {
		t.Errorf("with the lift that it wants it is %s", s.Buoy.Place)
	}
}

func TestBadLinesAreRefusedByName(t *testing.T) {
	good := []rode.Part{chain(10, 50)}
	for _, tc := range []struct {
		name  string
		line  rode.Line
		water rode.Water
		kind  error
		says  string
	}{
		{"shorter than the depth", rode.Line{Parts: good}, rode.Water{Depth: 11}, geo.ErrShortRode, "mooring 217"},
		{"no parts", rode.Line{}, rode.Water{Depth: 5}, geo.ErrInvalid, "tackle"},
		{"no weight anywhere", rode.Line{Parts: []rode.Part{chain(10, 0)}}, rode.Water{Depth: 5}, geo.ErrInvalid, "chain"},
		{"weight that is no number", rode.Line{Parts: []rode.Part{chain(10, math.NaN())}}, rode.Water{Depth: 5}, geo.ErrInvalid, "chain"},
		{"a floating pennant over a buoy", rode.Line{Parts: []rode.Part{chain(9, 50), {Name: "pennant", Length: 4, WeightNPerM: -1}},
			Buoy: &rode.Buoy{Below: 1, Lift: 900}}, rode.Water{}, geo.ErrInvalid, "pennant"},
		{"length of nothing", rode.Line{Parts: []rode.Part{chain(0, 50)}}, rode.Water{}, geo.ErrInvalid, "chain"},
		{"a curve that falls", rode.Line{Parts: []rode.Part{{Name: "elastic", Length: 10, WeightNPerM: 1,
			Stretch: rode.Stretch{{PullN: 10, StrainRatio: 0.5}, {PullN: 20, StrainRatio: 0.4}}}}}, rode.Water{}, geo.ErrInvalid,
			"elastic"},
	} {
		_, err := rode.New("217", tc.line, tc.water)
		if !errors.Is(err, tc.kind) || !strings.Contains(err.Error(), "217") || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: %v", tc.name, err)
		}
	}
	r := must(t, rode.Line{Parts: good}, rode.Water{Depth: 5})
	for _, load := range []geo.Newtons{-1, geo.Newtons(math.NaN()), geo.Newtons(math.Inf(1))} {
		if _, err := r.Reach(load); !errors.Is(err, geo.ErrInvalid) {
			t.Errorf("a load of %g: %v", float64(load), err)
		}
	}
	if _, err := r.Load(9); !errors.Is(err, geo.ErrInvalid) { // taut is 8.66 m
		t.Errorf("a reach beyond taut: %v", err)
	}
}

func ExampleRode_At() {
	r, err := rode.New("217", rode.Line{Parts: []rode.Part{{Name: "ground chain", Length: 9, WeightNPerM: 50},
		{Name: "top chain", Length: 8, WeightNPerM: 20}}}, rode.Water{Depth: 5, Bow: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range []geo.Newtons{0, 100, 1000} {
		s, err := r.At(load)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f N: reach %.2f m, %.2f m on the bed, anchor pulled up by %.1f°\n", float64(load), float64(s.Reach),
			float64(s.OnBed), s.AnchorPullUpDeg)
	}
	// Output:
	//    0 N: reach 11.00 m, 11.00 m on the bed, anchor pulled up by 0.0°
	//  100 N: reach 14.21 m, 8.17 m on the bed, anchor pulled up by 0.0°
	// 1000 N: reach 15.67 m, 0.00 m on the bed, anchor pulled up by 1.4°
}

// A pennant that sinks, over a line that floats, hangs in a bight between the bow and the float; it does not lie on the bed, and the reach
// grows from calm to blow.
func TestASinkingPartOverAFloatingOneHangsInABight(t *testing.T) {
	line := rode.Line{Parts: []rode.Part{chain(2, 30),
		{Name: "elastic", Length: 6, WeightNPerM: -1.2, Stretch: rode.Stretch{{PullN: 2000, StrainRatio: 1}}},
		{Name: "pennant", Length: 4, WeightNPerM: 0.4}}}
	r := must(t, line, rode.Water{Depth: 3.7, Bow: 1})
	before := 0.0
	for _, loadN := range []float64{0, 0.001, 0.01, 0.1, 0.5, 1, 1.5, 2, 5, 10, 100, 1000} {
		s := at(t, r, loadN)
		if float64(s.Reach) <= before || float64(s.OnBed) > 2 {
			t.Errorf("at %g N: reach %.3f m after %.3f m, %.2f m on the bed", loadN, float64(s.Reach), before, float64(s.OnBed))
		}
		// What the bow and the chain carry of the pennant and the float balances their weights.
		near(t, "balance", s.Parts[2].HighUpN-s.Parts[1].LowUpN, 4*0.4-6*1.2, 1e-6)
		before = float64(s.Reach)
	}
}
