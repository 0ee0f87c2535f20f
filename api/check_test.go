package api_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"swingroom/geo/clearance"
)

// An act tells what it has made, or only that it is done; no answer is described as null, for one that is none is an error.
func TestTheDescriptionTellsWhatActsAndQuestionsAnswer(t *testing.T) {
	var doc struct {
		Paths map[string]map[string]struct {
			Responses map[string]struct {
				Content map[string]struct {
					Schema map[string]any `json:"schema"`
				} `json:"content"`
			} `json:"responses"`
		} `json:"paths"`
	}
	if err := json.Unmarshal(body(t, get(t, service(t), "/openapi.json")), &doc); err != nil {
		t.Fatal(err)
	}
	for path, method := range map[string]string{"/api/accounts": "post", "/api/password": "post", "/api/sign-out": "post",
		"/api/searches/{search}/stop": "post"} {
		responses := doc.Paths[path][method].Responses
		if _, done := responses["204"]; !done || len(responses) != 2 { // and the problem
			t.Errorf("%s answers with %v; want 204", path, responses)
		}
	}
	for path, methods := range map[string]map[string]string{"/api/tokens": {"post": "Secret", "get": "TokenList"},
		"/api/tide": {"get": "TideTable"}, "/api/check": {"get": "Report"}, "/api/acts/assign": {"post": "Result"}} {
		for method, name := range methods {
			schema := doc.Paths[path][method].Responses["200"].Content["application/json"].Schema
			if schema["$ref"] != "#/components/schemas/"+name {
				t.Errorf("%s %s answers with %v; want %s", method, path, schema, name)
			}
		}
	}
}

func TestTheDescriptionTellsAllThatAReportHolds(t *testing.T) {
	s := service(t, demo(t))
	var doc struct {
		Components struct {
			Schemas map[string]struct {
				Properties map[string]any `json:"properties"`
				Required   []string       `json:"required"`
			} `json:"schemas"`
		} `json:"components"`
	}
	if err := json.Unmarshal(body(t, get(t, s, "/openapi.json")), &doc); err != nil {
		t.Fatal(err)
	}
	var report struct {
		Conflicts, Hazards []map[string]any
		Troubles, Unknown  []struct{ Verdict map[string]any }
	}
	if err := json.Unmarshal(body(t, get(t, s, "/api/check")), &report); err != nil {
		t.Fatal(err)
	}
	for name, told := range map[string]map[string]any{"Conflict": report.Conflicts[0], "Hazard": report.Hazards[0],
		"Verdict": report.Troubles[0].Verdict} {
		schema := doc.Components.Schemas[name]
		for field := range told {
			if schema.Properties[field] == nil {
				t.Errorf("%s: %q is not described", name, field)
			}
		}
		for _, field := range schema.Required {
			if _, is := told[field]; !is {
				t.Errorf("%s: %q is described and not told", name, field)
			}
		}
	}
}

func TestAReportOfSomeKinds(t *testing.T) {
	s := service(t, demo(t))
	ask := func(query string) (r struct {
		Conflicts, Hazards []any
		Troubles, Unknown  []struct{ Verdict struct{ Kind clearance.Kind } }
	}) {
		if err := json.Unmarshal(body(t, get(t, s, "/api/check"+query)), &r); err != nil {
			t.Fatal(query, err)
		}
		return r
	}
	all, some := ask(""), ask("?kind=hazard,limit")
	if len(all.Conflicts) == 0 || len(all.Unknown) == 0 || len(some.Conflicts)+len(some.Unknown) > 0 ||
		len(some.Hazards) != len(all.Hazards) {
		t.Errorf("%d conflicts, %d hazards, %d unsaid of %d, %d, %d", len(some.Conflicts), len(some.Hazards), len(some.Unknown),
			len(all.Conflicts), len(all.Hazards), len(all.Unknown))
	}
	limits := 0
	for _, x := range all.Troubles {
		if x.Verdict.Kind == clearance.KindLimit {
			limits++
		}
	}
	if limits == 0 || len(some.Troubles) != limits || len(some.Troubles) == len(all.Troubles) {
		t.Errorf("%d limits of %d", len(some.Troubles), limits)
	}
	if unsaid := ask("?kind=unsaid"); len(unsaid.Unknown) != len(all.Unknown) || len(unsaid.Troubles) > 0 {
		t.Errorf("%d unsaid of %d, and %d troubles", len(unsaid.Unknown), len(all.Unknown), len(unsaid.Troubles))
	}
	if r := get(t, s, "/api/check?kind=hazards"); r.StatusCode != http.StatusBadRequest {
		t.Errorf("an unknown kind: %s", r.Status)
	}
}
