package tackle_test

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/tackle"
)

// published reads a table of testdata; lines with # name its source.
func published(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/tackle/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatal(err, len(rows))
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestWorkingLoadsAreThePublishedOnes(t *testing.T) {
	for _, row := range published(t, "working_loads.csv") {
		size := geo.Feet(number(t, row[1]) / 12)
		p := geo.Part{Kind: geo.TopChain, Size: geo.Known(size), Material: "galvanised steel, " + row[0]}
		if row[0] == "shackle" {
			p = geo.Part{Kind: geo.Shackle, Size: geo.Known(size)}
		}
		s, err := tackle.StrengthOf(p, geo.Lines{})
		if err != nil {
			t.Errorf("%v: %v", row, err)
			continue
		}
		if want := float64(geo.PoundsForce(number(t, row[2]))); math.Abs(float64(s.Working)-want) > 1 {
			t.Errorf("%v: %.0f N, want %.0f N", row, float64(s.Working), want)
		}
	}
}

// Another standard's figures of the same kind of chain: a metric size is never told to be stronger than a tenth above what its own standard
// lets it work at.
func TestGrade30AgainstDIN766(t *testing.T) {
	for _, row := range published(t, "din766.csv") {
		s, err := tackle.Chain(geo.Metres(number(t, row[0])/1000), 30)
		if row[0] == "6" { // thinner than a quarter of an inch by more than rounding
			if err != nil && !errors.Is(err, geo.ErrUnknown) {
				t.Error(err)
			}
			continue
		}
		if err != nil {
			t.Error(err)
			continue
		}
		if ratio := float64(s.Working) / (number(t, row[1]) * 9.80665); ratio < 0.75 || ratio > 1.15 {
			t.Errorf("%s mm: %.2f times DIN 766", row[0], ratio)
		}
		if ratio := float64(s.Break) / (number(t, row[2]) * 1000); ratio < 0.8 || ratio > 1.15 {
			t.Errorf("%s mm: breaks at %.2f times DIN 766", row[0], ratio)
		}
	}
}

func TestChainOfUnknownGradeIsTheWeakest(t *testing.T) {
	size := geo.Feet(0.5 / 12)
	plain, err := tackle.Chain(size, 0)
	if err != nil || !strings.Contains(plain.From, "weakest") {
		t.Fatal(plain, err)
	}
	for _, grade := range []int{30, 43, 70} {
		if s, err := tackle.Chain(size, grade); err != nil || s.Working < plain.Working || s.Break <= s.Working {
			t.Errorf("grade %d: %+v %v", grade, s, err)
		}
	}
	if _, err := tackle.Chain(size, 55); !errors.Is(err, geo.ErrUnknown) {
		t.Errorf("grade 55: %v", err)
	}
	if _, err := tackle.Chain(0.002, 30); !errors.Is(err, geo.ErrUnknown) {
		t.Errorf("2 mm: %v", err)
	}
}

func TestThickerIsNeverWeaker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]geo.PartKind{geo.GroundChain, geo.Shackle, geo.Swivel, geo.Pennant}).Draw(t, "kind")
		size := geo.Metres(rapid.Float64Range(0.0135, 0.05).Draw(t, "size"))
		p := geo.Part{Kind: kind, Size: geo.Known(size), Material: "nylon"}
		thin, err := tackle.StrengthOf(p, geo.Lines{})
		p.Size = geo.Known(size * geo.Metres(rapid.Float64Range(1, 1.5).Draw(t, "more")))
		thick, err2 := tackle.StrengthOf(p, geo.Lines{})
		if err != nil || err2 != nil || thick.Working < thin.Working*(1-1e-12) {
			t.Fatalf("%v %v: %v N, thicker %v N", err, err2, thin.Working, thick.Working)
		}
	})
}

