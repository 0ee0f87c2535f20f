package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/geo"
)

// bothWays are acts, one after the other, as a script sends them to the service and as they are typed. Those with a status but 200 are
// refused.
var bothWays = []struct {
	act    string
	body   string // without who and why
	args   string // without who, why and the file, a | between each
	status int
}{
	{"vacate", `{"number":"217"}`, "vacate|217", 200},
	{"vacate", `{"number":"217"}`, "vacate|217", 400},
	{"vacate", `{"number":"２１７"}`, "vacate|２１７", 404},
	{"assign", `{"number":"217","boat":"Wren","loa_m":18.288,"beam_m":3,"draft_m":1,"bow_height_m":1}`,
		"assign|217|--boat|Wren|--loa|60ft|--beam|3m|--draft|1m|--bow-height|1m", 409},
	{"assign", `{"number":"217","boat":" Wren ","owner":"Ada Quill","loa_m":4.572,"beam_m":1.8288,"draft_m":0.9144,"bow_height_m":0.6096,` +
		`"boat_kind":"day sailer","despite":" the rope is old "}`,
		"assign| 217 |--boat| Wren |--owner|Ada Quill|--loa|15ft|--beam|1.8288m|--draft|0.9144 m|--bow-height|2ft|" +
			"--kind|day sailer|--despite| the rope is old ", 200},
	{"assign", `{"number":"332","waiting":"Joss Hollenfield"}`, "assign|332|--waiting|Joss Hollenfield", 200},
	{"assign", `{"number":"332","waiting":"Joss Hollenfield"}`, "assign|332|--waiting|Joss Hollenfield", 400},
	{"assign", `{"number":"332","waiting":"Joss Hollenfield","replace":true}`, "assign|332|--waiting|Joss Hollenfield|--replace", 404},
	{"assign", `{"number":"217","replace":true}`, "assign|217|--replace", 400},
	{"ring", `{"ring":"332,363"}`, "swap|332|363", 200},
	{"ring", `{"ring":"332,363"}`, "swap|332|363", 400},
	{"ring", `{"ring":"217,217"}`, "swap|217|217", 400},
	{"ring", `{"ring":"301,217"}`, "swap|301|217", 409},
	{"ring", `{"ring":"301,217","despite":"one night"}`, "swap|301|217|--despite|one night", 200},
	{"undo", `{}`, "undo", 409},
	{"undo", `{"despite":"as it was"}`, "undo|--despite|as it was", 200},
	{"place", `{"position":"44° 12.4526' N 041° 29.6598' W","loa_m":7.3152,"draft_m":0.9144,"vacant":true,"rode_m":28.956,"number":"V1"}`,
		"place|--at|44° 12.4526' N 041° 29.6598' W|--loa|7.3152m|--draft|0.9144m|--vacant|--rode|28.956m|--number|V1", 200},
	{"place", `{"position":"44° 12.4526' N 041° 29.6598' W","loa_m":7.3152,"draft_m":0.9144,"scope":3}`,
		"place|--at|44° 12.4526' N 041° 29.6598' W|--loa|7.3152m|--draft|0.9144m|--scope|3", 409},
	{"place", `{"position":"44° 12.4526' N 041° 29.6598' W","area":"Moon"}`, "place|--at|44° 12.4526' N 041° 29.6598' W|--area|Moon", 404},
	{"place", `{"position":"somewhere","loa_m":8}`, "place|--at|somewhere|--loa|8m", 400},
	{"place", `{"position":"12.5, 13","loa_m":8}`, "place|--at|12.5, 13|--loa|8m", 404},
	{"anchor", `{"number":"V1","position":"44° 12.4527' N 041° 29.6598' W","accuracy_m":2}`,
		"move|V1|--to|44° 12.4527' N 041° 29.6598' W|--accuracy|2m", 200},
	{"anchor", `{"number":"V1","position":"44° 12.4626' N 041° 29.6598' W"}`, "move|V1|--to|44° 12.4626' N 041° 29.6598' W", 409},
	{"anchor", `{"number":"V1","position":"44° 12.4626' N 041° 29.6598' W","despite":"surveyed next week"}`,
		"move|V1|--to|44° 12.4626' N 041° 29.6598' W|--despite|surveyed next week", 200},
	{"retire", `{"number":"363"}`, "retire|363", 400},
	{"retire", `{"number":"V1"}`, "retire|V1", 200},
	{"note", `{"mooring":"363","text":"pennant chafed, at the chock"}`, "note|363|pennant chafed, at the chock", 200},
	{"note", `{"text":"=1+1 <b>"}`, "note|=1+1 <b>", 200},
	{"note", `{"mooring":"V1","text":"gone"}`, "note|V1|gone", 404},
	{"edit", `{"noun":"mooring","name":"363","set":{"boat.name":"1812","boat.loa_m":6.4008,"tackle[2].inspected":"2026-05-01",` +
		`"depth_m":null}}`,
		"set|mooring|363|boat.name=1812|boat.loa_m=21ft|tackle[2].inspected=2026-05-01|depth_m=", 200},
	{"edit", `{"noun":"mooring","name":"363","set":{"boat.name":"1812"}}`, "set|mooring|363|boat.name=1812", 200},
	{"edit", `{"noun":"mooring","name":"363","set":{"boat.sails":3}}`, "set|mooring|363|boat.sails=3", 400},
	{"edit", `{"noun":"mooring","name":"363","set":{"number":"364"}}`, "set|mooring|363|number=364", 400},
	{"edit", `{"noun":"mooring","name":"363","set":{"boat.loa_m":-3}}`, "set|mooring|363|boat.loa_m=-3", 400},
	{"edit", `{"noun":"owner","name":"Ada Quill","set":{"phone":"5550117"},"new":true}`, "set|owner|Ada Quill|phone=5550117|--new", 200},
	{"edit", `{"noun":"owner","name":"Ada Quill","set":{"name":"Ada Marsh"}}`, "set|owner|Ada Quill|name=Ada Marsh", 200},
	{"edit", `{"noun":"waiting","name":"Nell Garrowby","remove":true}`, "set|waiting|Nell Garrowby|--remove", 200},
	{"edit", `{"noun":"harbor","name":"","set":{"public":["boat_name"],"name":"Tarrowick \"Old\" Harbor"}}`,
		`set|harbor|public=["boat_name"]|name=Tarrowick "Old" Harbor`, 200},
	{"edit", `{"noun":"area","name":"Town Cove","set":{"rules.margin_m":1}}`, "set|area|Town Cove|rules.margin_m=1m", 200},
	{"undo", `{"revision":2}`, "undo|--revision|2", 412},
	{"undo", `{}`, "undo", 200},
}

