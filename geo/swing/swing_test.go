package swing_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/swing"
)

// mooringOf has a rode of one part, a boat of that length and bow height none, in water of that rise at chart datum.
func mooringOf(rode, length geo.Metres) *geo.Mooring {
	return &geo.Mooring{
		Number: "1", Status: geo.Occupied,
		Tackle: geo.Tackle{{Kind: geo.Rode, Length: geo.Known(rode)}},
		Boat:   &geo.Boat{LOA: geo.Known(length), BowHeight: geo.Known(geo.Metres(0))},
	}
}

// slackReach is how far a chain reaches that hangs without a load, by the statics.
func slackReach(t *testing.T, length, rise geo.Metres) float64 {
	t.Helper()
	chain := rode.Line{Parts: []rode.Part{{Name: "chain", Length: length, WeightNPerM: 100}}}
	r, err := rode.New("1", chain, rode.Water{Depth: rise})
	if err != nil {
		t.Fatal(err)
	}
	reach, err := r.Reach(0)
	if err != nil {
		t.Fatal(err)
	}
	return float64(reach)
}

func TestRadiusAgreesWithPublishedExamples(t *testing.T) {
	for _, row := range outside.Table(t, "../../testdata/swing/published.csv") {
		unit := 1.0
		if row[1] == "ft" {
			unit = geo.MetresPerFoot
		}
		line, rise, length := outside.Figure(t, row[2])*unit, outside.Figure(t, row[3])*unit, outside.Figure(t, row[4])*unit
		want, tol := outside.Figure(t, row[5])*unit, outside.Figure(t, row[6])*unit
		var got float64
		if row[0] == "slack" {
			got = slackReach(t, geo.Metres(line), geo.Metres(rise)) + length
		} else {
			a := swing.Radius(swing.Input{
				Mooring: mooringOf(geo.Metres(line), geo.Metres(length)),
				Rules:   geo.Rules{Swing: geo.SwingRule{Kind: geo.RuleKind(row[0])}},
				Levels:  geo.Known(geo.Levels{}), Depth: geo.Known(geo.Metres(rise)),
			})
			got = float64(a.Radius.Or(-1))
		}
		if math.Abs(got-want) > tol {
			t.Errorf("%s %v: got %.4f m, want %.4f ± %.4f m (%s)", row[0], row[2:5], got, want, tol, row[7])
		}
	}
}

func TestFormulaGivesThePublishedBerths(t *testing.T) {
	rule := geo.Rules{Swing: geo.SwingRule{Kind: geo.Formula, LOARatio: 1, DepthRatio: 1, Constant: geo.Feet(300)}}
	for _, row := range outside.Table(t, "../../testdata/swing/berths.csv") {
		a := swing.Radius(swing.Input{
			Mooring: mooringOf(1, geo.Feet(outside.Figure(t, row[1]))), Rules: rule,
			Levels: geo.Known(geo.Levels{}), Depth: geo.Known(geo.Feet(outside.Figure(t, row[0]))),
		})
		r, known := a.Radius.Get()
		if !known {
			t.Fatalf("%v: radius unknown, missing %v", row, a.Missing)
		}
		diameterYd := 2 * r.Feet() / 3
		if want := outside.Figure(t, row[2]); math.Abs(diameterYd-want) > 3.4 /* yd: the table's rounding to 5, at its worst entry */ {
			t.Errorf("depth %s ft, LOA %s ft: %.1f yd, table says %g", row[0], row[1], diameterYd, want)
		}
	}
}

func TestReachLiesBetweenSlackAndTaut(t *testing.T) {
	// The relation L - h <= sqrt(L² - h²) <= L; elementary.
	rapid.Check(t, func(t *rapid.T) {
		rise := rapid.Float64Range(0, 60).Draw(t, "rise")
		rode := rise + rapid.Float64Range(0, 200).Draw(t, "more")
		taut, err := swing.Taut(geo.Metres(rode), geo.Metres(rise))
		if err != nil {
			t.Fatal(err)
		}
		const rounding = 1e-9 // m
		if slack := rode - rise; slack > float64(taut)+rounding || float64(taut) > rode+rounding {
			t.Fatalf("rode %g, rise %g: slack %g, taut %g", rode, rise, slack, taut)
		}
	})
}

