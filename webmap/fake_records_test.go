package webmap_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

const (
	fakePassword = "a long way to the sea"
	fakeOwner    = "N. N."
	fakePhone    = "+000 555 0199"
)

var everything = []string{"names", "positions", "notes", "inspections", "tackle", "swaps", "moorings", "owners", "waiting", "accounts"}

// records are what is on record in the fake, who has changed it, who hears of it, and who asks.
type records struct {
	mu       sync.Mutex
	me       map[string]any
	edits    map[string]map[string]any // by noun and name, then by path
	changed  map[string]int            // by noun and name: at which revision last
	history  []map[string]any          // newest first
	notes    map[string][]map[string]any
	photos   map[string][]byte
	sent     int // pictures that were sent, each counted however often
	refuse   int // so many pictures are refused first
	hearers  map[chan string]bool
	listened int
	waiting  []map[string]any // who waits, the first first
	asked    []string         // harbors of a past that were asked for
	accounts []map[string]any
	tokens   []map[string]any
}

func newRecords() records {
	return records{me: person("", "harbormaster", false), edits: map[string]map[string]any{}, changed: map[string]int{},
		notes: map[string][]map[string]any{}, photos: map[string][]byte{}, hearers: map[chan string]bool{},
		accounts: []map[string]any{{"name": "Harbor Office", "role": "harbormaster", "disabled": false, "created": "2026-01-02T08:00:00Z",
			"signed_in": nil, "from": ""}}, tokens: []map[string]any{},
		waiting: []map[string]any{waits("Early Bird", "2014-04-09"), waits("Late Bird", "2015-07-05")}}
}

// person is who asks, as the service says it.
func person(name, role string, accounts bool) map[string]any {
	may := []string{}
	switch role {
	case "harbormaster":
		may = everything
	case "crew":
		may = everything[:4]
	case "yard":
		may = everything[:6]
	}
	return map[string]any{"name": name, "role": role, "accounts": accounts, "may": may}
}

// signedIn lets somebody ask from now on; an empty name is the public.
func (f *fake) signedIn(name, role string) {
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	f.records.me = person(name, role, true)
}

func (f *fake) serveRecords(mux *http.ServeMux, slug string) {
	base, r := "/api/harbors/"+slug, &f.records
	mux.HandleFunc("GET /api/me", func(w http.ResponseWriter, _ *http.Request) { r.mu.Lock(); defer r.mu.Unlock(); writeValue(w, r.me) })
	mux.HandleFunc("POST /api/sign-in", f.signIn)
	mux.HandleFunc("POST /api/sign-out", func(w http.ResponseWriter, _ *http.Request) {
		f.signedIn("", "public")
		w.WriteHeader(http.StatusNoContent)
	})
	mux.HandleFunc("POST /api/password", func(w http.ResponseWriter, _ *http.Request) {
		problem(w, http.StatusBadRequest, "the old password is not right, so it stays", nil)
	})
	mux.HandleFunc("GET /api/accounts", func(w http.ResponseWriter, _ *http.Request) {
		r.mu.Lock()
		defer r.mu.Unlock()
		writeValue(w, map[string]any{"accounts": r.accounts})
	})
	mux.HandleFunc("POST /api/accounts", f.setAccount)
	mux.HandleFunc("GET /api/tokens", func(w http.ResponseWriter, _ *http.Request) {
		r.mu.Lock()
		defer r.mu.Unlock()
		writeValue(w, map[string]any{"tokens": r.tokens})
	})
	mux.HandleFunc("POST /api/tokens", f.setToken)
	mux.HandleFunc("GET /api/sign-ins/failed", func(w http.ResponseWriter, _ *http.Request) {
		writeValue(w, map[string]any{"failed": []any{map[string]any{"at": "2026-05-01T10:00:00Z", "name": "harbor", "from": "192.0.2.7"}}})
	})
	mux.HandleFunc("GET "+base+"/records/{noun}/{name}", f.record)
	mux.HandleFunc("POST "+base+"/acts/edit", f.edit)
	mux.HandleFunc("POST "+base+"/acts/note", f.note)
	mux.HandleFunc("POST "+base+"/acts/propose", f.propose)
	mux.HandleFunc("POST "+base+"/acts/undo", f.undo)
	mux.HandleFunc("POST "+base+"/photos", f.takePhoto)
	mux.HandleFunc("GET "+base+"/photos/{sha}", f.photo)
	mux.HandleFunc("GET "+base+"/history", f.tellHistory)
	mux.HandleFunc("GET "+base+"/changes", f.changes)
	mux.HandleFunc("GET "+base+"/search", f.search)
	// The field as it stood: the same, under a name with a day.
	mux.HandleFunc("GET /api/harbors/{past}/", f.past(mux, slug))
	mux.HandleFunc("GET /api/harbors/{past}", f.past(mux, slug))
}