func TestAnActIsTheSameByTheCommandAndByTheService(t *testing.T) {
	posted, typed := twoFiles(t)
	address := served(t, "serve", "--db", posted, "--listen", "127.0.0.1:0")
	for _, row := range bothWays {
		name := row.act + " " + row.body
		status, answer := send(t, address+"/api/acts/"+row.act, row.body)
		args := append(strings.Split(row.args, "|"), "--db", typed, "--who", "Quay Warden", "--format", "json")
		if row.act != "undo" && row.act != "note" {
			args = append(args, "--why", "because")
		}
		var out, errOut bytes.Buffer
		code := run(t.Context(), args, &out, &errOut)
		if status != row.status {
			t.Errorf("%s: the service answers %d, not %d: %s", name, status, row.status, answer)
		}
		if status == http.StatusOK {
			if code != exitDone || !sameJSON(t, answer, out.Bytes()) {
				t.Errorf("%s: the command ends with %d: %s%s\nthe service: %s", name, code, &out, &errOut, answer)
			}
			continue
		}
		refusedAlike(t, name, answer, code, errOut.String())
	}
	a, historyA := onFileOf(t, posted)
	b, historyB := onFileOf(t, typed)
	if len(historyA) < 20 || !reflect.DeepEqual(historyA, historyB) {
		t.Errorf("by the service: %s\nby the command: %s", historyA, historyB)
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("the two harbors differ")
	}
}