func TestShallowerWaterNeverGivesASmallerRadius(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.Float64Range(0, 20).Draw(t, "depth")
		less := rapid.Float64Range(0, 5).Draw(t, "less")
		rode := rapid.Float64Range(30, 80).Draw(t, "rode")
		at := func(d float64) float64 {
			return float64(swing.Radius(swing.Input{
				Mooring: mooringOf(geo.Metres(rode), 10), Rules: geo.Rules{Swing: geo.SwingRule{Kind: geo.Taut}},
				Levels: geo.Known(geo.Levels{Low: -0.5, High: 3}), Depth: geo.Known(geo.Metres(d)),
			}).Radius.Or(-1))
		}
		if at(depth-less) < at(depth)-1e-9 {
			t.Fatalf("radius at %g m is smaller than at %g m", depth-less, depth)
		}
	})
}

// radiusCase is one mooring with the radius that is expected.
type radiusCase struct {
	name    string
	m       geo.Mooring
	rule    geo.SwingRule
	depth   geo.Maybe[geo.Metres]
	levels  geo.Maybe[geo.Levels]
	want    geo.Maybe[geo.Metres]
	bound   bool
	basis   swing.Basis
	missing []string
	faults  int
}

func TestRadius(t *testing.T) {
	for _, tc := range radiusCases() {
		t.Run(tc.name, func(t *testing.T) { checkRadius(t, &tc) })
	}
}

