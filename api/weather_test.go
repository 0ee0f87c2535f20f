package api_test

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
	"github.com/paulmach/orb/planar"

	"swingroom/api/office"
	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/swing"
)

func TestTheFieldInAWeatherIsGeoJSON(t *testing.T) {
	h := demo(t)
	s := service(t, h)
	text := body(t, get(t, s, "/api/weather?wind_from_deg=225&wind_kn=20&gust=1.3&stream_to_deg=20&stream_kn=1.2&level=high"))
	fc, err := geojson.UnmarshalFeatureCollection(text)
	if err != nil {
		t.Fatal(err)
	}
	boats := map[string]*geo.Mooring{}
	for i := range h.Moorings {
		if m := &h.Moorings[i]; m.Boat != nil {
			boats[m.Number] = m
		}
	}
	kinds := map[string]int{}
	for _, f := range fc.Features {
		kind := f.Properties.MustString("kind")
		kinds[kind]++
		number := f.Properties.MustString("number")
		m := boats[number]
		if kind != "hull" {
			if (f.Geometry == nil) != (kind == "unknown") || m == nil {
				t.Errorf("%s %s has geometry %v", kind, number, f.Geometry)
			}
			continue
		}
		delete(boats, number)
		ring := f.Geometry.(orb.MultiPolygon)[0][0]
		if ring.Orientation() != orb.CCW ||
			!planar.RingContains(ring, orb.Point{(ring[0][0] + ring[6][0]) / 2, (ring[0][1] + ring[6][1]) / 2}) {
			t.Errorf("%s: not a ring by RFC 7946", number)
		}
		bow := geo.PositionOf(ring[0])
		reach := f.Properties.MustFloat64("reach_m")
		if d := float64(geo.Distance(m.Position, bow)); math.Abs(d-reach) > 0.02 {
			t.Errorf("%s: the bow is %.3f m from the anchor, the reach %.3f m", number, d, reach)
		}
		if _, bearing := geo.Geodesic(m.Position, bow); math.Abs(math.Remainder(bearing-f.Properties.MustFloat64("load_deg"), 360)) > 0.3 {
			t.Errorf("%s: the bow bears %.2f°, the load %.2f°", number, bearing, f.Properties.MustFloat64("load_deg"))
		}
	}
	if kinds["hull"] < 400 || kinds["unknown"] == 0 || kinds["hull"]+kinds["unknown"] != countBoats(h) {
		t.Errorf("%v of %d boats", kinds, countBoats(h))
	}
	path := filepath.Join(t.TempDir(), "weather.geojson")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(outside.Program(t, "ogrinfo", "gdal-bin"), "-ro", "-al", "-so", path).CombinedOutput()
	if err != nil || !strings.Contains(string(out), "Feature Count") {
		t.Errorf("ogrinfo: %v\n%s", err, out)
	}
}

func countBoats(h *geo.Harbor) (n int) {
	for i := range h.Moorings {
		if h.Moorings[i].Boat != nil {
			n++
		}
	}
	return n
}

func TestTheFieldSwings(t *testing.T) {
	s := service(t, demo(t))
	var shift, tide office.Swinging
	// The rows are read as they are written.
	for query, into := range map[string]*office.Swinging{"play=shift&wind_from_deg=90&wind_kn=15": &shift,
		"play=tide&wind_from_deg=90&wind_kn=15&stream_kn=1&stream_to_deg=20&from=2026-07-01T04:00Z": &tide} {
		if err := json.Unmarshal(body(t, get(t, s, "/api/swinging?"+query)), into); err != nil {
			t.Fatal(err)
		}
		for _, f := range into.Frames {
			if len(f.Lies) != len(into.Moorings) || len(into.Lengths) != len(into.Moorings) || len(into.Beams) != len(into.Moorings) {
				t.Fatalf("%d rows for %d boats", len(f.Lies), len(into.Moorings))
			}
			for _, g := range f.Gaps {
				if g[0] >= g[1] || int(g[1]) >= len(into.Moorings) {
					t.Fatalf("gap %v", g)
				}
			}
		}
	}
	if len(shift.Frames) != 72 || len(tide.Frames) != 76 {
		t.Fatalf("%d and %d frames", len(shift.Frames), len(tide.Frames))
	}
	// With no stream every boat turns with the wind, and reaches as far from every side.
	for n, f := range shift.Frames {
		for i, lie := range f.Lies {
			if first := shift.Frames[0].Lies[i]; math.Abs(lie[0]-first[0]) > 0.011 ||
				math.Abs(math.Remainder(lie[1]-first[1]-5*float64(n), 360)) > 0.11 {
				t.Fatalf("frame %d, boat %s: %v after %v", n, shift.Moorings[i], lie, first)
			}
		}
	}
	highest, lowest, flood, ebb := math.Inf(-1), math.Inf(1), false, false
	for _, f := range tide.Frames {
		highest, lowest = max(highest, float64(f.Weather.Level)), min(lowest, float64(f.Weather.Level))
		flood = flood || f.Weather.StreamToDeg == 20 && f.Weather.Stream > 0.4
		ebb = ebb || f.Weather.StreamToDeg == 200 && f.Weather.Stream > 0.4
		if !f.At.IsKnown() || f.Weather.Stream.Knots() > 1+1e-9 {
			t.Fatalf("%+v", f.Weather)
		}
	}
	if highest-lowest < 2 || !flood || !ebb {
		t.Errorf("from %.2f to %.2f m, flood %v, ebb %v", lowest, highest, flood, ebb)
	}
}

