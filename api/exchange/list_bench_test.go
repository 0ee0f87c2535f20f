package exchange_test

import (
	"io"
	"testing"

	"swingroom/api/exchange"
	"swingroom/fixtures"
	"swingroom/geo"
)

// BenchmarkListsOfFiveThousandMoorings writes the list of a large field, and reads it over itself.
func BenchmarkListsOfFiveThousandMoorings(b *testing.B) {
	h := fixtures.Large(5000, 1)
	for _, format := range exchange.Formats() {
		b.Run("write "+string(format), func(b *testing.B) {
			for b.Loop() {
				if err := exchange.Write(io.Discard, "moorings", h, geo.UnitsFeet, format); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("read "+string(format), func(b *testing.B) {
			files := folder(map[string]string{"moorings." +
				string(format): listFolder(b, h, geo.UnitsFeet, format)["moorings."+string(format)]})
			for b.Loop() {
				if in, err := exchange.ReadFolder(files, exchange.Options{Base: h}); err != nil || len(in.Problems) > 0 {
					b.Fatal(err, in.Problems)
				}
			}
		})
	}
}
