package api_test

import (
	"net/http"
	"strings"
	"testing"
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
		"half an object":            {"retire", `{"number":"` + number + `"`, "not understood"},
		"nothing":                   {"retire", ``, "not understood"},
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