func radiusCases() []radiusCase {
	known := func(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }
	levels := geo.Known(geo.Levels{Low: -0.5, High: 3.5})
	boat := &geo.Boat{LOA: known(9), LengthAll: known(10), BowHeight: known(1.5)}
	full := geo.Mooring{Number: "7", Status: geo.Occupied, Boat: boat, Tackle: geo.Tackle{
		{Kind: geo.Anchor, Weight: geo.Known(geo.Kilograms(150))},
		{Kind: geo.GroundChain, Length: known(8)}, {Kind: geo.TopChain, Length: known(5)}, {Kind: geo.Pennant, Length: known(4)},
	}}
	with := func(change func(*geo.Mooring)) geo.Mooring {
		m := full
		b := *boat
		m.Boat = &b
		m.Tackle = slices.Clone(full.Tackle)
		change(&m)
		return m
	}
	taut := geo.SwingRule{Kind: geo.Taut}
	none := geo.Maybe[geo.Metres]{}
	return []radiusCase{
		{name: "taut at the low level, with everything fixed to her", m: full, rule: taut, depth: known(4), levels: levels,
			want: known(math.Sqrt(17*17-5*5) + 10), basis: swing.ForBoat},
		{name: "stretched needs no depth", m: full, rule: geo.SwingRule{Kind: geo.Stretched}, depth: none, want: known(27),
			basis: swing.ForBoat},
		{name: "scope lengthens by the high level", m: full, rule: geo.SwingRule{Kind: geo.ScopeRule, ScopeRatio: 3}, depth: known(4),
			levels: levels,
			want:   known(math.Sqrt(27*27-5*5) + 10), basis: swing.ForBoat},
		{name: "scope shorter than the rode on record is a fault", m: full, rule: geo.SwingRule{Kind: geo.ScopeRule, ScopeRatio: 1.5},
			depth: known(4), levels: levels,
			want: known(math.Sqrt(13.5*13.5-5*5) + 10), basis: swing.ForBoat, faults: 1},
		{name: "scope without bow height is unknown, for none would err small", m: with(func(m *geo.Mooring) { m.Boat.BowHeight = none }),
			rule: geo.SwingRule{Kind: geo.ScopeRule, ScopeRatio: 3}, depth: known(4), levels: levels, want: none, basis: swing.ForBoat,
			missing: []string{"bow_height_m"}},
		{name: "formula", m: full, rule: geo.SwingRule{Kind: geo.Formula, LOARatio: 1.5, DepthRatio: 2, Constant: 3}, depth: known(4),
			levels: levels,
			want:   known(26), basis: swing.ForBoat},
		{name: "formula without a depth term needs no depth", m: full, rule: geo.SwingRule{Kind: geo.Formula, LOARatio: 2}, depth: none,
			want: known(20), basis: swing.ForBoat},
		{name: "stated by the area, and none on record", m: full, rule: geo.SwingRule{Kind: geo.Stated}, depth: known(4), levels: levels,
			want: none, basis: swing.ForBoat, missing: []string{"radius_m"}},
		{name: "a stated radius governs whatever the rule", m: with(func(m *geo.Mooring) {
			m.StatedRadius = known(40)
		}), rule: taut, depth: known(4), levels: levels,
			want: known(40), basis: swing.ForBoat},
		{name: "a stated radius smaller than her reach stands", m: with(func(m *geo.Mooring) {
			m.StatedRadius = known(20)
		}), rule: taut, depth: known(4), levels: levels,
			want: known(20), basis: swing.ForBoat},
		{name: "a stated radius needs no boat", m: geo.Mooring{Number: "8", Status: geo.Vacant, StatedRadius: known(25)}, rule: taut,
			want: known(25), basis: swing.ByStatement},
		{name: "vacant keeps the water of the largest boat", m: with(func(m *geo.Mooring) {
			m.Boat, m.Status, m.LargestLOA = nil, geo.Vacant, known(12)
		}), rule: taut, depth: known(4), levels: levels,
			want: known(math.Sqrt(17*17-3.5*3.5) + 12), basis: swing.ForLargest},
		{name: "vacant with none set keeps no water", m: geo.Mooring{Number: "9", Status: geo.Vacant}, rule: taut, depth: known(4),
			levels: levels,
			want:   none, basis: swing.ForNone},
		{name: "unknown depth is bounded by the stretched radius", m: full, rule: taut, depth: none, levels: levels,
			want: known(27), bound: true, basis: swing.ForBoat, missing: []string{"depth_m"}},
		{name: "unknown levels too", m: full, rule: taut, depth: known(4),
			want: known(27), bound: true, basis: swing.ForBoat, missing: []string{"levels.low_m"}},
		{name: "unknown bow height is taken as none", m: with(func(m *geo.Mooring) {
			m.Boat.BowHeight = none
		}), rule: taut, depth: known(4), levels: levels,
			want: known(math.Sqrt(17*17-3.5*3.5) + 10), basis: swing.ForBoat},
		{name: "no boat length", m: with(func(m *geo.Mooring) {
			m.Boat.LOA, m.Boat.LengthAll = none, none
		}), rule: taut, depth: known(4), levels: levels,
			want: none, basis: swing.ForBoat, missing: []string{"loa_m"}},
		{name: "no boat length is bounded by the largest set for the place", m: with(func(m *geo.Mooring) {
			m.Boat.LOA, m.Boat.LengthAll, m.LargestLOA = none, none, known(12)
		}), rule: taut, depth: known(4), levels: levels,
			want: known(math.Sqrt(17*17-5*5) + 12), bound: true, basis: swing.ForBoat, missing: []string{"loa_m"}},
		{name: "a pennant without its length leaves the rode unknown", m: with(func(m *geo.Mooring) {
			m.Tackle[3].Length = none
		}), rule: taut, depth: known(4), levels: levels,
			want: none, basis: swing.ForBoat, missing: []string{"pennant_m"}},
		{name: "a place that dries has no rise but the bow", m: full, rule: taut, depth: known(-1), levels: levels,
			want: known(math.Sqrt(17*17-1.5*1.5) + 10), basis: swing.ForBoat},
		{name: "too short at high water is a fault", m: full, rule: taut, depth: known(13), levels: levels,
			want: known(math.Sqrt(17*17-14*14) + 10), basis: swing.ForBoat, faults: 1},
		{name: "too short at low water is a fault and no radius", m: full, rule: taut, depth: known(18), levels: levels,
			want: none, basis: swing.ForBoat, missing: []string{"rode_m"}, faults: 2},
	}
}

