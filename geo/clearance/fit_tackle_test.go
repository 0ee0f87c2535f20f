package clearance_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

func m(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v)) }

// laidOut is a harbor with one mooring of which all is on record: a sloop of 9 m on two chains, a buoy, a pennant, a shackle and a swivel.
func laidOut() *geo.Harbor {
	h := &geo.Harbor{Name: "Test", Units: geo.UnitsMetres, Levels: geo.Known(geo.Levels{Low: -0.5, High: 3}), Defaults: geo.NewDefaults()}
	h.Defaults.Rules.Design = geo.Design{Wind: geo.Known(geo.Knots(30)), Stream: geo.Known(geo.Knots(2)), StreamDeg: geo.Known(90.0)}
	new := geo.Known(1.0)
	h.Moorings = []geo.Mooring{{Number: "1", Status: geo.Occupied, Position: geo.Position{LatDeg: 44, LonDeg: -41}, Depth: m(4),
		Boat: &geo.Boat{Kind: "sloop", LOA: m(9), Beam: m(3), BowHeight: m(1.2), Draft: m(1.6)},
		Tackle: geo.Tackle{{Kind: geo.Anchor, Weight: geo.Known(geo.Kilograms(3000)), Material: "granite block"},
			{Kind: geo.GroundChain, Length: m(12), Size: m(0.019), LeftRatio: new},
			{Kind: geo.TopChain, Length: m(8), Size: m(0.016), LeftRatio: new},
			{Kind: geo.Swivel, Size: m(0.019), LeftRatio: new}, {Kind: geo.Shackle, Size: m(0.016), LeftRatio: new},
			{Kind: geo.Buoy, Size: m(0.6)}, {Kind: geo.Pennant, Length: m(4), Size: m(0.025), Material: "nylon", LeftRatio: new}}}}
	return h
}

