package webmap_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"swingroom/geo"
	"swingroom/webmap"
)

// fake answers as DEVELOPERS.md says the service does, with a made-up field of n moorings on a grid. It is no second service: where
// the figures matter, they are laid down here and looked for on the page.
type fake struct {
	*httptest.Server
	moorings  []map[string]any
	conflicts []map[string]any
	hazards   []map[string]any
	troubles  []map[string]any
	unknown   []map[string]any
	noTide    bool // no harmonic constants are on record
	tries     tries
	acts      acts
	records   records
}

const (
	fakeSlug     = "grid-sound"
	fakeLowM     = 0.4
	fakeHighM    = 3.2
	fakeSpacingM = 42.0
	// securityPolicy is at least as strict as the service's own, so the page has to live under it.
	securityPolicy = "default-src 'self'; img-src 'self' data: https: http:; style-src 'self'; object-src 'none'; base-uri 'none'; " +
		"frame-ancestors 'none'"
)

var fakeOrigin = geo.Position{LatDeg: -38.42, LonDeg: -21.71}

// newFake serves n moorings; harbors names those that are offered, the first being the one that is there.
func newFake(t testing.TB, n int, harbors ...string) *fake {
	t.Helper()
	if len(harbors) == 0 {
		harbors = []string{fakeSlug}
	}
	f := &fake{records: newRecords(), conflicts: []map[string]any{}, hazards: []map[string]any{}, troubles: []map[string]any{},
		unknown: []map[string]any{}}
	f.lay(n)
	mux := http.NewServeMux()
	mux.HandleFunc("GET /", servePage)
	entries := []map[string]any{}
	for i, slug := range harbors {
		entries = append(entries, map[string]any{"slug": slug, "name": "Harbor " + strconv.Itoa(i+1), "moorings": n, "revision": 1})
	}
	answer := func(pattern string, value any) {
		body, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		mux.HandleFunc("GET "+pattern, func(w http.ResponseWriter, _ *http.Request) { write(w, body) })
	}
	answer("/api/harbors", map[string]any{"harbors": entries})
	base := "/api/harbors/" + harbors[0]
	mux.HandleFunc("GET "+base, func(w http.ResponseWriter, _ *http.Request) { writeValue(w, f.acts.info(f.info(harbors[0]))) })
	mux.HandleFunc("GET "+base+"/moorings", func(w http.ResponseWriter, _ *http.Request) {
		writeValue(w, collection(f.acts.with(f.moorings), pointOf))
	})
	answer(base+"/check", map[string]any{"conflicts": f.conflicts, "hazards": f.hazards, "troubles": f.troubles, "unknown": f.unknown})
	for _, noun := range []string{"areas", "fairways", "shoreline", "depth_lines", "depth_areas", "soundings"} {
		answer(base+"/"+noun, f.ground(noun))
	}
	mux.HandleFunc("GET "+base+"/moorings/{number}", f.sheet)
	mux.HandleFunc("GET "+base+"/moorings/{number}/reach", f.reach)
	mux.HandleFunc("GET "+base+"/moorings/{number}/fit", f.fit)
	mux.HandleFunc("GET "+base+"/find", f.find)
	mux.HandleFunc("GET "+base+"/trial", f.trial)
	mux.HandleFunc("GET "+base+"/places", f.places)
	mux.HandleFunc("GET "+base+"/spots", f.spots)
	mux.HandleFunc("GET "+base+"/spot", f.spot)
	mux.HandleFunc("GET "+base+"/open_water", f.openWater)
	mux.HandleFunc("GET "+base+"/capacity", f.capacity)
	mux.HandleFunc("GET "+base+"/waiting", f.waiting)
	mux.HandleFunc("GET "+base+"/what_if", f.whatIf)
	mux.HandleFunc("GET "+base+"/what_if/moorings", f.whatIfMoorings)
	mux.HandleFunc("GET "+base+"/what_if/gained", f.gained)
	mux.HandleFunc("POST "+base+"/acts/place", f.place)
	f.serveRecords(mux, harbors[0])
	mux.HandleFunc("POST /api/searches/{search}/stop", f.stop)
	mux.HandleFunc("GET "+base+"/weather", f.weather)
	mux.HandleFunc("GET "+base+"/swinging", f.swinging)
	mux.HandleFunc("GET "+base+"/tide", f.tide)
	f.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", securityPolicy)
		mux.ServeHTTP(w, r)
	}))
	t.Cleanup(f.Close)
	return f
}

