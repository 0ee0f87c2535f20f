package swing_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/swing"
)

// elastic is a mooring under the rule that counts the stretch.
func elastic(m *geo.Mooring) swing.Input {
	in := hanging(m)
	in.Rules.Swing.Kind = geo.TautStretch
	return in
}

// The closed form of one part that stretches, worked by hand: 20 m of nylon of 16 mm, 4 m of water and 1.2 m of bow at all levels, 20 kn
// without gusts. H is the larger of the drag formula and the table: 900 lb at 30 kn for 9 m by 3 m (35 ft row), so 900 · 4.4482216 ·
// (20/30)² = 1,779.3 N. Nylon stretches 0.06 at 2,250 N, so 0.047448 at H: L_H = 20.94896 m, t = 5.2/sqrt(20.94896² - 5.2²) = 0.256242. It
// weighs 0.157 · 9.80665 · (1 - 1026/1140) · 20 = 3.0793 N in water. T = sqrt(1,779.3² + (1,779.3 · 0.256242 + 3.0793)²) = 1,837.6 N, e =
// 0.049002, L' = 20.98004, X = sqrt(L'² - 5.2²) = 20.32544 m.
func TestOneRopeIsStretchedAsWorkedByHand(t *testing.T) {
	m := yard()
	m.Tackle = geo.Tackle{m.Tackle[0], {Kind: geo.Rope, Length: metres(20), Size: metres(0.016), Material: "nylon"}}
	in := elastic(m)
	in.Levels = geo.Known(geo.Levels{})
	in.Rules.Design = geo.Design{Wind: geo.Known(geo.Knots(20)), GustRatio: geo.Known(1.0)}
	a := swing.Radius(in)
	for symbol, want := range map[string]float64{"H": 1779.3, "L_H": 20.94896, "t": 0.256242, "W": 3.0793, "T": 1837.6, "e1": 0.049002,
		"L'": 20.98004, "X": 20.32544, "R": 29.32544} {
		if got := value(t, a, symbol); math.Abs(got-want) > 1e-4*want /* the digits written above */ {
			t.Errorf("%s is %g, want %g", symbol, got, want)
		}
	}
	if a.Bound || len(a.Missing) > 0 || len(a.Faults) > 0 {
		t.Errorf("%+v", a)
	}
}

func TestWithoutRopeThereIsNoStretch(t *testing.T) {
	for name, m := range map[string]*geo.Mooring{"chain alone": onChain(),
		"the whole rode": {Number: "217", Boat: yard().Boat, Status: geo.Occupied,
			Tackle: geo.Tackle{{Kind: geo.Rode, Length: metres(15)}}}} {
		for _, change := range []func(in *swing.Input){func(*swing.Input) {}, func(in *swing.Input) {
			in.Depth = geo.Maybe[geo.Metres]{}
		}, func(in *swing.Input) { in.Mooring.Boat.Beam = geo.Maybe[geo.Metres]{} }} {
			in := elastic(m)
			boat := *m.Boat
			in.Mooring.Boat = &boat
			change(&in)
			a := swing.Radius(in)
			in.Rules.Swing.Kind = geo.Taut
			if b := swing.Radius(in); a.Radius != b.Radius || a.Bound != b.Bound || !slices.Equal(a.Missing, b.Missing) ||
				len(a.Contradictions)+len(b.Contradictions) > 0 {
				t.Errorf("%s: with stretch %+v, taut %+v", name, a, b)
			}
		}
	}
}

// moored is a mooring of any tackle and boat in any water, with all on record, whose line reaches the bow at every level.
func someMoored(t *rapid.T) swing.Input {
	in := elastic(yard())
	span := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	in.Mooring.Tackle = someTackle(t)
	in.Mooring.Boat = &geo.Boat{Kind: rapid.SampledFrom([]string{"sloop", "motor", ""}).Draw(t, "kind"), LOA: metres(span(4, 20, "loa")),
		Beam:      metres(span(1, 6, "beam")),
		BowHeight: metres(span(0, 3, "bow")), Draft: metres(span(0.2, 3, "draft"))}
	in.Depth = metres(span(-3, 20, "depth"))
	low := span(-2, 1, "low")
	in.Levels = geo.Known(geo.Levels{Low: geo.Metres(low), High: geo.Metres(low + span(0, 6, "range"))})
	in.Rules.Design.Wind = geo.Known(geo.Knots(span(1, 60, "wind")))
	in.Rules.Design.Stream, in.Rules.Design.StreamDeg = geo.Known(geo.Knots(span(0, 4, "stream"))), geo.Known(0.0)
	return in
}

