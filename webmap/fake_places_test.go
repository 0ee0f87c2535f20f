package webmap_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"sync"
	"time"

	"swingroom/geo"
)

const (
	fakeSearch   = "SEARCH7"
	fakeLongMove = "017"   // a search in which this mooring may be laid again goes on until it is stopped
	fakeTaken    = "taken" // an owner whose place is refused unless a reason is given
	fakeNewer    = "newer" // an owner at whose place another has written meanwhile, once
	fakeShown    = "shown" // an owner to whom the service only shows
)

// acts are what was posted, and the moorings that were set by it.
type acts struct {
	mu       sync.Mutex
	posted   []map[string]any
	set      []map[string]any
	revision int
	stopped  chan struct{}
	stops    int
	once     bool
}

func (a *acts) info(info map[string]any) map[string]any {
	a.mu.Lock()
	defer a.mu.Unlock()
	info["revision"] = 1 + a.revision
	return info
}

func (a *acts) with(moorings []map[string]any) []map[string]any {
	a.mu.Lock()
	defer a.mu.Unlock()
	return append(append([]map[string]any{}, moorings...), a.set...)
}

func (a *acts) mooring(number string) map[string]any {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, m := range a.set {
		if m["number"] == number {
			return m
		}
	}
	return nil
}

// last is what was posted last, and how often.
func (a *acts) last() (map[string]any, int) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if len(a.posted) == 0 {
		return nil, 0
	}
	return a.posted[len(a.posted)-1], len(a.posted)
}

// halt makes ready for a search that can be stopped.
func (a *acts) halt() chan struct{} {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.stopped = make(chan struct{})
	return a.stopped
}

func event(w http.ResponseWriter, name string, data any) {
	body, _ := json.Marshal(data)
	fmt.Fprintf(w, "event: %s\ndata: %s\n\n", name, body)
	w.(http.Flusher).Flush()
}

func begin(w http.ResponseWriter) {
	w.Header().Set("Content-Type", "text/event-stream")
	event(w, "begun", map[string]any{"search": fakeSearch})
	event(w, "progress", map[string]any{"done": 120, "total": 400})
}

func (f *fake) stop(w http.ResponseWriter, r *http.Request) {
	f.acts.mu.Lock()
	defer f.acts.mu.Unlock()
	if r.PathValue("search") != fakeSearch || r.Header.Get("Content-Type") != "application/json" || f.acts.stopped == nil {
		problem(w, http.StatusNotFound, "there is no such search", nil)
		return
	}
	f.acts.stops++
	close(f.acts.stopped)
	f.acts.stopped = nil
	w.WriteHeader(http.StatusNoContent)
}

func fakeCapacity(layout string, positions []geo.Position, most int) map[string]any {
	return map[string]any{"layout": layout, "count": len(positions), "positions": positions, "upper_bound": most,
		"bound": told("two boats keep at least D = 164 ft between their anchors",
			"two boats keep at least D = 50.1 m between their anchors"), "ended": false,
		"moved": []any{}, "unplaced": []any{}, "rows": 0, "rows_true_deg": nil, "spacing_m": nil, "row_gap_m": nil}
}

// capacity finds the same places as are open. Where fakeLongMove is named it goes on until it is stopped.
func (f *fake) capacity(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if refused(w, q) {
		return
	}
	c := fakeCapacity(q.Get("layout"), fakeSpots(), 5)
	if q.Get("layout") == "hexagonal" {
		c["rows"], c["rows_true_deg"], c["spacing_m"], c["row_gap_m"] = 2, 32.0, 40.0, 34.6
	}
	stopped := f.acts.halt()
	begin(w)
	if q.Get("move") == "999" {
		event(w, "failed", map[string]any{"title": "Not found", "status": 404, "detail": "mooring 999: not found"})
		return
	}
	if q.Get("move") == fakeLongMove {
		select {
		case <-stopped:
			c["ended"], c["moved"] = true, []any{map[string]any{"number": fakeLongMove, "position": place(1.5, 1.5), "by_m": 12.5}}
		case <-r.Context().Done():
			return
		case <-time.After(15 * time.Second):
		}
	}
	event(w, "found", c)
}

