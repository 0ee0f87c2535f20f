package exchange_test

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"swingroom/api/exchange"
)

func TestTheWaitingListIsTakenIn(t *testing.T) {
	const areas = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"North"},"geometry":{"type":"Polygon",` +
		`"coordinates":[[[-41.5,44.2],[-41.49,44.2],[-41.49,44.21],[-41.5,44.2]]]}}]}`
	read := func(list string) *exchange.Import {
		t.Helper()
		im, err := exchange.ReadFolder(fstest.MapFS{"areas.geojson": {Data: []byte(areas)}, "waiting.csv": {Data: []byte(list)}},
			exchange.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return im
	}
	im := read("name,since,areas,boat,boat_kind,loa_ft,draft_ft,shoe_size\nAda Quill,2024-05-01,,Heron,sloop,27'6\",4,9\nBo " +
		"Quill,2019-02-03,North; North,,,8,?,\n")
	if len(im.Problems) != 0 || len(im.Harbor.Waiting) != 2 {
		t.Fatalf("%v %+v", im.Problems, im.Harbor.Waiting)
	}
	first, second := im.Harbor.Waiting[0], im.Harbor.Waiting[1]
	if first.Name != "Bo Quill" || len(first.Areas) != 2 || first.Boat.Draft.IsKnown() || second.Boat.Name != "Heron" ||
		math.Abs(second.Boat.LOA.Or(0).Feet()-27.5) > 1e-9 || len(second.Areas) != 0 {
		t.Errorf("in order of date: %+v", im.Harbor.Waiting)
	}
	for list, want := range map[string]string{
		"name,loa_ft\nAda,27\n":                   "since",
		"name,since\nAda,last spring\n":           "expected a day such as",
		"name,since\n,2024-01-01\n":               "expected a name",
		"name,since,areas\nAda,2024-01-01,Moon\n": "no area of that name",
		"name,since,loa_m\nAda,2024-01-01,-3\n":   "it has to lie between",
		"name,since,loa_m\nAda,2024-01-01,long\n": "a number is expected",
	} {
		im := read(list)
		if len(im.Problems) == 0 || !strings.Contains(im.Problems[0].String(), want) ||
			!strings.Contains(im.Problems[0].File, "waiting.csv") {
			t.Errorf("%q: %v", list, im.Problems)
		}
		if len(im.Harbor.Waiting) != 0 {
			t.Errorf("%q: a bad list is taken", list)
		}
	}
}

func TestAFigureInTwoUnitsHasToAgreeInEveryTable(t *testing.T) {
	const moorings = "number,lat,lon\n7,44.2,-41.5\n"
	for _, tc := range []struct{ file, text, want string }{
		{"waiting.csv", "name,since,loa_m,loa_ft\nAda,2024-01-01,8.38,27.5\n", ""},
		{"waiting.csv", "name,since,loa_m,loa_ft\nAda,2024-01-01,8.38,30\n",
			"line 2, loa_ft: \"30\": another column says 8.38 m, this one 9.14 m"},
		{"waiting.csv", "name,since,loa\nAda,2024-01-01,27\n", "line 1, loa: the column has to say its unit: loa_m or loa_ft"},
		{"tackle.csv", "number,kind,length_m,length_ft\n7,rope,3.05,10\n", ""},
		{"tackle.csv", "number,kind,length_m,length_ft\n7,rope,?,10\n", ""},
	} {
		in := read(t, nil, map[string]string{"moorings.csv": moorings, tc.file: tc.text})
		if got := told(in); (tc.want == "") != (got == "") || !strings.Contains(got, tc.want) {
			t.Errorf("%s %q: %q, want %q", tc.file, tc.text, got, tc.want)
		}
	}
}
