package geo_test

import (
	"testing"

	"swingroom/geo"
)

func TestNextNumberGoesOnAsTheAreaIsNumbered(t *testing.T) {
	h := geo.Harbor{}
	for _, m := range [][2]string{{"001", "Cove"}, {"007", "Cove"}, {"guest", "Cove"}, {"B12", "Bight"}, {"B9", "Bight"}, {"B10", "Bight"},
		{"008", "Bight"}, {"visitor", "Creek"}} {
		h.Moorings = append(h.Moorings, geo.Mooring{Number: m[0], Area: m[1]})
	}
	for area, want := range map[string]string{"Cove": "009", "Bight": "B13", "Creek": "009", "": "009"} {
		if got := h.NextNumber(area); got != want {
			t.Errorf("%s: %s, want %s", area, got, want)
		}
	}
	if got := (&geo.Harbor{}).NextNumber("Cove"); got != "1" {
		t.Errorf("an empty harbor begins at %s", got)
	}
}