func TestTheReachOfOneBoat(t *testing.T) {
	s := service(t, demo(t))
	var got swing.Reaches
	if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/432/reach?winds_kn=0,10,42&levels=low,2.5&gust=1.2")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Rows) != 6 || got.Mooring != "432" || got.GustRatio != 1.2 || len(got.Parts) != 3 {
		t.Fatalf("%+v", got)
	}
	for i, r := range got.Rows {
		if i%3 > 0 && !(r.Radius.Or(0) > got.Rows[i-1].Radius.Or(0)) {
			t.Errorf("row %d: more wind, and no farther: %v", i, r.Radius)
		}
	}
	sheet := struct {
		ByRules []swing.ByRule `json:"by_rules"`
		Winter  swing.Watch    `json:"winter_watch"`
	}{}
	if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/432")), &sheet); err != nil {
		t.Fatal(err)
	}
	if len(sheet.ByRules) != 4 || !sheet.Winter.Radius.IsKnown() {
		t.Errorf("%+v", sheet)
	}
}

func TestWrongWeatherIsRefusedInWords(t *testing.T) {
	s := service(t, demo(t))
	for path, want := range map[string]string{
		"/api/weather?wind_kn=strong":                                        "a number is expected",
		"/api/weather?wind_kn=200":                                           "wind_kn is 200.0 kn; it has to lie between 0 and 150 kn",
		"/api/weather?wind_kn=-1":                                            "wind_kn",
		"/api/weather?wind_kn=NaN":                                           "a number is expected",
		"/api/weather?gust=0.5":                                              "gust",
		"/api/weather?stream_kn=40":                                          "stream_kn",
		"/api/weather?wind_from_deg=1e9":                                     "wind_from_deg",
		"/api/weather?level=mean":                                            "low, high, now or metres",
		"/api/weather?level=99":                                              "level_m",
		"/api/weather?wind=20":                                               "there is no parameter",
		"/api/swinging?play=storm":                                           "shift or tide is expected",
		"/api/swinging?play=tide&from=tomorrow":                              "expected a time such as",
		"/api/moorings/432/reach?winds_kn=5,,6":                              "knots from 0 to 150",
		"/api/moorings/432/reach?levels=deep":                                "low, high, now or metres",
		"/api/moorings/432/reach?gust=7":                                     "gust",
		"/api/moorings/343/reach":                                            "mooring 343: tackle is not on record",
		"/api/moorings/nobody/reach":                                         "not found",
		"/api/moorings/432/reach?winds_kn=" + strings.Repeat("1,", 70) + "1": "at most 60",
	} {
		r := get(t, s, path)
		if text := string(body(t, r)); r.StatusCode < 400 || r.StatusCode >= 500 || !strings.Contains(text, want) {
			t.Errorf("%s: %d %s", path, r.StatusCode, text)
		}
	}
	h := demo(t)
	h.Tide, h.Levels = nil, geo.Maybe[geo.Levels]{}
	bare := service(t, h)
	for path, status := range map[string]int{"/api/weather?level=now": 404, "/api/weather": 422, "/api/weather?level=1.5": 200,
		"/api/swinging?play=tide&level=1": 404, "/api/swinging?level=1": 200} {
		if r := get(t, bare, path); r.StatusCode != status {
			t.Errorf("without tide and levels %s: %d %s", path, r.StatusCode, body(t, r))
		}
	}
}
