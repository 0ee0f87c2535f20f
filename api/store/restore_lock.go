package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"runtime"

	sqlite3 "modernc.org/sqlite/lib"
)

// lockAlone locks a database for itself alone, or refuses where anybody has it open: whoever has a file in WAL mode open holds a lock on it
// all the time, and turning it back needs all of them gone. That also writes what waits beside the file into it, so that it is whole under
// another name. The lock is held until release, so that nobody opens the file while it is moved; on Windows, where an open file cannot be
// moved, it is let go at once. A file that SQLite cannot read is asked for its locks at the system.
func lockAlone(ctx context.Context, path string) (release func() error, err error) {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return nil, errors.Join(err, fmt.Errorf("%s is no file: nothing was replaced", path))
	}
	// To close one that cannot be read as a writer would change what lies beside it.
	err = withFile(path, func(db *sql.DB) error {
		_, err := recognise(ctx, db)
		return err
	})
	if errors.Is(err, ErrForeign) {
		return nil, fmt.Errorf("%s: %w: nothing was replaced", path, err)
	}
	found, err := foundBy(err)
	if err != nil {
		return nil, err
	}
	if found == "" {
		if release, found, err = lockReadable(ctx, path); found == "" {
			return release, err
		}
	}
	return lockUnreadable(path)
}

// lockReadable locks a database that SQLite can read; found says what keeps it from doing so after all.
func lockReadable(ctx context.Context, path string) (release func() error, found string, err error) {
	db, err := openOne(dsn(path, "busy_timeout(1000)"))
	if err != nil {
		return nil, "", err
	}
	for _, query := range []string{"PRAGMA journal_mode = DELETE", "BEGIN EXCLUSIVE"} {
		if _, err = db.ExecContext(ctx, query); err != nil {
			break
		}
	}
	switch {
	case err == nil && runtime.GOOS != "windows":
		return db.Close, "", nil // which takes the transaction back
	case err == nil:
		return func() error { return nil }, "", db.Close()
	case code(err) == sqlite3.SQLITE_BUSY:
		return nil, "", errors.Join(inUse(path), db.Close())
	}
	found, err = foundBy(err)
	if err = errors.Join(err, db.Close()); found == "" {
		return nil, "", err
	}
	return nil, found, nil
}

func inUse(path string) error {
	return fmt.Errorf("%s: %w. Nothing was replaced: stop it (swingroom serve, for one), then try again", path, ErrInUse)
}