// Against the statics, which solve the line as it hangs: the bound is never less than what it reaches under the same load, at any level.
func TestTautWithStretchIsNeverLessThanTheStatics(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		in := someMoored(t)
		a := swing.Radius(in)
		radius, known := a.Radius.Get()
		c, err := swing.NewVessel(in)
		if err != nil || !known {
			return
		}
		if b := c.Tackle.Line.Buoy; b != nil && (b.Below == len(c.Tackle.Line.Parts) || b.Lift >= rode.UnlimitedLift) {
			// Made fast at the buoy: the statics then have her bow at its height, the rules where it is on record. And a buoy that lifts
			// whatever it is asked for would draw a line apart that is too short for it to float.
			return
		}
		load, missing := swing.DesignLoadOf(*in.Mooring.Boat, in.Rules.Design)
		if missing != nil {
			t.Fatal(missing)
		}
		levels := in.Levels.Or(geo.Levels{})
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		for _, s := range []float64{0, share, 0.5, 1} {
			ready, err := c.At(levels.Low + geo.Metres(s)*(levels.High-levels.Low))
			if err != nil {
				continue
			}
			reach, err := ready.Rode.Reach(load.Load)
			if err != nil {
				continue
			}
			compared++
			const solvedM = 1e-6
			if !(reach+c.Length <= radius*(1+1e-9)+solvedM) {
				t.Fatalf("at %g of the range she reaches %.6f m, by the rule %.6f m: %+v", s, float64(reach+c.Length), float64(radius), a)
			}
		}
	})
	if compared == 0 {
		t.Error("nothing was compared")
	}
}

// And it is no more than some hundredths of the rope's length above them on an ordinary mooring.
func TestTautWithStretchIsCloseToTheStatics(t *testing.T) {
	in := elastic(yard())
	with := swing.Radius(in).Radius.Or(-1)
	in.Rules.Swing.Kind = geo.Catenary
	if hangs := swing.Radius(in).Radius.Or(-1); !(with >= hangs) || with > hangs+0.15 /* m: 4 m of nylon, and the sag of 15 m of chain */ {
		t.Errorf("with stretch %g m, by the statics %g m", float64(with), float64(hangs))
	}
}

// blanks are the facts from which a radius with stretch follows, each taken away.
func blanks() map[string]func(in *swing.Input) {
	none := geo.Maybe[geo.Metres]{}
	all := map[string]func(in *swing.Input){
		"depth_m":          func(in *swing.Input) { in.Depth = none },
		"levels.low_m":     func(in *swing.Input) { in.Levels = geo.Maybe[geo.Levels]{} },
		"loa_m":            func(in *swing.Input) { in.Mooring.Boat.LOA, in.Mooring.Boat.LengthAll = none, none },
		"beam_m":           func(in *swing.Input) { in.Mooring.Boat.Beam = none },
		"bow_height_m":     func(in *swing.Input) { in.Mooring.Boat.BowHeight = none },
		"draft_m":          func(in *swing.Input) { in.Mooring.Boat.Draft = none },
		"":                 func(in *swing.Input) { in.Mooring.Boat.Kind = "" },
		"pennant_material": func(in *swing.Input) { in.Mooring.Tackle[4].Material = "" },
	}
	for i, kind := range []geo.PartKind{1: geo.GroundChain, 2: geo.TopChain, 3: geo.Buoy, 4: geo.Pennant} {
		if i == 0 {
			continue
		}
		all[string(kind)+"_size_m"] = func(in *swing.Input) { in.Mooring.Tackle[i].Size = none }
		if kind != geo.Buoy {
			all[string(kind)+"_m"] = func(in *swing.Input) { in.Mooring.Tackle[i].Length = none }
		}
	}
	return all
}

func TestTakingAFactAwayNeverMakesTheRadiusSmaller(t *testing.T) {
	full := elastic(yard())
	full.Rules.Design = geo.Design{Stream: geo.Known(geo.Knots(2)), StreamDeg: geo.Known(90.0)}
	want := swing.Radius(full).Radius.Or(-1)
	for field, blank := range blanks() {
		in := elastic(yard())
		in.Rules.Design = full.Rules.Design
		blank(&in)
		a := swing.Radius(in)
		r, known := a.Radius.Get()
		if known && r < want-1e-9 {
			t.Errorf("without %s: %g m, with it %g m", field, float64(r), float64(want))
		}
		if told := slices.Contains(a.Missing, field); field != "" &&
			(!told && field != "buoy_size_m" /* afloat it needs none */ || told && known && !a.Bound) {
			t.Errorf("without %s: missing %q, bound %v", field, a.Missing, a.Bound)
		}
	}
}

func TestAVacantPlaceTakesAnAmpleBoat(t *testing.T) {
	in := elastic(yard())
	in.Mooring.Boat, in.Mooring.Status, in.Mooring.LargestLOA = nil, geo.Vacant, metres(9)
	a := swing.Radius(in)
	in.Rules.Swing.Kind = geo.Taut
	b := swing.Radius(in)
	if r := a.Radius.Or(-1); a.Bound || len(a.Missing) > 0 || !(r > b.Radius.Or(-1)) || value(t, a, "B") != 3 {
		t.Errorf("%+v", a)
	}
	if len(b.Contradictions) != 1 || !b.Contradictions[0].Bound {
		t.Errorf("of a boat that is only supposed: %+v", b.Contradictions)
	}
}

