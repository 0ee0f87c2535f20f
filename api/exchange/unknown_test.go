package exchange_test

import (
	"encoding/csv"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/api/exchange"
	"swingroom/geo"
)

// oneMooring reads a row of moorings.csv under its heading into a new harbor.
func oneMooring(t *testing.T, columns, cells []string) geo.Mooring {
	t.Helper()
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.WriteAll([][]string{columns, cells}); err != nil {
		t.Fatal(err)
	}
	return good(t, nil, map[string]string{"moorings.csv": b.String()}).Moorings[0]
}

func TestAPartThatIsNotKnownIsThere(t *testing.T) {
	for column, kind := range map[string]geo.PartKind{
		"pennant_m": geo.Pennant, "top_chain_ft": geo.TopChain, "elastic_m": geo.Elastic, "rope_m": geo.Rope, "rode_m": geo.Rode,
		"ground_chain_size_mm": geo.GroundChain, "shackle_size_in": geo.Shackle, "swivel_left_pct": geo.Swivel,
		"pennant_material": geo.Pennant,
		"anchor":           geo.Anchor, "anchor_kg": geo.Anchor, "buoy": geo.Buoy, "marker": geo.Marker, "marker_line_m": geo.MarkerLine,
		"marker_line_installed": geo.MarkerLine, "pennant_inspected": geo.Pennant,
	} {
		for cell, there := range map[string]bool{
			"": false, "?": true, " ? ": true, "unknown": true, "Unknown": true, "-": true, "n/a": true,
		} {
			m := oneMooring(t, []string{"number", "lat", "lon", column}, []string{"1", "44.2", "-41.5", cell})
			want := geo.Tackle(nil)
			if there {
				want = geo.Tackle{{Kind: kind}}
			}
			if !reflect.DeepEqual(m.Tackle, want) {
				t.Errorf("%s = %q: %+v", column, cell, m.Tackle)
			}
		}
	}
	// Beside parts that are known: the length of the whole is not known, and is said to want the one that was asked about.
	for _, column := range []string{"pennant_m", "pennant_size_mm", "elastic_m", "rode_m"} {
		m := oneMooring(t, []string{"number", "lat", "lon", "ground_chain_m", "top_chain_m", column},
			[]string{"1", "44.2", "-41.5", "10", "8", "?"})
		if length, missing := m.Tackle.RodeLength(); length.IsKnown() || !strings.HasPrefix(column, string(missing)) {
			t.Errorf("%s = ?: a rode of %v, missing %q", column, length, missing)
		}
	}
}

func TestABoatOfWhichNothingIsKnownIsThere(t *testing.T) {
	for _, column := range []string{"boat", "boat_kind", "owner", "loa_ft", "length_all_m", "beam_m", "draft_m", "bow_height_m"} {
		for _, tc := range []struct {
			cell, status string
			want         geo.Status
			boat         bool
		}{
			{"?", "", geo.Occupied, true}, {"unknown", "", geo.Occupied, true}, {"", "", geo.Vacant, false},
			{"?", "vacant", geo.Vacant, false}, {"", "occupied", geo.Occupied, false}, {"?", "occupied", geo.Occupied, true},
		} {
			m := oneMooring(t, []string{"number", "lat", "lon", "status", column}, []string{"1", "44.2", "-41.5", tc.status, tc.cell})
			if m.Status != tc.want || (m.Boat != nil) != tc.boat || tc.boat && *m.Boat != (geo.Boat{}) {
				t.Errorf("%s = %q, status %q: %s, %+v", column, tc.cell, tc.status, m.Status, m.Boat)
			}
		}
	}
}