func (f *fake) past(mux *http.ServeMux, slug string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		day, ok := strings.CutPrefix(r.PathValue("past"), slug+"@")
		if !ok || day < "2020" {
			problem(w, http.StatusNotFound, "harbor "+r.PathValue("past")+": not found; its history begins 2020-01-01T00:00:00Z", nil)
			return
		}
		f.records.mu.Lock()
		f.records.asked = append(f.records.asked, r.URL.Path)
		f.records.mu.Unlock()
		if !strings.Contains(strings.TrimPrefix(r.URL.Path, "/api/harbors/"), "/") {
			info := f.acts.info(f.info(slug))
			info["as_of"] = day + "T23:59:59Z"
			writeValue(w, info)
			return
		}
		again := r.Clone(r.Context())
		again.URL.Path = strings.Replace(r.URL.Path, "@"+day, "", 1)
		mux.ServeHTTP(w, again)
	}
}

func (f *fake) signIn(w http.ResponseWriter, r *http.Request) {
	var body map[string]string
	if err := json.NewDecoder(r.Body).Decode(&body); err != nil || body["password"] != fakePassword {
		problem(w, http.StatusUnauthorized, "name or password is not right", nil)
		return
	}
	role := "harbormaster"
	for prefix, of := range map[string]string{"Crew": "crew", "Yard": "yard"} {
		if strings.HasPrefix(body["name"], prefix) {
			role = of
		}
	}
	f.signedIn(body["name"], role)
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	writeValue(w, f.records.me)
}

func (f *fake) setAccount(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	_ = json.NewDecoder(r.Body).Decode(&body)
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	i := slices.IndexFunc(f.records.accounts, func(a map[string]any) bool { return a["name"] == body["name"] })
	if password, ok := body["password"].(string); i < 0 && (!ok || len(password) < 12) {
		problem(w, http.StatusBadRequest, "a password has at least 12 signs", nil)
		return
	}
	if i < 0 {
		f.records.accounts = append(f.records.accounts,
			map[string]any{"name": body["name"], "role": body["role"], "disabled": false, "created": "2026-05-01T10:00:00Z"})
	} else {
		maps.Copy(f.records.accounts[i], body)
	}
	w.WriteHeader(http.StatusNoContent)
}

func (f *fake) setToken(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	_ = json.NewDecoder(r.Body).Decode(&body)
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	if body["revoke"] == true {
		f.records.tokens = slices.DeleteFunc(f.records.tokens, func(t map[string]any) bool { return t["name"] == body["name"] })
		w.WriteHeader(http.StatusNoContent)
		return
	}
	f.records.tokens = append(f.records.tokens, map[string]any{"name": body["name"], "role": body["role"],
		"expires": fmt.Sprint(body["expires"], "T23:59:59Z"), "last_used": nil})
	writeValue(w, map[string]any{"name": body["name"], "secret": "shown-this-once"})
}

// recordOf is what is on record of a mooring or an owner, with all edits on it.
func (f *fake) recordOf(noun, name string) map[string]any {
	var tree map[string]any
	switch noun {
	case "owner":
		tree = map[string]any{"name": name, "phone": fakePhone, "email": "n@example.invalid", "address": "1 Quay", "resident": true,
			"note": ""}
	case "mooring":
		m := f.mooring(name)
		if set := f.acts.mooring(name); set != nil {
			m = set
		}
		if m == nil {
			return nil
		}
		tree = map[string]any{"number": name, "area": m["area"], "status": m["status"], "position": at(m), "accuracy_m": 1, "depth_m": nil,
			"radius_m": nil, "boat": nil, "tackle": fakeTackle(m["status"] != "vacant"),
			"largest_loa_m": 12.0, "largest_draft_m": nil, "note": "", "permit": map[string]any{"year": 2026, "expires": "2099-03-31"}}
		if m["boat"] != nil {
			tree["boat"] = map[string]any{"name": m["boat"], "kind": "sail", "loa_m": 9.5, "length_all_m": 9.9, "beam_m": 3.1,
				"draft_m": 1.6, "bow_height_m": 1.2, "owner": fakeOwner}
		}
	case "harbor":
		tree = map[string]any{"name": "Grid Sound", "units": "metres", "levels": nil, "public": []any{"boat_name"}, "accuracy_m": nil}
	case "waiting":
		if tree = f.records.waits(name); tree == nil {
			return nil
		}
	default:
		return nil
	}
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	for path, value := range f.records.edits[noun+" "+name] {
		put(tree, path, value)
	}
	return tree
}

