package rode_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/rode"
)

func TestWindageSaysWhatIsMissing(t *testing.T) {
	none := geo.Maybe[geo.Metres]{}
	for _, tc := range []struct {
		name    string
		change  func(*geo.Boat)
		missing []string
	}{
		{"nothing", func(*geo.Boat) {}, nil},
		{"everything", func(b *geo.Boat) { *b = geo.Boat{} }, []string{"loa_m", "beam_m", "bow_height_m"}},
		{"beam", func(b *geo.Boat) { b.Beam = none }, []string{"beam_m"}},
		{"bow height", func(b *geo.Boat) { b.BowHeight = none }, []string{"bow_height_m"}},
		{"length, but for that with everything fixed to her", func(b *geo.Boat) {
			b.LOA, b.LengthAll = none, geo.Known(geo.Metres(9))
		}, nil},
		{"draft", func(b *geo.Boat) { b.Draft = none }, nil},
	} {
		b := measured("sloop", 9, 3, 1.2, 1.6)
		whole, _ := rode.WindageOf(b)
		tc.change(&b)
		got, missing := rode.WindageOf(b)
		if !slices.Equal(missing, tc.missing) {
			t.Errorf("%s: missing %q", tc.name, missing)
		}
		want := whole
		if !b.Draft.IsKnown() {
			want.UnderM2, want.Hull = 0, rode.Hull{}
		}
		if missing != nil {
			want = rode.Windage{}
		}
		if got != want {
			t.Errorf("%s: %+v, want %+v", tc.name, got, want)
		}
	}
}

func TestAMotorBoatIsToldByHerKind(t *testing.T) {
	for kind, motor := range map[string]bool{
		"": false, "sail": false, "Sloop": false, "ketch": false, "sailing dinghy": false, "motorsailer": false, "Fishing sailboat": false,
		"motor": true, "Power boat": true, "LOBSTER BOAT": true, "dinghy": true, "cabin cruiser": true, "inflatable": true,
	} {
		if got := rode.IsMotor(kind); got != motor {
			t.Errorf("%q: motor %v", kind, got)
		}
		if w, _ := rode.WindageOf(measured(kind, 9, 3, 1.2, 1)); w.Motor != motor {
			t.Errorf("the windage of %q: motor %v", kind, w.Motor)
		}
	}
	sail, _ := rode.WindageOf(measured("", 9, 3, 1.2, 1))
	if bare := 9 * 1.2; sail.SideM2 <= bare {
		t.Errorf("from abeam she shows %g m², less than a box of her length and bow height without a rig, %g m²", sail.SideM2, bare)
	}
}

func TestALargerBoatShowsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := someBoat(t)
		longer, wider := b, b
		more := geo.Metres(rapid.Float64Range(1.001, 3).Draw(t, "more"))
		longer.LOA, wider.Beam = geo.Known(b.LOA.Or(0)*more), geo.Known(b.Beam.Or(0)*more)
		was, _ := rode.WindageOf(b)
		long, _ := rode.WindageOf(longer)
		wide, _ := rode.WindageOf(wider)
		if long.FrontM2 <= was.FrontM2 || long.SideM2 <= was.SideM2 || long.UnderM2 <= was.UnderM2 ||
			long.Hull.VolumeM3 <= was.Hull.VolumeM3 {
			t.Fatalf("%+v, and longer by %g: %+v", was, float64(more), long)
		}
		if wide.FrontM2 <= was.FrontM2 || wide.SideM2 < was.SideM2 || wide.UnderM2 < was.UnderM2 ||
			wide.Hull.VolumeM3 <= was.Hull.VolumeM3 {
			t.Fatalf("%+v, and wider by %g: %+v", was, float64(more), wide)
		}
	})
}

func TestTheDragFormulaStandsToTheTableAsAGustToItsYawing(t *testing.T) {
	// The beams are the table's own for each length, from memory; bow heights are common practice, no source.
	boats := map[float64]struct{ sailFt, motorFt, bowM float64 }{
		20: {7, 8, 0.9}, 25: {8, 9, 1.05}, 30: {9, 11, 1.2}, 35: {10, 13, 1.35}, 40: {11, 14, 1.5}, 50: {13, 16, 1.8}, 60: {15, 18, 2.1},
	}
	seen := 0
	for _, row := range figures(t, "design_loads.csv") {
		if row[1] != 30 {
			continue
		}
		for kind, beamFt := range map[string]float64{"sloop": boats[row[0]].sailFt, "motor": boats[row[0]].motorFt} {
			seen++
			b := measured(kind, geo.Feet(row[0]), geo.Feet(beamFt), geo.Metres(boats[row[0]].bowM), 1)
			w, _ := rode.WindageOf(b)
			formula := pull(t, w, geo.Weather{Wind: geo.Knots(30), GustRatio: geo.AssumedGustRatio}).Load
			// The table counts in the side that she shows as she yaws, and the jerk of a gust: it is the larger, and of the same order.
			ratio := float64(formula / geo.PoundsForce(row[2]))
			if ratio < 0.2 || ratio > 1.2 {
				t.Errorf("%s of %g ft: %.0f N, %.2f of the table's load", kind, row[0], float64(formula), ratio)
			}
			if table, err := rode.DesignLoad(b.LOA, b.Beam, w.Motor, geo.Knots(30)); err != nil || table != geo.PoundsForce(row[2]) {
				t.Errorf("%s of %g ft by %g ft: %v N, %v; she is a boat of that row", kind, row[0], beamFt, float64(table), err)
			}
		}
	}
	if seen != 14 {
		t.Errorf("%d boats compared", seen)
	}
}