func TestWhatCannotBeUnknownIsRefused(t *testing.T) {
	const fine = "number,lat,lon\n1,44.2,-41.5\n"
	for name, tc := range map[string]struct {
		file, text string
		want       []string // a problem each, in order
	}{
		"number": {"moorings.csv", "number,lat,lon\n?,44.2,-41.5\n",
			[]string{"line 2, number: \"?\": the number painted on the buoy is expected"}},
		"latitude":  {"moorings.csv", "number,lat,lon\n1,?,-41.5\n", []string{"line 2, lat, lon: "}},
		"longitude": {"moorings.csv", "number,lat,lon\n1,44.2,?\n", []string{"line 2, lat, lon: "}},
		"position":  {"moorings.csv", "number,position\n1,?\n", []string{`line 2, position: "?"`}},
		"area": {"moorings.csv", "number,lat,lon,area\n1,44.2,-41.5,?\n",
			[]string{"line 2, area: \"?\": the name of an area is expected, or nothing"}},
		"status": {"moorings.csv", "number,lat,lon,status\n1,44.2,-41.5,?\n",
			[]string{`line 2, status: "\"?\"": expected occupied or vacant`}},
		"part": {"tackle.csv", "number,kind\n?,anchor\n1,?\n",
			[]string{"line 2, number: \"?\": the number painted on the buoy is expected",
				"line 3, kind: \"?\": one of [anchor ground_chain"}},
		"margin": {"harbor.json", `{"defaults":{"margin_m":"?"}}`, []string{"leave it out where it is not known"}},
		"row of a table": {"harbor.json",
			`{"lines":{"tables":[{"name":"T","source":"invented","rows":[{"up_to_ft":20,"pennant_size_in":"?"}]}]}}`,
			[]string{"leave it out where it is not known"}},
	} {
		t.Run(name, func(t *testing.T) {
			files := map[string]string{"moorings.csv": fine}
			files[tc.file] = tc.text
			in := read(t, nil, files)
			if len(in.Problems) != len(tc.want) {
				t.Fatalf("%d problems, want %d:\n%s", len(in.Problems), len(tc.want), told(in))
			}
			for i, want := range tc.want {
				if got := in.Problems[i].String(); !strings.HasPrefix(got, tc.file) || !strings.Contains(got, want) {
					t.Errorf("%s\nwant %s", got, want)
				}
			}
		})
	}
}

func TestAWordThatMayMeanEitherIsToldOf(t *testing.T) {
	for cell, told := range map[string]bool{"-": true, "n/a": true, "?": false, "unknown": false, "": false, "Heron": false} {
		in := read(t, nil, map[string]string{"moorings.csv": "number,lat,lon,boat\n1,44.2,-41.5," + cell + "\n"})
		says := slices.ContainsFunc(in.Notices, func(n exchange.Notice) bool {
			return strings.Contains(n.Text, "where there is none, leave the cell empty")
		})
		if len(in.Problems) > 0 || says != told {
			t.Errorf("%q: %v %v", cell, in.Problems, in.Notices)
		}
	}
}

// TestATextThatSaysThatNothingIsKnownIsNoText: what is on record as "?" is kept by an apostrophe, as any text
// that could be taken for something else.
func TestATextThatSaysThatNothingIsKnownIsNoText(t *testing.T) {
	row := func(cell string) *geo.Boat {
		return oneMooring(t, []string{"number", "lat", "lon", "loa_m", "boat"}, []string{"1", "44.2", "-41.5", "8", cell}).Boat
	}
	for cell, want := range map[string]string{"?": "", "-": "", "'?": "?", "'-": "-", "''?": "'?", "Null": "Null", "Na": "Na",
		"What?": "What?"} {
		if got := row(cell).Name; got != want {
			t.Errorf("%q is read as %q, want %q", cell, got, want)
		}
	}
}

// whole is a row in which every part and every figure of the boat stands; the parts add up to the rode.
var whole = [][2]string{
	{"loa_m", "9"}, {"length_all_m", "9.5"}, {"beam_m", "3"}, {"draft_m", "1.5"}, {"bow_height_m", "1"}, {"boat", "Heron"},
	{"boat_kind", "sail"}, {"owner", "Ada Quill"}, {"anchor", "mushroom"}, {"anchor_kg", "200"}, {"ground_chain_m", "8"},
	{"ground_chain_size_mm", "20"}, {"top_chain_m", "6"}, {"top_chain_size_mm", "13"}, {"elastic_m", "2"},
	{"elastic_size_mm", "30"}, {"rope_m", "3"}, {"rope_size_mm", "24"}, {"rope_material", "nylon"}, {"pennant_m", "4"},
	{"pennant_size_mm", "22"}, {"pennant_material", "nylon"}, {"pennant_left_pct", "90"}, {"swivel_size_mm", "19"},
	{"shackle_size_mm", "16"}, {"shackle_left_pct", "80"}, {"buoy", "ball"}, {"buoy_size_mm", "500"}, {"buoy_kg", "5"},
	{"rode_m", "23"}, {"marker_line_m", "12"}, {"marker", "spar"}, {"pennant_installed", "2024-05-01"},
	{"swivel_inspected", "2025-05-01"}, {"accuracy_m", "2"}, {"depth_m", "4"}, {"radius_m", "30"}, {"largest_loa_m", "12"},
	{"largest_draft_m", "2"}, {"smallest_loa_m", "6"}, {"permit_year", "2026"}, {"permit_expires", "2026-12-31"},
}

