package webmap_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"
)

// waits is one who waits, as it is on record.
func waits(name, since string) map[string]any {
	return map[string]any{"name": name, "since": since, "areas": []any{"West"}, "note": "",
		"boat": map[string]any{"name": "", "kind": "", "loa_m": 8.5, "length_all_m": nil, "beam_m": nil, "draft_m": nil,
			"bow_height_m": nil, "owner": ""}}
}

func (r *records) waits(name string) map[string]any {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, each := range r.waiting {
		if each["name"] == name {
			body, _ := json.Marshal(each)
			var copied map[string]any
			_ = json.Unmarshal(body, &copied)
			return copied
		}
	}
	return nil
}

// list puts somebody on the waiting list, or takes them off it; false with the answer written where that cannot be.
func (r *records) list(w http.ResponseWriter, name string, made, removed bool) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	i := slices.IndexFunc(r.waiting, func(each map[string]any) bool { return each["name"] == name })
	switch {
	case made && i >= 0:
		problem(w, http.StatusUnprocessableEntity, "there is a waiting "+name+" already", nil)
		return false
	case made:
		r.waiting = append(r.waiting, waits(name, ""))
	case i < 0:
		problem(w, http.StatusNotFound, "waiting "+name+": not found", nil)
		return false
	case removed:
		r.waiting = slices.Delete(r.waiting, i, i+1)
	}
	return true
}

func (f *fake) edit(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	if err := json.NewDecoder(r.Body).Decode(&body); err != nil {
		problem(w, http.StatusBadRequest, "the body is not understood", nil)
		return
	}
	body["if_match"] = r.Header.Get("If-Match")
	f.acts.mu.Lock()
	f.acts.posted = append(f.acts.posted, body)
	f.acts.mu.Unlock()
	who, ok := f.asker(w, body)
	if !ok {
		return
	}
	noun, name := fmt.Sprint(body["noun"]), fmt.Sprint(body["name"])
	var seen int
	if n, _ := fmt.Sscanf(r.Header.Get("If-Match"), `"r%d"`, &seen); n != 1 {
		problem(w, http.StatusPreconditionRequired, "If-Match is expected", nil)
		return
	}
	f.records.mu.Lock()
	now, changed := f.records.changed[noun+" "+name], []any{}
	for _, c := range slices.Backward(f.records.history) {
		if c["noun"] == noun && c["name"] == name && c["revision"].(int) > seen {
			changed = append(changed, c)
		}
	}
	f.records.mu.Unlock()
	if now > seen {
		problem(w, http.StatusPreconditionFailed, "this was changed since you looked at it",
			map[string]any{"revision": now, "changed": changed})
		return
	}
	set, _ := body["set"].(map[string]any)
	if noun == "waiting" && !f.records.list(w, name, body["new"] == true, body["remove"] == true) {
		return
	}
	revision := f.change(noun, name, who, fmt.Sprint(body["why"]), set)
	writeValue(w, map[string]any{"number": name, "revision": revision, "words": said(noun + " " + name + ": changed"), "fits": []any{}})
}

func (f *fake) undo(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	_ = json.NewDecoder(r.Body).Decode(&body)
	who, ok := f.asker(w, body)
	if !ok {
		return
	}
	f.records.mu.Lock()
	last := f.records.history[0]
	f.records.mu.Unlock()
	if last["who"] != who {
		problem(w, http.StatusConflict, "others have built on it", nil)
		return
	}
	set := map[string]any{}
	for _, each := range last["fields"].([]any) {
		var was any
		_ = json.Unmarshal([]byte(each.(map[string]any)["before"].(string)), &was)
		set[each.(map[string]any)["field"].(string)] = was
	}
	revision := f.change(last["noun"].(string), last["name"].(string), who, "undo", set)
	writeValue(w, map[string]any{"number": last["name"], "revision": revision, "words": said("undone: " + last["why"].(string)),
		"fits": []any{}})
}

// propose writes a swap down as a note, as the service does.
func (f *fake) propose(w http.ResponseWriter, r *http.Request) {
	var body map[string]any
	_ = json.NewDecoder(r.Body).Decode(&body)
	f.acts.mu.Lock()
	f.acts.posted = append(f.acts.posted, body)
	f.acts.mu.Unlock()
	who, ok := f.asker(w, body)
	if !ok {
		return
	}
	ring := strings.Split(fmt.Sprint(body["ring"]), ",")
	for _, number := range ring {
		if f.mooring(number) == nil {
			problem(w, http.StatusNotFound, "mooring "+number+": not found", nil)
			return
		}
	}
	revision := f.change("note", "proposal", who, fmt.Sprint("proposal: ", body["why"]), map[string]any{})
	f.records.mu.Lock()
	defer f.records.mu.Unlock()
	f.records.notes[ring[0]] = append(f.records.notes[ring[0]],
		map[string]any{"id": fmt.Sprint("n", revision), "mooring": ring[0], "at": time.Now().UTC().Format(time.RFC3339Nano), "by": who,
			"photos": nil,
			"text":   fmt.Sprintf("Proposed: %s. %v All boats fit.", strings.Join(ring, " to "), body["why"])})
	writeValue(w, map[string]any{"number": ring[0], "revision": revision, "words": said("proposed: " + strings.Join(ring, " to ")),
		"fits": []any{}})
}

// ownerOf is the record of the owner of the boat on a mooring; the public sees none.
func (f *fake) ownerOf(number string) any {
	boat, _ := f.recordOf("mooring", number)["boat"].(map[string]any)
	f.records.mu.Lock()
	public := f.records.me["role"] == "public"
	f.records.mu.Unlock()
	if boat == nil || public {
		return nil
	}
	return f.recordOf("owner", fmt.Sprint(boat["owner"]))
}