// servePage answers with a file of the page, and at the root with index.html.
func servePage(w http.ResponseWriter, r *http.Request) {
	files, err := webmap.Page(false)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	name := cmp.Or(strings.TrimPrefix(r.URL.Path, "/"), "index.html")
	file, ok := files[name]
	if !ok {
		http.NotFound(w, r)
		return
	}
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(file.Body))
}

func write(w http.ResponseWriter, body []byte) {
	w.Header().Set("Content-Type", "application/json")
	w.Write(body)
}

func writeValue(w http.ResponseWriter, value any) {
	body, err := json.Marshal(value)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	write(w, body)
}

func problem(w http.ResponseWriter, status int, detail string, more map[string]any) {
	body := map[string]any{"type": "about:blank", "title": http.StatusText(status), "status": status, "detail": detail}
	for k, v := range more {
		body[k] = v
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(body)
}

func collection(all []map[string]any, geometry func(map[string]any) any) map[string]any {
	features := []any{}
	for _, each := range all {
		features = append(features, map[string]any{"type": "Feature", "geometry": geometry(each), "properties": each})
	}
	return map[string]any{"type": "FeatureCollection", "features": features}
}

func pointOf(m map[string]any) any {
	return map[string]any{"type": "Point", "coordinates": []any{m["lon"], m["lat"]}}
}

// place is where a mooring of the grid lies: columns eastward, rows northward.
func place(column, row float64) geo.Position {
	north := geo.Ahead(fakeOrigin, 0, geo.Metres(row*fakeSpacingM))
	return geo.Ahead(north, 90, geo.Metres(column*fakeSpacingM))
}

// lay puts n moorings on the grid. Of every 40 one has a radius that touches its right neighbour, one lies over shoal water, one is
// vacant, one is not known, and one lies in unison with its right neighbour.
func (f *fake) lay(n int) {
	columns := int(math.Ceil(math.Sqrt(float64(n) * 1.5)))
	for i := range n {
		p := place(float64(i%columns), float64(i/columns))
		number := fmt.Sprintf("%03d", i+1)
		radius, state := 15.0, "clear"
		m := map[string]any{"number": number, "area": "West", "status": "occupied", "boat": "Boat " + number, "boat_kind": "sail",
			"loa_m": 9.5, "length_all_m": 9.9, "beam_m": 3.1, "draft_m": 1.6, "bow_height_m": 1.2, "rode_m": 12.0, "depth_m": 5.5,
			"depth_from": "computed",
			"accuracy_m": 1.0, "radius_rule": "taut", "radius_bound": false, "radius_basis": "boat", "conflicts": 0, "hazards": []string{},
			"troubles": []string{}, "unknown": []string{}, "position_ddm": p.DDM(), "lat": p.LatDeg, "lon": p.LonDeg}
		if i%columns > columns/2 {
			m["area"] = "East"
		}
		m["state"], m["radius_m"] = state, radius
		f.moorings = append(f.moorings, m)
	}
	for i, m := range f.moorings {
		switch i % 40 {
		case 3:
			if right := i + 1; right < n && right%columns != 0 {
				f.touch(m, f.moorings[right], 4+float64(i%7))
			}
		case 29:
			if right := i + 1; right < n && right%columns != 0 {
				f.unison(m, f.moorings[right], i%80 == 29)
			}
		case 11:
			m["hazards"], m["state"] = []string{"shoal"}, "trouble"
			f.hazards = append(f.hazards, map[string]any{"mooring": m["number"], "kind": "shoal", "by_m": 0.62, "certainty": "certain",
				"name":   "",
				"words":  told("the water is 2 ft too shallow at low water", "the water is 0.62 m too shallow at low water"),
				"reason": "too_shallow", "has_m": 1.5, "needs_m": 2.12, "bound": false,
				"at": map[string]any{"lat_deg": m["lat"], "lon_deg": m["lon"]}})
		case 17:
			m["status"], m["boat"], m["radius_basis"] = "vacant", nil, "largest_boat"
		case 23:
			m["radius_m"], m["rode_m"], m["unknown"] = nil, nil, []string{"radius"}
			f.unknown = append(f.unknown, map[string]any{"mooring": m["number"],
				"verdict": unsaidOf("record", "record", said("the swing radius is not known: length of the rode is not on record"),
					"rode_m")})
		case 24:
			m["troubles"], m["state"] = []string{"scope"}, "trouble"
			short := verdictOf("scope", "tackle", "", false, 20, 24, "m",
				told("the rode of 65.6 ft is too short: 78.7 ft are needed at high water",
					"the rode of 20 m is too short: 24 m are needed at high water"))
			f.troubles = append(f.troubles, map[string]any{"mooring": m["number"], "verdict": short})
		}
	}
	slices.SortStableFunc(f.conflicts, func(a, b map[string]any) int {
		return int(math.Copysign(1, b["overlap_m"].(float64)-a["overlap_m"].(float64)))
	})
}

// touch makes two moorings share a lens of overlapM.
func (f *fake) touch(a, b map[string]any, overlapM float64) {
	pa, pb := at(a), at(b)
	distance := float64(geo.Distance(pa, pb))
	a["radius_m"] = distance - b["radius_m"].(float64) + overlapM
	for _, m := range []map[string]any{a, b} {
		m["state"], m["conflicts"] = "touching", 1
	}
	_, bearing := geo.Geodesic(pa, pb)
	mid := geo.Ahead(pa, bearing, geo.Metres(a["radius_m"].(float64)-overlapM/2))
	f.conflicts = append(f.conflicts, map[string]any{"a": a["number"], "b": b["number"], "distance_m": distance, "overlap_m": overlapM,
		"certainty": "certain",
		"state":     "touching", "margin_m": 1.5, "accuracy_m": 1.41, "bound": false,
		"at":    map[string]any{"lat_deg": mid.LatDeg, "lon_deg": mid.LonDeg},
		"lying": "independent", "unison": nil})
}

func at(m map[string]any) geo.Position {
	return geo.Position{LatDeg: m["lat"].(float64), LonDeg: m["lon"].(float64)}
}

func (f *fake) find(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query().Get("q")
	var lat, lon float64
	if n, _ := fmt.Sscanf(q, "%f, %f", &lat, &lon); n == 2 {
		p := geo.Position{LatDeg: lat, LonDeg: lon}
		writeValue(w, map[string]any{"kind": "position", "results": f.nearest(p, 5),
			"understood": map[string]any{"lat_deg": lat, "lon_deg": lon, "dd": p.DD(), "ddm": p.DDM(), "dms": p.DMS()}})
		return
	}
	if q == "442900N 0684500W" {
		problem(w, http.StatusBadRequest, "442900N can be read in two ways",
			map[string]any{"readings": []string{"-38.420000, -21.710000", "-38.421000, -21.710000"}})
		return
	}
	kind, found := "boat", []any{}
	for _, m := range f.moorings {
		boat, _ := m["boat"].(string)
		switch {
		case m["number"] == q:
			kind, found = "number", append(found, result(m, nil))
		case strings.Contains(strings.ToLower(boat), strings.ToLower(q)) && len(found) < 10:
			found = append(found, result(m, nil))
		}
	}
	writeValue(w, map[string]any{"kind": kind, "understood": nil, "results": found})
}

func (f *fake) nearest(p geo.Position, k int) []any {
	all := slices.Clone(f.moorings)
	slices.SortFunc(all, func(a, b map[string]any) int {
		return int(math.Copysign(1, float64(geo.Distance(p, at(a))-geo.Distance(p, at(b)))))
	})
	var found []any
	for _, m := range all[:min(k, len(all))] {
		found = append(found, result(m, &p))
	}
	return found
}

func result(m map[string]any, from *geo.Position) map[string]any {
	made := map[string]any{"number": m["number"], "boat": m["boat"], "area": m["area"], "lat_deg": m["lat"], "lon_deg": m["lon"],
		"position_ddm": m["position_ddm"], "distance_m": nil, "bearing_true_deg": nil}
	if from != nil {
		distance, bearing := geo.Geodesic(*from, at(m))
		made["distance_m"], made["bearing_true_deg"] = distance, bearing
	}
	return made
}
