package swing_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/swing"
)

func metres(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v)) }

// yard is a mooring with everything on record: a sloop of 9 m on two chains, a buoy and a pennant of nylon.
func yard() *geo.Mooring {
	return &geo.Mooring{Number: "217", Status: geo.Occupied,
		Boat: &geo.Boat{Kind: "sloop", LOA: metres(9), Beam: metres(3), BowHeight: metres(1.2), Draft: metres(1.6)},
		Tackle: geo.Tackle{
			{Kind: geo.Anchor, Weight: geo.Known(geo.Kilograms(150)), Material: "mushroom"},
			{Kind: geo.GroundChain, Length: metres(9), Size: metres(0.016)}, {Kind: geo.TopChain, Length: metres(6), Size: metres(0.013)},
			{Kind: geo.Buoy, Size: metres(0.45)}, {Kind: geo.Pennant, Length: metres(4), Size: metres(0.019), Material: "nylon"},
		}}
}

// Weights per metre, worked by hand from 5.8 and 3.9 kg/m of the table of DIN 766 chain and 0.157 kg/m of nylon at 16 mm (from memory):
// steel of 7,850 kg/m³ keeps 0.869299 of its weight in sea water of 1,026, nylon of 1,140 a tenth.
const (
	chain16N, chain13N           = 5.8 * 9.80665 * 0.869299, 3.9 * 9.80665 * 0.869299
	nylon19AirN, nylon19InWaterN = 0.157 * 9.80665 * 361 / 256, 0.157 * 9.80665 * 361 / 256 / 10
)

// fieldsOf are the fields that an error names; it fails on one that is not of the kind or does not name mooring 217.
func fieldsOf(t *testing.T, err, kind error) (fields []string) {
	t.Helper()
	for _, fe := range geo.FieldErrors(err) {
		fields = append(fields, fe.Field)
		if !errors.Is(fe, kind) || fe.Noun != "mooring" || fe.Name != "217" || !strings.Contains(err.Error(), "mooring 217: "+fe.Field) {
			t.Errorf("%v: %+v", err, fe)
		}
	}
	return fields
}

