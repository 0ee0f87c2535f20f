package api_test

import (
	"net/http"
	"strings"
	"testing"
	"time"
)

// Of a body every member is read as what it is: one that stands twice, is unknown or has another type is refused by name, and nothing is
// done.
func TestABodyIsTakenAsItIsMeantOrRefused(t *testing.T) {
	s, db := writing(t, demo(t))
	before, _, err := db.Revision(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	number, by := emptyMooring(t), `,"who":"harbormaster","why":"test"`
	for name, c := range map[string]struct{ act, body, want string }{
		"a name twice":            {"retire", `{"number":"001","number":"002"` + by + `}`, `"number" stands twice`},
		"a name twice, far apart": {"retire", `{"who":"a","number":"` + number + `","why":"b","who":"c"}`, `"who" stands twice`},
		"a field twice": {"edit", `{"noun":"mooring","name":"001","set":{"note":"a","note":"b"}` + by + `}`,
			`"note" stands twice`},
		"a field of a part twice": {"edit", `{"noun":"mooring","name":"001","set":{"tackle[0]":{"left":1,"left":0.5}}` + by + `}`,
			"stands twice"},
		"who as true":               {"retire", `{"number":"` + number + `","who":true,"why":"b"}`, "who=true; a text is expected"},
		"a number as a number":      {"retire", `{"number":101` + by + `}`, "number=101; a text is expected"},
		"in capitals":               {"retire", `{"NUMBER":"` + number + `"` + by + `}`, `there is no "NUMBER" here`},
		"unknown":                   {"retire", `{"number":"` + number + `","force":true` + by + `}`, `there is no "force" here`},
		"a flag as a word":          {"assign", `{"number":"001","replace":"perhaps"` + by + `}`, "true or false is expected"},
		"a length as a list":        {"assign", `{"number":"001","loa_m":[8]` + by + `}`, "metres are expected, such as 8.5"},
		"a length beyond numbers":   {"assign", `{"number":"001","loa_m":1e999` + by + `}`, "metres are expected"},
		"a revision with a half":    {"retire", `{"number":"` + number + `","revision":1.5` + by + `}`, "a whole number is expected"},
		"a revision below zero":     {"retire", `{"number":"` + number + `","revision":-3` + by + `}`, "a number is expected"},
		"fields as a text":          {"edit", `{"noun":"mooring","name":"001","set":"note"` + by + `}`, "an object is expected"},
		"a list":                    {"retire", `[]`, "an object is expected"},
		"two objects":               {"retire", `{"number":"` + number + `"` + by + `}{}`, "more than one object"},
		"half an object":            {"retire", `{"number":"` + number + `"`, "unexpected EOF"},
		"nothing":                   {"retire", ``, "unexpected EOF"},
		"a ring as a list of lists": {"ring", `{"ring":[["001","002"]]` + by + `}`, "a text is expected"},
	} {
		w := post(s, "/api/acts/"+c.act, c.body)
		if w.Code != http.StatusBadRequest || !strings.Contains(problem(t, w.Body.String()).Detail, c.want) {
			t.Errorf("%s: %d %s; want %q", name, w.Code, w.Body, c.want)
		}
	}
	if after, _, err := db.Revision(t.Context(), ""); err != nil || after != before {
		t.Errorf("something was done: %v, %v", after, err)
	}
	if w := post(s, "/api/acts/retire", `{"number":"`+number+`","despite":null,"revision":""`+by+`}`); w.Code != http.StatusOK {
		t.Errorf("null and an empty text are not said: %d %s", w.Code, w.Body)
	}
}

// What else is wrong with an act is told before that nothing was looked at (RFC 9110, section 13.2.1).
func TestAnActThatCannotBeIsRefusedWithoutIfMatchAsWithIt(t *testing.T) {
	s, _ := writing(t, demo(t))
	number, by := emptyMooring(t), `,"who":"harbormaster","why":"test"`
	now := "tarrowick-harbor@" + time.Now().Format(time.DateOnly)
	for name, c := range map[string]struct {
		path, body string
		status     int
	}{
		"nobody":                {"/api/acts/retire", `{"number":"` + number + `"}`, http.StatusBadRequest},
		"no position":           {"/api/acts/anchor", `{"number":"` + number + `"` + by + `}`, http.StatusBadRequest},
		"no such noun":          {"/api/acts/edit", `{"noun":"boat","name":"x","set":{"note":"x"}` + by + `}`, http.StatusNotFound},
		"a harbor as it stood":  {"/api/harbors/" + now + "/acts/retire", `{"number":"` + number + `"` + by + `}`, http.StatusForbidden},
		"nothing else is wrong": {"/api/acts/retire", `{"number":"` + number + `"` + by + `}`, http.StatusPreconditionRequired},
	} {
		if w := post(s, c.path, c.body, "If-Match", ""); w.Code != c.status {
			t.Errorf("%s: %d %s; want %d", name, w.Code, w.Body, c.status)
		}
	}
}

// Who has left a number out of a list of moorings is told, and nothing is done without it.
func TestAListOfMooringsWithAGapIsRefused(t *testing.T) {
	s, db := writing(t, demo(t))
	if w := post(s, "/api/acts/ring", `{"ring":"001,,002","despite":"test","who":"harbormaster","why":"test"}`); w.Code != 404 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	room := "/api/spot?area=Town%20Cove&loa_m=6&draft_m=1&rode_m=10&position=44.2,-41.5&without="
	for without, status := range map[string]int{"001,002": 200, "001,": 404, ",": 404, "": 200} {
		if r := get(t, s, room+without); r.StatusCode != status {
			t.Errorf("without=%q: %s %s; want %d", without, r.Status, body(t, r), status)
		}
	}
	if _, info, err := db.Harbor(t.Context(), ""); err != nil || info.Revision != 1 {
		t.Errorf("something was done: %v, %v", info.Revision, err)
	}
}

func TestAQueryThatIsNotInUTF8IsRefused(t *testing.T) {
	s, _ := writing(t, demo(t))
	r := get(t, s, "/api/places?loa_m=6&boat_kind=%ff%fe")
	if text := string(body(t, r)); r.StatusCode != http.StatusBadRequest || !strings.Contains(text, "boat_kind is not in UTF-8") {
		t.Errorf("%s %s", r.Status, text)
	}
}

// emptyMooring is the number of a mooring of the demo on which no boat lies.
func emptyMooring(t testing.TB) string {
	t.Helper()
	h := demo(t)
	for i := range h.Moorings {
		if h.Moorings[i].Boat == nil {
			return h.Moorings[i].Number
		}
	}
	t.Fatal("there is none")
	return ""
}