func fakeTackle(occupied bool) []any {
	part := func(kind string, length, size, weight any, material string) map[string]any {
		return map[string]any{"kind": kind, "length_m": length, "size_m": size, "weight_kg": weight, "material": material}
	}
	chain := part("top_chain", 9.0, 0.013, nil, "galvanised steel")
	chain["installed"], chain["inspected"], chain["left"] = "2022-04-20", "2025-05-02", 0.86
	tackle := []any{part("anchor", nil, nil, 450, "mushroom"), chain, part("buoy", nil, 0.6, nil, ""),
		part("pennant", 3.0, 0.019, nil, "nylon")}
	if occupied {
		tackle = append(tackle, part("marker_line", 8.0, nil, nil, ""), part("marker", nil, nil, nil, "slim stick"))
	}
	return tackle
}

var pathStep = regexp.MustCompile(`[^.\[\]]+|\[\d+\]`)

// put sets a value at a path of a tree; get finds it.
func put(tree any, path string, value any) {
	steps := pathStep.FindAllString(path, -1)
	parent := get(tree, steps[:len(steps)-1])
	if object, ok := parent.(map[string]any); ok {
		object[steps[len(steps)-1]] = value
	}
}

func get(tree any, steps []string) any {
	for _, step := range steps {
		switch at := tree.(type) {
		case map[string]any:
			tree = at[step]
		case []any:
			n, _ := strconv.Atoi(strings.Trim(step, "[]"))
			tree = at[n-1]
		}
	}
	return tree
}

func (f *fake) record(w http.ResponseWriter, r *http.Request) {
	noun, name := r.PathValue("noun"), r.PathValue("name")
	if noun == "harbor" {
		name = "" // whatever it is called there
	}
	record := f.recordOf(noun, name)
	if record == nil {
		problem(w, http.StatusNotFound, noun+" "+name+": not found", nil)
		return
	}
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	may := []string{""}
	switch f.records.me["role"] {
	case "crew":
		may = []string{"note", "depth_m", "tackle[].inspected"}
	case "yard":
		may = []string{"note", "depth_m", "tackle[].inspected", "tackle"}
	}
	revision := max(1, f.records.changed[noun+" "+name])
	w.Header().Set("ETag", fmt.Sprintf(`"r%d"`, revision))
	writeValue(w, map[string]any{"noun": noun, "name": name, "revision": revision, "record": record, "may": may})
}

// change sets fields as somebody does, writes the history, and tells who listens. It gives the revision.
func (f *fake) change(noun, name, who, why string, set map[string]any) int {
	before := f.recordOf(noun, name)
	f.acts.mu.Lock()
	f.acts.revision++
	revision := 1 + f.acts.revision
	f.acts.mu.Unlock()
	r := &f.records
	r.mu.Lock()
	defer r.mu.Unlock()
	key := noun + " " + name
	if r.edits[key] == nil {
		r.edits[key] = map[string]any{}
	}
	fields := []any{}
	for _, path := range slices.Sorted(maps.Keys(set)) {
		was, _ := json.Marshal(get(before, pathStep.FindAllString(path, -1)))
		is, _ := json.Marshal(set[path])
		fields = append(fields, map[string]any{"field": path, "before": strings.TrimPrefix(string(was), "null"), "after": string(is)})
	}
	maps.Copy(r.edits[key], set)
	r.changed[key] = revision
	at := time.Now().UTC().Format(time.RFC3339)
	r.history = slices.Insert(r.history, 0, map[string]any{"id": revision, "revision": revision, "at": at, "who": who, "why": why,
		"noun": noun, "name": name, "fields": fields})
	body, _ := json.Marshal(map[string]any{"revision": revision, "at": at, "who": who, "why": why,
		"changed": []any{map[string]any{"noun": noun, "name": name}}})
	for hearer := range r.hearers {
		hearer <- fmt.Sprintf("id: %d\nevent: changed\ndata: %s\n\n", revision, body)
	}
	return revision
}

