package api_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/brotli"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"swingroom/api"
	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

func service(t testing.TB, harbors ...*geo.Harbor) *api.Service {
	t.Helper()
	s, err := api.New(api.Options{Store: onFile(t, harbors...), Local: true})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func get(t testing.TB, s *api.Service, path string, headers ...string) *http.Response {
	t.Helper()
	r := httptest.NewRequest("GET", path, nil)
	r.Host = "127.0.0.1:7464"
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w.Result()
}

func body(t testing.TB, r *http.Response) []byte {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// onTheLine is a small harbor across the antimeridian.
func onTheLine() *geo.Harbor {
	ring := orb.Ring{{179.99, -17.01}, {-179.99, -17.01}, {-179.99, -16.99}, {179.99, -16.99}, {179.99, -17.01}}
	h := &geo.Harbor{Name: "Line", Units: geo.UnitsMetres, Defaults: geo.NewDefaults(),
		Areas: []geo.Area{{Name: "A", Shape: orb.MultiPolygon{{ring}}, Rules: geo.DefaultRules()}}}
	for i, lon := range []float64{179.9999, -179.9998} {
		h.Moorings = append(h.Moorings, geo.Mooring{Number: fmt.Sprint(i + 1), Area: "A", Status: geo.Vacant,
			Position: geo.Position{LatDeg: -17, LonDeg: lon}, StatedRadius: geo.Known(geo.Metres(40))})
	}
	return h
}

var collections = map[string]struct {
	count    func(*geo.Harbor) int
	geometry string // by ogrinfo
}{
	"moorings":    {func(h *geo.Harbor) int { return len(h.Moorings) }, "Point"},
	"circles":     {nil, "Polygon"},
	"areas":       {func(h *geo.Harbor) int { return len(h.Areas) }, "Multi Polygon"},
	"fairways":    {func(h *geo.Harbor) int { return len(h.KeepOuts) }, "Multi Polygon"},
	"shoreline":   {func(h *geo.Harbor) int { return len(h.Shoreline.Land) }, "Multi Polygon"},
	"depth_lines": {nil, "Line String"},
	"depth_areas": {nil, "Multi Polygon"},
	"soundings":   {func(h *geo.Harbor) int { return h.Soundings.NumPoints() }, "Point"},
	"conflicts":   {nil, "Line String"},
	"hazards":     {nil, "Point"},
}

func TestCollectionsAreGeoJSONByTheStandard(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	h := demo(t)
	s := service(t, h)
	for name, want := range collections {
		t.Run(name, func(t *testing.T) {
			r := get(t, s, "/api/"+name)
			if r.StatusCode != 200 || r.Header.Get("Content-Type") != "application/geo+json" {
				t.Fatal(r.Status, r.Header)
			}
			text := body(t, r)
			fc, err := geojson.UnmarshalFeatureCollection(text)
			if err != nil {
				t.Fatal(err)
			}
			if want.count != nil && len(fc.Features) != want.count(h) || len(fc.Features) == 0 {
				t.Errorf("%d features", len(fc.Features))
			}
			for _, f := range fc.Features {
				if len(f.Properties) != len(fc.Features[0].Properties) {
					t.Fatalf("feature %v has other properties than the first", f.ID)
				}
				if shape, ok := f.Geometry.(orb.MultiPolygon); ok {
					for _, polygon := range shape {
						for i, ring := range polygon {
							// RFC 7946, section 3.1.6: outer rings counterclockwise, holes clockwise, closed.
							if !ring.Closed() || (ring.Orientation() == orb.CCW) != (i == 0) {
								t.Fatalf("feature %v: ring %d is wound the wrong way, or open", f.ID, i)
							}
						}
					}
				}
			}
			// ogrinfo reads it back.
			ogrinfo := outside.Program(t, "ogrinfo", "gdal-bin")
			path := filepath.Join(t.TempDir(), name+".geojson")
			if err := os.WriteFile(path, text, 0o644); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command(ogrinfo, "-ro", "-al", "-so", path).CombinedOutput()
			if err != nil || !strings.Contains(string(out), fmt.Sprintf("Feature Count: %d\n", len(fc.Features))) ||
				!strings.Contains(string(out), want.geometry) {
				t.Errorf("ogrinfo: %v, %d features wanted\n%s", err, len(fc.Features), out)
			}
		})
	}
}

func TestShapesAreCutAtTheAntimeridian(t *testing.T) {
	s := service(t, onTheLine())
	for _, name := range []string{"areas", "circles"} {
		fc, err := geojson.UnmarshalFeatureCollection(body(t, get(t, s, "/api/"+name)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range fc.Features {
			shape := f.Geometry.(orb.MultiPolygon)
			if len(shape) != 2 {
				t.Errorf("%s %v: %d pieces, want 2 (RFC 7946, section 3.1.9)", name, f.ID, len(shape))
			}
			for _, polygon := range shape {
				b := polygon.Bound()
				if b.Max.Lon()-b.Min.Lon() > 1 || b.Max.Lon() > 180 || b.Min.Lon() < -180 || polygon[0].Orientation() != orb.CCW {
					t.Errorf("%s: a piece spans %v", name, b)
				}
			}
		}
	}
	fc, err := geojson.UnmarshalFeatureCollection(body(t, get(t, s, "/api/conflicts")))
	if err != nil || len(fc.Features) != 1 {
		t.Fatal(err, fc)
	}
	if lines, ok := fc.Features[0].Geometry.(orb.MultiLineString); !ok || len(lines) != 2 {
		t.Errorf("the line from anchor to anchor: %v", fc.Features[0].Geometry)
	}
	var info office.HarborInfo
	if err := json.Unmarshal(body(t, get(t, s, "/api/harbor")), &info); err != nil || info.Bounds[0] < 179 || info.Bounds[2] > -179 {
		t.Errorf("bounds %v (RFC 7946, section 5.2: west beyond east)", info.Bounds)
	}
}

func TestBoxesFilter(t *testing.T) {
	line := service(t, onTheLine())
	for query, want := range map[string]int{"179.9,-18,-179.9,-16": 2, "179.9,-18,180,-16": 1, "-180,-18,-179,-16": 1, "0,-18,10,-16": 0,
		"-180,-90,180,90": 2} {
		fc, err := geojson.UnmarshalFeatureCollection(body(t, get(t, line, "/api/moorings?bbox="+query)))
		if err != nil || len(fc.Features) != want {
			t.Errorf("bbox %s: %d moorings, want %d (%v)", query, len(fc.Features), want, err)
		}
	}
	for query, want := range map[string]int{"179.9,-18,180,-16": 1, "-180,-18,-179.9,-16": 1, "179.9,-18,-179.9,-16": 1, "0,-18,10,-16": 0,
		"179.9,-10,180,-9": 0} {
		for _, name := range []string{"areas", "conflicts"} {
			fc, err := geojson.UnmarshalFeatureCollection(body(t, get(t, line, "/api/"+name+"?bbox="+query)))
			if err != nil || len(fc.Features) != want {
				t.Errorf("%s in bbox %s: %d, want %d (%v)", name, query, len(fc.Features), want, err)
			}
		}
	}
	h := demo(t)
	s := service(t, h)
	fc, err := geojson.UnmarshalFeatureCollection(body(t, get(t, s, "/api/moorings?bbox=-41.505,44.2,-41.495,44.205")))
	if err != nil {
		t.Fatal(err)
	}
	want := 0
	for _, m := range h.Moorings {
		if p := m.Position; p.LonDeg >= -41.505 && p.LonDeg <= -41.495 && p.LatDeg >= 44.2 && p.LatDeg <= 44.205 {
			want++
		}
	}
	if len(fc.Features) != want || want == 0 {
		t.Errorf("%d moorings, want %d", len(fc.Features), want)
	}
}

func TestErrorsAreProblems(t *testing.T) {
	s := service(t, demo(t))
	several := service(t, demo(t), onTheLine())
	none := service(t)
	for _, tc := range []struct {
		s      *api.Service
		method string
		path   string
		status int
		detail string
	}{
		{s, "GET", "/api/nothing", 404, "nothing at this address"},
		{s, "POST", "/api/moorings", 405, "does not take that method"},
		{s, "GET", "/api/acts/place", 405, "does not take that method"},
		{s, "GET", "/api/moorings?colour=red", 400, "known here: bbox"},
		{s, "GET", "/api/check?bbox=1,2,3,4", 400, "known here: kind"},
		{s, "GET", "/api/largest?bbox=1,2,3,4", 400, "there are none here"},
		{s, "GET", "/api/moorings?bbox=1,2,3", 400, "west,south,east,north"},
		{s, "GET", "/api/moorings?bbox=1,9,3,4", 400, "west,south,east,north"},
		{s, "GET", "/api/moorings?bbox=NaN,2,3,4", 400, "west,south,east,north"},
		{s, "GET", "/api/moorings?bbox=1,2,3,4&bbox=1,2,3,4", 400, "stands 2 times"},
		{s, "GET", "/api/moorings?%zz", 400, "not understood"},
		{s, "GET", "/api/moorings?bbox=" + strings.Repeat("1", 3000), 400, "too long"},
		{s, "GET", "/api/moorings/9999", 404, "mooring 9999"},
		{s, "GET", "/api/harbors/elsewhere/check", 404, "there is tarrowick-harbor"},
		{s, "GET", "/api/find", 400, "is expected"},
		{s, "GET", "/api/find?q=44,5", 400, "decimal comma"},
		{s, "GET", "/api/find?q=001&k=0", 400, "from 1 to 100"},
		{s, "GET", "/api/trial?loa_m=8", 400, "either number or position"},
		{s, "GET", "/api/trial?number=001&loa_m=long", 400, "metres are expected"},
		{s, "GET", "/api/trial?number=001&loa_m=-3", 400, "between 0.5"},
		{s, "GET", "/api/places", 400, "loa_m"},
		{s, "GET", "/api/moorings/9999/sheet.pdf", 404, "mooring 9999"},
		{s, "GET", "/api/moorings/001/sheet.pdf?paper=a3", 400, "a4, letter is expected"},
		{s, "GET", "/api/moorings/001/sheet.pdf?scale=300", 400, "1:250, 1:500"},
		{s, "GET", "/api/moorings/001/sheet.pdf?scale=large", 400, "as 2500 or 1:2,500"},
		{s, "GET", "/api/area_chart.pdf", 400, "the name of an area is expected: Town Cove"},
		{s, "GET", "/api/area_chart.pdf?area=Moon", 404, "there is Town Cove"},
		{several, "GET", "/api/check", 400, "line, tarrowick-harbor"},
		{none, "GET", "/api/check", 404, "no harbor yet"},
	} {
		r := httptest.NewRequest(tc.method, "/", nil)
		path, query, _ := strings.Cut(tc.path, "?")
		r.URL.Path, r.URL.RawQuery = path, query
		w := httptest.NewRecorder()
		tc.s.Handler().ServeHTTP(w, r)
		var p api.Problem
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
			t.Errorf("%s: %v: %s", tc.path, err, w.Body)
			continue
		}
		if w.Code != tc.status || p.Status != tc.status || w.Header().Get("Content-Type") != "application/problem+json" ||
			!strings.Contains(p.Detail, tc.detail) {
			t.Errorf("%s %s: %d %s %+v", tc.method, tc.path, w.Code, w.Header().Get("Content-Type"), p)
		}
	}
}

func TestAnswersAreCompressedAndTagged(t *testing.T) {
	s := service(t, demo(t))
	plain := get(t, s, "/api/moorings")
	text := body(t, plain)
	tags := map[string]bool{plain.Header.Get("Etag"): true}
	for coding, open := range map[string]func(io.Reader) (io.Reader, error){
		"gzip": func(r io.Reader) (io.Reader, error) { return gzip.NewReader(r) },
		"br":   func(r io.Reader) (io.Reader, error) { return brotli.NewReader(r), nil },
	} {
		r := get(t, s, "/api/moorings", "Accept-Encoding", coding)
		packed := body(t, r)
		reader, err := open(bytes.NewReader(packed))
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(reader)
		if err != nil || !bytes.Equal(got, text) || r.Header.Get("Content-Encoding") != coding || len(packed)*4 > len(text) ||
			r.Header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("%s: %v, %d bytes of %d", coding, err, len(packed), len(text))
		}
		tag := r.Header.Get("Etag")
		if tags[tag] || strings.HasPrefix(tag, "W/") || tag == "" {
			t.Errorf("%s: the strong tag %s is not its own", coding, tag)
		}
		tags[tag] = true
		if again := get(t, s, "/api/moorings", "Accept-Encoding", coding, "If-None-Match", tag); again.StatusCode != 304 ||
			len(body(t, again)) != 0 {
			t.Errorf("%s: asked again with its tag: %s", coding, again.Status)
		}
	}
	if r := get(t, s, "/api/moorings", "Accept-Encoding", "br;q=0, gzip;q=0"); r.Header.Get("Content-Encoding") != "" {
		t.Errorf("neither is accepted, and %s comes", r.Header.Get("Content-Encoding"))
	}
}

func TestTheSheetShowsTheWorking(t *testing.T) {
	s := service(t, demo(t))
	var sheet office.Sheet
	if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/301")), &sheet); err != nil {
		t.Fatal(err)
	}
	last := sheet.Swing.Working[len(sheet.Swing.Working)-1]
	if sheet.Mooring.Number != "301" || math.Abs(last.Value-float64(sheet.Swing.Radius.Or(-1))) > 1e-9 || len(sheet.Neighbours) == 0 ||
		sheet.Positions.DDM == "" {
		t.Errorf("%+v", sheet)
	}
}

func TestFindAndTrialAndPlaces(t *testing.T) {
	h := demo(t)
	s := service(t, h)
	ask := func(path string, into any) {
		t.Helper()
		r := get(t, s, path)
		if b := body(t, r); r.StatusCode != 200 || json.Unmarshal(b, into) != nil {
			t.Fatalf("%s: %s %s", path, r.Status, b)
		}
	}
	boat := ""
	for _, m := range h.Moorings {
		if m.Number == "310" && m.Boat != nil {
			boat = m.Boat.Name
		}
	}
	var found office.Found
	for query, want := range map[string]string{"310": "310", "1": "001", strings.ReplaceAll(strings.ToUpper(boat), " ", "+"): "310"} {
		ask("/api/find?q="+query, &found)
		if len(found.Results) == 0 || found.Results[0].Number != want {
			t.Errorf("%s: %+v", query, found)
		}
	}
	i := 0
	for h.Moorings[i].Number != "310" {
		i++
	}
	p := geo.Ahead(h.Moorings[i].Position, 90, 6)
	ask(fmt.Sprintf("/api/find?q=%.7f,%.7f&k=3", p.LatDeg, p.LonDeg), &found)
	if first := found.Results[0]; first.Number != "310" || math.Abs(first.DistanceM.Or(0)-6) > 0.02 ||
		math.Abs(first.BearingTrueDeg.Or(0)-270) > 1 || len(found.Results) != 3 {
		t.Errorf("6 m east of 310: %+v", found)
	}
	ask("/api/find?q=nobody", &found)
	if len(found.Results) != 0 {
		t.Errorf("nobody: %+v", found)
	}
	near := func(t office.Trial) (n int) {
		for _, v := range t.Fit.Verdicts {
			if v.Constraint == clearance.ByNeighbour && !v.Fits.Or(false) {
				n++
			}
		}
		return n
	}
	var small, large office.Trial
	ask("/api/trial?number=310&loa_m=5&draft_m=1&bow_height_m=1", &small)
	ask("/api/trial?number=310&loa_m=40&draft_m=3&bow_height_m=1", &large)
	if fits, known := large.Fits.Get(); !known || fits || near(large) <= near(small) {
		t.Errorf("a boat of 40 m: %+v", large)
	}
	// Where boats lie in unison her hull is tried, if her beam is told; and else her circle.
	var hull, circle office.Trial
	ask("/api/trial?number=432&loa_m=8&beam_m=2.6&draft_m=0.8&bow_height_m=1&boat_kind=work+boat", &hull)
	ask("/api/trial?number=432&loa_m=8&draft_m=0.8&bow_height_m=1&boat_kind=work+boat", &circle)
	byCircle := slices.ContainsFunc(circle.Fit.Verdicts, func(v clearance.Verdict) bool {
		return v.Constraint == clearance.ByNeighbour && !v.Fits.IsKnown() && v.Bound && v.Unison != nil &&
			strings.Contains(v.Unison.Why.Metres, "beam")
	})
	if near(hull) >= near(circle) || !byCircle {
		t.Errorf("hull: %s\ncircle: %s", hull.Fit.Words.Metres, circle.Fit.Words.Metres)
	}
	var places office.Places
	ask("/api/places?loa_m=5&beam_m=1.8&draft_m=0.8&bow_height_m=0.8&boat_kind=sloop", &places)
	if len(places.Places) == 0 || !places.Places[0].Fits.Or(false) {
		t.Errorf("a small boat fits nowhere: %d places", len(places.Places))
	}
	ask("/api/places?loa_m=30&draft_m=4", &places)
	for _, place := range places.Places {
		if place.Fits.Or(false) {
			t.Errorf("a boat of 30 m fits on %s", place.Number)
		}
	}
}

// failing counts the verdicts of a kind that are not kept.
func failing(fit clearance.Fit, kind clearance.Kind) (n int) {
	for _, v := range fit.Verdicts {
		if fits, known := v.Fits.Get(); known && !fits && v.Constraint.Kind() == kind {
			n++
		}
	}
	return n
}

func TestTheDescriptionNamesEveryPathAndTheAnswersKeepIt(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	s := service(t, demo(t))
	var doc struct {
		OpenAPI string                                `json:"openapi"`
		Paths   map[string]map[string]json.RawMessage `json:"paths"`
	}
	text := body(t, get(t, s, "/openapi.json"))
	if err := json.Unmarshal(text, &doc); err != nil || doc.OpenAPI != "3.1.0" {
		t.Fatal(err, doc.OpenAPI)
	}
	for path, methods := range doc.Paths {
		// acts, the stream that never ends and pictures have tests of their own
		if methods["get"] == nil || strings.HasSuffix(path, "/changes") || strings.Contains(path, "{photo}") {
			continue
		}
		path = strings.NewReplacer("{harbor}", "tarrowick-harbor", "{number}", "001", "{noun}", "mooring", "{name}", "001").Replace(path)
		path += exampleQuery(path)
		r := get(t, s, path)
		b := body(t, r)
		keeps := json.Valid(b)
		if strings.Contains(path, "/lists/") {
			keeps = len(b) > 0 && strings.Contains(string(methods["get"]), fmt.Sprintf("%q", r.Header.Get("Content-Type")))
		}
		if strings.Contains(path, ".pdf") {
			keeps = r.Header.Get("Content-Type") == "application/pdf" && bytes.HasPrefix(b, []byte("%PDF-")) &&
				strings.Contains(string(methods["get"]), `"application/pdf"`)
		}
		if r.StatusCode != 200 || !keeps {
			t.Errorf("%s: %s", path, r.Status)
		}
	}
	for _, ref := range strings.Split(string(text), `"$ref": "`)[1:] {
		ref, _, _ = strings.Cut(ref, `"`)
		if name := strings.TrimPrefix(ref, "#/components/schemas/"); !strings.Contains(string(text), fmt.Sprintf("%q: {", name)) {
			t.Errorf("%s leads nowhere", ref)
		}
	}
}

func TestThePageIsServedUnderAStrictPolicy(t *testing.T) {
	s := service(t)
	r := get(t, s, "/")
	if b := body(t, r); r.StatusCode != 200 || !bytes.Contains(b, []byte("<html")) ||
		strings.Contains(r.Header.Get("Content-Security-Policy"), "unsafe") {
		t.Errorf("%s %s", r.Status, r.Header)
	}
}

func TestAnotherProgramsImportShowsAndAStopFinishesRequests(t *testing.T) {
	h := demo(t)
	db := onFile(t, h)
	s, err := api.New(api.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, listener) }()
	revision := func() int64 {
		r, err := http.Get("http://" + listener.Addr().String() + "/api/harbor")
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		var info office.HarborInfo
		if err := json.NewDecoder(r.Body).Decode(&info); err != nil {
			t.Fatal(err)
		}
		return info.Revision
	}
	if got := revision(); got != 1 {
		t.Fatalf("revision %d", got)
	}
	h.Units = geo.UnitsMetres
	if _, err := db.Save(ctx, store.Slug(h.Name), 1, h, store.Act{Who: "another", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	for deadline := time.Now().Add(10 * time.Second); revision() != 2; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("the change does not show")
		}
	}
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(15 * time.Second):
		t.Error("it does not stop")
	}
}
