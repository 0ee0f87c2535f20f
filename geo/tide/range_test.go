package tide_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/tide"
)

// farthest are the lowest low and the highest high water of a walk through all of them.
func farthest(p *tide.Predictor, from, to time.Time) (lowest, highest tide.Extreme, low, high bool) {
	for _, e := range p.Extremes(from, to) {
		switch {
		case e.High && (!high || e.Level > highest.Level):
			highest, high = e, true
		case !e.High && (!low || e.Level < lowest.Level):
			lowest, low = e, true
		}
	}
	return lowest, highest, low, high
}

func TestRangeIsThatOfAllWatersOfStations(t *testing.T) {
	if testing.Short() {
		t.Skip("all waters of 19 years, six times; the same of any tide over a year or two is in the short run too")
	}
	est := time.FixedZone("EST", -5*3600)
	for _, name := range []string{"boston", "southwest_harbor"} {
		p := predictor(t, station(t, name))
		for _, from := range []time.Time{
			time.Date(1983, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2007, 7, 13, 17, 31, 8, 0, est), time.Date(2026, 1, 1, 0, 0, 0, 0, est),
		} {
			wantLow, wantHigh, _, _ := farthest(p, from, from.AddDate(19, 0, 0))
			if low, high := p.Range(from, 19); low != wantLow || high != wantHigh {
				t.Errorf("%s, 19 years from %v: %v to %v, want %v to %v", name, from, low, high, wantLow, wantHigh)
			}
		}
	}
}

func TestRangeIsThatOfAllWatersOfAnyTide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, from, years := drawn(t, anyTide(t)), anyTime(t), rapid.IntRange(1, 2).Draw(t, "years")
		low, high := p.Range(from, years)
		wantLow, wantHigh, isLow, isHigh := farthest(p, from, from.AddDate(years, 0, 0))
		if isLow && low != wantLow || isHigh && high != wantHigh {
			t.Fatalf("%d years from %v: %v to %v, want %v to %v", years, from, low, high, wantLow, wantHigh)
		}
	})
}

// TestRangeOfNineteenYearsAgainstPublishedTides takes the years 1983 to 2001, the epoch of the stations' datums. Source: NOAA's datums of
// stations 8443970 and 8413564 (LAT and HAT, less MLLW, metres), by way of the openwatersio tide database, from which the constants are
// too.
func TestRangeOfNineteenYearsAgainstPublishedTides(t *testing.T) {
	for name, want := range map[string]struct{ latM, hatM float64 }{
		"boston":           {0.42764 - 1.07400, 4.83064 - 1.07400},
		"southwest_harbor": {0.385 - 1.058, 5.231 - 1.058},
	} {
		low, high := predictor(t, station(t, name)).Range(time.Date(1983, 1, 1, 0, 0, 0, 0, time.UTC), 19)
		offLow, offHigh := float64(low.Level)-want.latM, float64(high.Level)-want.hatM
		t.Logf("%s: lowest %.3f m (%+.3f), highest %.3f m (%+.3f)", name, float64(low.Level), offLow, float64(high.Level), offHigh)
		// 2 cm: up to 37 constants are rounded to 1 mm and 0.1 degrees, and tables take f and u for the middle of a year, where here each
		// day has its own.
		if math.Abs(offLow) > 0.02 || math.Abs(offHigh) > 0.02 {
			t.Errorf("%s: lowest %v, published %.3f m; highest %v, published %.3f m", name, low, want.latM, high, want.hatM)
		}
	}
}

func TestRangeWhereTheWaterDoesNotTurn(t *testing.T) {
	still := predictor(t, geo.Tide{MeanLevel: 1.5, Constituents: []geo.Constituent{{Name: "M2"}}})
	if low, high := still.Range(start, 19); low.Level != 1.5 || high.Level != 1.5 || !low.At.Equal(start) || low.High || !high.High {
		t.Errorf("%v to %v", low, high)
	}
	boston := predictor(t, station(t, "boston"))
	for _, years := range []int{0, -3} {
		if low, high := boston.Range(start, years); low.Level != boston.Level(start) || high.Level != low.Level {
			t.Errorf("%d years: %v to %v", years, low, high)
		}
	}
}

// How low and how high does the tide go in the 19 years from 2026 on? The constants are invented.
func ExamplePredictor_Range() {
	p, err := tide.New(geo.Tide{Station: "Invented Cove", Source: "invented", MeanLevel: 1.6, Constituents: []geo.Constituent{
		{Name: "M2", Amplitude: 1.4, PhaseDeg: 100}, {Name: "S2", Amplitude: 0.2, PhaseDeg: 140},
		{Name: "K1", Amplitude: 0.15, PhaseDeg: 200},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	lowest, highest := p.Range(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), 19)
	fmt.Printf("%.2f m on %s\n", float64(lowest.Level), lowest.At.Format(time.DateOnly))
	fmt.Printf("%.2f m on %s\n", float64(highest.Level), highest.At.Format(time.DateOnly))
	// Output:
	// -0.18 m on 2034-08-01
	// 3.38 m on 2034-05-05
}
