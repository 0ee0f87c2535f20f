package rode_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"swingroom/geo"
	"swingroom/geo/rode"
)

func TestDesignLoadsAgreeWithTheTable(t *testing.T) {
	for _, row := range figures(t, "design_loads.csv") {
		got, err := rode.DesignLoad(geo.Known(geo.Feet(row[0])), geo.Known(geo.Feet(6)), false, geo.Knots(row[1]))
		if err != nil {
			t.Fatal(err)
		}
		want := float64(geo.PoundsForce(row[2]))
		near(t, "design load", float64(got), want, want*row[3]+1e-6)
	}
	// A book that quotes the table: a motor boat of 32 ft by 12 ft, 900 lb = 4.0 kN (issuhub.com/view/index/10037, page 395).
	got, err := rode.DesignLoad(geo.Known(geo.Feet(32)), geo.Known(geo.Feet(12)), true, geo.Knots(30))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "32 ft by 12 ft", float64(got), 4003, 1)
}

func TestDesignLoadSaysWhatIsMissing(t *testing.T) {
	ft := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Feet(v)) }
	for _, tc := range []struct {
		loa, beam geo.Maybe[geo.Metres]
		windKn    float64
		kind      error
		says      string
	}{
		{ft(30), geo.Maybe[geo.Metres]{}, 30, geo.ErrUnknown, "beam_m"},
		{geo.Maybe[geo.Metres]{}, ft(9), 30, geo.ErrUnknown, "loa_m"},
		{ft(30), ft(9), 61, geo.ErrInvalid, "60 kn"},
		{ft(30), ft(9), math.NaN(), geo.ErrInvalid, "60 kn"},
		{ft(61), ft(9), 30, geo.ErrInvalid, "60 ft"},
		{ft(30), ft(19), 30, geo.ErrInvalid, "19 ft"},
	} {
		if _, err := rode.DesignLoad(tc.loa, tc.beam, false, geo.Knots(tc.windKn)); !errors.Is(err, tc.kind) ||
			!strings.Contains(geo.ErrorIn(err, geo.UnitsFeet), tc.says) {
			t.Errorf("%v: %v", tc.says, err)
		}
	}
}

func TestWindPressure(t *testing.T) {
	// 0.5 rho V² with rho = 1.221 kg/m³, worked out: pascals.
	for kn, pascals := range map[float64]float64{15: 36.35, 30: 145.41, 42: 285.01, 60: 581.65} {
		near(t, "pressure", float64(rode.WindForce(geo.Knots(kn), 1, 1)), pascals, 0.02)
	}
}

func TestStreamForce(t *testing.T) {
	// Worked by hand from UFC 4-159-03, equations 15 to 20: 1 kn on a hull of 8 m waterline, 3 m beam, 1.5 m draft, 5 m³. q = 0.5 · 1026 ·
	// 0.51444² = 135.77 Pa; form 135.77 · 4.5 · 0.1 = 61.10 N; Re = 3.4585e6, C = 0.075 / (6.5389 - 2)² = 0.0036406; S = 20.4 + 3.333 =
	// 23.733 m²; friction 11.73 N.
	got, err := rode.StreamForce(geo.Knots(1), rode.Hull{Waterline: 8, Beam: 3, Draft: 1.5, VolumeM3: 5})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "1 kn", float64(got), 61.10+11.73, 0.05)
	if _, err := rode.StreamForce(1, rode.Hull{Waterline: 8, Draft: 1}); !errors.Is(err, geo.ErrInvalid) {
		t.Errorf("a hull without beam: %v", err)
	}
}

func TestChainWeights(t *testing.T) {
	// Steel of 7,850 kg/m³ weighs 0.8694 of its weight in sea water of 1,025 (worked out); ours takes 1,026.
	const inWater = 0.8694 * 9.80665
	for _, row := range rode.ShortLink() {
		got, err := rode.ChainWeightNPerM(rode.ShortLink(), row.Size)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "weight", got, row.MassKgPerM*inWater, row.MassKgPerM*inWater*3e-4)
	}
	for _, row := range figures(t, "chain_en818.csv") {
		got, err := rode.ChainWeightNPerM(rode.ShortLink(), geo.Feet(row[0]/12))
		if err != nil {
			t.Fatal(err)
		}
		want := row[1] / 100 * geo.KilogramsPerPound / geo.MetresPerFoot * inWater
		near(t, "weight by another table", got, want, want*0.10 /* chains of two standards have links of two shapes */)
	}
	for _, bad := range [][]geo.ChainSize{nil, {{Size: 0.01, MassKgPerM: 2}, {Size: 0.008, MassKgPerM: 1}}, {{Size: 0.01}}} {
		if _, err := rode.ChainWeightNPerM(bad, 0.01); !errors.Is(err, geo.ErrInvalid) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	if _, err := rode.ChainWeightNPerM(rode.ShortLink(), 0); !errors.Is(err, geo.ErrInvalid) {
		t.Errorf("chain of no size: %v", err)
	}
}
