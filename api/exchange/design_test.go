package exchange_test

import (
	"fmt"
	"strings"
	"testing"

	"swingroom/api/exchange"
	"swingroom/geo"
)

func told(in *exchange.Import) string {
	var b strings.Builder
	for _, p := range in.Problems {
		fmt.Fprintln(&b, p)
	}
	return b.String()
}

func TestDesignWeatherIsReadInItsUnits(t *testing.T) {
	h := good(t, nil, map[string]string{
		"harbor.json":   `{"name":"T","defaults":{"rule":"catenary","design_wind_kn":42,"gust":"1.25","scatter_deg":15}}`,
		"areas.geojson": fmt.Sprintf(square, `{"name":"A","design_wind_ms":20,"stream_kn":1.2,"stream_deg":-20,"calm_off":true}`, box),
	})
	byDefault := geo.Design{Wind: geo.Known(geo.Knots(42)), GustRatio: geo.Known(1.25), ScatterDeg: geo.Known(15.0)}
	if d := h.Defaults.Rules; d.Swing.Kind != geo.Catenary || d.Design != byDefault {
		t.Errorf("defaults %+v", d)
	}
	own := byDefault // an area begins with the harbor's defaults
	own.Wind, own.Stream, own.StreamDeg = geo.Known(geo.MetresPerSecond(20)), geo.Known(geo.Knots(1.2)), geo.Known(-20.0)
	own.CalmOff = true
	if a := h.Areas[0].Rules; a.Swing.Kind != geo.Catenary || a.Design != own {
		t.Errorf("area %+v, want %+v", a, own)
	}
	// Another import changes what it says and nothing else; a stream of 0 is on record, which is not the same as none.
	h = good(t, h, map[string]string{
		"harbor.json":   `{"defaults":{"gust":1.4}}`,
		"areas.geojson": fmt.Sprintf(square, `{"name":"A","stream_ms":0}`, box),
	})
	byDefault.GustRatio, own.Stream = geo.Known(1.4), geo.Known(geo.MetresPerSecond(0))
	if h.Defaults.Rules.Design != byDefault || h.Areas[0].Rules.Design != own {
		t.Errorf("again: defaults %+v, area %+v", h.Defaults.Rules.Design, h.Areas[0].Rules.Design)
	}
}

func TestBadDesignWeatherIsRefusedByName(t *testing.T) {
	for _, tc := range []struct{ props, says string }{
		{`"design_wind":42`, "design_wind: it has to say its unit: design_wind_ms or design_wind_kn"},
		{`"stream":1,"stream_deg":20`, "stream: it has to say its unit: stream_ms or stream_kn"},
		{`"design_wind_kn":"a gale"`, `design_wind_kn: "\"a gale\"": a number is expected`},
		{`"design_wind_ms":100`, `design_wind_kn: "194.4 kn"`},
		{`"design_wind_kn":-1`, "between 0 and 150 kn"},
		{`"gust":0.9`, `gust: "0.9": it has to lie between 1 and 3`},
		{`"scatter_deg":91`, "scatter_deg"},
		{`"stream_kn":1`, "stream_deg: a stream needs the direction"},
		{`"stream_deg":361`, "stream_deg"},
		{`"calm_off":"at times"`, "calm_off: \"\\\"at times\\\"\": true or false is expected"},
	} {
		for file, files := range map[string]map[string]string{
			"harbor.json, ":   {"harbor.json": `{"name":"T","defaults":{` + tc.props + `}}`},
			"areas.geojson, ": {"areas.geojson": fmt.Sprintf(square, `{"name":"A",`+tc.props+`}`, box)},
		} {
			if got := told(read(t, nil, files)); !strings.HasPrefix(got, file) || !strings.Contains(got, tc.says) ||
				strings.Count(got, "\n") != 1 {
				t.Errorf("%s%s: %q, want %q and no more", file, tc.props, got, tc.says)
			}
		}
	}
}
