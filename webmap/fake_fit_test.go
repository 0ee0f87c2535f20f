package webmap_test

import (
	"encoding/json"
	"net/http"
	"strconv"
)

// fit answers the fit check of a boat on a mooring: she does not fit as soon as she is longer than 9 m, and mooring 2 would take her.
func (f *fake) fit(w http.ResponseWriter, r *http.Request) {
	loaM, _ := strconv.ParseFloat(r.URL.Query().Get("loa_m"), 64)
	number, long := r.PathValue("number"), loaM > 9
	verdict := func(constraint, name string, fits any, have, need float64, unit, words string) map[string]any {
		return map[string]any{"constraint": constraint, "name": name, "fits": fits, "have": have, "need": need, "spare": have - need, "most": false, "unit": unit, "words": words, "working": []any{}}
	}
	answer := map[string]any{"mooring": number, "area": "Cove", "outcome": "fits", "words": "She fits.", "largest_m": 9.0, "ways": []any{}, "swing": swingOf(f.moorings[0]),
		"verdicts": []any{verdict("shoal", "", true, 4.5, 2.1, "m", "enough water"), verdict("strength", "top_chain", true, 14000, 4200, "N", "strong enough")}}
	if long {
		answer["outcome"], answer["words"] = "fits_if", "She does not fit."
		answer["verdicts"] = append(answer["verdicts"].([]any), verdict("neighbour", "001", false, -1.5, 1, "m", "the circles overlap by 1.5 m"))
		answer["ways"] = []any{map[string]any{"kind": "other_place", "words": "the vacant mooring 2, 80 m away", "mooring": "002", "moorings": []any{map[string]any{"number": "002"}}},
			map[string]any{"kind": "swap", "words": "a swap with 001", "mooring": "001", "moorings": []any{map[string]any{"number": "001"}, map[string]any{"number": number}}}}
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(answer)
}
