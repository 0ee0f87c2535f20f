package clearance_test

import (
	"fmt"
	"slices"
	"testing"

	"swingroom/api/exchange"
	"swingroom/fixtures"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// BenchmarkReport measures all conflicts and hazards of the demo harbor. The field is worked out anew for each run, and only
// the report is timed.
func BenchmarkReport(b *testing.B) {
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		b.StopTimer()
		field, err := clearance.NewField(in.Harbor)
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		field.Report()
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/report")
}

// demo is the demo harbor's field.
func demo(b *testing.B) *clearance.Field {
	b.Helper()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		b.Fatal(err)
	}
	f, err := clearance.NewField(in.Harbor)
	if err != nil {
		b.Fatal(err)
	}
	return f
}

// BenchmarkWeather lays the whole demo field to one weather, with its gaps under the margin.
func BenchmarkWeather(b *testing.B) {
	f := demo(b)
	n := 0
	for b.Loop() {
		n++
		if _, err := f.Weather(geo.Weather{WindFromDeg: float64(n * 7 % 360), Wind: geo.Knots(float64(5 + n%30)), GustRatio: 1.3,
			Stream: geo.Knots(1), Level: 0.5}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/state")
}

// BenchmarkUnison judges the demo harbor with all its areas in unison: every pair whose circles meet, over all weathers of the design. The
// field is worked out anew for each run, and only the report is timed.
func BenchmarkUnison(b *testing.B) {
	for _, streamKn := range []float64{0, 1.2} {
		b.Run(fmt.Sprintf("stream_%g_kn", streamKn), func(b *testing.B) {
			h := *demo(b).Harbor()
			h.Areas = slices.Clone(h.Areas)
			for i := range h.Areas {
				d := geo.Design{}
				if streamKn > 0 {
					d.Stream, d.StreamDeg = geo.Known(geo.Knots(streamKn)), geo.Known(20.0)
				}
				h.Areas[i].Rules.Lying, h.Areas[i].Rules.Design = geo.InUnison, d
				// Wide circles, so that every mooring has its neighbours to be judged with.
				h.Areas[i].Rules.Swing = geo.SwingRule{Kind: geo.Stretched}
				h.Areas[i].Rules.Margin = 10
			}
			h.Moorings = slices.Clone(h.Moorings)
			for i := range h.Moorings {
				h.Moorings[i].StatedRadius = geo.Maybe[geo.Metres]{}
			}
			pairs := 0
			for b.Loop() {
				b.StopTimer()
				f, err := clearance.NewField(&h)
				if err != nil {
					b.Fatal(err)
				}
				pairs = 0
				for i := range h.Moorings {
					for _, n := range f.Nearest(h.Moorings[i].Position, 13) {
						if r, o := f.Swing(i).Radius.Or(0), f.Swing(n.Index).Radius.Or(0); n.Index > i && r > 0 && o > 0 &&
							n.Distance < r+o+10 {
							pairs++
						}
					}
				}
				b.StartTimer()
				f.Report()
			}
			b.ReportMetric(float64(pairs), "pairs")
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/sweep")
		})
	}
}
