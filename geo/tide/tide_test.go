package tide_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/tide"
)

// station reads harmonic constants from testdata/tide.
func station(t testing.TB, name string) geo.Tide {
	t.Helper()
	constants := geo.Tide{Station: name, Source: "NOAA"}
	for _, row := range outside.Table(t, "../../testdata/tide/"+name+".csv") {
		v := []float64{outside.Figure(t, row[1]), outside.Figure(t, row[2])}
		if row[0] == "Z0" {
			constants.MeanLevel = geo.Metres(v[0])
			continue
		}
		constants.Constituents = append(constants.Constituents, geo.Constituent{Name: row[0], Amplitude: geo.Metres(v[0]), PhaseDeg: v[1]})
	}
	return constants
}

func predictor(t testing.TB, constants geo.Tide) *tide.Predictor {
	t.Helper()
	p, err := tide.New(constants)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// alone is the tide of one constituent of 1 m.
func alone(name string, phaseDeg float64) geo.Tide {
	return geo.Tide{Station: name, Constituents: []geo.Constituent{{Name: name, Amplitude: 1, PhaseDeg: phaseDeg}}}
}

func TestAllOfNOAAsConstituentsAreKnown(t *testing.T) {
	at := time.Date(2025, 1, 15, 7, 0, 0, 0, time.UTC)
	for _, name := range geo.ConstituentNames() {
		// A constituent of 1 m swings by f, which SP98 table 14 has between 0.4 (OO1) and 2.3 (M1) for all 37.
		least, most := geo.Metres(0), geo.Metres(0)
		for _, level := range predictor(t, alone(name, 0)).Levels(at, time.Hour, 366*24) {
			least, most = min(least, level), max(most, level)
		}
		if most < 0.4 || most > 2.3 || least > -0.4 || least < -2.3 {
			t.Errorf("%s swings from %.2f to %.2f m in a year", name, least, most)
		}
	}
}

func TestPublishedTables(t *testing.T) {
	est := time.FixedZone("EST", -5*3600)
	const table, oracle = "tide table of Boston in a printed course, EST, feet",
		"general-purpose predictor, noted 2026, IHO node corrections"
	for _, span := range []struct {
		name, source string
		day          time.Time
		levelTol     geo.Metres
		timeTol      time.Duration
		want         []tide.Extreme
	}{
		{
			// The table's constants are those of its time, ours of the epoch 1983-2001.
			name: "Boston 2004-04-19", source: table, day: time.Date(2004, 4, 19, 0, 0, 0, 0, est),
			levelTol: geo.Feet(0.25), timeTol: 3 * time.Minute,
			want: []tide.Extreme{
				{At: time.Date(2004, 4, 19, 4, 56, 0, 0, est), Level: geo.Feet(-0.1)},
				{At: time.Date(2004, 4, 19, 11, 11, 0, 0, est), Level: geo.Feet(10.0), High: true},
				{At: time.Date(2004, 4, 19, 17, 10, 0, 0, est), Level: geo.Feet(0.5)},
				{At: time.Date(2004, 4, 19, 23, 22, 0, 0, est), Level: geo.Feet(10.4), High: true},
			},
		},
		{
			// Noted to the minute; M1 and M3 have other conventions there (see the comparison's test): 2 cm.
			name: "Boston 2025-01-15", source: oracle, day: time.Date(2025, 1, 15, 0, 0, 0, 0, time.UTC),
			levelTol: 0.02, timeTol: 2 * time.Minute,
			want: []tide.Extreme{
				{At: time.Date(2025, 1, 15, 4, 52, 0, 0, time.UTC), Level: 2.800, High: true},
				{At: time.Date(2025, 1, 15, 10, 43, 0, 0, time.UTC), Level: 0.117},
				{At: time.Date(2025, 1, 15, 16, 57, 0, 0, time.UTC), Level: 3.227, High: true},
				{At: time.Date(2025, 1, 15, 23, 22, 0, 0, time.UTC), Level: -0.179},
			},
		},
	} {
		got := predictor(t, station(t, "boston")).Extremes(span.day, span.day.AddDate(0, 0, 1))
		if len(got) != len(span.want) {
			t.Errorf("%s (%s): got %v", span.name, span.source, got)
			continue
		}
		for i, want := range span.want {
			offM, off := float64(got[i].Level-want.Level), got[i].At.Sub(want.At)
			t.Logf("%s: %s off by %.3f m, %v", span.name, want.At.Format(time.Kitchen), offM, off)
			if got[i].High != want.High || math.Abs(offM) > float64(span.levelTol) || off.Abs() > span.timeTol {
				t.Errorf("%s (%s): got %v, want %v", span.name, span.source, got[i], want)
			}
		}
	}
}

func TestBadConstantsAreRefused(t *testing.T) {
	for name, constants := range map[string]geo.Tide{
		"no constituent":         {Station: "nowhere"},
		"an unknown constituent": alone("M7", 0),
		"one twice":              {Constituents: append(alone("M2", 0).Constituents, alone("M2", 9).Constituents...)},
		"an amplitude below 0":   {Constituents: []geo.Constituent{{Name: "M2", Amplitude: -1}}},
		"a phase that is none":   alone("M2", math.NaN()),
	} {
		if p, err := tide.New(constants); !errors.Is(err, geo.ErrInvalid) || p != nil {
			t.Errorf("%s: got %v, %v", name, p, err)
		}
	}
}

func TestNothingMoves(t *testing.T) {
	at := time.Date(2025, 1, 15, 0, 0, 0, 0, time.UTC)
	still := predictor(t, geo.Tide{MeanLevel: 1.5, Constituents: []geo.Constituent{{Name: "M2"}}})
	if got := still.Level(at); got != 1.5 {
		t.Errorf("level %v, want the mean level", got)
	}
	if got := still.Extremes(at, at.AddDate(1, 0, 0)); len(got) != 0 {
		t.Errorf("water that stands still has extremes: %v", got)
	}
	boston := predictor(t, station(t, "boston"))
	if got := boston.Extremes(at, at); len(got) != 0 {
		t.Errorf("no time, but %v", got)
	}
	if got := boston.Levels(at, time.Hour, -1); len(got) != 0 {
		t.Errorf("less than no levels, but %v", got)
	}
}
