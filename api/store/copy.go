package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"

	"swingroom/api/disk"
)

// ErrUpgrade: the tables of an earlier version could not be brought up to date.
var ErrUpgrade = errors.New("its tables cannot be brought up to date")

// pagesAtOnce is how many pages of a database are copied between two looks at whether it is still wanted; 4 MB with pages of 4 KiB.
const pagesAtOnce = 1024

// copyFile copies a database as it is at one moment into a new file. It reads within a transaction of its own: others go on writing
// meanwhile, and what they write is not in the copy. The copy needs no file beside it, and is on disk when this returns.
func copyFile(ctx context.Context, from, to string) error {
	db, err := lookAt(from)
	if err != nil {
		return err
	}
	err = copyPages(ctx, db, to)
	if err = errors.Join(err, db.Close()); err != nil {
		return Classify(err)
	}
	if info, err := os.Stat(from); err == nil { // nobody may read the copy who may not read the file
		if err := os.Chmod(to, info.Mode().Perm()); err != nil {
			return err
		}
	}
	return settle(ctx, to)
}

func copyPages(ctx context.Context, db *sql.DB, to string) (err error) {
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	if _, err := conn.ExecContext(ctx, "BEGIN"); err != nil {
		return err
	}
	defer conn.ExecContext(context.WithoutCancel(ctx), "ROLLBACK") // nothing was written
	var tables int
	// from here on all that is read is of this moment
	if err := conn.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil {
		return err
	}
	return conn.Raw(func(driver any) (err error) {
		source, ok := driver.(interface {
			NewBackup(string) (*sqlite.Backup, error)
		})
		if !ok {
			return fmt.Errorf("%T makes no copies", driver)
		}
		// A copy that breaks off is thrown away: it needs no journal, and it is brought to disk once, at its end.
		copying, err := source.NewBackup(dsn(to, "journal_mode(OFF)", "synchronous(OFF)"))
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, copying.Finish()) }()
		for more := true; more; {
			if more, err = copying.Step(pagesAtOnce); err != nil {
				return err
			}
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		return nil
	})
}

// settle makes a copy a file that is whole by itself, so that it can be read from a disk that may not be written, and brings it to disk.
func settle(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", dsn(path, "journal_mode(DELETE)"))
	if err != nil {
		return err
	}
	_, err = tablesVersion(ctx, db)
	if err = errors.Join(err, db.Close()); err != nil {
		return Classify(err)
	}
	return Classify(disk.SyncFile(path))
}

// tablesVersion is the version of the tables of a database; 0 where there are none yet.
func tablesVersion(ctx context.Context, db *sql.DB) (version int64, err error) {
	var there bool
	if err := db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE name = 'goose_db_version'").Scan(&there); err != nil ||
		!there {
		return 0, err
	}
	err = db.QueryRowContext(ctx, "SELECT coalesce(max(version_id), 0) FROM goose_db_version WHERE is_applied").Scan(&version)
	return version, err
}

// knownVersion is the version of the tables that a set of migrations makes.
func knownVersion(steps fs.FS) (known int64, err error) {
	names, err := fs.Glob(steps, "*.sql")
	for _, name := range names {
		n, err := goose.NumericComponent(name)
		if err != nil {
			return 0, err
		}
		known = max(known, n)
	}
	return known, err
}

// tryUpgrade takes the wanting steps on a copy of the file and checks all that it then holds. Only when that has gone well it keeps a copy
// of the file as it is, beside it, and gives its path; the file itself is only read.
func tryUpgrade(ctx context.Context, path string, steps fs.FS, from, to int64) (kept string, err error) {
	trial, err := os.MkdirTemp(filepath.Dir(path), "."+filepath.Base(path)+".trial-*")
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(trial)) }()
	before, after := filepath.Join(trial, "before.db"), filepath.Join(trial, "after.db")
	if err := copyFile(ctx, path, before); err != nil {
		return "", err
	}
	if err := copyFile(ctx, before, after); err != nil {
		return "", err
	}
	if err := upgrade(ctx, after, steps); err != nil {
		return "",
			fmt.Errorf("%w: from version %d to %d was tried on a copy, and failed: %w. Nothing in the file was changed: the version of "+
				"the program that wrote it still reads it", ErrUpgrade, from, to, err)
	}
	return keepBeside(before, path, from)
}

// upgrade takes the wanting steps on a file that nobody else has, and checks all that it then holds.
func upgrade(ctx context.Context, path string, steps fs.FS) (err error) {
	db, err := sql.Open("sqlite", dsn(path, "foreign_keys(1)"))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	db.SetMaxOpenConns(1)
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, steps, goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	if err := migrate(ctx, provider); err != nil {
		return err
	}
	found, err := checkAll(ctx, db)
	if words := found.words(); words != "" {
		return errors.New(words)
	}
	return err
}

// keepBeside gives a copy its name beside the file, without taking another's.
func keepBeside(copied, path string, version int64) (kept string, err error) {
	kept = fmt.Sprintf("%s.before-%d.db", path, version)
	for n := 2; ; n++ {
		if _, err := os.Lstat(kept); errors.Is(err, fs.ErrNotExist) {
			return kept, errors.Join(putNew(copied, kept), disk.SyncFolder(filepath.Dir(path)))
		}
		if same, err := sameFile(copied, kept); err != nil || same { // another process does the same, or did and went no further
			return kept, err
		}
		kept = fmt.Sprintf("%s.before-%d-%d.db", path, version, n)
	}
}

// putNew gives a file a name that nothing has yet.
func putNew(from, to string) error {
	err := os.Link(from, to)
	if err == nil {
		return os.Remove(from)
	}
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already: %w", to, fs.ErrExist)
	}
	if _, there := os.Lstat(to); !errors.Is(there, fs.ErrNotExist) { // some file systems know no links
		return fmt.Errorf("%s is there already: %w", to, fs.ErrExist)
	}
	return os.Rename(from, to)
}

func sameFile(a, b string) (bool, error) {
	x, err := disk.Sum(a)
	if err != nil {
		return false, err
	}
	y, err := disk.Sum(b)
	return x == y, err
}

// stamp is how times stand in names of files: without a colon, which some systems do not take.
const stamp = "2006-01-02T150405Z"

func stamped(at time.Time) string { return at.UTC().Format(stamp) }
