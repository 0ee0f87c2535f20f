package api_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"swingroom/api"
	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/room"
)

// writing is a service that may write, on a store of its own, and the store.
func writing(t testing.TB, h *geo.Harbor) (*api.Service, *store.Store) {
	t.Helper()
	db := onFile(t, h)
	s, err := api.New(api.Options{Store: db, Local: true})
	if err != nil {
		t.Fatal(err)
	}
	return s, db
}

// post sends a JSON object to an act.
func post(s *api.Service, path, body string, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", path, strings.NewReader(body))
	r.Host = "127.0.0.1:7464"
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("If-Match", "*")
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w
}

// bestFor is the best place for the sloop of forASloop.
func bestFor(t testing.TB, s *api.Service) geo.Position {
	t.Helper()
	var found office.Spots
	if err := json.Unmarshal(body(t, get(t, s, "/api/spots?count=1&"+forASloop)), &found); err != nil || len(found.Spots) == 0 {
		t.Fatalf("%v: no place", err)
	}
	return found.Spots[0].Position
}

func sloopAt(p geo.Position, more string) string {
	return fmt.Sprintf(`{"position":%q,"area":"Landing `+
		`Reach","loa_m":8,"beam_m":2.6,"draft_m":1.2,"bow_height_m":1,"rode_m":22,"boat":"Wren","who":"harbormaster","why":"first on `+
		`the list"%s}`, p.DD(), more)
}

func TestAPlaceIsTakenOnce(t *testing.T) {
	s, db := writing(t, demo(t))
	at := bestFor(t, s)
	w := post(s, "/api/acts/place", sloopAt(at, ""))
	var done office.Result
	if err := json.Unmarshal(w.Body.Bytes(), &done); err != nil || w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	h, info, err := db.Harbor(context.Background(), "")
	if err != nil || info.Revision != done.Revision {
		t.Fatalf("%v: revision %d, told %d", err, info.Revision, done.Revision)
	}
	before := demo(t)
	if len(h.Moorings) != len(before.Moorings)+1 || done.Number != before.NextNumber("Landing Reach") {
		t.Errorf("%d moorings, the new one is %s", len(h.Moorings), done.Number)
	}
	var sheet office.Sheet
	if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/"+done.Number)), &sheet); err != nil || sheet.Mooring.Boat == nil ||
		sheet.Mooring.Boat.Name != "Wren" || len(sheet.Conflicts) > 0 {
		t.Errorf("%v: the map shows %+v", err, sheet.Mooring)
	}
	history, err := db.History(context.Background(), "", "mooring", done.Number)
	if err != nil || len(history) != 1 || history[0].Who != "harbormaster" || history[0].Why != "first on the list" {
		t.Errorf("%v: %+v", err, history)
	}
	// The same water again: refused with the neighbour's name; with a reason it is done, and the reason is on record.
	if w := post(s, "/api/acts/place", sloopAt(at, "")); w.Code != http.StatusConflict ||
		!strings.Contains(w.Body.String(), "touches "+done.Number) {
		t.Errorf("the same place again: %d %s", w.Code, w.Body)
	}
	if w := post(s, "/api/acts/place", sloopAt(at, `,"number":"guest 1","despite":"one night in a calm"`)); w.Code != 200 {
		t.Fatalf("despite the check: %d %s", w.Code, w.Body)
	}
	if history, _ := db.History(context.Background(), "", "mooring", "guest 1"); len(history) != 1 ||
		!strings.Contains(history[0].Why, "despite the check: one night in a calm") {
		t.Errorf("%+v", history)
	}
}

// Two services on one file, as two programs would be, and many askers at once: the water goes to one of them.
func TestTwoWhoTakeTheSameWaterCannotBothSucceed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	var services [2]*api.Service
	for i := range services {
		db, err := store.Open(context.Background(), path)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		if i == 0 {
			if _, err := db.Save(context.Background(), "tarrowick", 0, demo(t), store.Act{Who: "test", Why: "test"}); err != nil {
				t.Fatal(err)
			}
		}
		if services[i], err = api.New(api.Options{Store: db, Local: true}); err != nil {
			t.Fatal(err)
		}
	}
	at := bestFor(t, services[0])
	codes := make([]int, 6)
	var wait sync.WaitGroup
	for i := range codes {
		wait.Add(1)
		go func() {
			defer wait.Done()
			codes[i] = post(services[i%2], "/api/acts/place", sloopAt(at, "")).Code
		}()
	}
	wait.Wait()
	won := 0
	for _, code := range codes {
		switch code {
		case 200:
			won++
		case http.StatusConflict:
		default:
			t.Errorf("status %d", code)
		}
	}
	if won != 1 {
		t.Errorf("%d of %d got the same water: %v", won, len(codes), codes)
	}
}