func fieldOf(t failing, h *geo.Harbor) *clearance.Field {
	t.Helper()
	f, err := clearance.NewField(h)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

type failing interface {
	Helper()
	Fatal(args ...any)
}

// tackleOf are the verdicts on anchor and parts of the one mooring.
func tackleOf(t failing, h *geo.Harbor) []clearance.Verdict {
	t.Helper()
	return fieldOf(t, h).FitTackle(h.Moorings[0])
}

func find(all []clearance.Verdict, k clearance.Constraint, of string) (clearance.Verdict, bool) {
	i := slices.IndexFunc(all, func(v clearance.Verdict) bool { return v.Constraint == k && v.Of == of })
	if i < 0 {
		return clearance.Verdict{}, false
	}
	return all[i], true
}

func TestEachPartIsHeldAgainstThePullWhereItHangs(t *testing.T) {
	h := laidOut()
	f := fieldOf(t, h)
	all := f.FitTackle(h.Moorings[0])
	pulls, err := swing.PullsOf(f.Input(0))
	if err != nil || len(all) != 6 {
		t.Fatal(err, all)
	}
	for i, p := range h.Moorings[0].Tackle {
		if p.Kind == geo.Anchor || p.Kind == geo.Buoy {
			continue
		}
		v, _ := find(all, clearance.ByStrength, string(p.Kind))
		at := pulls.Parts[i]
		if !v.Fits.Or(false) || v.Reason != clearance.Holds || v.Needs != geo.Known(float64(at.Pull)) || v.Case == nil ||
			v.Case.LevelM != geo.Known(at.Level) ||
			math.Abs(v.Case.WindKn.Or(0)-30) > 1e-9 || math.Abs(v.Case.StreamKn.Or(0)-2) > 1e-9 {
			t.Errorf("%s: %+v, pulled by %+v", p.Kind, v, at)
		}
	}
	// A block of granite weighs 0.62 of its weight in air under water and holds 0.6 of that level; along a line that leads up by a: F /
	// (cos a + 0.6 sin a), worked by hand from static friction.
	v, _ := find(all, clearance.ByAnchor, "granite block")
	sin, cos := math.Sincos(pulls.Anchor.UpDeg * math.Pi / 180)
	want := 0.6 * 0.62 * 3000 * 9.80665 / (cos + 0.6*sin)
	if !v.Fits.Or(false) || math.Abs(v.Has.Or(0)-want) > 1e-6*want || v.Needs != geo.Known(float64(pulls.Anchor.Pull)) ||
		v.Case.LevelM != geo.Known(geo.Metres(3)) || pulls.Anchor.UpDeg < 1 {
		t.Errorf("the anchor holds %g N: %+v", want, v)
	}
}

func TestAnAnchorPulledSteeplyCannotBeTold(t *testing.T) {
	h := laidOut()
	h.Moorings[0].Tackle[0] = geo.Part{Kind: geo.Anchor, Material: "mushroom", Weight: geo.Known(geo.Kilograms(5000))}
	h.Moorings[0].Tackle[1].Length, h.Moorings[0].Tackle[2].Length = m(4), m(4)
	v, _ := find(tackleOf(t, h), clearance.ByAnchor, "mushroom")
	if v.Fits.IsKnown() || v.Reason != clearance.Uplift || v.Unit != "deg" || !(v.Has.Or(0) > 25) || v.Needs != geo.Known(25.0) ||
		v.Spare.Or(0) >= 0 {
		t.Errorf("8 m of chain in 7 m of water: %+v", v)
	}
	if text := v.Sentence(geo.UnitsMetres); !strings.Contains(text, "pulled upwards") {
		t.Error(text)
	}
	h.Defaults.Lines.Holding = []geo.AnchorHolding{{Anchor: "mushroom", WeightRatio: 10}} // the harbor's own figure is for a level pull too
	if v, _ := find(tackleOf(t, h), clearance.ByAnchor, "mushroom"); v.Fits.IsKnown() || v.Reason != clearance.Uplift {
		t.Errorf("with the harbor's own figure: %+v", v)
	}
}

func TestWhatIsMissingOfATackleIsNamed(t *testing.T) {
	without := func(kind geo.PartKind) func(h *geo.Harbor) {
		return func(h *geo.Harbor) {
			h.Moorings[0].Tackle = slices.DeleteFunc(h.Moorings[0].Tackle, func(p geo.Part) bool { return p.Kind == kind })
		}
	}
	none := func(kind geo.PartKind) func(h *geo.Harbor) {
		return func(h *geo.Harbor) {
			without(kind)(h)
			h.Moorings[0].Tackle = append(h.Moorings[0].Tackle, geo.Part{Kind: kind, Length: m(0)})
		}
	}
	for _, tc := range []struct {
		name    string
		change  []func(h *geo.Harbor)
		k       clearance.Constraint
		of      string
		missing []string // nil: there is no such verdict
	}{
		{"no anchor", []func(h *geo.Harbor){without(geo.Anchor)}, clearance.ByAnchor, "", []string{"anchor"}},
		{"no pennant", []func(h *geo.Harbor){without(geo.Pennant)}, clearance.ByStrength, "tackle", []string{"pennant_m"}},
		{"no top chain", []func(h *geo.Harbor){without(geo.TopChain)}, clearance.ByStrength, "tackle", []string{"top_chain_m"}},
		{"a pennant of no length: there is none", []func(h *geo.Harbor){none(geo.Pennant)}, clearance.ByStrength, "tackle", nil},
		{"a top chain of no length: there is none", []func(h *geo.Harbor){none(geo.TopChain)}, clearance.ByStrength, "tackle", nil},
		{"no shackle, but a swivel", []func(h *geo.Harbor){without(geo.Shackle)}, clearance.ByStrength, "shackle", nil},
		{"neither", []func(h *geo.Harbor){without(geo.Shackle), without(geo.Swivel)}, clearance.ByStrength, "shackle",
			[]string{"shackle_size", "swivel_size"}},
		{"neither, in a harbor that keeps no record of them",
			[]func(h *geo.Harbor){without(geo.Shackle), without(geo.Swivel), func(h *geo.Harbor) {
				h.Defaults.Lines.HardwareUnrecorded = true
			}},
			clearance.ByStrength, "shackle", nil},
		{"the whole rode alone", []func(h *geo.Harbor){func(h *geo.Harbor) {
			h.Moorings[0].Tackle = geo.Tackle{{Kind: geo.Rode, Length: m(24)}}
		}}, clearance.ByStrength, "rode", []string{"tackle"}},
		{"nothing", []func(h *geo.Harbor){func(h *geo.Harbor) {
			h.Moorings[0].Tackle = nil
		}}, clearance.ByStrength, "tackle", []string{"tackle"}},
		{"a shackle's size", []func(h *geo.Harbor){func(h *geo.Harbor) {
			h.Moorings[0].Tackle[4].Size = geo.Maybe[geo.Metres]{}
		}}, clearance.ByStrength, "shackle", []string{"shackle_size"}},
		{"an anchor's weight", []func(h *geo.Harbor){func(h *geo.Harbor) {
			h.Moorings[0].Tackle[0].Weight = geo.Maybe[geo.Kilograms]{}
		}}, clearance.ByAnchor, "granite block", []string{"anchor_kg"}},
		{"a chain's size and her beam", []func(h *geo.Harbor){func(h *geo.Harbor) {
			h.Moorings[0].Tackle[2].Size, h.Moorings[0].Boat.Beam = geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}
		}}, clearance.ByStrength, "tackle", []string{"beam_m", "top_chain_size_m"}},
	} {
		h := laidOut()
		for _, change := range tc.change {
			change(h)
		}
		v, found := find(tackleOf(t, h), tc.k, tc.of)
		if found != (tc.missing != nil) ||
			found && (v.Fits.IsKnown() || v.Reason != clearance.NotOnRecord || !slices.Equal(v.Missing, tc.missing)) {
			t.Errorf("%s: %+v", tc.name, v)
		}
	}
	h := laidOut()
	h.Defaults.Lines.HardwareUnrecorded = true
	for _, v := range tackleOf(t, h) {
		if v.Constraint == clearance.ByStrength && !strings.Contains(v.Note, "shackles and swivels are not checked") {
			t.Errorf("%s: %q", v.Of, v.Note)
		}
	}
}

