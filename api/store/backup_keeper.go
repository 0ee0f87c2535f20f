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
func (k *BackupSchedule) State() BackupState {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.state
}

// retryAfter is how long it waits after a failure: a disk may have been plugged in again, or emptied.
func (k *BackupSchedule) retryAfter() time.Duration {
	return min(k.Every, max(time.Minute, k.Every/24))
}

// Run makes backups until the context ends: the first at once where the newest is older than the interval.
func (k *BackupSchedule) Run(ctx context.Context) {
	for {
		wait := k.step(ctx)
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

// step makes a backup where one is due, and tells how long there is nothing to do.
func (k *BackupSchedule) step(ctx context.Context) time.Duration {
	now := k.Store.now()
	made, err := k.made()
	if err == nil && len(made) > 0 {
		last := made[len(made)-1].at
		k.set(func(st *BackupState) { st.Last = last })
		if due := last.Add(k.Every); due.After(now) {
			return due.Sub(now)
		}
	}
	var done BackupResult
	if err == nil {
		done, err = k.Store.Backup(ctx, filepath.Join(k.Folder, BackupName(k.Store.path, now)))
	}
	if err != nil {
		if ctx.Err() == nil {
			k.set(func(st *BackupState) { st.fail(now, err) })
			k.Log.Error("no backup was made", "error", err, "again_in", k.retryAfter())
		}
		return k.retryAfter()
	}
	k.set(func(st *BackupState) { *st = BackupState{Last: now} })
	for _, lacking := range done.Missing {
		k.Log.Warn("a photo is not in the backup", "photo", lacking, "backup", done.Folder)
	}
	if done.Mismatch != "" { // the older ones may be better
		err := fmt.Errorf("%w: %s", ErrDamaged, done.Mismatch)
		k.set(func(st *BackupState) { st.fail(now, err) })
		k.Log.Error("a backup was made of a file that does not agree with its history; the older ones are kept", "error", err, "backup",
			done.Folder)
		return k.Every
	}
	if err := k.removeOld(); err != nil {
		k.Log.Error("old backups cannot be removed", "error", err)
	}
	return k.Every
}

func (k *BackupSchedule) set(change func(*BackupState)) {
	k.mu.Lock()
	defer k.mu.Unlock()
	change(&k.state)
}

// fail keeps why the last try failed, and since when they do.
func (s *BackupState) fail(now time.Time, err error) {
	if s.Err == nil {
		s.Failing = now
	}
	s.Err = err
}

// madeBackup is a folder of a backup of the store's file.
type madeBackup struct {
	name string
	at   time.Time
}

// made lists the whole backups of the store's file, oldest first.
func (k *BackupSchedule) made() ([]madeBackup, error) {
	all, err := k.named("^", "$")
	all = slices.DeleteFunc(all, func(b madeBackup) bool {
		_, err := os.Stat(filepath.Join(k.Folder, b.name, backupSums))
		return err != nil
	})
	return all, err
}

// named lists the folders whose name is that of a backup between two expressions, oldest first.
func (k *BackupSchedule) named(begin, end string) ([]madeBackup, error) {
	entries, err := os.ReadDir(k.Folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	ours := regexp.MustCompile(begin + regexp.QuoteMeta(stemOf(k.Store.path)) + `-(\d{4}-\d{2}-\d{2}T\d{6}Z)` + end)
	var all []madeBackup
	for _, e := range entries {
		m := ours.FindStringSubmatch(e.Name())
		if m == nil || !e.IsDir() {
			continue
		}
		if at, err := time.Parse(stamp, m[1]); err == nil {
			all = append(all, madeBackup{e.Name(), at})
		}
	}
	slices.SortFunc(all, func(a, b madeBackup) int { return a.at.Compare(b.at) })
	return all, nil
}

// removeOld takes away the oldest whole backups beyond those that are kept, and what backups left that were broken off. Other things in the
// folder are left alone.
func (k *BackupSchedule) removeOld() error {
	made, err := k.made()
	if err != nil {
		return err
	}
	var errs []error
	for _, old := range made[:max(0, len(made)-max(1, k.Keep))] {
		part := filepath.Join(k.Folder, partOf(old.name)+"old") // half removed, it must not look whole
		if err := os.Rename(filepath.Join(k.Folder, old.name), part); err != nil {
			errs = append(errs, err)
			continue
		}
		errs = append(errs, os.RemoveAll(part))
	}
	const forgotten = 24 * time.Hour // another process may be at work on a part that is new
	parts, err := k.named(`^\.`, `\.part-.*$`)
	errs = append(errs, err)
	for _, part := range parts {
		if info, err := os.Stat(filepath.Join(k.Folder, part.name)); err == nil && k.Store.now().Sub(info.ModTime()) > forgotten {
			errs = append(errs, os.RemoveAll(filepath.Join(k.Folder, part.name)))
		}
	}
	return errors.Join(errs...)
}
