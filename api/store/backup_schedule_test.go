package store_test

import (
	"context"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"swingroom/api/store"
)

// scheduled are the backups of a small harbor whose clock the test sets.
func scheduled(t *testing.T, clock *time.Time) (*store.BackupSchedule, *strings.Builder) {
	t.Helper()
	s := open(t, filepath.Join(t.TempDir(), "north-cove.db"))
	save(t, s, 0, pictured(t, s.Path()))
	s.SetClock(func() time.Time { return *clock })
	var log strings.Builder
	return &store.BackupSchedule{Store: s, Folder: filepath.Join(t.TempDir(), "backups"), Every: 24 * time.Hour, Keep: 3,
		Log: slog.New(slog.NewTextHandler(&log, nil))}, &log
}

func TestABackupIsMadeAtEachIntervalAndTheOldestGo(t *testing.T) {
	now := time.Date(2026, 11, 26, 10, 15, 0, 0, time.UTC)
	k, log := scheduled(t, &now)
	for day := range 6 {
		if wait := k.Step(ctx); wait != 24*time.Hour {
			t.Errorf("day %d: the next in %v", day, wait)
		}
		now = now.Add(time.Hour)
		if wait := k.Step(ctx); wait != 23*time.Hour {
			t.Errorf("day %d, an hour later: the next in %v", day, wait)
		}
		now = now.Add(23 * time.Hour)
	}
	want := []string{"north-cove-2026-11-29T101500Z", "north-cove-2026-11-30T101500Z", "north-cove-2026-12-01T101500Z"}
	if got := namesIn(t, k.Folder); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if state := k.State(); !state.Last.Equal(now.Add(-24*time.Hour)) || state.Err != nil || log.Len() > 0 {
		t.Errorf("%+v\n%s", state, log)
	}
}

func TestOnlyWhatIsNamedByOurPatternIsRemoved(t *testing.T) {
	now := time.Date(2026, 11, 26, 10, 15, 0, 0, time.UTC)
	k, _ := scheduled(t, &now)
	k.Keep = 1
	others := []string{"north-cove", "north-cove-2020-01-01", "north-cove-2020-01-01T000000Z.bak", "south-cove-2020-01-01T000000Z",
		"north-cove-2020-01-02T000000Z", "old-north-cove-2020-01-01T000000Z", ".hidden"}
	for _, name := range others { // of these the one of our pattern is no whole backup: it has no sums
		if err := os.MkdirAll(filepath.Join(k.Folder, name), 0o700); err != nil {
			t.Fatal(err)
		}
		if name != "north-cove-2020-01-02T000000Z" {
			if err := os.WriteFile(filepath.Join(k.Folder, name, "SHA256SUMS"), nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	parts := map[string]time.Duration{".north-cove-2026-11-20T101500Z.part-1": 25 * time.Hour,
		".north-cove-2026-11-26T101400Z.part-2": time.Minute, ".south-cove-2026-11-20T101500Z.part-3": 25 * time.Hour}
	for name, age := range parts {
		path := filepath.Join(k.Folder, name)
		if err := errors.Join(os.Mkdir(path, 0o700), os.Chtimes(path, now.Add(-age), now.Add(-age))); err != nil {
			t.Fatal(err)
		}
	}
	for range 3 {
		k.Step(ctx)
		now = now.Add(24 * time.Hour)
	}
	want := append(others, "north-cove-2026-11-28T101500Z", ".north-cove-2026-11-26T101400Z.part-2",
		".south-cove-2026-11-20T101500Z.part-3")
	slices.Sort(want)
	got := namesIn(t, k.Folder)
	slices.Sort(got)
	// The younger part is a day old by the last step.
	if i := slices.Index(got, ".north-cove-2026-11-26T101400Z.part-2"); i < 0 {
		want = slices.DeleteFunc(want, func(name string) bool { return strings.HasSuffix(name, "part-2") })
	}
	if !slices.Equal(got, want) {
		t.Errorf("\n got %q\nwant %q", got, want)
	}
}

func TestWhileNoBackupCanBeMadeTheOldOnesStayAndItIsTold(t *testing.T) {
	now := time.Date(2026, 11, 26, 10, 15, 0, 0, time.UTC)
	k, log := scheduled(t, &now)
	k.Keep = 1
	k.Step(ctx)
	first := now
	away := k.Folder + ".away"
	// As a disk that was pulled out, with something else in its place.
	if err := errors.Join(os.Rename(k.Folder, away), os.WriteFile(k.Folder, nil, 0o600)); err != nil {
		t.Fatal(err)
	}
	now = now.Add(24 * time.Hour)
	failed := now
	for range 3 {
		if wait := k.Step(ctx); wait != time.Hour {
			t.Errorf("it tries again in %v", wait)
		}
		now = now.Add(time.Hour)
	}
	if state := k.State(); !state.Last.Equal(first) || !state.Failing.Equal(failed) || state.Err == nil ||
		strings.Count(log.String(), "no backup was made") != 3 {
		t.Errorf("%+v\n%s", state, log)
	}
	if got := namesIn(t, away); !slices.Equal(got, []string{"north-cove-2026-11-26T101500Z"}) {
		t.Errorf("%v", got)
	}
	if err := errors.Join(os.Remove(k.Folder), os.Rename(away, k.Folder)); err != nil {
		t.Fatal(err)
	}
	k.Step(ctx)
	if state := k.State(); !state.Last.Equal(now) || state.Err != nil || !state.Failing.IsZero() {
		t.Errorf("%+v", state)
	}
	if got := namesIn(t, k.Folder); !slices.Equal(got, []string{"north-cove-2026-11-27T131500Z"}) {
		t.Errorf("%v", got)
	}
}

func TestTheScheduleBeginsAtOnceAndEnds(t *testing.T) {
	now := time.Date(2026, 11, 26, 10, 15, 0, 0, time.UTC)
	k, _ := scheduled(t, &now)
	running, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() { k.Run(running); close(done) }()
	for deadline := time.Now().Add(10 * time.Second); k.State().Last.IsZero() && time.Now().Before(deadline); {
		time.Sleep(5 * time.Millisecond)
	}
	stop()
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		t.Fatal("it goes on")
	}
	if !k.State().Last.Equal(now) {
		t.Errorf("%+v", k.State())
	}
	if _, err := store.Restore(ctx, filepath.Join(k.Folder, "north-cove-2026-11-26T101500Z"), filepath.Join(t.TempDir(), "b.db"),
		false); errors.Is(err, fs.ErrNotExist) || err != nil {
		t.Errorf("%v", err)
	}
}