func TestRopes(t *testing.T) {
	p := geo.Part{Kind: geo.Pennant, Size: geo.Known(geo.Metres(0.019)), Material: "three strand nylon"}
	s, err := tackle.StrengthOf(p, geo.Lines{})
	if lb := float64(s.Break) / 4.4482216; err != nil || lb < 10000 || lb > 15000 { // about 13,000 lb by the trade's tables, from memory
		t.Errorf("19 mm nylon breaks at %.0f lb, %v", lb, err)
	}
	own := geo.Lines{Ropes: []geo.RopeKind{{Material: "nylon", Size: 0.0095, BreakN: geo.Known(10000.0)}}}
	if s, err := tackle.StrengthOf(p, own); err != nil || math.Abs(float64(s.Break)-40000) > 1 {
		t.Errorf("by the harbor's own table: %+v %v", s, err)
	}
	for field, bad := range map[string]geo.Part{"pennant_material": {Kind: geo.Pennant, Size: p.Size},
		"pennant_size": {Kind: geo.Pennant, Material: "nylon"}, "rope_material": {Kind: geo.Rope, Size: p.Size, Material: "spider silk"}} {
		_, err := tackle.StrengthOf(bad, geo.Lines{})
		if fields := geo.FieldErrors(err); !errors.Is(err, geo.ErrUnknown) || len(fields) != 1 || fields[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestWhatIsLeft(t *testing.T) {
	for _, c := range []struct {
		kind       geo.PartKind
		left, want float64
		// 90 % and 80 % of the wire: computed beside the criterion of NAVFAC MO-124
	}{{geo.TopChain, 0.9, 0.81}, {geo.Shackle, 0.8, 0.64}, {geo.Pennant, 0.7, 0.7}} {
		if got := tackle.RemainingStrength(c.kind, c.left); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s at %g: %g, want %g", c.kind, c.left, got, c.want)
		}
	}
}

func TestHolding(t *testing.T) {
	lb := func(n geo.Newtons) float64 { return float64(n / geo.PoundsForce(1)) }
	// An insurer's figure: 1,000 lb of concrete for a pull of 500 lb; concrete loses about half its weight under water.
	h, err := tackle.HoldingOf(geo.Part{Kind: geo.Anchor, Material: "concrete block", Weight: geo.Known(geo.Pounds(1000))}, nil, 1)
	if err != nil || lb(h.Min) > 500 || lb(h.Max) < 500 || lb(h.Max) > 600 {
		t.Errorf("concrete: %.0f to %.0f lb, %v", lb(h.Min), lb(h.Max), err)
	}
	h, err = tackle.HoldingOf(geo.Part{Kind: geo.Anchor, Material: "mushroom", Weight: geo.Known(geo.Pounds(350))}, nil, 0)
	if err != nil || lb(h.Min) > 1200 || lb(h.Max) < 2000 { // pulled by a tug in 1995: 1,200 to 2,000 lb, from memory
		t.Errorf("mushroom of 350 lb: %.0f to %.0f lb, %v", lb(h.Min), lb(h.Max), err)
	}
	two, err := tackle.HoldingOf(geo.Part{Kind: geo.Anchor, Material: "mushroom", Weight: geo.Known(geo.Pounds(350))}, nil, 2)
	if err != nil || two.Max != 2*h.Max {
		t.Errorf("two of them: %+v", two)
	}
	known, err := tackle.HoldingOf(geo.Part{Kind: geo.Anchor, Material: "Mushroom, old", Weight: geo.Known(geo.Pounds(200))},
		[]geo.AnchorHolding{{Anchor: "mushroom", WeightRatio: 4}}, 1)
	if err != nil || math.Abs(lb(known.Min)-800) > 1e-6 || known.Min != known.Max {
		t.Errorf("as the harbor knows it: %+v, %v", known, err)
	}
	for _, p := range []geo.Part{{Kind: geo.Anchor}, {Kind: geo.Anchor, Material: "old engine"}, {Kind: geo.Anchor, Material: "mushroom"}} {
		if _, err := tackle.HoldingOf(p, nil, 1); !errors.Is(err, geo.ErrUnknown) {
			t.Errorf("%+v: %v", p, err)
		}
	}
}

// The same boat of 30 ft gets very different anchors from town to town, so no table can be the rule. The weights are those of the published
// tables.
func TestTheSameBoatGetsOtherAnchorsElsewhere(t *testing.T) {
	want := []float64{500, 250, 200, 1500, 200, 400}
	var got []float64
	for _, table := range tackle.Examples() {
		if err := table.Validate(); err != nil {
			t.Error(err)
		}
		if table.Source == "" {
			t.Errorf("%s names no source", table.Name)
		}
		row, ok := table.For(geo.Feet(30))
		if !ok {
			t.Errorf("%s has no row", table.Name)
		}
		got = append(got, math.Round(row.Anchor.Or(0).Pounds()))
	}
	if !slices.Equal(got, want) {
		t.Errorf("%v lb, want %v lb", got, want)
	}
	if _, ok := tackle.Examples()[1].For(geo.Feet(45)); ok {
		t.Error("beyond the last row the harbormaster says")
	}
}

// Static friction, worked by hand: a block that weighs W under water on a bed of friction 0.6 slides under a pull T that leads up by a
// where T cos a = 0.6 (W - T sin a).
func TestABlockHoldsByFriction(t *testing.T) {
	kg := geo.Kilograms(1000)
	inWaterN := 0.62 * 9.80665 * float64(kg)
	h, err := tackle.HoldingOf(geo.Part{Kind: geo.Anchor, Material: "granite block", Weight: geo.Known(kg)}, nil, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, upDeg := range []float64{0, 5, 11.1857, 21.1511, 25, 45, 80} {
		at, ok := h.At(upDeg)
		sin, cos := math.Sincos(upDeg * math.Pi / 180)
		pullN := float64(at.Min) / cos
		if !ok || math.Abs(float64(at.Min)-0.6*(inWaterN-pullN*sin)) > 1e-6*inWaterN {
			t.Errorf("at %g°: %g N level, pulled by %g N of %g N", upDeg, float64(at.Min), pullN, inWaterN)
		}
	}
}

func TestASteeperPullNeverHoldsMore(t *testing.T) {
	own := []geo.AnchorHolding{{Anchor: "concrete", WeightRatio: 0.5}, {Anchor: "pyramid", WeightRatio: 6},
		{Anchor: "engine", WeightRatio: 0.7}}
	rapid.Check(t, func(t *rapid.T) {
		p := geo.Part{Kind: geo.Anchor, Weight: geo.Known(geo.Kilograms(rapid.Float64Range(1, 5000).Draw(t, "kg")))}
		p.Material = rapid.SampledFrom([]string{"mushroom", "pyramid", "granite", "concrete block", "helix", "engine"}).Draw(t, "anchor")
		h, err := tackle.HoldingOf(p, own, rapid.IntRange(0, 3).Draw(t, "anchors"))
		if err != nil {
			t.Fatal(err)
		}
		lessDeg := rapid.Float64Range(-20, 89).Draw(t, "angle")
		moreDeg := rapid.Float64Range(lessDeg, 89.9).Draw(t, "steeper")
		less, lessOK := h.At(lessDeg)
		more, moreOK := h.At(moreDeg)
		if moreOK && (!lessOK || more.Min > less.Min || more.Max > less.Max) || less.Max > h.Max || less.Min > less.Max {
			t.Fatalf("%s at %g°: %+v, at %g°: %+v", p.Material, lessDeg, less, moreDeg, more)
		}
		isBlock := strings.Contains(p.Material, "granite") || strings.Contains(p.Material, "concrete")
		if up := float64(more.Max) * math.Tan(moreDeg*math.Pi/180); isBlock && up > 0.62*9.80665*3*float64(p.Weight.Or(0)) {
			t.Fatalf("%s is lifted off the bed by %g N", p.Material, up)
		}
	})
}

// An insurer's article: at 25° the holding power begins to weaken precipitously; how far is not in print.
func TestBeyond25DegreesADraggingAnchorCannotBeTold(t *testing.T) {
	for material, told := range map[string]bool{"mushroom": false, "pyramid": false, "granite": true, "helix": true} {
		h, err := tackle.HoldingOf(geo.Part{Kind: geo.Anchor, Material: material, Weight: geo.Known(geo.Kilograms(200))},
			[]geo.AnchorHolding{{Anchor: "pyramid", WeightRatio: 6}}, 1)
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := h.At(25); !ok {
			t.Errorf("%s at 25° is not told", material)
		}
		if _, ok := h.At(25.1); ok != told {
			t.Errorf("%s at 25.1°: told %v", material, ok)
		}
		if _, ok := h.At(math.NaN()); ok {
			t.Errorf("%s at no angle is told", material)
		}
	}
}