func TestContradictions(t *testing.T) {
	none := geo.Maybe[geo.Metres]{}
	reach := func(in swing.Input) float64 {
		in.Mooring.StatedRadius, in.Rules.Swing = none, geo.SwingRule{Kind: geo.TautStretch}
		return float64(swing.Radius(in).Radius.Or(-1))
	}
	for _, tc := range []struct {
		name   string
		change func(in *swing.Input)
		want   []swing.Contradiction // NeedsM unknown: the reach with stretch
	}{
		{"a radius stated below the length of the boat, and below the reach", func(in *swing.Input) {
			in.Mooring.StatedRadius, in.Mooring.Boat.LOA = metres(6), metres(14)
		},
			[]swing.Contradiction{{Kind: swing.ShorterThanBoat, Field: "radius_m", HasM: 6, NeedsM: geo.Known(14.0)},
				{Kind: swing.ShorterThanLine, Field: "radius_m", HasM: 6}}},
		{"the same, where the depth is not on record", func(in *swing.Input) {
			in.Mooring.StatedRadius, in.Mooring.Boat.LOA, in.Depth = metres(6), metres(14), none
		}, []swing.Contradiction{{Kind: swing.ShorterThanBoat, Field: "radius_m", HasM: 6, NeedsM: geo.Known(14.0)}}},
		{"a radius stated below the reach", func(in *swing.Input) {
			in.Mooring.StatedRadius = metres(20)
		}, []swing.Contradiction{{Kind: swing.ShorterThanLine, Field: "radius_m", HasM: 20}}},
		{"the same, where the depth is not on record", func(in *swing.Input) { in.Mooring.StatedRadius, in.Depth = metres(20), none },
			[]swing.Contradiction{{Kind: swing.ShorterThanLine, Field: "radius_m", HasM: 20, Bound: true, Missing: []string{"depth_m"}}}},
		{"a radius stated that is wide enough", func(in *swing.Input) { in.Mooring.StatedRadius = metres(40) }, nil},
		{"a formula below the reach", func(in *swing.Input) { in.Rules.Swing = geo.SwingRule{Kind: geo.Formula, Constant: 10} },
			[]swing.Contradiction{{Kind: swing.ShorterThanLine, Field: "rule", HasM: 10}}},
		{"a rigid rule on a pennant of nylon", func(in *swing.Input) { in.Rules.Swing.Kind = geo.Taut },
			[]swing.Contradiction{{Kind: swing.WithoutStretch, Field: "rule", HasM: math.Sqrt(19*19-4.7*4.7) + 9}}},
		{"the same without her beam", func(in *swing.Input) { in.Rules.Swing.Kind, in.Mooring.Boat.Beam = geo.Taut, none },
			[]swing.Contradiction{{Kind: swing.WithoutStretch, Field: "rule", HasM: math.Sqrt(19*19-4.7*4.7) + 9, Bound: true,
				Missing: []string{"beam_m"}}}},
		{"stretched out, which is more than it stretches", func(in *swing.Input) { in.Rules.Swing.Kind = geo.Stretched }, nil},
		{"the statics themselves", func(in *swing.Input) { in.Rules.Swing.Kind = geo.Catenary }, nil},
		{"the rule that counts the stretch", func(*swing.Input) {}, nil},
	} {
		in := elastic(yard())
		tc.change(&in)
		got := swing.Radius(in).Contradictions
		for i := range tc.want {
			if w := &tc.want[i]; !w.NeedsM.IsKnown() {
				w.NeedsM = geo.Known(reach(in))
			}
			if tc.want[i].Missing == nil {
				tc.want[i].Missing = []string{}
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(tc.want) {
			t.Errorf("%s: %+v, want %+v", tc.name, got, tc.want)
		}
	}
}

// What searches ask is the rule itself, at every depth.
func TestByDepthIsTheRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := someMoored(t)
		if rapid.Bool().Draw(t, "no beam") {
			in.Mooring.Boat.Beam = geo.Maybe[geo.Metres]{}
		}
		r, ok := swing.ByDepth(in)
		a := swing.Radius(in)
		if radius, known := a.Radius.Get(); ok && known {
			if got := r(float64(in.Depth.Or(0))); math.Abs(got-float64(radius)) > 1e-9*float64(radius) {
				t.Fatalf("%g m, by the rule %+v", got, a)
			}
		} else if known || ok && !math.IsInf(r(float64(in.Depth.Or(0))), 1) {
			t.Fatalf("told %v: %+v", ok, a)
		}
	})
}
