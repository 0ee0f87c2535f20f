package tide_test

import (
	"testing"
	"time"
)

var start = time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)

func BenchmarkLevel(b *testing.B) {
	p := predictor(b, station(b, "boston"))
	for i := 0; b.Loop(); i++ {
		p.Level(start.Add(time.Duration(i) * time.Minute))
	}
}

// BenchmarkLevels is for one level of a curve of a month, every six minutes.
func BenchmarkLevels(b *testing.B) {
	p := predictor(b, station(b, "boston"))
	const n = 31 * 240
	for b.Loop() {
		p.Levels(start, 6*time.Minute, n)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/level")
}

func BenchmarkMonthOfExtremes(b *testing.B) {
	p := predictor(b, station(b, "boston"))
	for b.Loop() {
		p.Extremes(start, start.AddDate(0, 1, 0))
	}
}

// BenchmarkRange is what a harbor waits for when its design levels are held against the tide: 50 ms are promised.
func BenchmarkRange(b *testing.B) {
	p := predictor(b, station(b, "boston"))
	for b.Loop() {
		p.Range(start, 19)
	}
}
