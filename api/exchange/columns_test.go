package exchange_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"swingroom/geo"
)

// every is a row with something under each column of the tackle.
const every = "number,lat,lon,anchor,anchor_kg,ground_chain_m,ground_chain_size_mm,ground_chain_material,top_chain_m,top_chain_size_mm," +
	"top_chain_material,elastic_m,elastic_size_mm,elastic_material," +
	"rope_m,rope_size_mm,rope_material,buoy,buoy_size_in,buoy_lb,pennant_ft,pennant_size_in,pennant_material,marker_line_ft,marker\n" +
	`1,44.2,-41.5,mushroom,90,8,16,"steel, grade 3",6,13,galvanised,2,20,rubber cord,3,18,polyester,"white, blue ` +
	`band",24,20,10,0.75,nylon,25,"tapered stick, white"` + "\n"

func TestEveryColumnOfTheTackleReachesItsPart(t *testing.T) {
	m := good(t, nil, map[string]string{"moorings.csv": every}).Moorings[0]
	metres := func(v geo.Metres) geo.Maybe[geo.Metres] { return geo.Known(v) }
	mm := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v * 0.001)) }
	inch := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v * (0.3048 / 12))) }
	want := geo.Tackle{
		{Kind: geo.Anchor, Weight: geo.Known(geo.Kilograms(90)), Material: "mushroom"},
		{Kind: geo.GroundChain, Length: metres(8), Size: mm(16), Material: "steel, grade 3"},
		{Kind: geo.TopChain, Length: metres(6), Size: mm(13), Material: "galvanised"},
		{Kind: geo.Elastic, Length: metres(2), Size: mm(20), Material: "rubber cord"},
		{Kind: geo.Rope, Length: metres(3), Size: mm(18), Material: "polyester"},
		{Kind: geo.Buoy, Size: inch(24), Weight: geo.Known(geo.Pounds(20)), Material: "white, blue band"},
		{Kind: geo.Pennant, Length: metres(geo.Feet(10)), Size: inch(0.75), Material: "nylon"},
		{Kind: geo.MarkerLine, Length: metres(geo.Feet(25))},
		{Kind: geo.Marker, Material: "tapered stick, white"},
	}
	if !reflect.DeepEqual(m.Tackle, want) {
		t.Errorf("\n got %+v\nwant %+v", m.Tackle, want)
	}
	// 8 + 6 + 2 + 3 m and 10 ft: the marker's line is no part of it
	if length, _ := m.Tackle.RodeLength(); float64(length.Or(0)) < 22.04 || float64(length.Or(0)) > 22.05 {
		t.Errorf("the rode is %v m long", length)
	}
}

func TestImportingTackleAgainKeepsWhatTheFileDoesNotSay(t *testing.T) {
	h := good(t, nil, map[string]string{"moorings.csv": every})
	before := slices.Clone(h.Moorings[0].Tackle)
	with := func(kind geo.PartKind, change func(*geo.Part)) geo.Part {
		p := before[slices.IndexFunc(before, func(p geo.Part) bool { return p.Kind == kind })]
		change(&p)
		return p
	}
	noMaterial := func(p *geo.Part) { p.Material = "" }
	gone := geo.Part{}
	for name, tc := range map[string]struct {
		row     string
		changed map[geo.PartKind]geo.Part // all others stay as they are
	}{
		"no column of the tackle": {"number,note\n1,seen\n", nil},
		"a cell changes its own figure of a part": {"number,buoy_kg\n1,11\n", map[geo.PartKind]geo.Part{
			geo.Buoy: with(geo.Buoy, func(p *geo.Part) { p.Weight = geo.Known(geo.Kilograms(11)) }),
		}},
		"an empty cell makes unknown, and a part of which nothing else is known goes": {"number,buoy_kg,buoy_size_mm,pennant_material," +
			"rope_material,elastic_material,ground_chain_material,top_chain_material,marker_line_m,marker\n1,,,,,,,,,\n",
			map[geo.PartKind]geo.Part{
				geo.Buoy: with(geo.Buoy, func(p *geo.Part) {
					p.Weight, p.Size = geo.Maybe[geo.Kilograms]{}, geo.Maybe[geo.Metres]{}
				}),
				geo.Pennant: with(geo.Pennant, noMaterial), geo.Rope: with(geo.Rope, noMaterial),
				geo.Elastic: with(geo.Elastic, noMaterial), geo.GroundChain: with(geo.GroundChain, noMaterial),
				geo.TopChain: with(geo.TopChain, noMaterial), geo.MarkerLine: gone, geo.Marker: gone,
			}},
		"a marker goes without its line": {"number,marker\n1,\n", map[geo.PartKind]geo.Part{geo.Marker: gone}},
	} {
		t.Run(name, func(t *testing.T) {
			var want geo.Tackle
			for _, p := range before {
				if changed, ok := tc.changed[p.Kind]; ok {
					p = changed
				}
				if p != gone {
					want = append(want, p)
				}
			}
			if got := good(t, h, map[string]string{"moorings.csv": tc.row}).Moorings[0].Tackle; !reflect.DeepEqual(got, want) {
				t.Errorf("\n got %+v\nwant %+v", got, want)
			}
			if !reflect.DeepEqual(h.Moorings[0].Tackle, before) {
				t.Error("reading a folder has changed the harbor that it was laid over")
			}
		})
	}
}