// asker is who does an act, and false with the answer written where nobody may.
func (f *fake) asker(w http.ResponseWriter, body map[string]any) (string, bool) {
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	if f.records.me["role"] == "public" {
		problem(w, http.StatusUnauthorized, "this is for those who are signed in as crew; sign in, then ask again. Nothing was done", nil)
		return "", false
	}
	if f.records.me["accounts"] == true {
		return f.records.me["name"].(string), true
	}
	who, _ := body["who"].(string)
	return who, true
}

func (r *records) notesOf(number string) []map[string]any {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Clone(r.notes[number])
}

func (f *fake) note(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	_ = json.NewDecoder(r.Body).Decode(&body)
	who, ok := f.asker(w, body)
	if !ok {
		return
	}
	number, photos := body["mooring"].(string), []string{}
	if text, _ := body["photos"].(string); text != "" {
		photos = strings.Split(text, ",")
	}
	revision := f.change("note", fmt.Sprint("note", number), who, "note", map[string]any{})
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	f.records.notes[number] = append(f.records.notes[number],
		map[string]any{"id": fmt.Sprint("n", revision), "mooring": number, "at": time.Now().UTC().Format(time.RFC3339Nano), "by": who,
			"text": body["text"], "photos": photos})
	writeValue(w, map[string]any{"number": number, "revision": revision, "words": said("it is noted"), "fits": []any{}})
}

func (f *fake) takePhoto(w http.ResponseWriter, r *http.Request) {
	raw, _ := io.ReadAll(r.Body)
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	f.records.sent++
	if f.records.refuse > 0 {
		f.records.refuse--
		problem(w, http.StatusUnsupportedMediaType, "this is no picture that can be taken: JPEG, PNG and WEBP are", nil)
		return
	}
	sum := sha256.Sum256(raw)
	sha := hex.EncodeToString(sum[:])
	f.records.photos[sha] = raw
	writeValue(w, map[string]any{"photo": sha, "width": 40, "height": 30})
}

func (f *fake) photo(w http.ResponseWriter, r *http.Request) {
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	raw, ok := f.records.photos[r.PathValue("sha")]
	if !ok {
		problem(w, http.StatusNotFound, "there is no such picture", nil)
		return
	}
	w.Header().Set("Content-Type", http.DetectContentType(raw))
	w.Write(raw)
}

func (f *fake) tellHistory(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	limit, _ := strconv.Atoi(q.Get("limit"))
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	rows := []any{}
	for _, c := range f.records.history {
		before, _ := strconv.Atoi(q.Get("before"))
		if (q.Get("noun") == "" || c["noun"] == q.Get("noun") && c["name"] == q.Get("name")) && (before == 0 || c["id"].(int) < before) {
			rows = append(rows, c)
		}
	}
	writeValue(w, map[string]any{"changes": rows[:min(limit, len(rows))], "more": len(rows) > limit})
}

func (f *fake) changes(w http.ResponseWriter, r *http.Request) {
	hearer := make(chan string, 16)
	f.records.mu.Lock()
	f.records.hearers[hearer] = true
	f.records.listened++
	f.records.mu.Unlock()
	defer func() {
		f.records.mu.Lock()
		delete(f.records.hearers, hearer)
		f.records.mu.Unlock()
	}()
	w.Header().Set("Content-Type", "text/event-stream")
	fmt.Fprint(w, ": listening\n\n")
	w.(http.Flusher).Flush()
	for {
		select {
		case <-r.Context().Done():
			return
		case said, open := <-hearer:
			if !open {
				return
			}
			fmt.Fprint(w, said)
			w.(http.Flusher).Flush()
		}
	}
}

// breakLines ends every stream, as a service does that goes down.
func (f *fake) breakLines() {
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	for hearer := range f.records.hearers {
		close(hearer)
		delete(f.records.hearers, hearer)
	}
}

func (f *fake) search(w http.ResponseWriter, r *http.Request) {
	results := []any{}
	if q := strings.ToLower(r.URL.Query().Get("q")); q == "n. n." || q == "quay" {
		results = append(results, map[string]any{"noun": "owner", "name": fakeOwner, "number": "001", "title": fakeOwner,
			"words": fakePhone + " · 1 Quay"},
			map[string]any{"noun": "note", "name": "n7", "number": "002", "title": "Note of 2026-05-01, 002",
				"words": "seen from the quay"})
	}
	writeValue(w, map[string]any{"results": results, "more": 0})
}
