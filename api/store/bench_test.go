package store_test

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swingroom/api/store"
	"swingroom/geo"
)

// surveyed lays n soundings on a grid of about a metre, depths in whole centimetres as a survey gives them.
func surveyed(h *geo.Harbor, n int) *geo.Harbor {
	side := int(math.Ceil(math.Sqrt(float64(n))))
	flat := make([]float64, 0, 3*n)
	for i := range n {
		east, north := i%side, i/side
		depthM := 5 + 3*math.Sin(float64(east)/77)*math.Cos(float64(north)/131)
		flat = append(flat, -41.5+float64(east)*1.25e-5, 44.2+float64(north)*0.9e-5, math.Round(depthM*100)/100)
	}
	h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
	return h
}

// BenchmarkSave writes a harbor that is new: its moorings, its soundings and a row of history for each.
func BenchmarkSave(b *testing.B) {
	for _, size := range []struct{ moorings, soundings int }{{500, 1500}, {5000, 1500}, {500, 1_000_000}} {
		b.Run(fmt.Sprintf("%d moorings %d soundings", size.moorings, size.soundings), func(b *testing.B) {
			h := surveyed(many(size.moorings), size.soundings)
			dir := b.TempDir()
			for n := 0; b.Loop(); n++ {
				b.StopTimer() // a file of its own each time: soundings on file already would not be written again
				s := open(b, filepath.Join(dir, fmt.Sprint(n, ".db")))
				b.StartTimer()
				save(b, s, 0, h)
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/save")
		})
	}
}

// BenchmarkSaveOneChange moves one mooring of a harbor that is on file.
func BenchmarkSaveOneChange(b *testing.B) {
	for _, soundings := range []int{1500, 1_000_000} {
		b.Run(fmt.Sprintf("500 moorings %d soundings", soundings), func(b *testing.B) {
			h := surveyed(many(500), soundings)
			s := open(b, filepath.Join(b.TempDir(), "h.db"))
			revision := save(b, s, 0, h).Revision
			for b.Loop() {
				h.Moorings[7].Depth = known(float64(1 + revision%100))
				revision = save(b, s, revision, h).Revision
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/save")
		})
	}
}

func BenchmarkRead(b *testing.B) {
	for _, size := range []struct{ moorings, soundings int }{{500, 1500}, {5000, 1500}, {500, 1_000_000}} {
		b.Run(fmt.Sprintf("%d moorings %d soundings", size.moorings, size.soundings), func(b *testing.B) {
			s := open(b, filepath.Join(b.TempDir(), "h.db"))
			save(b, s, 0, surveyed(many(size.moorings), size.soundings))
			for b.Loop() {
				if _, _, err := s.Harbor(ctx, "cove"); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/read")
		})
	}
}

// BenchmarkOpen opens a file that is there and up to date.
func BenchmarkOpen(b *testing.B) {
	path := filepath.Join(b.TempDir(), "h.db")
	s, err := store.Open(ctx, path)
	if err != nil {
		b.Fatal(err)
	}
	save(b, s, 0, surveyed(many(500), 1500))
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	openOften(b, path)
}

// BenchmarkPast reads out of a long history: 500 moorings, each changed 50 times.
func BenchmarkPast(b *testing.B) {
	s := open(b, filepath.Join(b.TempDir(), "h.db"))
	h := many(500)
	revision := save(b, s, 0, h).Revision
	for turn := range 50 {
		for i := range h.Moorings {
			h.Moorings[i].Depth = known(float64(turn) + 0.5)
		}
		revision = save(b, s, revision, h).Revision
	}
	_, info, err := s.Harbor(ctx, "cove")
	if err != nil {
		b.Fatal(err)
	}
	b.Run("as of", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.HarborAsOf(ctx, "cove", info.Changed); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/read")
	})
	b.Run("history of one mooring", func(b *testing.B) {
		for b.Loop() {
			if rows, err := s.History(ctx, "cove", store.NounMooring, "7"); err != nil || len(rows) != 51 {
				b.Fatal(len(rows), err)
			}
		}
		b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/read")
	})
}

// openOften opens a file and closes it again, and reports what that takes.
func openOften(b *testing.B, path string) {
	b.Helper()
	for b.Loop() {
		s, err := store.Open(ctx, path)
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/open")
}