func TestColumnsOfTheBuoyAndMarkerThatCannotBeTaken(t *testing.T) {
	for _, tc := range []struct{ heading, cell, says string }{
		{"buoy_size", "24", "line 1, buoy_size: the column has to say its unit: buoy_size_mm or buoy_size_in"},
		{"marker_line", "24", "line 1, marker_line: the column has to say its unit: marker_line_m or marker_line_ft"},
		{"buoy_size_mm", "6000", `line 2, buoy_size_mm: "6000"`},
		{"buoy_lb", "-1", `line 2, buoy_lb: "-1"`},
		{"marker_line_ft", "tall", `line 2, marker_line_ft: "tall": a number is expected`},
		{"marker_line_ft", "-2", `line 2, marker_line_ft: "-2"`},
		{"buoy_kg,buoy_lb", "9,25", `line 2, buoy_lb: "25": another column says 9.00 kg, this one 11.34 kg`},
	} {
		in := read(t, nil, map[string]string{"moorings.csv": "number,lat,lon," + tc.heading + "\n1,44.2,-41.5," + tc.cell + "\n"})
		if got := told(in); !strings.HasPrefix(got, "moorings.csv "+tc.says) || len(in.Problems) != 1 {
			t.Errorf("%s %s: %q", tc.heading, tc.cell, got)
		}
	}
	// 20 lb is 9.07 kg
	if h := good(
		t, nil, map[string]string{
			"moorings.csv": "number,lat,lon,buoy_kg,buoy_lb\n1,44.2,-41.5,9,20\n"}); !h.Moorings[0].Tackle[0].Weight.IsKnown() {
		t.Error("a weight in both units, each rounded, is not taken")
	}
	in := read(t, nil, map[string]string{"moorings.csv": "number,lat,lon,buoy,buoy_colour\n1,44.2,-41.5,ball,red\n"})
	if len(in.Problems) != 0 || len(in.Notices) != 1 || !strings.Contains(in.Notices[0].Text, `"buoy_colour" is not known`) ||
		in.Harbor.Moorings[0].Tackle[0].Material != "ball" {
		t.Errorf("%v %v %+v", in.Problems, in.Notices, in.Harbor.Moorings[0].Tackle)
	}
}

func TestWearAndTheSmallestBoatAreRead(t *testing.T) {
	h := &geo.Harbor{Name: "h", Units: geo.UnitsFeet, Defaults: geo.NewDefaults()}
	m := good(t, h, map[string]string{"moorings.csv": "number,lat,lon,top_chain_left_pct,pennant_left_pct,swivel_size_in," +
		"smallest_loa_ft\n1,44.2,-41.5,85,,0.5,20\n"}).Moorings[0]
	if m.SmallestLOA.Or(0) != geo.Feet(20) {
		t.Errorf("smallest boat %v", m.SmallestLOA)
	}
	by := map[geo.PartKind]geo.Part{}
	for _, p := range m.Tackle {
		by[p.Kind] = p
	}
	if math.Abs(by[geo.TopChain].LeftRatio.Or(0)-0.85) > 1e-12 || by[geo.Pennant].LeftRatio.IsKnown() ||
		math.Abs(float64(by[geo.Swivel].Size.Or(0))-0.0127) > 1e-9 {
		t.Errorf("%+v", by)
	}
}
