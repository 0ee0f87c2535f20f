package swing_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/swing"
)

func pulls(t failer, in swing.Input) *swing.Pulls {
	t.Helper()
	p, err := swing.PullsOf(in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// 50 ft of chain of 2.0 lb/ft in water over 20 ft. Closed form of a chain that is lifted whole (textbook; the table of
// testdata/rode/chain.csv): under 200 lb the anchor is pulled up by 39.5491 lb, 11.1857°, and under 1,000 lb at 21.1511°; the bow by
// 139.5491 lb upwards.
func TestTheAnchorIsPulledUpAsTheClosedFormSays(t *testing.T) {
	lb := float64(geo.PoundsForce(1))
	for _, tc := range []struct{ loadLb, upDeg, topLb float64 }{{200, 11.1857, 139.5491}, {1000, 21.1511, 486.8938}} {
		m := onChain()
		// The table of chain is made so that it weighs 2.0 lb/ft in water.
		const steelInWater = 1 - 1026.0/7850
		kgPerM := 2 * lb / geo.MetresPerFoot / 9.80665 / steelInWater
		in := inputOf(m)
		in.Lines = geo.Lines{Chain: []geo.ChainSize{{Size: 0.016, MassKgPerM: kgPerM}}}
		m.Tackle = geo.Tackle{m.Tackle[0], {Kind: geo.GroundChain, Length: geo.Known(geo.Feet(50)), Size: metres(0.016)},
			{Kind: geo.TopChain, Length: metres(0)}, {Kind: geo.Pennant, Length: metres(0)}}
		m.Boat.BowHeight, in.Depth = metres(1), geo.Known(geo.Feet(20)-1)
		in.Levels = geo.Known(geo.Levels{Low: -1, High: 0})
		// The wind whose load by the table is that: 900 lb at 30 kn.
		in.Rules.Design = geo.Design{Wind: geo.Known(geo.Knots(30 * math.Sqrt(tc.loadLb/900))), GustRatio: geo.Known(1.0)}
		p := pulls(t, in)
		if math.Abs(float64(p.Load.Load)/lb-tc.loadLb) > 1e-6 || math.Abs(p.Anchor.UpDeg-tc.upDeg) > 6e-5 || p.Anchor.Level != 0 {
			t.Errorf("under %g lb: %+v", tc.loadLb, p)
		}
		if top := math.Hypot(tc.loadLb, tc.topLb); math.Abs(float64(p.Parts[1].Pull)/lb-top) > 1e-3 || p.Bow.Pull != p.Parts[1].Pull ||
			p.Parts[0].Known {
			t.Errorf("under %g lb: the chain is pulled by %g lb, want %g", tc.loadLb, float64(p.Parts[1].Pull)/lb, top)
		}
	}
}

func TestWindAndStreamPullTogether(t *testing.T) {
	boat := *yard().Boat
	design := geo.Design{Wind: geo.Known(geo.Knots(30)), GustRatio: geo.Known(1.3)}
	calm, missing := swing.DesignLoadOf(boat, design)
	// 900 lb by the table of design loads: the row of 35 ft, for a beam of 3 m is over the 9 ft of the row of 30 ft.
	if missing != nil || math.Abs(float64(calm.Load-geo.PoundsForce(900))) > 1e-6 {
		t.Fatalf("%+v, %q", calm, missing)
	}
	design.Stream, design.StreamDeg = geo.Known(geo.Knots(3)), geo.Known(0.0)
	both, _ := swing.DesignLoadOf(boat, design)
	if both.Stream <= 0 || both.Load != calm.Load+both.Stream {
		t.Errorf("wind %g N, with a stream %+v", float64(calm.Load), both)
	}
	boat.Draft = geo.Maybe[geo.Metres]{}
	if _, missing := swing.DesignLoadOf(boat, design); !slices.Equal(missing, []string{"draft_m"}) {
		t.Errorf("a stream and no draft: %q", missing)
	}
	rapid.Check(t, func(t *rapid.T) {
		in := someMoored(t)
		load := func(kind string) geo.Newtons {
			b := *in.Mooring.Boat
			b.Kind = kind
			d, _ := swing.DesignLoadOf(b, in.Rules.Design)
			return d.Load
		}
		if got := load(""); got != max(load("sloop"), load("motor boat")) || got != load("gaffer") {
			t.Fatalf("as a sailing boat %g N, as a motor boat %g N, of a kind that is not known %g N", float64(load("sloop")),
				float64(load("motor boat")), float64(got))
		}
	})
}

// Forces balance: the upward pull at the bow is that at the anchor, with the weight of the line that is off the bed and less what the buoy
// lifts; and level they are all H.
func TestThePullsAreThoseOfTheWorstLevel(t *testing.T) {
	in := inputOf(yard())
	p := pulls(t, in)
	c, err := swing.NewVessel(in)
	if err != nil {
		t.Fatal(err)
	}
	levels := in.Levels.Or(geo.Levels{})
	for _, level := range []geo.Metres{levels.Low, (levels.Low + levels.High) / 2, levels.High} {
		ready, err := c.At(level)
		if err != nil {
			t.Fatal(err)
		}
		s, err := ready.Rode.At(p.Load.Load)
		if err != nil {
			t.Fatal(err)
		}
		up := s.Parts[0].LowUpN - float64(s.Buoy.Lift)
		for i, part := range c.Tackle.Line.Parts {
			up += part.WeightNPerM * float64(part.Length-s.Parts[i].OnBed)
			at := p.Parts[c.Tackle.At[i]]
			if pull := max(s.Parts[i].LowPull, s.Parts[i].HighPull); pull > at.Pull || at.Level == level && pull != at.Pull ||
				at.Pull < p.Load.Load {
				t.Errorf("at %g m the %s is pulled by %g N: %+v", float64(level), part.Name, float64(pull), at)
			}
		}
		if bow := math.Hypot(float64(p.Load.Load), up); math.Abs(bow-float64(s.BowPull)) > 1e-6*bow || s.BowPull > p.Bow.Pull {
			t.Errorf("at %g m the bow is pulled by %g N, in balance by %g N", float64(level), float64(s.BowPull), bow)
		}
		if s.AnchorPullUpDeg > p.Anchor.UpDeg {
			t.Errorf("at %g m the anchor is pulled %g° up: %+v", float64(level), s.AnchorPullUpDeg, p.Anchor)
		}
	}
	if p.Anchor.Level != levels.High {
		t.Errorf("the anchor is pulled up most at the high level: %+v", p.Anchor)
	}
}

func TestFittingsArePulledAsTheJointWhereTheyStand(t *testing.T) {
	in := inputOf(yard())
	bare := pulls(t, in)
	a := in.Mooring.Tackle
	shackle, swivel := geo.Part{Kind: geo.Shackle}, geo.Part{Kind: geo.Swivel}
	in.Mooring.Tackle = geo.Tackle{a[0], shackle, a[1], swivel, a[2], shackle, a[3], shackle, a[4], shackle}
	p := pulls(t, in)
	low := p.Anchor
	for _, tc := range []struct {
		place int
		want  geo.Newtons
	}{{1, low.Pull}, {2, bare.Parts[1].Pull}, {3, bare.Parts[1].Pull}, {5, bare.Parts[2].Pull}, {7, bare.Parts[2].Pull},
		{9, bare.Bow.Pull}} {
		if got := p.Parts[tc.place]; !got.Known || math.Abs(float64(got.Pull-tc.want)) > 1e-9*float64(tc.want) {
			t.Errorf("%s in place %d: %+v, want %g N", in.Mooring.Tackle[tc.place].Kind, tc.place, got, float64(tc.want))
		}
	}
	if p.Parts[6].Known || p.Parts[0].Known {
		t.Errorf("anchor and buoy are judged by other figures: %+v", p.Parts)
	}
}

func TestWithoutARecordThePullsAreNotTold(t *testing.T) {
	for field, blank := range blanks() {
		in := inputOf(yard())
		in.Rules.Design = geo.Design{Stream: geo.Known(geo.Knots(2)), StreamDeg: geo.Known(90.0)}
		blank(&in)
		p, err := swing.PullsOf(in)
		if field == "" { // of an unknown kind the larger load counts
			if err != nil || p.Load.Load < pulls(t, inputOf(yard())).Load.Load {
				t.Errorf("without her kind: %+v, %v", p, err)
			}
			continue
		}
		if field == "levels.low_m" {
			field = "levels"
		}
		if fields := fieldsOf(t, err, geo.ErrUnknown); !slices.Contains(fields, field) || p != nil {
			t.Errorf("without %s: %q, %+v", field, fields, p)
		}
	}
	for _, kind := range []geo.PartKind{geo.TopChain, geo.Pennant} {
		in := inputOf(yard())
		in.Mooring.Tackle = slices.DeleteFunc(in.Mooring.Tackle, func(p geo.Part) bool { return p.Kind == kind })
		_, err := swing.PullsOf(in)
		if fields := fieldsOf(t, err, geo.ErrUnknown); !slices.Equal(fields, []string{string(kind) + "_m"}) {
			t.Errorf("without any %s: %q", kind, fields)
		}
	}
	in := inputOf(yard())
	in.Levels = geo.Known(geo.Levels{Low: 0, High: 15})
	if _, err := swing.PullsOf(in); !errors.Is(err, geo.ErrShortRode) {
		t.Errorf("19 m of line for 20.2 m: %v", err)
	}
}

func BenchmarkPulls(b *testing.B) {
	in := inputOf(yard())
	b.ReportAllocs()
	for b.Loop() {
		if _, err := swing.PullsOf(in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRadius(b *testing.B) {
	for _, kind := range []geo.RuleKind{geo.Taut, geo.TautStretch, geo.Catenary} {
		in := inputOf(yard())
		in.Rules.Swing.Kind = kind
		b.Run(string(kind), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				swing.Radius(in)
			}
		})
	}
}
