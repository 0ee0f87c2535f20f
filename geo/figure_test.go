package geo_test

import (
	"errors"
	"fmt"
	"testing"

	"swingroom/geo"
)

func TestFigureInTheReadersUnits(t *testing.T) {
	for _, tc := range []struct {
		v            float64
		unit         string
		feet, metres string
	}{
		{3.048, "m", "10 ft", "3 m"},
		{0.3048, "m", "1 ft", "0.3 m"},
		{0.1, "m", "0.33 ft", "0.1 m"},
		{-0.001, "m", "0 ft", "0 m"},
		{100, "m", "328 ft", "100 m"},
		{9.29030400, "m²", "100 ft²", "9 m²"},
		{4448.2216152605, "N", "1000 lbf", "4448 N"},
		{453.59237, "kg", "1000 lb", "454 kg"},
		{25.4, "mm", "1 in", "25.4 mm"},
		{12.4, "deg", "12°", "12°"},
		{0.8125, "", "0.812", "0.812"},
		{2.5, "kn", "2.5 kn", "2.5 kn"},
	} {
		if got := geo.Figure(tc.v, tc.unit, geo.UnitsFeet); got != tc.feet {
			t.Errorf("%g %s in feet: %q, want %q", tc.v, tc.unit, got, tc.feet)
		}
		if got := geo.Figure(tc.v, tc.unit, geo.UnitsMetres); got != tc.metres {
			t.Errorf("%g %s in metres: %q, want %q", tc.v, tc.unit, got, tc.metres)
		}
	}
}

func TestTellLeavesNamesAlone(t *testing.T) {
	got := geo.Tell("%s keeps %s of chain at %.1f kn", "International 8 m", geo.Metres(3.048), 2.0)
	want := geo.Words{Feet: "International 8 m keeps 10 ft of chain at 2.0 kn", Metres: "International 8 m keeps 3 m of chain at 2.0 kn"}
	if got != want {
		t.Errorf("told %+v, want %+v", got, want)
	}
}

func TestErrorsTellTheirFigures(t *testing.T) {
	short := &geo.Told{Kind: geo.ErrShortRode, Words: geo.Tell("%s of line", geo.Metres(3.048))}
	limit := geo.Boat{LOA: geo.Known(geo.Metres(3048))}.Validate("International 8 m")
	for _, tc := range []struct {
		name         string
		err          error
		feet, metres string
	}{
		{"one that is wrapped", fmt.Errorf("mooring 8 m: %w", short), "mooring 8 m: 10 ft of line", "mooring 8 m: 3 m of line"},
		{"two that are joined", errors.Join(errors.New("first"), short), "first\n10 ft of line", "first\n3 m of line"},
		{"a field out of its range", limit, "boat International 8 m: loa_m is 10000 ft; it has to lie between 1.6 and 492 ft",
			"boat International 8 m: loa_m is 3048 m; it has to lie between 0.5 and 150 m"},
		{"one without figures", errors.New("a depth of 3 m"), "a depth of 3 m", "a depth of 3 m"},
	} {
		if got := geo.ErrorWords(tc.err); got.Feet != tc.feet || got.Metres != tc.metres {
			t.Errorf("%s: told %+v", tc.name, got)
		}
	}
	if !errors.Is(short, geo.ErrShortRode) {
		t.Error("the kind is lost")
	}
}