func TestOneOfTheWaitingListIsPlaced(t *testing.T) {
	h := demo(t)
	s, db := writing(t, h)
	known := func(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }
	h.Waiting = []geo.Waiting{{Name: "Early Bird", Since: "2020-01-01",
		Boat: geo.Boat{Name: "Plover", LOA: known(8), Beam: known(2.6), Draft: known(1.2), BowHeight: known(1)}},
		{Name: "Late Bird", Since: "2021-01-01", Boat: geo.Boat{LOA: known(7)}}}
	if _, err := db.Save(context.Background(), "tarrowick-harbor", 1, h, store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	if err := s.Refresh(context.Background()); err != nil {
		t.Fatal(err)
	}
	at := bestFor(t, s)
	var served room.Assignments
	if err := json.Unmarshal(body(t, get(t, s, "/api/waiting?rode_m=22&open="+strings.ReplaceAll(at.DD(), " ", "+"))),
		&served); err != nil {
		t.Fatal(err)
	}
	if o := served.Offers[len(served.Offers)-1]; !o.Open || o.Name != "Early Bird" {
		t.Fatalf("%+v", o)
	}
	if w := post(s, "/api/acts/place", fmt.Sprintf(`{"position":%q,"rode_m":22,"waiting":"Early Bird","who":"harbormaster","why":"first `+
		`who fits"}`, at.DD())); w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	h, _, err := db.Harbor(context.Background(), "")
	if err != nil || len(h.Waiting) != 1 || h.Waiting[0].Name != "Late Bird" {
		t.Errorf("%v: %+v", err, h.Waiting)
	}
	if m := fresh(t, h); m.Boat == nil || m.Boat.Name != "Plover" || m.Boat.Owner != "Early Bird" {
		t.Errorf("%+v", m)
	}
}

// fresh is the mooring that the demo harbor has not.
func fresh(t testing.TB, h *geo.Harbor) *geo.Mooring {
	t.Helper()
	old := map[string]bool{}
	for _, m := range demo(t).Moorings {
		old[m.Number] = true
	}
	for i := range h.Moorings {
		if !old[h.Moorings[i].Number] {
			return &h.Moorings[i]
		}
	}
	t.Fatal("there is no new mooring")
	return nil
}

func TestActsThatAreRefusedChangeNothing(t *testing.T) {
	s, db := writing(t, demo(t))
	at := bestFor(t, s)
	shown, err := api.New(api.Options{Store: onFile(t, demo(t))})
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		s       *api.Service
		body    string
		headers []string
		status  int
		want    string
	}{
		"shown only":        {shown, sloopAt(at, ""), nil, 403, "no accounts"},
		"another page":      {s, sloopAt(at, ""), []string{"Origin", "https://elsewhere.example"}, 403, "another page"},
		"another name":      {s, sloopAt(at, ""), []string{"Host", "elsewhere.example"}, 403, "another name"},
		"a form":            {s, "position=1", []string{"Content-Type", "application/x-www-form-urlencoded"}, 415, "application/json"},
		"no object":         {s, "[]", nil, 400, "not understood"},
		"two objects":       {s, "{} {}", nil, 400, "more than one"},
		"a nested value":    {s, `{"position":{"lat":1}}`, nil, 400, "position"},
		"unknown":           {s, `{"colour":"red"}`, nil, 400, "colour"},
		"a name twice":      {s, sloopAt(at, `,"why":"another"`), nil, 400, "stands twice"},
		"a flag as a name":  {s, fmt.Sprintf(`{"position":%q,"who":true,"why":"b"}`, at.DD()), nil, 400, "a text is expected"},
		"too long":          {s, `{"boat":"` + strings.Repeat("x", 70000) + `"}`, nil, 400, "too large"},
		"nobody":            {s, fmt.Sprintf(`{"position":%q,"loa_m":8}`, at.DD()), nil, 400, "who and why"},
		"nothing looked at": {s, sloopAt(at, ""), []string{"If-Match", ""}, 428, "If-Match is expected"},
		"another's tag":     {s, sloopAt(at, ""), []string{"If-Match", `"57"`}, 412, "no tag of this service"},
		"a weak tag":        {s, sloopAt(at, ""), []string{"If-Match", `W/"r1"`}, 412, "no tag of this service"},
		"no revision":       {s, sloopAt(at, `,"revision":"last"`), nil, 400, "a number is expected"},
		"taken number":      {s, sloopAt(at, `,"number":"101"`), nil, 400, "101 already"},
		"no boat":           {s, fmt.Sprintf(`{"position":%q,"area":"Landing Reach","who":"a","why":"b"}`, at.DD()), nil, 400, "loa_m"},
		"no such area":      {s, sloopAt(at, `,"tackle_of":"nobody"`), nil, 400, "one of rode_m"},
		"not waiting":       {s, sloopAt(at, `,"waiting":"nobody"`), nil, 404, "waiting list"},
		"no position":       {s, `{"position":"over there","who":"a","why":"b"}`, nil, 400, ""},
		"on land": {s, `{"position":"44.5 -41.5","area":"Town Cove","loa_m":8,"rode_m":22,"who":"a","why":"b"}`, nil, 409,
			"the anchor stands outside its area Town Cove"},
	} {
		w := post(c.s, "/api/acts/place", c.body, c.headers...)
		if w.Code != c.status || !strings.Contains(w.Body.String(), c.want) {
			t.Errorf("%s: %d %s; want %d with %q", name, w.Code, w.Body, c.status, c.want)
		}
	}
	if _, info, err := db.Harbor(context.Background(), ""); err != nil || info.Revision != 1 {
		t.Errorf("%v: revision %d", err, info.Revision)
	}
}