func TestLineFollowsTheTackle(t *testing.T) {
	chain := func(kind geo.PartKind, lengthM, sizeM float64) geo.Part {
		return geo.Part{Kind: kind, Length: metres(lengthM), Size: metres(sizeM)}
	}
	anchor, ground, top := geo.Part{Kind: geo.Anchor}, chain(geo.GroundChain, 9, 0.016), chain(geo.TopChain, 6, 0.013)
	swivel, shackle := geo.Part{Kind: geo.Swivel, Length: metres(0.2)}, geo.Part{Kind: geo.Shackle, Length: metres(0.1)}
	buoy, pennant := geo.Part{Kind: geo.Buoy, Size: metres(0.45)},
		geo.Part{Kind: geo.Pennant, Length: metres(4), Size: metres(0.019), Material: "nylon"}
	floating := geo.Part{Kind: geo.Rope, Length: metres(5), Size: metres(0.016), Material: "polypropylene"}
	const floatingN = 0.115 * 9.80665 * (1 - 1026.0/910)
	own := geo.Lines{Chain: []geo.ChainSize{{Size: 0.013, MassKgPerM: 4}, {Size: 0.016, MassKgPerM: 6}},
		Ropes: []geo.RopeKind{{Material: "nylon", Size: 0.019, MassKgPerM: 0.25, DensityKgPerM3: 1140}}}
	for _, tc := range []struct {
		name    string
		tackle  geo.Tackle
		own     geo.Lines
		want    string // parts
		weights []float64
		below   int // parts below the buoy, -1 without one
		assumed int
	}{
		{"as a yard would lay it", yard().Tackle, geo.Lines{}, "ground chain, top chain, pennant",
			[]float64{chain16N, chain13N, nylon19AirN}, 2, 0},
		{"no buoy: the pennant hangs in water", geo.Tackle{anchor, ground, top, pennant}, geo.Lines{}, "ground chain, top chain, pennant",
			[]float64{chain16N, chain13N, nylon19InWaterN}, -1, 0},
		{"a harbor's own tables", yard().Tackle, own, "ground chain, top chain, pennant",
			[]float64{chain16N * 6 / 5.8, chain13N * 4 / 3.9, 0.25 * 9.80665}, 2, 0},
		{"a part of no length is none", geo.Tackle{ground, chain(geo.TopChain, 0, 0.013), pennant}, geo.Lines{}, "ground chain, pennant",
			[]float64{chain16N, nylon19InWaterN}, -1, 0},
		{"fittings weigh as the chain below", geo.Tackle{anchor, ground, swivel, top, shackle, buoy, pennant}, geo.Lines{},
			"ground chain, swivel, top chain, shackle, pennant",
			[]float64{chain16N, chain16N, chain13N, chain13N, nylon19AirN}, 4, 0},
		{"or above, where none lies below", geo.Tackle{anchor, shackle, swivel, top, pennant}, geo.Lines{},
			"shackle, swivel, top chain, pennant", []float64{chain13N, chain13N, chain13N, nylon19InWaterN}, -1, 0},
		{"fittings without a length are none", geo.Tackle{anchor, {Kind: geo.Shackle}, ground, {Kind: geo.Swivel}, pennant}, geo.Lines{},
			"ground chain, pennant", []float64{chain16N, nylon19InWaterN}, -1, 0},
		{"a shackle at a floating rope does not float", geo.Tackle{anchor, ground, floating, shackle, pennant}, geo.Lines{},
			"ground chain, rope, shackle, pennant", []float64{chain16N, floatingN, chain16N, nylon19InWaterN}, -1, 0},
		{"a swivel over the buoy hangs in air", geo.Tackle{anchor, ground, floating, buoy, swivel, pennant}, geo.Lines{},
			"ground chain, rope, swivel, pennant", []float64{chain16N, floatingN, chain16N / 0.869299, nylon19AirN}, 2, 0},
		{"a shackle without any chain weighs nothing", geo.Tackle{anchor, shackle, floating}, geo.Lines{}, "shackle, rope",
			[]float64{0, floatingN}, -1, 0},
		{"what an anchor and a buoy add to the rode",
			geo.Tackle{{Kind: geo.Anchor, Length: metres(0.6)}, ground, {Kind: geo.Buoy, Size: metres(0.45), Length: metres(0.5)}, pennant},
			geo.Lines{}, "anchor, ground chain, buoy, pennant",
			[]float64{chain16N, chain16N, 0, nylon19AirN}, 2, 0},
		{"a pennant of chain hangs in air", geo.Tackle{ground, buoy, top}, geo.Lines{}, "ground chain, top chain",
			[]float64{chain16N, chain13N / 0.869299}, 1, 0},
		{"a buoy under everything is none, and what lies over it is in water", geo.Tackle{anchor, buoy, ground, pennant}, geo.Lines{},
			"ground chain, pennant", []float64{chain16N, nylon19InWaterN}, -1, 0},
		{"the winter marker is no part", geo.Tackle{ground, pennant, {Kind: geo.MarkerLine, Length: metres(8)}, {Kind: geo.Marker}},
			geo.Lines{}, "ground chain, pennant", []float64{chain16N, nylon19InWaterN}, -1, 0},
		{"rope of unknown material is nylon, and a buoy of unknown size floats",
			geo.Tackle{ground, {Kind: geo.Buoy}, {Kind: geo.Pennant, Length: metres(4), Size: metres(0.019)}}, geo.Lines{},
			"ground chain, pennant", []float64{chain16N, nylon19AirN}, 1, 2},
	} {
		m := yard()
		m.Tackle = tc.tackle
		got, err := swing.Line(m, tc.own)
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		var names []string
		var sum geo.Metres
		for i, p := range got.Line.Parts {
			names, sum = append(names, p.Name), sum+p.Length
			if i >= len(tc.weights) || math.Abs(p.WeightNPerM-tc.weights[i]) > 1e-4*math.Abs(p.WeightNPerM) {
				t.Errorf("%s: part %d weighs %g N/m, want %g", tc.name, i, p.WeightNPerM, tc.weights)
			}
		}
		below := -1
		if got.Line.Buoy != nil {
			below = got.Line.Buoy.Below
		}
		if strings.Join(names, ", ") != tc.want || below != tc.below || len(got.Assumed) != tc.assumed {
			t.Errorf("%s: %q with %d below the buoy, assumed %q", tc.name, names, below, got.Assumed)
		}
		if l, _ := m.Tackle.RodeLength(); math.Abs(float64(l.Or(0)-sum)) > 1e-9 {
			t.Errorf("%s: the line is %g m long, the rode %v", tc.name, float64(sum), l)
		}
	}
}

