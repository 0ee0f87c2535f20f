package exchange_test

import (
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"swingroom/geo"
)

func TestTablesOfChainAndRopeAreReadInTheirUnits(t *testing.T) {
	h := good(t, nil, map[string]string{"harbor.json": `{"name":"T","lines":{
		"chain":[{"size_mm":13,"kg_per_m":3.7},{"size_in":"0.75","lb_per_ft":5.5}],
		"ropes":[{"material":"nylon","size_in":1,"lb_per_ft":0.25,"density_kg_m3":1140,
			"stretch":[{"pull_n":0.5,"strain":0},{"pull_lb":100,"strain":0.05}]},
			{"material":"wire","size_mm":10,"kg_per_m":0.4,"density_kg_m3":7850}]}}`})
	want := geo.Lines{Chain: []geo.ChainSize{{Size: 0.013, MassKgPerM: 3.7},
		{Size: geo.Feet(0.75 / 12), MassKgPerM: 5.5 * 0.45359237 / 0.3048}},
		Ropes: []geo.RopeKind{{Material: "nylon", Size: geo.Feet(1.0 / 12), MassKgPerM: 0.25 * 0.45359237 / 0.3048, DensityKgPerM3: 1140,
			Stretch: []geo.StretchPoint{{PullN: 0.5, StrainRatio: 0}, {PullN: 444.8221615260500, StrainRatio: 0.05}}},
			{Material: "wire", Size: 0.01, MassKgPerM: 0.4, DensityKgPerM3: 7850}}}
	if !near(reflect.ValueOf(h.Defaults.Lines), reflect.ValueOf(want)) {
		t.Errorf("\n got %+v\nwant %+v", h.Defaults.Lines, want)
	}
	// A table that the file does not have stays on file; one that it has takes its place as a whole.
	again := good(t, h, map[string]string{"harbor.json": `{"lines":{"chain":[{"size_mm":20,"kg_per_m":9}]}}`}).Defaults.Lines
	if !reflect.DeepEqual(again, geo.Lines{Chain: []geo.ChainSize{{Size: 0.02, MassKgPerM: 9}}, Ropes: h.Defaults.Lines.Ropes}) {
		t.Errorf("another table of chain: %+v", again)
	}
	if rest := good(t, h, map[string]string{"harbor.json": `{"units":"metres"}`}).Defaults.Lines; !reflect.DeepEqual(rest,
		h.Defaults.Lines) {
		t.Errorf("a file without lines: %+v", rest)
	}
	if none := good(t, h, map[string]string{"harbor.json": `{"lines":{"chain":[],"ropes":[]}}`}).Defaults.Lines; !reflect.DeepEqual(none,
		geo.Lines{}) {
		t.Errorf("emptied: %+v", none)
	}
}

func TestThatHardwareIsNotRecordedIsTrueOrFalse(t *testing.T) {
	says := func(base *geo.Harbor, lines string) bool {
		return good(t, base, map[string]string{"harbor.json": `{"name":"T","lines":{` + lines + `}}`}).Defaults.Lines.HardwareUnrecorded
	}
	set := good(t, nil, map[string]string{"harbor.json": `{"name":"T","lines":{"hardware_unrecorded":true}}`})
	if !set.Defaults.Lines.HardwareUnrecorded || says(nil, `"hardware_unrecorded":false`) || says(nil, "") {
		t.Error("it is not what the file says")
	}
	if !says(set, `"chain":[]`) || !says(set, `"hardware_unrecorded":null`) || says(set, `"hardware_unrecorded":false`) {
		t.Error("over a harbor on file: only true and false change it")
	}
	for _, value := range []string{`"true"`, `"yes"`, `1`, `0`, `"?"`, `""`, `[]`, `{}`} {
		in := read(t, set, map[string]string{"harbor.json": `{"lines":{"hardware_unrecorded":` + value + `}}`})
		if got := told(in); !strings.HasPrefix(got, "harbor.json, lines hardware_unrecorded: ") ||
			!strings.Contains(got, "true or false is expected") || !in.Harbor.Defaults.Lines.HardwareUnrecorded {
			t.Errorf("%s: %s", value, got)
		}
	}
}

