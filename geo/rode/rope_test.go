package rode_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/rode"
)

func TestRopeIsFoundByItsMaterial(t *testing.T) {
	own := []geo.RopeKind{
		{Material: "Nylon", Size: 0.02, MassKgPerM: 0.3, DensityKgPerM3: 1150},
		{Material: "rubber", Size: 0.03, MassKgPerM: 0.7, DensityKgPerM3: 980, Stretch: []geo.StretchPoint{{PullN: 2000, StrainRatio: 1}}},
	}
	for _, tc := range []struct {
		own      []geo.RopeKind
		material string
		want     string
		massKg   float64
	}{
		{nil, "nylon", "nylon", 0.157},
		{nil, "three-strand NYLON, white", "nylon", 0.157},
		{nil, "braided polyester", "polyester", 0.196},
		{nil, "Polypropylene", "polypropylene", 0.115},
		{nil, "high modulus polyethylene", "polyethylene", 0.135},
		{own, "old nylon", "Nylon", 0.3},
		{own, "natural rubber cord", "rubber", 0.7},
		{own, "polyester", "polyester", 0.196},
	} {
		if got, err := rode.RopeOf(tc.own, tc.material); err != nil || got.Material != tc.want || got.MassKgPerM != tc.massKg {
			t.Errorf("%q: %+v, %v", tc.material, got, err)
		}
	}
	for _, material := range []string{"", "hemp", "rubber", "poly"} {
		if got, err := rode.RopeOf(nil, material); !errors.Is(err, geo.ErrUnknown) || !strings.Contains(err.Error(), `"`+material+`"`) {
			t.Errorf("%q: %+v, %v", material, got, err)
		}
	}
}

func TestRopesBuiltInAreWhatTheirOwnCheckTakes(t *testing.T) {
	if err := (geo.Lines{Chain: rode.ShortLink(), Ropes: rode.Ropes()}).Validate(); err != nil {
		t.Error(err)
	}
	// A caller that changes what it was given must not change the next one's.
	rode.Ropes()[0].MassKgPerM = 99
	rode.ShortLink()[0].MassKgPerM = 99
	if rode.Ropes()[0].MassKgPerM == 99 || rode.ShortLink()[0].MassKgPerM == 99 {
		t.Error("the tables can be changed from outside")
	}
	// Nylon stretches most, so that taking it for a rope of unknown material errs on the large side.
	nylon, err := rode.RopeOf(nil, "nylon")
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range rode.Ropes()[1:] {
		for _, n := range []float64{100, 1000, 5000, 20000} {
			if a, b := rode.Stretch(nylon.Stretch).StrainRatio(n), rode.Stretch(kind.Stretch).StrainRatio(n); a <= b {
				t.Errorf("at %g N nylon stretches by %g, %s by %g", n, a, kind.Material, b)
			}
		}
	}
}

func TestRopeGoesByTheSquareOfItsDiameter(t *testing.T) {
	kind := geo.RopeKind{Material: "nylon", Size: 0.016, MassKgPerM: 0.157, DensityKgPerM3: 1140,
		Stretch: []geo.StretchPoint{{PullN: 2250, StrainRatio: 0.06}, {PullN: 9000, StrainRatio: 0.17}}}
	// Worked by hand: 0.157 kg/m · 9.80665 = 1.539644 N/m in air at 16 mm; in sea water of 1,026 kg/m³ a share of 1 - 1026/1140 = 0.1 is
	// left.
	for _, tc := range []struct {
		size    geo.Metres
		inWater bool
		weightN float64
		pullN   float64 // at which it is longer by 0.06
	}{
		{0.016, false, 1.539644, 2250}, {0.016, true, 0.1539644, 2250}, {0.032, false, 6.158576, 9000}, {0.008, true, 0.0384911, 562.5},
	} {
		p := rode.RopePart("pennant", kind, 4, tc.size, tc.inWater)
		near(t, "weight", p.WeightNPerM, tc.weightN, 1e-5)
		near(t, "strain", p.Stretch.StrainRatio(tc.pullN), 0.06, 1e-12)
		near(t, "strain farther up", p.Stretch.StrainRatio(4*tc.pullN), 0.17, 1e-12)
		if p.Name != "pennant" || p.Length != 4 {
			t.Errorf("%+v", p)
		}
	}
	if kind.DensityKgPerM3 = 900; rode.RopePart("rope", kind, 4, 0.016, true).WeightNPerM >= 0 {
		t.Error("rope lighter than sea water does not float")
	}
	if p := rode.RopePart("strop", geo.RopeKind{Size: 0.01, MassKgPerM: 0.1, DensityKgPerM3: 1400}, 4, 0.02,
		true); p.Stretch.StrainRatio(1e6) != 0 {
		t.Error("rope without a curve stretches")
	}
}

func TestAFloatCarriesItsBuoyancyLessItsWeight(t *testing.T) {
	none := geo.Maybe[geo.Kilograms]{}
	// Worked by hand: a ball of 0.45 m is 0.0477129 m³, in sea water of 1,026 kg/m³ it is buoyed up by 480.0696 N.
	const buoyancyN = 480.0696
	for _, tc := range []struct {
		name          string
		weight        geo.Maybe[geo.Kilograms]
		lift, weightN float64
	}{
		{"weight not on record: a tenth", none, 0.9 * buoyancyN, 0.1 * buoyancyN},
		{"10 kg", geo.Known(geo.Kilograms(10)), buoyancyN - 98.0665, 98.0665},
		{"weightless", geo.Known(geo.Kilograms(0)), buoyancyN, 0},
		{"heavier than the water", geo.Known(geo.Kilograms(60)), 0, 588.399},
	} {
		b := rode.Float(2, 0.45, tc.weight)
		near(t, tc.name+": lift", float64(b.Lift), tc.lift, 2e-3)
		near(t, tc.name+": weight", b.WeightN, tc.weightN, 1e-3)
		if b.Below != 2 {
			t.Errorf("%s: %d parts below it", tc.name, b.Below)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		size := geo.Metres(rapid.Float64Range(0.05, 5).Draw(t, "size"))
		b := rode.Float(1, size, none)
		if ball := rode.BallThatLifts(b.Lift); math.Abs(float64(ball-size)) > 1e-9 {
			t.Fatalf("a ball of %g m lifts as much as one of %g m", float64(ball), float64(size))
		}
		kg := geo.Kilograms(rapid.Float64Range(0, 50000).Draw(t, "kg"))
		heavy := rode.Float(1, size, geo.Known(kg))
		if sum, whole := float64(heavy.Lift)+heavy.WeightN, float64(b.Lift)+b.WeightN; heavy.Lift < 0 || sum < whole-1e-9*whole ||
			heavy.Lift > 0 && math.Abs(sum-whole) > 1e-9*whole {
			t.Fatalf("lift %g N and weight %g N, buoyancy %g N", float64(heavy.Lift), heavy.WeightN, whole)
		}
	})
}
