package clearance_test

import (
	"testing"

	"swingroom/api/exchange"
	"swingroom/fixtures"
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
