package exchange_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"swingroom/api/exchange"
	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

func folder(files map[string]string) fstest.MapFS {
	fsys := fstest.MapFS{}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

func read(t testing.TB, base *geo.Harbor, files map[string]string) *exchange.Import {
	t.Helper()
	in, err := exchange.ReadFolder(folder(files), exchange.Options{Base: base, Name: "Test"})
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func good(t testing.TB, base *geo.Harbor, files map[string]string) *geo.Harbor {
	t.Helper()
	in := read(t, base, files)
	for _, p := range in.Problems {
		t.Errorf("problem: %v", p)
	}
	if err := in.Harbor.Validate(); err != nil {
		t.Error(err)
	}
	return in.Harbor
}

const (
	square = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":%s,"geometry":{"type":"Polygon","coordinates":[%s]}}]}`
	box    = `[[-41.51,44.19],[-41.49,44.19],[-41.49,44.21],[-41.51,44.21],[-41.51,44.19]]`
)

func TestEveryDialectOfASpreadsheetReadsTheSame(t *testing.T) {
	for name, text := range map[string]string{
		"plain":              "number,lat,lon,loa_ft,boat\n007,44.2,-41.5,27.5,Grey Heron\n",
		"other order":        "boat,loa_ft,lon,number,lat\nGrey Heron,27.5,-41.5,007,44.2\n",
		"mark and CRLF":      "\xef\xbb\xbfNumber, LAT ,lon,loa_ft,boat\r\n007,44.2,-41.5,27.5,Grey Heron\r\n\r\n,,,,\r\n",
		"semicolons":         "number;lat;lon;loa_ft;boat\n007;44,2;-41,5;27,5;Grey Heron\n;;;;\n",
		"tabs":               "number\tlat\tlon\tloa_ft\tboat\n007\t44.2\t-41.5\t27,5\tGrey Heron\n",
		"a position column":  "number,position,loa_ft,boat\n007,\"44° 12.000' N, 41° 30.000' W\",27.5,Grey Heron\n",
		"feet and inches":    "number,lat,lon,loa_ft,boat\n007,44.2,-41.5,\"27'6\"\"\",Grey Heron\n",
		"unit in the cell":   "number,lat,lon,loa_ft,boat\n007,44.2,-41.5,27.5 ft,Grey Heron\n",
		"metres":             "number,lat,lon,loa_m,boat\n007,44.2,-41.5,8.382,Grey Heron\n",
		"both units agree":   "number,lat,lon,loa_m,loa_ft,boat\n007,44.2,-41.5,8.38,27.5,Grey Heron\n",
		"an unknown column":  "number,lat,lon,loa_ft,boat,colour\n007,44.2,-41.5,27.5,Grey Heron,blue\n",
		"short last row":     "number,lat,lon,loa_ft,boat,note\n007,44.2,-41.5,27.5,Grey Heron\n",
		"quoted line breaks": "number,lat,lon,loa_ft,boat,note\n007,44.2,-41.5,27.5,Grey Heron,\"two\nlines\"\n",
	} {
		t.Run(name, func(t *testing.T) {
			h := good(t, nil, map[string]string{"moorings.csv": text})
			m := h.Moorings[0]
			if len(h.Moorings) != 1 || m.Number != "007" || m.Boat == nil || m.Boat.Name != "Grey Heron" || m.Status != geo.Occupied ||
				math.Abs(float64(m.Boat.LOA.Or(0))-8.382) > 0.01 ||
				geo.Distance(m.Position, geo.Position{LatDeg: 44.2, LonDeg: -41.5}) > 0.01 {
				t.Errorf("%+v %+v", m, m.Boat)
			}
		})
	}
}

func TestBadInputHasItsOwnMessage(t *testing.T) {
	row := func(heading, cells string) map[string]string {
		return map[string]string{"moorings.csv": "number,lat,lon" + heading + "\n1,44.2,-41.5" + cells + "\n"}
	}
	area := func(props, ring string) map[string]string {
		return map[string]string{"areas.geojson": fmt.Sprintf(square, props, ring), "moorings.csv": "number,lat,lon\n1,44.2,-41.5\n"}
	}
	for _, tc := range []struct {
		name, want string // "" wants no problem
		files      map[string]string
	}{
		{"negative length", `moorings.csv line 2, loa_ft: "-3"`, row(",loa_ft", ",-3")},
		{"impossible length", `line 2, loa_ft: "4000"`, row(",loa_ft", ",4000")},
		{"no unit", "loa: the column has to say its unit", row(",loa", ",27")},
		{"no number", "number: a column of that name is expected", map[string]string{"moorings.csv": "lat,lon\n44,-41\n"}},
		{"no position", "needs a position", map[string]string{"moorings.csv": "number\n1\n"}},
		{"an impossible position", "a latitude lies between 89° S and 89° N",
			map[string]string{"moorings.csv": "number,position\n1,\"91, 10\"\n"}},
		{"the same number twice", "the same number stands in line 2",
			map[string]string{"moorings.csv": "number,lat,lon\n1,44.2,-41.5\n1,44.21,-41.5\n"}},
		{"units disagree", "another column says", row(",loa_ft,loa_m", ",30,8")},
		{"not a number", "a number is expected", row(",loa_ft", ",long")},
		{"nan", "a number is expected", row(",loa_ft", ",NaN")},
		{"thousands", "thousands mark", row(",depth_ft", `,"1,234"`)},
		{"unknown said in words", "", row(",loa_ft,draft_ft", ",n/a,?")},
		{"unknown area", "there are no areas", row(",area", ",North")},
		{"bad status", "expected occupied or vacant", row(",status", ",lost")},
		{"vacant with a boat", "a vacant mooring has no boat", row(",status,boat", ",vacant,Grey Heron")},
		{"parts and rode disagree", "the parts add up to", row(",rode_m,pennant_m,top_chain_m", ",30,5,10")},
		{"rode too short", "the rode is shorter than the water is deep at high water", map[string]string{
			"moorings.csv": "number,lat,lon,depth_m,rode_m\n1,44.2,-41.5,10,12\n",
			"harbor.json":  `{"name":"T","levels":{"low_m":0,"high_m":3}}`}},
		{"on land", "it stands on land", map[string]string{"shoreline.geojson": fmt.Sprintf(square, "{}", box),
			"moorings.csv": "number,lat,lon\n1,44.2,-41.5\n"}},
		{"two columns of a name", "two columns of that name", row(",loa_ft,loa_ft", ",1,2")},
		{"too many cells", "the row has 4 cells", row("", ",5")},
		{"not UTF-8", "the file is not in UTF-8", row(",boat", ",Caf\xe9")},
		{"UTF-16", "UTF-16", map[string]string{"moorings.csv": "\xff\xfen\x00u\x00"}},
		{"an open ring", "", area(`{"name":"A"}`, `[[-41.51,44.19],[-41.49,44.19],[-41.49,44.21],[-41.51,44.21]]`)},
		{"a ring wound the wrong way", "", area(`{"name":"A"}`,
			`[[-41.51,44.19],[-41.51,44.21],[-41.49,44.21],[-41.49,44.19],[-41.51,44.19]]`)},
		{"a ring that crosses itself", "crosses itself at 44° 12.0000' N  041° 30.0000' W",
			area(`{"name":"A"}`, `[[-41.51,44.19],[-41.49,44.21],[-41.49,44.19],[-41.51,44.21],[-41.51,44.19]]`)},
		{"no area in a ring", "not in a row", area(`{"name":"A"}`, `[[-41.51,44.19],[-41.49,44.19],[-41.51,44.19]]`)},
		{"latitude first", "are the two swapped", area(`{"name":"A"}`,
			`[[44.19,-141.51],[44.19,-141.49],[44.21,-141.49],[44.19,-141.51]]`)},
		{"an area without name", "an area needs a name", area(`{}`, box)},
		{"an unknown rule", "expected stretched, taut", area(`{"name":"A","rule":"guess"}`, box)},
		{"a margin without unit", "margin_m or margin_ft", area(`{"name":"A","margin":3}`, box)},
		{"another projection", "WGS 84", map[string]string{"areas.geojson": `{"type":"FeatureCollection",` +
			`"crs":{"properties":{"name":"EPSG:26919"}},"features":[]}`}},
		{"no JSON", "it is no GeoJSON", map[string]string{"areas.geojson": `{"type":`}},
		{"levels the wrong way", "cannot be under the low level",
			map[string]string{"harbor.json": `{"name":"T","levels":{"low_m":2,"high_m":1}}`}},
		{"a level missing", "both low_m and high_m", map[string]string{"harbor.json": `{"name":"T","levels":{"low_m":2}}`}},
		{"a background without places", "{z}, {x} and {y}",
			map[string]string{"harbor.json": `{"name":"T","background":{"url":"https://tiles.example/"}}`}},
		{"a sounding without unit", "depth_m or depth_ft", map[string]string{"soundings.csv": "lat,lon,depth\n44,-41,3\n"}},
		{"a bad sounding", `soundings.csv line 3, depth_m: "deep"`,
			map[string]string{"soundings.csv": "lat,lon,depth_m\n44,-41,3\n44,-41,deep\n"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := read(t, nil, tc.files)
			var all []string
			for _, p := range in.Problems {
				all = append(all, p.String())
			}
			if got := strings.Join(all, "\n"); (tc.want == "") != (got == "") || !strings.Contains(got, tc.want) {
				t.Errorf("problems:\n%s\nwant: %s", got, tc.want)
			}
		})
	}
}

func TestAllBadRowsAreToldAtOnceAndCanBeSetAside(t *testing.T) {
	in := read(t, nil, map[string]string{"moorings.csv": "number;lat;lon;loa_ft\n1;44,2;-41,5;27\n2;44,2;-41,4;-1\n3;99;-41,4;20\n4;44," +
		"21;-41,5;30,5\n"})
	if len(in.Problems) != 2 || !in.OnlyMooringRows() || len(in.Harbor.Moorings) != 2 {
		t.Fatalf("%v, %d good", in.Problems, len(in.Harbor.Moorings))
	}
	var out bytes.Buffer
	if err := in.WriteRejected(&out); err != nil {
		t.Fatal(err)
	}
	if want := "number;lat;lon;loa_ft\n2;44,2;-41,4;-1\n3;99;-41,4;20\n"; out.String() != want {
		t.Errorf("%q", out.String())
	}
}

func TestImportingAgainUpdatesByNumberAndKeepsWhatTheFileDoesNotSay(t *testing.T) {
	h := good(t, nil, map[string]string{
		"harbor.json":  `{"name":"Test","units":"metres","levels":{"datum":"LAT","low_m":-0.5,"high_m":3},"defaults":{"margin_m":2}}`,
		"moorings.csv": "number,lat,lon,loa_m,draft_m,rode_m,boat\n1,44.2,-41.5,8,1.2,20,Grey Heron\n2,44.201,-41.5,9,1.3,21,Plover\n",
	})
	h = good(t, h, map[string]string{"moorings.csv": "number,draft_m\n1,1.5\n"})
	m := h.Moorings[0]
	if len(h.Moorings) != 2 || float64(m.Boat.Draft.Or(0)) != 1.5 || float64(m.Boat.LOA.Or(0)) != 8 || m.Boat.Name != "Grey Heron" ||
		m.Status != geo.Occupied || h.Defaults.Rules.Margin != 2 {
		t.Errorf("%+v %+v", m, m.Boat)
	}
	// An empty cell under a heading makes unknown; a row that is refused leaves what is on file.
	h = good(t, h, map[string]string{"moorings.csv": "number,draft_m\n1,\n"})
	if h.Moorings[0].Boat.Draft.IsKnown() {
		t.Error("the draft is still known")
	}
	in := read(t, h, map[string]string{"moorings.csv": "number,depth_m\n2,400\n"})
	if len(in.Problems) != 1 || in.Harbor.Moorings[1].Depth.IsKnown() || in.Harbor.Moorings[1].Boat == nil {
		t.Errorf("%v %+v", in.Problems, in.Harbor.Moorings[1])
	}
	if in := read(t, h, map[string]string{"moorings.csv": "number,lat,lon\n3,-41.5,44.2\n"}); len(in.Problems) != 1 ||
		!strings.Contains(in.Problems[0].Want, "longitude first") {
		t.Errorf("swapped against the harbor: %v", in.Problems)
	}
}

func TestAnAreaAcrossTheAntimeridianInEveryForm(t *testing.T) {
	for name, geometry := range map[string]string{
		"running on": `{"type":"Polygon","coordinates":[[[179.99,-17.01],[180.01,-17.01],[180.01,-16.99],[179.99,-16.99],[179.99,` +
			`-17.01]]]}`,
		"jumping": `{"type":"Polygon","coordinates":[[[179.99,-17.01],[-179.99,-17.01],[-179.99,-16.99],[179.99,-16.99],[179.99,` +
			`-17.01]]]}`,
		"cut in two": `{"type":"MultiPolygon","coordinates":[[[[179.99,-17.01],[180,-17.01],[180,-16.99],[179.99,-16.99],[179.99,` +
			`-17.01]]],[[[-180,-17.01],[-179.99,-17.01],[-179.99,-16.99],[-180,-16.99],[-180,-17.01]]]]}`,
		"wound wrong": `{"type":"Polygon","coordinates":[[[179.99,-17.01],[179.99,-16.99],[-179.99,-16.99],[-179.99,-17.01],[179.99,` +
			`-17.01]]]}`,
	} {
		t.Run(name, func(t *testing.T) {
			h := good(t, nil, map[string]string{
				"areas.geojson": `{"type":"Feature","properties":{"name":"Line"},"geometry":` + geometry + `}`,
				"moorings.csv":  "number,lat,lon,radius_m\n1,-17,179.9999,30\n2,-17,-179.999,30\n",
			})
			f, err := clearance.NewField(h)
			if err != nil {
				t.Fatal(err)
			}
			if h.Moorings[0].Area != "Line" || h.Moorings[1].Area != "Line" || len(f.Report().Hazards) != 0 {
				t.Errorf("areas %q %q, hazards %v", h.Moorings[0].Area, h.Moorings[1].Area, f.Report().Hazards)
			}
		})
	}
}

func TestNothingToReadIsAnError(t *testing.T) {
	if _, err := exchange.ReadFolder(folder(nil), exchange.Options{}); err == nil || !strings.Contains(err.Error(), "moorings.csv") {
		t.Error(err)
	}
}

// TestARealBay takes real soundings, land and fairways in, with synthetic moorings laid between the soundings.
func TestARealBay(t *testing.T) {
	dir := outside.RealData(t, "real-water")
	files := map[string]string{}
	for to, from := range map[string]string{"soundings.csv": "soundings.csv", "shoreline.geojson": "land.geojson",
		"fairways.geojson": "fairways.geojson"} {
		text, err := os.ReadFile(filepath.Join(dir, from))
		if err != nil {
			t.Fatal(err)
		}
		files[to] = string(text)
	}
	files["harbor.json"] = `{"name":"Real water, invented moorings","units":"feet","levels":{"datum":"mean lower low ` +
		`water","low_ft":-0.5,"high_ft":2.5}}`
	files["moorings.csv"] = "number,lat,lon\n"
	bare := good(t, nil, files)
	empty, err := clearance.NewField(bare)
	if err != nil {
		t.Fatal(err)
	}
	var rows strings.Builder
	rows.WriteString("number,lat,lon,rode_ft,loa_ft,draft_ft,bow_height_ft,accuracy_m\n")
	flat, n := bare.Soundings.FlatCoords(), 0
	for i := 0; i+2 < len(flat) && n < 500; i += 6 {
		p := geo.Position{LonDeg: flat[i], LatDeg: flat[i+1]}
		if !empty.Bed().OnLand(empty.Frame().Project(p)) && flat[i+2] > 1.5 {
			n++
			fmt.Fprintf(&rows, "%d,%.7f,%.7f,40,%d,4,3,2\n", n, p.LatDeg, p.LonDeg, 20+n%25)
		}
	}
	files["moorings.csv"] = rows.String()
	h := good(t, nil, files)
	f, err := clearance.NewField(h)
	if err != nil {
		t.Fatal(err)
	}
	report := f.Report()
	known := 0
	for i := range h.Moorings {
		if f.Swing(i).Radius.IsKnown() {
			known++
		}
	}
	t.Logf("%d moorings, %d conflicts, %d hazards, %d gaps, %d radii", len(h.Moorings), len(report.Conflicts), len(report.Hazards),
		len(report.Unknown), known)
	if len(h.Moorings) < 400 || known < len(h.Moorings)*95/100 || len(report.Hazards) == 0 {
		t.Errorf("%d moorings, %d radii, %d hazards", len(h.Moorings), known, len(report.Hazards))
	}
}

func FuzzMoorings(f *testing.F) {
	f.Add("number,lat,lon,loa_ft\n1,44.2,-41.5,27'6\"\n")
	f.Add("number;position;rode_m\n007;44° 12,3' N 41° 30' W;12,5\n")
	f.Add("\xef\xbb\xbfnumber\tlat\tlon\tanchor_lb\r\n\"a\nb\"\t1\t2\t3\r\n")
	f.Fuzz(func(t *testing.T, text string) {
		in, err := exchange.ReadFolder(folder(map[string]string{"moorings.csv": text}), exchange.Options{})
		if err != nil {
			return
		}
		for _, m := range in.Harbor.Moorings {
			if err := m.Validate(); err != nil {
				t.Fatalf("taken, but: %v", err)
			}
		}
		if err := in.WriteRejected(&bytes.Buffer{}); err != nil {
			t.Fatal(err)
		}
	})
}

func FuzzShapes(f *testing.F) {
	f.Add(fmt.Sprintf(square, `{"name":"A","margin_ft":3}`, box))
	f.Add(`{"type":"MultiPolygon","coordinates":[[[[180,0],[-180,1],[179,1],[180,0]]]]}`)
	f.Fuzz(func(t *testing.T, text string) {
		for _, name := range []string{"areas.geojson", "shoreline.geojson", "fairways.geojson"} {
			in, err := exchange.ReadFolder(folder(map[string]string{name: text}), exchange.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if len(in.Problems) == 0 {
				if err := in.Harbor.Validate(); err != nil {
					t.Fatalf("taken, but: %v", err)
				}
			}
		}
	})
}

func FuzzHarborJSON(f *testing.F) {
	f.Add(`{"name":"T","units":"feet","levels":{"datum":"x","low_ft":1,"high_m":3},"defaults":{"rule":"scope","scope":3},` +
		`"background":{"url":"http://a/{z}/{x}/{y}"}}`)
	f.Fuzz(func(t *testing.T, text string) {
		in, err := exchange.ReadFolder(folder(map[string]string{"harbor.json": text}), exchange.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(in.Problems) == 0 && !json.Valid([]byte(text)) {
			t.Fatal("taken, but no JSON")
		}
	})
}

func FuzzSoundings(f *testing.F) {
	f.Add("lat,lon,depth_ft\n44,-41,3\n")
	f.Add("position;depth_m_lat\n44° N 41° W;-3,5\n")
	f.Fuzz(func(t *testing.T, text string) {
		in, err := exchange.ReadFolder(folder(map[string]string{"soundings.csv": text}), exchange.Options{})
		if err == nil && len(in.Problems) == 0 && in.Harbor.Soundings != nil {
			if _, err := clearance.NewField(in.Harbor); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func BenchmarkAMillionSoundings(b *testing.B) {
	var text bytes.Buffer
	text.WriteString("lat,lon,depth_m\n")
	for i := range 1_000_000 {
		fmt.Fprintf(&text, "%.7f,%.7f,%.1f\n", 44+float64(i%1000)/1e4, -41-float64(i/1000)/1e4, float64(i%130)/10)
	}
	files := fstest.MapFS{"soundings.csv": &fstest.MapFile{Data: text.Bytes()}}
	for b.Loop() {
		if _, err := exchange.ReadFolder(files, exchange.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