// TestTheExampleOfTheFormatIsTaken reads the harbor.json that users are shown.
func TestTheExampleOfTheFormatIsTaken(t *testing.T) {
	text, err := os.ReadFile("FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(string(text), "```json\n")
	example, _, found := strings.Cut(after, "```")
	if !found {
		t.Fatal("there is no example")
	}
	in := read(t, nil, map[string]string{"harbor.json": example})
	if l := in.Harbor.Defaults.Lines; len(in.Problems) != 0 || len(in.Notices) != 1 || len(l.Chain) == 0 || len(l.Ropes) == 0 ||
		!in.Harbor.Defaults.Rules.Design.Wind.IsKnown() {
		t.Errorf("%v %v %+v", in.Problems, in.Notices, in.Harbor.Defaults) // the one notice is that there are no moorings yet
	}
}

// near compares figures to a part in 1e12, since a unit may be turned over in another order, and everything else as it is.
func near(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Float64:
		return math.Abs(a.Float()-b.Float()) <= 1e-12*math.Abs(b.Float())
	case reflect.Slice:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !near(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Struct:
		for i := range a.NumField() {
			if !near(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	}
	return a.Equal(b)
}

func TestBadTablesOfChainAndRopeAreRefusedByEntry(t *testing.T) {
	const fine = `{"size_mm":13,"kg_per_m":3.7}`
	for _, tc := range []struct {
		lines string
		says  []string // a problem each, in order
	}{
		{`3`, []string{`lines: "3": an object { } is expected`}},
		{`{"chain":{}}`, []string{`lines chain: "{}": a list of {"size_mm", "kg_per_m"} is expected`}},
		{`{"chain":[` + fine + `,{"kg_per_m":5},{"size_mm":20}]}`,
			[]string{"chain, row 2 size_mm or size_in: a figure is expected", "chain, row 3 kg_per_m or lb_per_ft: a figure is expected"}},
		{`{"chain":[{"size":13,"kg_per_m":3.7}]}`, []string{"chain, row 1 size: it has to say its unit: size_mm or size_in"}},
		{`{"chain":[{"size_mm":"thick","kg_per_m":3.7}]}`, []string{`chain, row 1 size_mm: "\"thick\"": a number is expected`}},
		{`{"chain":[null]}`, []string{"chain, row 1 size_mm or size_in", "chain, row 1 kg_per_m"}},
		{`{"chain":[{"size_mm":20,"kg_per_m":9},{"size_mm":16,"kg_per_m":5}]}`,
			[]string{`chain, row 2: "16 mm": the sizes have to go from thin to thick`}},
		{`{"chain":[{"size_mm":0,"kg_per_m":5}]}`, []string{"chain, row 1"}},
		{`{"ropes":[{"size_mm":16,"kg_per_m":1,"density_kg_m3":1140}]}`, []string{"rope 1: expected a material"}},
		{`{"ropes":[{"material":"nylon","size_mm":16,"kg_per_m":1}]}`, []string{"rope 1 nylon density_kg_m3: a figure is expected"}},
		{`{"ropes":[{"material":"nylon","size_mm":16,"kg_per_m":1,"density_kg_m3":0}]}`, []string{"rope 1 nylon: "}},
		{`{"ropes":[{"material":"nylon","size_mm":16,"kg_per_m":1,"density_kg_m3":1140,"stretch":7}]}`,
			[]string{`rope 1 nylon stretch: "7": a list of {"pull_n", "strain"}`}},
		{`{"ropes":[{"material":"nylon","size_mm":16,"kg_per_m":1,"density_kg_m3":1140,"stretch":[{"pull_n":5,"strain":0.1},{"pull":9,` +
			`"strain":0.2},{"pull_n":10}]}]}`,
			[]string{"rope 1 nylon, point 2 pull: it has to say its unit: pull_n or pull_lb",
				"rope 1 nylon, point 3 strain: a figure is expected"}},
		{`{"ropes":[{"material":"nylon","size_mm":16,"kg_per_m":1,"density_kg_m3":1140,"stretch":[{"pull_n":5,"strain":0.1},{"pull_n":4,` +
			`"strain":0.2}]}]}`, []string{`rope 1 nylon: "4 N, strain 0.2": its stiffness curve has to rise`}},
	} {
		in := read(t, nil, map[string]string{"harbor.json": `{"name":"T","lines":` + tc.lines + `}`})
		if len(in.Problems) != len(tc.says) {
			t.Errorf("%s:\n%swant %d problems", tc.lines, told(in), len(tc.says))
			continue
		}
		for i, p := range in.Problems {
			if !strings.HasPrefix(p.String(), "harbor.json, "+tc.says[i]) {
				t.Errorf("%s:\n%s\nwant %s", tc.lines, p, tc.says[i])
			}
		}
	}
	in := read(t, nil, map[string]string{"harbor.json": `{"name":"T","lines":{"chain":[{"size_mm":13,"kg_per_m":3.7,"grade":40}],` +
		`"wire":[]}}`})
	if len(in.Problems) != 0 || len(in.Notices) < 2 || !strings.Contains(in.Notices[0].Text, "chain, row 1 grade") ||
		!strings.Contains(in.Notices[1].Text, "lines wire") {
		t.Errorf("what is not known is not told: %v %v", in.Problems, in.Notices)
	}
}
