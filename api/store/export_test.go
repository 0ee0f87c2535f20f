package store

import (
	"context"
	"fmt"
	"io/fs"
	"testing"
	"time"
)

// Pragma asks the writing connection for one of its settings.
func (s *Store) Pragma(t testing.TB, name string) string {
	t.Helper()
	var v string
	if err := s.write.QueryRow("PRAGMA " + name).Scan(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

// OpenWith opens a file with another set of migrations than the program's.
func OpenWith(ctx context.Context, path string, steps fs.FS) (*Store, error) {
	return openWith(ctx, path, steps)
}

// Migrations is the program's own set.
func Migrations(t testing.TB) fs.FS {
	t.Helper()
	steps, err := fs.Sub(migrations, "migrations")
	if err != nil {
		t.Fatal(err)
	}
	return steps
}

// LeaveRoom lets the file grow by so many pages and then tells SQLite that the disk is full; below 0 there is room again.
func (s *Store) LeaveRoom(t testing.TB, pages int) {
	t.Helper()
	var count int64
	if err := s.write.QueryRow("PRAGMA page_count").Scan(&count); err != nil {
		t.Fatal(err)
	}
	most := count + int64(pages)
	if pages < 0 {
		most = 1<<32 - 2 // SQLite's own limit
	}
	if err := s.write.QueryRow(fmt.Sprintf("PRAGMA max_page_count = %d", most)).Scan(&count); err != nil || count != most {
		t.Fatal(count, err)
	}
}

// Step makes a backup where one is due.
func (k *BackupSchedule) Step(ctx context.Context) time.Duration { return k.step(ctx) }