func TestAWornChainIsPutAwayWhateverIsMissing(t *testing.T) {
	h := laidOut()
	h.Moorings[0].Tackle[2].LeftRatio, h.Moorings[0].Boat.Beam = geo.Known(0.79), geo.Maybe[geo.Metres]{}
	v, _ := find(tackleOf(t, h), clearance.ByStrength, "top_chain")
	if v.Fits.Or(true) || v.Reason != clearance.Worn || v.Unit != "%" || math.Abs(v.Spare.Or(0)+1) > 1e-9 {
		t.Errorf("%+v", v)
	}
	if text := v.Sentence(geo.UnitsMetres); !strings.Contains(text, "79 % of its diameter is left") {
		t.Error(text)
	}
}

// worst is what the verdicts on the tackle come to: -1 a no, 0 it cannot be said, 1 all pass.
func worst(all []clearance.Verdict) int {
	out := 1
	for _, v := range all {
		switch fits, known := v.Fits.Get(); {
		case known && !fits:
			return -1
		case !known:
			out = 0
		}
	}
	return out
}

// Taking a fact away never makes a tackle pass that does not pass with it, nor one of its parts.
func TestTakingAFactAwayNeverMakesATacklePass(t *testing.T) {
	none := geo.Maybe[geo.Metres]{}
	blanks := map[string]func(h *geo.Harbor){
		"levels": func(h *geo.Harbor) { h.Levels = geo.Maybe[geo.Levels]{} }, "depth": func(h *geo.Harbor) { h.Moorings[0].Depth = none },
		"loa": func(h *geo.Harbor) { h.Moorings[0].Boat.LOA = none }, "beam": func(h *geo.Harbor) { h.Moorings[0].Boat.Beam = none },
		"bow height": func(h *geo.Harbor) {
			h.Moorings[0].Boat.BowHeight = none
		}, "draft": func(h *geo.Harbor) { h.Moorings[0].Boat.Draft = none },
		"kind":                   func(h *geo.Harbor) { h.Moorings[0].Boat.Kind = "" },
		"tackle":                 func(h *geo.Harbor) { h.Moorings[0].Tackle = nil },
		"what the anchor is":     func(h *geo.Harbor) { h.Moorings[0].Tackle[0].Material = "" },
		"the anchor's weight":    func(h *geo.Harbor) { h.Moorings[0].Tackle[0].Weight = geo.Maybe[geo.Kilograms]{} },
		"the pennant's material": func(h *geo.Harbor) { h.Moorings[0].Tackle[6].Material = "" },
	}
	for i, p := range laidOut().Moorings[0].Tackle {
		blanks["the whole "+string(p.Kind)] = func(h *geo.Harbor) { h.Moorings[0].Tackle = slices.Delete(h.Moorings[0].Tackle, i, i+1) }
		blanks["length of the "+string(p.Kind)] = func(h *geo.Harbor) { h.Moorings[0].Tackle[i].Length = none }
		blanks["size of the "+string(p.Kind)] = func(h *geo.Harbor) { h.Moorings[0].Tackle[i].Size = none }
		blanks["wear of the "+string(p.Kind)] = func(h *geo.Harbor) { h.Moorings[0].Tackle[i].LeftRatio = geo.Maybe[float64]{} }
	}
	// One of the two fittings is enough to be on record, and a place without a buoy is no fault: these are looked at part by part below.
	whole := []string{"the whole swivel", "the whole shackle", "the whole buoy", "the whole ground_chain"}
	seen := map[int]int{}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		seed := struct{ windKn, anchorKg, sizeM, left, buoyM, lengthM float64 }{draw(15, 60, "wind"), draw(200, 9000, "anchor"),
			draw(0.008, 0.03, "size"), draw(0.7, 1, "left"), draw(0.2, 1, "buoy"), draw(3, 20, "length")}
		anchor := rapid.SampledFrom([]string{"granite block", "mushroom", "pyramid"}).Draw(t, "anchor kind")
		kind := rapid.SampledFrom([]string{"sloop", "motor"}).Draw(t, "kind")
		make := func() *geo.Harbor {
			h := laidOut()
			h.Defaults.Rules.Design.Wind = geo.Known(geo.Knots(seed.windKn))
			x := &h.Moorings[0]
			x.Boat.Kind = kind
			x.Tackle[0].Weight, x.Tackle[0].Material = geo.Known(geo.Kilograms(seed.anchorKg)), anchor
			x.Tackle[2].Size, x.Tackle[2].LeftRatio, x.Tackle[1].Length, x.Tackle[5].Size = m(seed.sizeM), geo.Known(seed.left),
				m(seed.lengthM), m(seed.buoyM)
			return h
		}
		full := tackleOf(t, make())
		seen[worst(full)]++
		for name, blank := range blanks {
			h := make()
			blank(h)
			got := tackleOf(t, h)
			if worst(got) == 1 && worst(full) < 1 && !slices.Contains(whole, name) {
				t.Fatalf("without %s all pass, with it they do not: %+v", name, full)
			}
			if slices.Contains(whole, name) {
				continue
			}
			for _, v := range got {
				was, found := find(full, v.Constraint, v.Of)
				if v.Fits.Or(false) && found && !was.Fits.Or(false) {
					t.Fatalf("without %s the %s passes, with it it does not: %+v, %+v", name, v.Of, v, was)
				}
			}
		}
	})
	if seen[-1] == 0 || seen[1] == 0 {
		t.Error("the cases are all alike: ", fmt.Sprint(seen))
	}
}

// BenchmarkTackle is the check of anchor and parts of one mooring.
func BenchmarkTackle(b *testing.B) {
	h := laidOut()
	f := fieldOf(b, h)
	b.ReportAllocs()
	for b.Loop() {
		f.FitTackle(h.Moorings[0])
	}
}
