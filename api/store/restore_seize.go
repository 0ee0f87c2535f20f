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

// seize takes a database for itself alone, or refuses where anybody has it open: whoever has a file in WAL mode open holds a lock on it all
// the time, and turning it back needs all of them gone. That also writes what waits beside the file into it, so that it is whole under
// another name. The lock is held until release, so that nobody opens the file while it is moved; on Windows, where an open file cannot be
// moved, it is let go at once. A file that SQLite cannot read is asked for its locks at the system.
func seize(ctx context.Context, path string) (release func() error, err error) {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return nil, errors.Join(err, fmt.Errorf("%s is no file: nothing was replaced", path))
	}
	db, err := lookAt(path) // to close one that cannot be read as a writer would change what lies beside it
	if err != nil {
		return nil, err
	}
	_, err = recognise(ctx, db)
	if err = errors.Join(err, db.Close()); errors.Is(err, ErrForeign) {
		return nil, fmt.Errorf("%s: %w: nothing was replaced", path, err)
	}
	if found, other := foundBy(err); found != "" {
		return seizeUnread(path)
	} else if other != nil {
		return nil, other
	}
	if db, err = sql.Open("sqlite", dsn(path, "busy_timeout(1000)")); err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	for _, query := range []string{"PRAGMA journal_mode = DELETE", "BEGIN EXCLUSIVE"} {
		if _, err = db.ExecContext(ctx, query); err != nil {
			break
		}
	}
	switch {
	case err == nil && runtime.GOOS != "windows":
		return db.Close, nil // which takes the transaction back
	case err == nil:
		return func() error { return nil }, db.Close()
	case code(err) == sqlite3.SQLITE_BUSY:
		return nil, errors.Join(inUse(path), db.Close())
	}
	found, other := foundBy(err)
	if other = errors.Join(other, db.Close()); found == "" {
		return nil, other
	}
	return seizeUnread(path)
}

func inUse(path string) error {
	return fmt.Errorf("%s: %w. Nothing was replaced: stop it (swingroom serve, for one), then try again", path, ErrInUse)
}