func TestBuoyOfTheLine(t *testing.T) {
	for _, tc := range []struct {
		buoy          geo.Part
		lift, weightN float64
	}{
		{geo.Part{Kind: geo.Buoy, Size: metres(0.45)}, 0.9 * 480.0696, 48.00696},
		{geo.Part{Kind: geo.Buoy, Size: metres(0.45), Weight: geo.Known(geo.Kilograms(10))}, 480.0696 - 98.0665, 98.0665},
		{geo.Part{Kind: geo.Buoy, Weight: geo.Known(geo.Kilograms(10))}, float64(rode.UnlimitedLift), 98.0665},
		{geo.Part{Kind: geo.Buoy, Size: metres(0)}, float64(rode.UnlimitedLift), 0},
	} {
		m := yard()
		m.Tackle[3] = tc.buoy
		got, err := swing.Line(m, geo.Lines{})
		if err != nil || math.Abs(float64(got.Line.Buoy.Lift)-tc.lift) > 1e-3 || math.Abs(got.Line.Buoy.WeightN-tc.weightN) > 1e-3 {
			t.Errorf("%+v: %+v, %v", tc.buoy, got.Line.Buoy, err)
		}
	}
}

func TestLineNamesAllThatIsMissing(t *testing.T) {
	none := geo.Maybe[geo.Metres]{}
	for _, tc := range []struct {
		name   string
		change func(m *geo.Mooring)
		own    geo.Lines
		kind   error
		want   []string
	}{
		{name: "a chain's size", change: func(m *geo.Mooring) {
			m.Tackle[1].Size = none
		}, kind: geo.ErrUnknown, want: []string{"ground_chain_size_m"}},
		{name: "a size of 0 is none", change: func(m *geo.Mooring) {
			m.Tackle[2].Size = metres(0)
		}, kind: geo.ErrUnknown, want: []string{"top_chain_size_m"}},
		{name: "a length", change: func(m *geo.Mooring) { m.Tackle[4].Length = none }, kind: geo.ErrUnknown, want: []string{"pennant_m"}},
		{name: "a rode as a whole", change: func(m *geo.Mooring) {
			m.Tackle = geo.Tackle{{Kind: geo.Rode, Length: metres(17)}}
		}, kind: geo.ErrUnknown, want: []string{"tackle"}},
		{name: "no tackle", change: func(m *geo.Mooring) { m.Tackle = nil }, kind: geo.ErrUnknown, want: []string{"tackle"}},
		{name: "an anchor alone", change: func(m *geo.Mooring) { m.Tackle = m.Tackle[:1] }, kind: geo.ErrUnknown, want: []string{"tackle"}},
		{name: "an elastic of no material", change: func(m *geo.Mooring) {
			m.Tackle[2].Kind = geo.Elastic
		}, kind: geo.ErrUnknown, want: []string{"elastic_material"}},
		{name: "an elastic of another", change: func(m *geo.Mooring) {
			m.Tackle[2].Kind, m.Tackle[2].Material = geo.Elastic, "rubber"
		}, kind: geo.ErrUnknown, want: []string{"elastic_material"}},
		{name: "a pennant of another", change: func(m *geo.Mooring) {
			m.Tackle[4].Material = "hemp"
		}, kind: geo.ErrUnknown, want: []string{"pennant_material"}},
		{name: "everything at once, part by part", change: func(m *geo.Mooring) {
			m.Tackle = geo.Tackle{{Kind: geo.GroundChain}, {Kind: geo.TopChain, Length: metres(6)}, {Kind: geo.Elastic},
				{Kind: geo.Pennant, Size: metres(0.019), Material: "hemp"}}
		}, kind: geo.ErrUnknown,
			want: []string{"ground_chain_m", "ground_chain_size_m", "top_chain_size_m", "elastic_m", "elastic_size_m", "elastic_material",
				"pennant_m", "pennant_material"}},
		{name: "a rope as thin as a hair", change: func(m *geo.Mooring) {
			m.Tackle[4].Size = metres(1e-4)
		}, kind: geo.ErrInvalid, want: []string{"pennant_size_m"}},
		{name: "a table of chain that is none", change: func(*geo.Mooring) {}, own: geo.Lines{Chain: []geo.ChainSize{{Size: 0.01}}},
			kind: geo.ErrInvalid, want: []string{"ground_chain_size_m", "top_chain_size_m"}},
	} {
		m := yard()
		tc.change(m)
		got, err := swing.Line(m, tc.own)
		if fields := fieldsOf(t, err, tc.kind); !slices.Equal(fields, tc.want) || got.Line.Parts != nil {
			t.Errorf("%s: %q, %+v", tc.name, fields, got)
		}
	}
}

