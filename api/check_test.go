package api_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"swingroom/geo/clearance"
)

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
