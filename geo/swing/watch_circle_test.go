package swing_test

import (
	"math"
	"slices"
	"testing"

	"swingroom/geo"
	"swingroom/geo/swing"
)

func TestWatchCircle(t *testing.T) {
	known := func(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }
	none := geo.Maybe[geo.Metres]{}
	tackle := geo.Tackle{{Kind: geo.Anchor}, {Kind: geo.GroundChain, Length: known(8)}, {Kind: geo.TopChain, Length: known(5)},
		{Kind: geo.Buoy}, {Kind: geo.Pennant, Length: known(4)}}
	lacking := slices.Clone(tackle)
	lacking[2].Length = none
	levels := geo.Known(geo.Levels{Low: -1, High: 3})
	for _, tc := range []struct {
		name         string
		tackle       geo.Tackle
		depth        geo.Maybe[geo.Metres]
		levels       geo.Maybe[geo.Levels]
		radius, calm geo.Maybe[geo.Metres]
		under        geo.Maybe[geo.Metres]
		missing      []string
	}{
		{name: "5-12-13 at the low level; the pennant counts not", tackle: tackle, depth: known(6), levels: levels, radius: known(12),
			calm: known(8), under: known(7)},
		{name: "a place that dries", tackle: tackle, depth: known(0.5), levels: levels, radius: known(13), calm: known(13),
			under: known(12.5)},
		{name: "too short even at low water", tackle: tackle, depth: known(15), levels: levels, radius: known(0), calm: known(0),
			under: known(-2)},
		{name: "no buoy on record", tackle: tackle[:3], depth: known(6), levels: levels, missing: []string{"buoy"}},
		{name: "a chain without its length", tackle: lacking, depth: known(6), levels: levels, missing: []string{"top_chain_m"}},
		{name: "no depth", tackle: tackle, levels: levels, missing: []string{"depth_m"}},
		{name: "no levels: what covers it is known still", tackle: tackle, depth: known(6), under: known(7),
			missing: []string{"levels.low_m"}},
	} {
		got := swing.WatchCircle(swing.Input{Mooring: &geo.Mooring{Number: "7", Tackle: tc.tackle}, Depth: tc.depth, Levels: tc.levels})
		for _, pair := range [][2]geo.Maybe[geo.Metres]{{got.Radius, tc.radius}, {got.Calm, tc.calm}, {got.UnderAbove, tc.under}} {
			g, gok := pair[0].Get()
			w, wok := pair[1].Get()
			if gok != wok || math.Abs(float64(g-w)) > 1e-9 {
				t.Errorf("%s: %+v", tc.name, got)
			}
		}
		if !slices.Equal(got.Missing, slices.Concat([]string{}, tc.missing)) {
			t.Errorf("%s: missing %q", tc.name, got.Missing)
		}
	}
}

func TestWinterWatch(t *testing.T) {
	known := func(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }
	none := geo.Maybe[geo.Metres]{}
	tackle := geo.Tackle{{Kind: geo.Anchor}, {Kind: geo.GroundChain, Length: known(8)}, {Kind: geo.TopChain, Length: known(5)},
		{Kind: geo.Buoy}, {Kind: geo.Pennant, Length: known(4)}, {Kind: geo.MarkerLine, Length: known(10)}, {Kind: geo.Marker}}
	levels := geo.Known(geo.Levels{Low: -1, High: 3})
	lacking := slices.Clone(tackle)
	lacking[1].Length = none
	unmeasured := slices.Clone(tackle)
	unmeasured[5].Length = none
	for _, tc := range []struct {
		name          string
		tackle        geo.Tackle
		depth         geo.Maybe[geo.Metres]
		radius, under geo.Maybe[geo.Metres]
		missing       []string
	}{
		{"the chain laid out, and 6-8-10 beyond its end", tackle, known(7), known(13 + 8), known(3), nil},
		{"a line too short even at low water stands over the chain's end", tackle, known(15), known(13), known(-5), nil},
		{"no marker on record", tackle[:5], known(7), none, none, []string{"marker_line_m"}},
		{"a marker line without its length", unmeasured, known(7), none, none, []string{"marker_line_m"}},
		{"a chain without its length: what covers the marker is known still", lacking, known(7), none, known(3),
			[]string{"ground_chain_m"}},
		{"no depth", tackle, none, none, none, []string{"depth_m"}},
	} {
		m := &geo.Mooring{Number: "7", Tackle: tc.tackle}
		got := swing.WinterWatch(swing.Input{Mooring: m, Depth: tc.depth, Levels: levels})
		for _, pair := range [][2]geo.Maybe[geo.Metres]{{got.Radius, tc.radius}, {got.UnderAbove, tc.under}} {
			g, gok := pair[0].Get()
			w, wok := pair[1].Get()
			if gok != wok || math.Abs(float64(g-w)) > 1e-9 {
				t.Errorf("%s: %+v", tc.name, got)
			}
		}
		if got.Calm.IsKnown() || !slices.Equal(got.Missing, slices.Concat([]string{}, tc.missing)) {
			t.Errorf("%s: calm %v, missing %q", tc.name, got.Calm, got.Missing)
		}
	}
	// The marker's line is no part of the rode.
	if l, _ := tackle.RodeLength(); l.Or(0) != 17 {
		t.Errorf("rode of %v m", l)
	}
}