// waiting has two vacant moorings, three who wait, and any place that is asked for.
func (f *fake) waiting(w http.ResponseWriter, r *http.Request) {
	var vacant []map[string]any
	for _, m := range f.moorings {
		if m["status"] == "vacant" {
			vacant = append(vacant, m)
		}
	}
	offer := func(number any, p geo.Position, open bool, name string, passed ...any) map[string]any {
		return map[string]any{"mooring": number, "area": "West", "position": p, "open": open, "name": name,
			"since": map[bool]string{true: "2015-07-05", false: ""}[name != ""], "passed": passed}
	}
	over := map[string]any{"name": "Early Bird", "words": told("Comes 4.9 ft too near 040.", "Comes 1.5 m too near 040.")}
	offers := []any{offer(vacant[0]["number"], at(vacant[0]), false, "", over),
		offer(vacant[1]["number"], at(vacant[1]), false, "Late Bird", over)}
	if q := r.URL.Query(); q.Get("open") != "" {
		p, err := geo.ParsePosition(q.Get("open"), nil)
		if err != nil {
			problem(w, http.StatusBadRequest, err.Error(), nil)
			return
		}
		offers = append(offers, offer("open 1", p, true, "Early Bird"))
	}
	begin(w)
	given := []any{}
	f.records.mu.Lock()
	for _, each := range f.records.waiting {
		one := map[string]any{"name": each["name"], "since": each["since"], "mooring": "", "spare_m": nil, "words": "fits on none of them"}
		if each["name"] == "Late Bird" {
			one["mooring"], one["spare_m"], one["words"] = vacant[1]["number"], 1.25, ""
		}
		given = append(given, one)
	}
	f.records.mu.Unlock()
	event(w, "found", map[string]any{"offers": offers, "ended": false,
		"largest_m": map[string]any{vacant[1]["number"].(string): 12.3, "open 1": 9.0}, "given": given})
}

// changedRadiusM is the radius of every mooring of West with a change.
const changedRadiusM = 19.0

func (f *fake) whatIf(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if q.Get("elastic") == "rubber" {
		problem(w, http.StatusUnprocessableEntity, `how "rubber" stretches is not known; lines.ropes of harbor.json can say it`, nil)
		return
	}
	fresh := maps.Clone(f.conflicts[0])
	fresh["a"], fresh["b"], fresh["overlap_m"] = "001", "002", 2.5
	side := func(conflicts, certain, hazards int, circlesM2 float64) map[string]any {
		return map[string]any{"conflicts": conflicts, "certain": certain, "hazards": hazards, "unknown": 1, "circles_m2": circlesM2}
	}
	writeValue(w, map[string]any{"area": q.Get("area"), "before": side(3, 2, 4, 40468.564224), "after": side(7, 6, 4, 80937.128448),
		"new": []any{fresh}, "gone": []any{f.conflicts[0]}, "words": "7 conflicts in place of 3, 1 of them new"})
}

func (f *fake) whatIfMoorings(w http.ResponseWriter, r *http.Request) {
	var changed []map[string]any
	for _, m := range f.moorings {
		if m = maps.Clone(m); m["area"] == r.URL.Query().Get("area") {
			m["radius_m"] = changedRadiusM
		}
		changed = append(changed, m)
	}
	writeValue(w, collection(changed, pointOf))
}

func (f *fake) gained(w http.ResponseWriter, r *http.Request) {
	like := r.URL.Query().Get("like")
	if like == "" {
		like = "001"
	}
	begin(w)
	event(w, "found", map[string]any{"like": like, "boat": map[string]any{"loa_m": 9.5, "length_all_m": 9.9},
		"before": fakeCapacity("as_is", nil, 4), "after": fakeCapacity("as_is", fakeSpots(), 6), "gained": 3, "words": ""})
}

// place sets a mooring; what it says hangs on the owner that is told.
func (f *fake) place(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	if err := json.NewDecoder(r.Body).Decode(&body); err != nil || r.Header.Get("Content-Type") != "application/json" {
		problem(w, http.StatusBadRequest, "the body is not understood", nil)
		return
	}
	a := &f.acts
	a.mu.Lock()
	defer a.mu.Unlock()
	body["if_match"] = r.Header.Get("If-Match")
	a.posted = append(a.posted, body)
	switch owner, despite := body["owner"], body["despite"]; {
	case owner == fakeShown:
		problem(w, http.StatusForbidden, "this service only shows: others can reach its address", nil)
		return
	case owner == fakeTaken && despite == nil:
		problem(w, http.StatusConflict, "the boat does not fit",
			map[string]any{"reasons": []any{told("N1: touches 040: the swing circles overlap by 4.9 ft",
				"N1: touches 040: the swing circles overlap by 1.5 m"), said("N1: too shallow")}})
		return
	case owner == fakeNewer && !a.once:
		a.once = true
		a.revision++
		problem(w, http.StatusPreconditionFailed, "the harbor is at revision 2, this was made from 1; look at it again", nil)
		return
	}
	p, err := geo.ParsePosition(body["position"].(string), nil)
	if err != nil {
		problem(w, http.StatusBadRequest, err.Error(), nil)
		return
	}
	a.revision++
	m := maps.Clone(f.moorings[0])
	maps.Copy(m, map[string]any{"number": "N1", "boat": body["boat"], "lat": p.LatDeg, "lon": p.LonDeg, "position_ddm": p.DDM(),
		"state": "clear", "conflicts": 0, "hazards": []string{}})
	a.set = append(a.set, m)
	writeValue(w, map[string]any{"number": "N1", "revision": 1 + a.revision, "words": said("N1 is set in West"), "fits": []any{}})
}