// someTackle is any tackle on record whose parts have lengths and sizes, with rope of the harbor's own table in it.
func someTackle(t *rapid.T) geo.Tackle {
	var all geo.Tackle
	for i := range rapid.IntRange(1, 6).Draw(t, "parts") {
		kinds := []geo.PartKind{geo.Anchor, geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Swivel, geo.Shackle, geo.Buoy,
			geo.Pennant, geo.MarkerLine, geo.Marker}
		span := func(hi float64, name string) geo.Maybe[geo.Metres] {
			return metres(rapid.Float64Range(0, hi).Draw(t, fmt.Sprint(name, i)))
		}
		all = append(all, geo.Part{Kind: rapid.SampledFrom(kinds).Draw(t, fmt.Sprint("kind", i)), Length: span(40, "length"),
			Size:     span(0.1, "size"),
			Material: rapid.SampledFrom([]string{"nylon", "polypropylene", "rubber"}).Draw(t, fmt.Sprint("material", i))})
	}
	return all
}

// rubber doubles its length at 2,000 N.
var rubber = geo.Lines{Ropes: []geo.RopeKind{{Material: "rubber", Size: 0.03, MassKgPerM: 0.7, DensityKgPerM3: 980,
	Stretch: []geo.StretchPoint{{PullN: 2000, StrainRatio: 1}}}}}

func TestTheLineIsAsLongAsTheRode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := yard()
		m.Tackle = someTackle(t)
		got, err := swing.Line(m, rubber)
		l, known := m.Tackle.RodeLength()
		if err != nil || !l.IsKnown() {
			return
		}
		var sum geo.Metres
		for _, p := range got.Line.Parts {
			if sum += p.Length; math.IsNaN(p.WeightNPerM) {
				t.Fatalf("%+v", p)
			}
		}
		if math.Abs(float64(sum-l.Or(0))) > 1e-9 {
			t.Fatalf("a line of %g m, a rode of %g m (%s)", float64(sum), float64(l.Or(0)), known)
		}
	})
}
