package api_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"swingroom/api/office"
)

func TestTheServicePredictsTheTide(t *testing.T) {
	s := service(t, demo(t))
	var got office.TideTable
	if err := json.Unmarshal(body(t, get(t, s, "/api/tide?from=2026-07-01T04:00Z&hours=25")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Levels) != 25*6+1 || len(got.Extremes) != 4 || got.Level != got.Levels[0] || !strings.Contains(got.Caution, "weather") {
		t.Fatalf("%d levels, %d high and low waters: %+v", len(got.Levels), len(got.Extremes), got)
	}
	for _, e := range got.Extremes {
		// The curve is nowhere higher than its high waters or lower than its low ones by more than the tide between them.
		i := int(math.Round(e.At.Sub(got.From).Minutes() / float64(got.StepMinutes)))
		if math.Abs(float64(got.Levels[i]-e.Level)) > 0.01 {
			t.Errorf("the curve stands at %.3f m beside a water of %.3f m", float64(got.Levels[i]), float64(e.Level))
		}
	}
	for query, status := range map[string]int{"from=tomorrow": 400, "hours=0": 400, "hours=745": 400, "day=1": 400,
		"from=2026-07-01&hours=744": 200, "": 200} {
		if r := get(t, s, "/api/tide?"+query); r.StatusCode != status {
			t.Errorf("%s: %d %s", query, r.StatusCode, body(t, r))
		}
	}
	h := demo(t)
	h.Tide = nil
	if r := get(t, service(t, h), "/api/tide"); r.StatusCode != 404 || !strings.Contains(string(body(t, r)), "tide.json") {
		t.Errorf("without constants: %d", r.StatusCode)
	}
}
