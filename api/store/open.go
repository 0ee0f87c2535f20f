package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	sqlite3 "modernc.org/sqlite/lib"
)

// Open opens or makes a database file and brings its tables up to date. A file that is there is looked over for damage first, and where its
// tables are those of an earlier version all of it is tried on a copy: what cannot be opened stays as it is. Errors: ErrForeign, ErrNewer,
// ErrDamaged, ErrUpgrade, ErrFull, ErrReadOnly, or the system's.
func Open(ctx context.Context, path string) (*Store, error) {
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	return openWith(ctx, path, steps)
}

func openWith(ctx context.Context, path string, steps fs.FS) (*Store, error) {
	if path == "" || path == ":memory:" { // to SQLite a database that is gone with its connection
		return nil, fmt.Errorf("database %q: the path of a file is expected", path)
	}
	if dir := filepath.Dir(path); dir != "." {
		if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("database %s: there is no folder %s", path, dir)
		}
	}
	s := &Store{path: path, now: time.Now}
	if err := s.openPatiently(ctx, steps); err != nil {
		return nil, errors.Join(fmt.Errorf("database %s: %w", path, Classify(err)), s.Close())
	}
	return s, nil
}

// openPatiently opens, again after a while where another process is making the same file: while a file turns to WAL, SQLite answers that it
// is busy at once, whatever its timeout. It also opens again where another file has come in this one's place meanwhile.
func (s *Store) openPatiently(ctx context.Context, steps fs.FS) error {
	const tries, pause = 100, 20 * time.Millisecond // 2 s: turning a file to WAL takes a few waits for the disk
	for try := 1; ; try++ {
		err := s.openSame(ctx, steps)
		if code(err) != sqlite3.SQLITE_BUSY && !errors.Is(err, errReplaced) || try == tries {
			return err
		}
		if err := s.disconnect(); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return errors.Join(err, ctx.Err())
		case <-time.After(pause):
		}
	}
}

var errReplaced = errors.New("another file takes its place again and again")

// openSame opens once; the error is errReplaced where it is not the file any more that was there before.
func (s *Store) openSame(ctx context.Context, steps fs.FS) error {
	before, _ := os.Stat(s.path) // nil where there is none yet
	if err := s.openOnce(ctx, steps); err != nil || before == nil {
		return err
	}
	if after, err := os.Stat(s.path); err != nil || !os.SameFile(before, after) {
		return errReplaced
	}
	return nil
}

func (s *Store) openOnce(ctx context.Context, steps fs.FS) error {
	if _, err := os.Lstat(s.path); errors.Is(err, fs.ErrNotExist) {
		if _, left := os.Lstat(s.path + "-wal"); left == nil { // SQLite would throw it away
			return damaged(s.path, "it is gone, and what was not written into it yet still lies beside it as "+s.path+"-wal")
		}
	}
	ours, err := s.inspect(ctx, steps)
	if err != nil {
		return err
	}
	if err := s.connect(); err != nil {
		return err
	}
	if err := s.bringUpToDate(ctx, steps, ours); err != nil {
		return err
	}
	return s.prepareStatements(ctx)
}

// connect opens the connections that serve. What is on disk after a commit survives a power cut.
func (s *Store) connect() (err error) {
	address := dsn(s.path, "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)")
	if s.write, err = openOne(address); err != nil {
		return err
	}
	if s.watch, err = openOne(address); err != nil {
		return err
	}
	if s.read, err = sql.Open("sqlite", address); err != nil {
		return err
	}
	const readers = 4 // of which each has a cache of its own
	s.read.SetMaxOpenConns(readers)
	s.read.SetMaxIdleConns(readers)
	return nil
}

// inspect tells whether a file is a database of ours; one that is damaged or cannot be brought up to date is refused, and stays as it is.
func (s *Store) inspect(ctx context.Context, steps fs.FS) (ours bool, err error) {
	err = withFile(s.path, func(db *sql.DB) (err error) {
		if ours, err = recognise(ctx, db); err != nil || !ours {
			return s.explain(err)
		}
		if found, err := checkStructure(ctx, db); err != nil || found != "" {
			if err == nil {
				err = damaged(s.path, found)
			}
			return err
		}
		current, known, err := versionsOf(ctx, db, steps)
		if err != nil || current == 0 || current == known { // 0: its making broke off, it holds nothing yet
			return err
		}
		s.kept, err = tryUpgrade(ctx, s.path, steps, current, known)
		return err
	})
	return ours, err
}

// explain says what can be done about a file that SQLite does not read.
func (s *Store) explain(err error) error {
	switch code(err) {
	case sqlite3.SQLITE_NOTADB:
		return fmt.Errorf("%w. If it was one, it is damaged: swingroom restore BACKUP --db %s --replace brings a backup back", ErrForeign,
			s.path)
	case sqlite3.SQLITE_CORRUPT:
		return damaged(s.path, err.Error())
	}
	return err
}

// recognise tells whether a file is a database of ours or an empty one; any other is refused.
func recognise(ctx context.Context, db *sql.DB) (ours bool, err error) {
	var id, tables int
	// both answers of one moment: another process may be making the file
	err = readOnly(ctx, db, func(tx *sql.Tx) error {
		if err := tx.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
			return err
		}
		return tx.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&tables)
	})
	if err != nil {
		return false, err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return false, ErrForeign
	}
	return id == applicationID, nil
}

// dsn is the address of a file for SQLite. Every connection waits for its turn to write. Those that serve also see to it that a
// commit that has been answered survives a power cut (WAL with synchronous FULL), and that references hold.
func dsn(path string, pragmas ...string) string {
	q := url.Values{"_txlock": {"immediate"}, "_pragma": append([]string{"busy_timeout(10000)"}, pragmas...)}
	u := url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: q.Encode()}
	if !filepath.IsAbs(path) {
		u = url.URL{Scheme: "file", Opaque: url.PathEscape(filepath.ToSlash(path)), RawQuery: q.Encode()}
	}
	return u.String()
}