// TestTypingThatNothingIsKnownNeverShortensTheTackle draws rows with some of the columns, some of the cells empty, and puts ? into
// each in turn.
func TestTypingThatNothingIsKnownNeverShortensTheTackle(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		columns, cells := []string{"number", "lat", "lon"}, []string{"1", "44.2", "-41.5"}
		filled := rapid.Bool().Draw(rt, "all filled")
		for _, c := range whole {
			if c[0] == "rode_m" && !filled { // would disagree with parts that are left out
				continue
			}
			if filled || rapid.IntRange(0, 3).Draw(rt, c[0]) > 0 {
				cell := c[1]
				if !filled && rapid.IntRange(0, 3).Draw(rt, "empty") == 0 {
					cell = ""
				}
				columns, cells = append(columns, c[0]), append(cells, cell)
			}
		}
		before := oneMooring(t, columns, cells)
		for i := 3; i < len(columns); i++ {
			asked := slices.Clone(cells)
			asked[i] = rapid.SampledFrom([]string{"?", "unknown", "-", "n/a"}).Draw(rt, "word")
			if lost := lostBy(before, oneMooring(t, columns, asked)); lost != "" {
				rt.Errorf("%s = %q in place of %q: %s", columns[i], asked[i], cells[i], lost)
			}
		}
	})
}

// lostBy says what a mooring has lost: a boat, a part, or a length of the rode.
func lostBy(before, after geo.Mooring) string {
	if before.Boat != nil && after.Boat == nil || before.Status == geo.Occupied && after.Status != geo.Occupied {
		return "the boat is gone"
	}
	for _, p := range before.Tackle {
		if !slices.ContainsFunc(after.Tackle, func(q geo.Part) bool { return q.Kind == p.Kind }) {
			return fmt.Sprintf("the %s is gone", p.Kind)
		}
	}
	was, _ := before.Tackle.RodeLength()
	is, _ := after.Tackle.RodeLength()
	if l, known := is.Get(); known && (!was.IsKnown() || l < was.Or(0)) {
		return fmt.Sprintf("a rode of %v m, which was %v", l, was)
	}
	return ""
}

// TestAFieldOfUnknownsGoesIntoANewHarbor writes any harbor's lists and reads them where no mooring is on file: which boats and parts there
// are, and what is known of each, comes in again.
func TestAFieldOfUnknownsGoesIntoANewHarbor(t *testing.T) {
	type known struct {
		status geo.Status
		boat   string
		parts  []string
	}
	of := func(m *geo.Mooring) (k known) {
		k.status = m.Status
		if b := m.Boat; b != nil {
			k.boat = fmt.Sprintf("%q %q %q %v %v %v %v %v",
				b.Name, b.Kind, b.Owner, b.LOA.IsKnown(), b.LengthAll.IsKnown(), b.Beam.IsKnown(), b.Draft.IsKnown(), b.BowHeight.IsKnown())
		}
		for _, p := range m.Tackle {
			k.parts = append(k.parts, fmt.Sprintf("%s %q %v %v %v %v %s %s",
				p.Kind, p.Material, p.Length.IsKnown(), p.Size.IsKnown(), p.Weight.IsKnown(), p.LeftRatio.IsKnown(), p.Installed,
				p.Inspected))
		}
		return k
	}
	rapid.Check(t, func(rt *rapid.T) {
		h := anyHarbor().Draw(rt, "harbor")
		for i := range h.Moorings { // where nothing makes it look like a slip of the pen
			h.Moorings[i].Position = geo.Position{LatDeg: 44.2, LonDeg: -41.45}
			h.Moorings[i].Area = h.Areas[0].Name
		}
		bare := *h
		bare.Moorings, bare.Levels = nil, geo.Maybe[geo.Levels]{}
		units := rapid.SampledFrom([]geo.Units{geo.UnitsFeet, geo.UnitsMetres}).Draw(rt, "units")
		in := read(t, &bare, listFolder(t, h, units, rapid.SampledFrom(exchange.Formats()).Draw(rt, "format")))
		if len(in.Problems) > 0 || len(in.Harbor.Moorings) != len(h.Moorings) {
			rt.Fatalf("%d of %d moorings, %v", len(in.Harbor.Moorings), len(h.Moorings), in.Problems)
		}
		for i := range h.Moorings {
			if got, want := of(&in.Harbor.Moorings[i]), of(&h.Moorings[i]); !reflect.DeepEqual(got, want) {
				rt.Errorf("mooring %q:\n got %q\nwant %q", h.Moorings[i].Number, got, want)
			}
		}
	})
}