func checkRadius(t *testing.T, tc *radiusCase) {
	got := swing.Radius(swing.Input{Mooring: &tc.m, Rules: geo.Rules{Swing: tc.rule}, Levels: tc.levels, Depth: tc.depth,
		DepthFrom: swing.OnRecord})
	g, gok := got.Radius.Get()
	w, wok := tc.want.Get()
	if gok != wok || math.Abs(float64(g-w)) > 1e-9 {
		t.Errorf("radius %v, want %v", got.Radius, tc.want)
	}
	if got.Bound != tc.bound || got.Basis != tc.basis || !slices.Equal(got.Missing, slices.Concat([]string{}, tc.missing)) ||
		len(got.Faults) != tc.faults {
		t.Errorf("bound %v basis %q missing %q faults %q", got.Bound, got.Basis, got.Missing, got.Faults)
	}
	if gok && (len(got.Working) == 0 || math.Abs(got.Working[len(got.Working)-1].Value-float64(g)) > 1e-12) {
		t.Errorf("the working does not end in the radius: %v", got.Working)
	}
}

// The lengths in the working add up to the rode, whatever else hangs on the chain in winter.
func TestTheWorkingAddsUpToTheRode(t *testing.T) {
	m := mooringOf(20, 9)
	m.Tackle = geo.Tackle{{Kind: geo.TopChain, Length: geo.Known(geo.Metres(20))},
		{Kind: geo.GroundChain, Length: geo.Known(geo.Metres(3))}}
	m.Tackle = append(m.Tackle, geo.Part{Kind: geo.MarkerLine, Length: geo.Known(geo.Metres(12))})
	a := swing.Radius(swing.Input{Mooring: m, Rules: geo.Rules{Swing: geo.SwingRule{Kind: geo.Stretched}}})
	sum, l := 0.0, 0.0
	for _, s := range a.Working {
		switch {
		case s.Symbol == "L":
			l = s.Value
		case strings.HasPrefix(s.Symbol, "L"):
			sum += s.Value
		}
	}
	if sum != 23 || l != 23 {
		t.Errorf("parts of %g m, a rode of %g m: %+v", sum, l, a.Working)
	}
}

func TestTautRefusesARodeShorterThanTheRise(t *testing.T) {
	if _, err := swing.Taut(5, 6); !errors.Is(err, geo.ErrShortRode) {
		t.Errorf("got %v", err)
	}
}

func ExampleRadius() {
	m := geo.Mooring{Number: "217", Status: geo.Occupied,
		Tackle: geo.Tackle{{Kind: geo.GroundChain, Length: geo.Known(geo.Metres(9))},
			{Kind: geo.Pennant, Length: geo.Known(geo.Metres(4))}},
		Boat: &geo.Boat{LOA: geo.Known(geo.Metres(8)), BowHeight: geo.Known(geo.Metres(1))},
	}
	rules := geo.DefaultRules()
	rules.Swing.Kind = geo.Taut
	answer := swing.Radius(swing.Input{Mooring: &m, Rules: rules,
		Levels: geo.Known(geo.Levels{Low: 0, High: 3}), Depth: geo.Known(geo.Metres(4)), DepthFrom: swing.OnRecord})
	for _, s := range answer.Working {
		fmt.Println(strings.TrimRight(fmt.Sprintf("%-6s %6.2f %s  %s", s.Symbol, s.Value, s.Unit, s.Formula), " "))
	}
	// Output:
	// L1       9.00 m
	// L2       4.00 m
	// L       13.00 m  L1 + L2
	// d        4.00 m
	// w_low    0.00 m
	// D_low    4.00 m  d + w_low
	// b        1.00 m
	// h        5.00 m  D_low + b
	// o        8.00 m
	// X       12.00 m  sqrt(L² - h²)
	// R       20.00 m  X + o
}
