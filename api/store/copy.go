package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"modernc.org/sqlite"

	"swingroom/api/disk"
)

// pagesAtOnce is how many pages of a database are copied between two looks at whether it is still needed; 4 MB with pages of 4 KiB.
const pagesAtOnce = 1024

// copyFile copies a database as it is at one moment into a new file. It reads within a transaction of its own: others go on writing
// meanwhile, and what they write is not in the copy. The copy needs no file beside it, and is on disk when this returns.
func copyFile(ctx context.Context, from, to string) error {
	err := withFile(from, func(db *sql.DB) error { return copyPages(ctx, db, to) })
	if err != nil {
		return Classify(err)
	}
	if info, err := os.Stat(from); err == nil { // nobody may read the copy who may not read the file
		if err := os.Chmod(to, info.Mode().Perm()); err != nil {
			return err
		}
	}
	return makeWhole(ctx, to)
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
	return conn.Raw(func(driver any) error { return copyOf(ctx, driver, to) })
}

// copyOf copies what a connection of SQLite reads, page by page.
func copyOf(ctx context.Context, driver any, to string) (err error) {
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
}

// makeWhole makes a copy a file that is whole by itself, so that it can be read from a disk that may not be written, and brings it to disk.
func makeWhole(ctx context.Context, path string) error {
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