// twoFiles are two copies of a database of the demo harbor.
func twoFiles(t *testing.T) (one, other string) {
	t.Helper()
	dir := t.TempDir()
	one, other = filepath.Join(dir, "one.db"), filepath.Join(dir, "other.db")
	h, err := demoHarbor()
	if err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(t.Context(), one)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Save(t.Context(), "tarrowick", 0, h, store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	body, err := os.ReadFile(one)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(other, body, 0o600); err != nil {
		t.Fatal(err)
	}
	return one, other
}

// send posts an act with who and why.
func send(t *testing.T, url, body string) (status int, answer []byte) {
	t.Helper()
	var members map[string]any
	if err := json.Unmarshal([]byte(body), &members); err != nil {
		t.Fatalf("%s: %v", body, err)
	}
	members["who"] = "Quay Warden"
	if !strings.HasSuffix(url, "undo") && !strings.HasSuffix(url, "note") {
		members["why"] = "because"
	}
	sent, err := json.Marshal(members)
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, url, bytes.NewReader(sent))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("If-Match", "*")
	w, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	answer, err = io.ReadAll(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	return w.StatusCode, answer
}

// sameJSON reports whether two bodies of an act's result are the same. The service keeps the plane in which it works from act to act, where
// the command lays it anew through what is on file: a figure may differ in what the change of planes leaves, far under a millimetre.
func sameJSON(t *testing.T, a, b []byte) bool {
	t.Helper()
	var x, y any
	if err := json.Unmarshal(a, &x); err != nil {
		t.Fatalf("%v: %s", err, a)
	}
	return json.Unmarshal(b, &y) == nil && alike(x, y)
}

// alike reports whether two values of JSON are the same, with figures to a millionth.
func alike(a, b any) bool {
	switch x := a.(type) {
	case float64:
		y, ok := b.(float64)
		return ok && math.Abs(x-y) < 1e-6
	case []any:
		y, ok := b.([]any)
		return ok && slices.EqualFunc(x, y, alike)
	case map[string]any:
		y, ok := b.(map[string]any)
		return ok && maps.EqualFunc(x, y, alike)
	}
	return a == b
}

// refusedAlike holds what the command says of a refusal against the service's answer, in feet, which are the harbor's.
func refusedAlike(t *testing.T, name string, answer []byte, code int, told string) {
	t.Helper()
	var problem struct {
		Words   geo.Words
		Reasons []geo.Words
	}
	if err := json.Unmarshal(answer, &problem); err != nil {
		t.Fatalf("%v: %s", err, answer)
	}
	want, expected := exitFailed, []string{problem.Words.Feet + "\n"}
	if len(problem.Reasons) > 0 {
		want, expected = exitRefused, []string{"--despite REASON"}
		for _, reason := range problem.Reasons {
			expected = append(expected, "\n  "+reason.Feet+"\n")
		}
	}
	for _, text := range expected {
		if code != want || !strings.Contains(told, text) {
			t.Errorf("%s: the command ends with %d and says %q\nthe service says %q", name, code, told, text)
		}
	}
}

// onFileOf is what a database has on file, and its history, newest first, without times, ids, and the ids of notes.
func onFileOf(t *testing.T, path string) (*geo.Harbor, []string) {
	t.Helper()
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	h, _, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	for i := range h.Notes {
		h.Notes[i].ID = ""
		if h.Notes[i].By == "Quay Warden" {
			h.Notes[i].At = geo.Note{}.At
		}
	}
	changes, err := db.History(t.Context(), "", "", "")
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, c := range changes {
		if c.Noun == store.NounNote && c.Revision > 1 {
			c.Name = ""
			c.After = nil
		}
		told = append(told, strings.Join([]string{c.Who, c.Why, c.Noun, c.Name, string(c.Before), string(c.After)}, " | "))
	}
	return h, told
}

// What is no text must not come into the record. A script cannot hold such bytes.
func TestWhatIsNoTextIsWrongUsage(t *testing.T) {
	path, _ := twoFiles(t)
	for _, args := range [][]string{{"note", "\xff"}, {"vacate", "217", "--why", "\xff"},
		{"set", "owner", "Ada Quill", "note=\xff", "--new", "--why", "new"}} {
		var errOut bytes.Buffer
		code := run(t.Context(), append(args, "--db", path), io.Discard, &errOut)
		if code != exitUsage || !strings.Contains(errOut.String(), "not a text in UTF-8") {
			t.Errorf("%q: %d %s", args, code, &errOut)
		}
	}
}

// full is an output that takes nothing.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, syscall.ENOSPC }

func TestAnActThatCannotBeToldIsSaidToBeDone(t *testing.T) {
	path, _ := twoFiles(t)
	for i, format := range []string{"table", "json"} {
		var errOut bytes.Buffer
		code := run(t.Context(), []string{"note", "301", "pennant chafed", "--db", path, "--format", format}, full{}, &errOut)
		_, history := onFileOf(t, path)
		if code != exitFailed || !strings.Contains(errOut.String(), fmt.Sprintf("it is done (revision %d)", i+2)) ||
			!strings.Contains(history[0], "note") {
			t.Errorf("%s: %d %s %s", format, code, &errOut, history[0])
		}
	}
	if code := run(t.Context(), []string{"check", "--demo"}, full{}, io.Discard); code != exitFailed {
		t.Errorf("an answer that was not written ends with %d", code)
	}
}

func TestAServedMapShowsAnActOfTheCommand(t *testing.T) {
	path, _ := twoFiles(t)
	address := served(t, "serve", "--db", path, "--listen", "127.0.0.1:0")
	if code := run(t.Context(), []string{"vacate", "217", "--why", "sold", "--db", path}, io.Discard, io.Discard); code != exitDone {
		t.Fatal(code)
	}
	var shown office.HarborInfo
	for deadline := time.Now().Add(20 * time.Second); shown.Revision < 2 && time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		r, err := http.Get(address + "/api/harbor")
		if err != nil {
			t.Fatal(err)
		}
		err = json.NewDecoder(r.Body).Decode(&shown)
		r.Body.Close()
		if err != nil {
			t.Fatal(err)
		}
	}
	if shown.Revision != 2 {
		t.Errorf("the map is at revision %d", shown.Revision)
	}
}
