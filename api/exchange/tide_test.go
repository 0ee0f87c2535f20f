package exchange_test

import (
	"strings"
	"testing"

	"swingroom/geo"
)

func TestTideIsReadInItsUnits(t *testing.T) {
	h := good(t, nil, map[string]string{"moorings.csv": "number,lat,lon\n1,44.2,-41.5\n",
		"tide.json": `{"station":"Landing","source":"invented","mean_level_ft":5,
		"constituents":[{"name":"m2","amplitude_ft":4,"phase_deg":104},{"name":"S2","amplitude_m":0.2,"phase_deg":"140"}]}`})
	if h.Tide == nil || h.Tide.Station != "Landing" || h.Tide.MeanLevel != geo.Feet(5) || len(h.Tide.Constituents) != 2 ||
		h.Tide.Constituents[0] != (geo.Constituent{Name: "M2", Amplitude: geo.Feet(4), PhaseDeg: 104}) ||
		h.Tide.Constituents[1] != (geo.Constituent{Name: "S2", Amplitude: 0.2, PhaseDeg: 140}) {
		t.Errorf("%+v", h.Tide)
	}
	again := good(t, h, map[string]string{"moorings.csv": "number,lat,lon\n1,44.2,-41.5\n"})
	if again.Tide == nil {
		t.Error("a folder without tide.json has taken the constants away")
	}
}

func TestBadTidesAreRefusedByName(t *testing.T) {
	for _, tc := range []struct{ text, says string }{
		{`[]`, "no JSON object"},
		{`{"mean_level_m":1,"constituents":3}`, "a list of"},
		{`{"constituents":[{"name":"M2","amplitude_m":1,"phase_deg":10}]}`, "mean_level_m"},
		{`{"mean_level_m":1,"constituents":[{"name":"M2","amplitude":1,"phase_deg":10}]}`, "amplitude_m"},
		{`{"mean_level_m":1,"constituents":[{"name":"Q9","amplitude_m":1,"phase_deg":10}]}`, "Q9"},
		{`{"mean_level_m":1,"constituents":[]}`, "at least one"},
		{`{"mean_level_m":1,"constituents":[{"name":"M2","amplitude_m":-1,"phase_deg":10}]}`, "M2 amplitude_m"},
	} {
		in := read(t, nil, map[string]string{"moorings.csv": "number,lat,lon\n1,44.2,-41.5\n", "tide.json": tc.text})
		told := ""
		for _, p := range in.Problems {
			told += p.String() + "\n"
		}
		if !strings.Contains(told, tc.says) || !strings.Contains(told, "tide.json") {
			t.Errorf("%s: %q", tc.text, told)
		}
	}
}
