package webmap_test

import (
	"fmt"
	"net/http"
	"net/url"
	"sync"
	"time"

	"swingroom/geo"
)

const (
	fakeHerRadiusM = 10.0
	fakeKeepM      = 15 + 1.5 // a neighbour's radius and the margin
	fakeOpenM2     = 12345.6
	fakeTooLongM   = 20.0 // a boat longer than this fits nowhere
)

// tries are the questions about places of one's own: how long each answer takes, and how many were under way at once at most.
type tries struct {
	mu          sync.Mutex
	slow        time.Duration
	now         int
	asked, wide int
}

func (t *tries) begin() time.Duration {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.asked++
	t.now++
	t.wide = max(t.wide, t.now)
	return t.slow
}

func (t *tries) end() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.now--
}

func (t *tries) told() (asked, wide int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.asked, t.wide
}

// refused tells what is not known of her tackle, as the service does.
func refused(w http.ResponseWriter, q url.Values) bool {
	if q.Get("rode_m") == "" && q.Get("scope") == "" && q.Get("tackle_of") == "" && q.Get("radius_m") == "" {
		problem(w, http.StatusUnprocessableEntity, "boat: rode_m is not known; it is needed for the swing radius", nil)
		return true
	}
	return false
}

// clearanceAt is her clearance at a place, and the mooring that limits it: circles only.
func (f *fake) clearanceAt(p geo.Position) (float64, string) {
	n := f.nearest(p, 1)[0].(map[string]any)
	return float64(n["distance_m"].(geo.Metres)) - fakeKeepM - fakeHerRadiusM, n["number"].(string)
}

func (f *fake) spotAt(p geo.Position) map[string]any {
	clearM, number := f.clearanceAt(p)
	return map[string]any{"position": p, "clearance_m": clearM, "bound_m": clearM + 0.004, "radius_m": fakeHerRadiusM, "depth_m": 5.5,
		"rode_m": 12.0, "distance_m": nil, "bearing_true_deg": nil,
		"limits": []any{map[string]any{"kind": "mooring", "name": number, "clearance_m": clearM},
			map[string]any{"kind": "fairway", "name": "South channel", "clearance_m": 40.0},
			map[string]any{"kind": "shore", "name": "", "clearance_m": 60.0}},
		"fit": fitOf("(new)", f.moorings[0])}
}

// fakeSpots are the places that are found: between four moorings each.
func fakeSpots() []geo.Position {
	return []geo.Position{place(2.5, 3.5), place(5.5, 3.5), place(8.5, 6.5)}
}

func (f *fake) spots(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if refused(w, q) {
		return
	}
	answer := map[string]any{"area": q.Get("area"), "spots": []any{}, "misses": []any{},
		"words": said("This boat fits nowhere in " + q.Get("area") + ".")}
	if number(q, "loa_m") > fakeTooLongM {
		s := f.spotAt(place(3.1, 2.1))
		s["clearance_m"], s["short"] = -4.5,
			[]any{map[string]any{"kind": "mooring", "name": "040", "clearance_m": -4.5},
				map[string]any{"kind": "shore", "name": "", "clearance_m": -1.5}}
		s["freeing"] = []any{map[string]any{"kind": "own_rode", "mooring": "", "to": "", "length_m": 7.5,
			"words": told("an own rode of 24.6 ft in place of 39.4 ft", "an own rode of 7.5 m in place of 12 m")},
			map[string]any{"kind": "neighbour_moved", "mooring": "040", "to": "018", "length_m": nil,
				"words": said("the boat of 040 moved to the vacant mooring 018")}}
		answer["misses"] = []any{s}
	} else {
		spots := []any{}
		for _, p := range fakeSpots() {
			spots = append(spots, f.spotAt(p))
		}
		answer["spots"], answer["words"] = spots, said(fmt.Sprintf("%d places, the roomiest first.", len(spots)))
	}
	writeValue(w, answer)
}

// openWater is a square around the first place.
func (f *fake) openWater(w http.ResponseWriter, r *http.Request) {
	if refused(w, r.URL.Query()) {
		return
	}
	features := []any{}
	if number(r.URL.Query(), "loa_m") <= fakeTooLongM {
		var ring [][]float64
		for _, c := range [][2]float64{{2, 3}, {3, 3}, {3, 4}, {2, 4}, {2, 3}} {
			p := place(c[0], c[1])
			ring = append(ring, []float64{p.LonDeg, p.LatDeg})
		}
		features = append(features, map[string]any{"type": "Feature", "id": "water 1",
			"geometry":   map[string]any{"type": "MultiPolygon", "coordinates": []any{[]any{ring}}},
			"properties": map[string]any{"area_m2": fakeOpenM2}})
	}
	writeValue(w, map[string]any{"type": "FeatureCollection", "features": features})
}

func (f *fake) spot(w http.ResponseWriter, r *http.Request) {
	time.Sleep(f.tries.begin())
	defer f.tries.end()
	q := r.URL.Query()
	if refused(w, q) {
		return
	}
	p, err := geo.ParsePosition(q.Get("position"), nil)
	if err != nil {
		problem(w, http.StatusBadRequest, err.Error(), nil)
		return
	}
	writeValue(w, f.spotAt(p))
}
