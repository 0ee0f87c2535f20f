package webmap_test

import (
	"encoding/json"
	"net/http"
	"strconv"
)

// told is a sentence in both units, as the service tells it.
func told(feet, metres string) map[string]any { return map[string]any{"feet": feet, "metres": metres} }

// said is a sentence without figures.
func said(words string) map[string]any { return told(words, words) }

// verdictOf is what is asked of a boat, with what there is and what is needed.
func verdictOf(constraint, kind, of string, fits any, has, needs float64, unit string, words map[string]any) map[string]any {
	return map[string]any{"constraint": constraint, "kind": kind, "of": of, "fits": fits, "has": has, "needs": needs, "spare": has - needs,
		"most": false, "unit": unit, "reason": "",
		"bound": false, "at": nil, "missing": []string{}, "working": []any{}, "words": words}
}

// unsaidOf is a verdict that cannot be said for want of some fields.
func unsaidOf(constraint, kind string, words map[string]any, missing ...string) map[string]any {
	v := verdictOf(constraint, kind, "", nil, 0, 0, "", words)
	v["has"], v["needs"], v["spare"], v["missing"] = nil, nil, nil, missing
	return v
}

// fitOf is a boat that fits on a mooring.
func fitOf(number string, m map[string]any) map[string]any {
	return map[string]any{"mooring": number, "area": "Cove", "boat": map[string]any{}, "outcome": "fits",
		"words": said("This boat fits here."), "swing": swingOf(m), "verdicts": []any{
			verdictOf("shoal", "hazard", "", true, 4.5, 2.1, "m", told("deep enough: 14.8 ft of water", "deep enough: 4.5 m of water")),
			verdictOf("strength", "tackle", "top_chain", true, 14000, 4200, "N",
				told("the top chain holds 3147 lbf", "the top chain holds 14000 N"))}}
}

// fit answers the fit check of a boat on a mooring: she does not fit as soon as she is longer than 9 m, and mooring 2 would take her. Of a
// swap it is told what the other mooring keeps of its own troubles.
func (f *fake) fit(w http.ResponseWriter, r *http.Request) {
	loaM, _ := strconv.ParseFloat(r.URL.Query().Get("loa_m"), 64)
	number, long := r.PathValue("number"), loaM > 9
	answer := fitOf(number, f.moorings[0])
	answer["largest_m"], answer["remedies"] = 9.0, []any{}
	if long {
		touching := verdictOf("neighbour", "conflict", "001", false, -1.5, 1, "m",
			told("touches 001: the swing circles overlap by 4.9 ft", "touches 001: the swing circles overlap by 1.5 m"))
		touching["certainty"], touching["reason"] = "certain", "overlaps"
		unsaid := unsaidOf("anchor", "tackle", said("the anchor cannot be checked: anchor's weight is not on record"), "anchor_kg")
		answer["outcome"], answer["words"] = "fits_if", said("Touches 001.")
		answer["verdicts"] = append(answer["verdicts"].([]any), unsaid, touching)
		keeps := verdictOf("scope", "tackle", "", false, 20, 24, "m",
			told("the rode of 65.6 ft is too short", "the rode of 20 m is too short"))
		answer["remedies"] = []any{map[string]any{"id": "other_place-002-1f", "kind": "other_place",
			"words": told("the vacant mooring 002, 262 ft away", "the vacant mooring 002, 80 m away"), "mooring": "002",
			"moorings": []any{map[string]any{"number": "002"}}, "remains": []any{}},
			map[string]any{"id": "swap-001-2e", "kind": "swap", "words": said("a swap with 001"), "mooring": "001",
				"moorings": []any{map[string]any{"number": "001"}, map[string]any{"number": number}},
				"remains":  []any{map[string]any{"mooring": "001", "verdict": keeps}}}}
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(answer)
}
