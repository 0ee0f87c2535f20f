package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"
)

// BackupName is the name of the backup of a file at a time: its own name without the ending, and the time in UTC.
func BackupName(database string, at time.Time) string {
	return stemOf(database) + "-" + stamped(at)
}

func stemOf(database string) string {
	base := filepath.Base(database)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// BackupSchedule makes backups of a store at intervals while it is open, and takes away the oldest of its own.
type BackupSchedule struct {
	Store  *Store
	Folder string        // in which each backup gets a folder of its own
	Every  time.Duration // from the last whole one to the next
	Keep   int           // this many whole ones
	Log    *slog.Logger

	mu    sync.Mutex
	state BackupState
}

// BackupState is how the backups stand.
type BackupState struct {
	Last    time.Time // when the newest whole one was made; zero: there is none
	Failing time.Time // since when they fail; zero: the last one did not
	Err     error     // why
}

// State tells how the backups stand.
func (b *BackupSchedule) State() BackupState {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state
}

// retryAfter is how long it waits after a failure: a disk may have been plugged in again, or emptied.
func (b *BackupSchedule) retryAfter() time.Duration {
	return min(b.Every, max(time.Minute, b.Every/24))
}

// Run makes backups until the context ends: the first at once where the newest is older than the interval.
func (b *BackupSchedule) Run(ctx context.Context) {
	for {
		wait := b.step(ctx)
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

// step makes a backup where one is due, and tells how long there is nothing to do.
func (b *BackupSchedule) step(ctx context.Context) time.Duration {
	now := b.Store.now()
	last, err := b.newest()
	if err == nil && !last.IsZero() {
		b.set(func(st *BackupState) { st.Last = last })
		if due := last.Add(b.Every); due.After(now) {
			return due.Sub(now)
		}
	}
	var done BackupResult
	if err == nil {
		done, err = b.Store.Backup(ctx, filepath.Join(b.Folder, BackupName(b.Store.path, now)))
	}
	if err != nil {
		if ctx.Err() == nil {
			b.set(func(st *BackupState) { st.fail(now, err) })
			b.Log.Error("no backup was made", "error", err, "again_in", b.retryAfter())
		}
		return b.retryAfter()
	}
	b.made(now, done)
	return b.Every
}

// made keeps that a backup was made, and makes room for the next: old ones go only where it can be relied on.
func (b *BackupSchedule) made(now time.Time, done BackupResult) {
	b.set(func(st *BackupState) { *st = BackupState{Last: now} })
	for _, missing := range done.Missing {
		b.Log.Warn("a photo is not in the backup", "photo", missing, "backup", done.Folder)
	}
	if done.Mismatch != "" { // the older ones may be better
		err := fmt.Errorf("%w: %s", ErrDamaged, done.Mismatch)
		b.set(func(st *BackupState) { st.fail(now, err) })
		b.Log.Error("a backup was made of a file that does not agree with its history; the older ones are kept", "error", err, "backup",
			done.Folder)
		return
	}
	if err := b.removeOld(); err != nil {
		b.Log.Error("old backups cannot be removed", "error", err)
	}
}

func (b *BackupSchedule) set(change func(*BackupState)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	change(&b.state)
}

// fail keeps why the last try failed, and since when they do.
func (s *BackupState) fail(now time.Time, err error) {
	if s.Err == nil {
		s.Failing = now
	}
	s.Err = err
}

// backupFolder is a folder with the name of a backup of the store's file.
type backupFolder struct {
	name string
	at   time.Time
}

// newest is when the newest whole backup was made; zero where there is none.
func (b *BackupSchedule) newest() (at time.Time, err error) {
	all, err := b.whole()
	if len(all) > 0 {
		at = all[len(all)-1].at
	}
	return at, err
}

// whole lists the whole backups of the store's file, oldest first.
func (b *BackupSchedule) whole() ([]backupFolder, error) {
	all, err := b.named("^", "$")
	all = slices.DeleteFunc(all, func(f backupFolder) bool {
		_, err := os.Stat(filepath.Join(b.Folder, f.name, backupSums))
		return err != nil
	})
	return all, err
}

// named lists the folders whose name is that of a backup between two expressions, oldest first.
func (b *BackupSchedule) named(begin, end string) (all []backupFolder, err error) {
	entries, err := os.ReadDir(b.Folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	ours := regexp.MustCompile(begin + regexp.QuoteMeta(stemOf(b.Store.path)) + `-(\d{4}-\d{2}-\d{2}T\d{6}Z)` + end)
	for _, e := range entries {
		m := ours.FindStringSubmatch(e.Name())
		if m == nil || !e.IsDir() {
			continue
		}
		if at, err := time.Parse(stamp, m[1]); err == nil {
			all = append(all, backupFolder{e.Name(), at})
		}
	}
	slices.SortFunc(all, func(a, b backupFolder) int { return a.at.Compare(b.at) })
	return all, nil
}

// removeOld removes the oldest whole backups beyond those that are kept, and what backups left that were broken off. Other things in the
// folder are left alone.
func (b *BackupSchedule) removeOld() error {
	all, err := b.whole()
	if err != nil {
		return err
	}
	var errs []error
	for _, old := range all[:max(0, len(all)-max(1, b.Keep))] {
		errs = append(errs, b.remove(old))
	}
	return errors.Join(append(errs, b.removeParts())...)
}

func (b *BackupSchedule) remove(old backupFolder) error {
	part := filepath.Join(b.Folder, partOf(old.name)+"old") // half removed, it must not look whole
	if err := os.Rename(filepath.Join(b.Folder, old.name), part); err != nil {
		return err
	}
	return os.RemoveAll(part)
}

// removeParts removes what backups left that were broken off.
func (b *BackupSchedule) removeParts() error {
	const abandoned = 24 * time.Hour // another process may be at work on a part that is new
	parts, err := b.named(`^\.`, `\.part-.*$`)
	errs := []error{err}
	for _, part := range parts {
		path := filepath.Join(b.Folder, part.name)
		if info, err := os.Stat(path); err == nil && b.Store.now().Sub(info.ModTime()) > abandoned {
			errs = append(errs, os.RemoveAll(path))
		}
	}
	return errors.Join(errs...)
}