func TestAPlaceIsSetVacant(t *testing.T) {
	s, db := writing(t, demo(t))
	if w := post(s, "/api/acts/place", sloopAt(bestFor(t, s), `,"vacant":true`)); w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	h, _, err := db.Harbor(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	if m := fresh(t, h); m.Status != geo.Vacant || m.Boat != nil || m.LargestLOA.Or(0) != 8 {
		t.Errorf("%+v", m)
	}
}

// event is one of a stream.
type event struct{ name, data string }

func events(t testing.TB, r *http.Response, each func(event)) {
	t.Helper()
	defer r.Body.Close()
	var e event
	lines := bufio.NewScanner(r.Body)
	lines.Buffer(nil, 1<<22)
	for lines.Scan() {
		switch line := lines.Text(); {
		case line == "":
			each(e)
			e = event{}
		case strings.HasPrefix(line, "event: "):
			e.name = line[7:]
		case strings.HasPrefix(line, "data: "):
			e.data = line[6:]
		}
	}
}

func TestASearchTellsHowFarItHasComeAndCanBeStopped(t *testing.T) {
	s := service(t, demo(t))
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	ask := func(path string, each func(event)) {
		r, _ := http.NewRequest("GET", server.URL+path, nil)
		r.Header.Set("Accept", "text/event-stream")
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		events(t, answer, each)
	}
	var names []string
	var found room.Capacity
	stopped := false
	ask("/api/capacity?layout=free&area=East+Shore&loa_m=6&draft_m=1&rode_m=12", func(e event) {
		names = append(names, e.name)
		switch e.name {
		case "begun":
			var begun struct{ Search string }
			if err := json.Unmarshal([]byte(e.data), &begun); err != nil || begun.Search == "" {
				t.Fatalf("%v %s", err, e.data)
			}
			r, err := http.Post(server.URL+"/api/searches/"+begun.Search+"/stop", "application/json", strings.NewReader("{}"))
			if err != nil || r.StatusCode != http.StatusNoContent {
				t.Fatalf("%v %s", err, r.Status)
			}
			stopped = true
		case "found":
			if err := json.Unmarshal([]byte(e.data), &found); err != nil {
				t.Fatal(err)
			}
		}
	})
	if !stopped || !found.Ended || names[len(names)-1] != "found" {
		t.Errorf("events %v, ended %v", names, found.Ended)
	}
	names = nil
	last, total := 0, 0
	ask("/api/what_if/gained?area=Landing+Reach&scope=2", func(e event) {
		names = append(names, e.name)
		var p struct{ Done, Total int }
		if e.name == "progress" && json.Unmarshal([]byte(e.data), &p) == nil {
			if p.Done < last {
				t.Errorf("%d after %d", p.Done, last)
			}
			last, total = p.Done, p.Total
		}
	})
	if names[0] != "begun" || names[len(names)-1] != "found" || last == 0 || last != total {
		t.Errorf("events %v, %d of %d", names, last, total)
	}
	ask("/api/capacity?layout=moved&move=nobody&"+forASloop, func(e event) { names = append(names, e.name+e.data) })
	if end := names[len(names)-1]; !strings.HasPrefix(end, "failed") || !strings.Contains(end, "nobody") {
		t.Errorf("ends with %s", end)
	}
	if r, err := http.Post(server.URL+"/api/searches/none/stop", "application/json", strings.NewReader("{}")); err != nil ||
		r.StatusCode != 404 {
		t.Errorf("%v: a search that is not there", err)
	}
}
