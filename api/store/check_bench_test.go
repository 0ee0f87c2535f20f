package store_test

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"swingroom/api/store"
)

// tenYears makes the file of a harbor of 500 moorings in each of which six things a year have changed over ten years: 30,000 rows of
// history. They are written straight into the tables, as Save would leave them, since saving each would take minutes.
func tenYears(t testing.TB, path string) {
	t.Helper()
	const moorings, changes = 500, 60
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	h := surveyed(many(moorings), 1500)
	start := time.Date(2016, 4, 1, 8, 0, 0, 0, time.UTC)
	if _, err := s.Save(ctx, "cove", 0, h, store.Act{Who: "yard", Why: "typed in", At: start}); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	insert, err := tx.Prepare(`INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, before, after)
		SELECT harbor_id, ?, ?, ?, ?, noun, name, after, json_set(after, '$.depth_m', ?) FROM history WHERE id = ?`)
	if err != nil {
		t.Fatal(err)
	}
	last := make([]int64, moorings)
	for i := range last {
		if err := tx.QueryRow("SELECT id FROM history WHERE noun = 'mooring' AND name = ?", fmt.Sprint(i+1)).Scan(&last[i]); err != nil {
			t.Fatal(err)
		}
	}
	revision := int64(1)
	step := 10 * 365 * 24 * time.Hour / (moorings * changes)
	for turn := range changes {
		for i := range last {
			revision++
			at := start.Add(time.Duration(revision) * step)
			result, err := insert.Exec(revision, at.UnixMilli(), "harbormaster", fmt.Sprintf("sounded again in turn %d", turn+1),
				float64(turn)+0.5, last[i])
			if err != nil {
				t.Fatal(err)
			}
			if last[i], err = result.LastInsertId(); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, query := range []string{
		fmt.Sprintf("UPDATE mooring SET depth_m = %d.5", changes-1),
		"UPDATE harbor SET (revision, changed_ms) = (SELECT max(revision), max(at_ms) FROM history)",
	} {
		if _, err := tx.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
}

// BenchmarkOpenTenYears opens a file with the history of ten years, with the look for damage that every start takes. It has to stay under a
// second.
func BenchmarkOpenTenYears(b *testing.B) {
	path := filepath.Join(b.TempDir(), "h.db")
	tenYears(b, path)
	info, err := os.Stat(path)
	if err != nil {
		b.Fatal(err)
	}
	openOften(b, path)
	b.ReportMetric(float64(info.Size())/1e6, "MB/file")
}

// BenchmarkBackupTenYears copies such a file and checks the copy in full.
func BenchmarkBackupTenYears(b *testing.B) {
	dir := b.TempDir()
	path := filepath.Join(dir, "h.db")
	tenYears(b, path)
	s := open(b, path)
	b.Run("check", func(b *testing.B) {
		for b.Loop() {
			if err := s.Check(ctx); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/check")
	})
	b.Run("backup", func(b *testing.B) {
		for n := 0; b.Loop(); n++ {
			backup(b, s, filepath.Join(dir, fmt.Sprint("b", b.N, "-", n, "-", time.Now().UnixNano())))
		}
		b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "ms/backup")
	})
}
