// Package store keeps harbors in one SQLite file: what holds now, and every change that led to it.
package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	sqlite3 "modernc.org/sqlite/lib"
)

// Kinds of error; geo.ErrNotFound and geo.ErrInvalid besides.
var (
	// ErrNoHarbor: the database holds no harbor yet.
	ErrNoHarbor = errors.New("the database holds no harbor yet")
	// ErrWhichHarbor: there are several, and none was named.
	ErrWhichHarbor = errors.New("several harbors: name one")
	// ErrExists: a new harbor would take a name that is taken.
	ErrExists = errors.New("there is a harbor of that name already")
	// ErrStale: the harbor has changed since it was read.
	ErrStale = errors.New("changed meanwhile")
	// ErrForeign: the file is no database, or that of another program.
	ErrForeign = errors.New("not a swingroom database")
	// ErrNewer: the database was written by a newer version of the program.
	ErrNewer = errors.New("database of a newer version")
)

// applicationID marks our files, by SQLite's own header field: the letters "swrm".
const applicationID = 0x7377726d

//go:embed migrations/*.sql
var migrations embed.FS

// Store is an open database. Any number of goroutines may use it; one writes at a time.
type Store struct {
	path  string
	kept  string
	write *sql.DB // one connection
	read  *sql.DB
	watch *sql.DB // one connection, whose data_version tells of others' writes
	queue writeQueue
	// prepared are the statements of acts, on the connection that writes.
	prepared map[string]*sql.Stmt
	now      func() time.Time
}

// Open opens or makes a database file and brings its tables up to date. A file that is there is looked over for damage first, and where its
// tables are those of an earlier version all of it is tried on a copy: what cannot be opened stays as it is. Errors: ErrForeign, ErrNewer,
// ErrDamaged, ErrUpgrade, ErrFull, ErrReadOnly, or the system's.
func Open(ctx context.Context, path string) (*Store, error) {
	steps, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	return openWith(ctx, path, steps)
}

func openWith(ctx context.Context, path string, steps fs.FS) (*Store, error) {
	if path == "" || path == ":memory:" { // to SQLite a database that is gone with its connection
		return nil, fmt.Errorf("database %q: the path of a file is wanted", path)
	}
	if dir := filepath.Dir(path); dir != "." {
		if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("database %s: there is no folder %s", path, dir)
		}
	}
	s := &Store{path: path, now: time.Now}
	if err := s.openInTurn(ctx, steps); err != nil {
		return nil, errors.Join(fmt.Errorf("database %s: %w", path, Classify(err)), s.Close())
	}
	return s, nil
}

// openInTurn opens, again after a while where another process is making the same file: while a file turns to WAL, SQLite answers that it is
// busy at once, whatever its timeout. It also opens again where another file has come in this one's place meanwhile.
func (s *Store) openInTurn(ctx context.Context, steps fs.FS) error {
	const tries, pause = 100, 20 * time.Millisecond
	for try := 1; ; try++ {
		before, _ := os.Stat(s.path) // nil where there is none yet
		err := s.openOnce(ctx, steps)
		if err == nil && before != nil {
			if after, gone := os.Stat(s.path); gone != nil || !os.SameFile(before, after) {
				err = errReplaced
			}
		}
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

func (s *Store) openOnce(ctx context.Context, steps fs.FS) error {
	if _, err := os.Lstat(s.path); errors.Is(err, fs.ErrNotExist) {
		if _, left := os.Lstat(s.path + "-wal"); left == nil { // SQLite would throw it away
			return damaged(s.path, "it is gone, and what was not written into it yet still lies beside it as "+s.path+"-wal")
		}
	}
	ours, err := s.careFor(ctx, steps)
	if err != nil {
		return err
	}
	for _, part := range []struct {
		db    **sql.DB
		conns int
	}{{&s.write, 1}, {&s.watch, 1}, {&s.read, 4}} {
		db, err := sql.Open("sqlite", dsn(s.path, "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"))
		if err != nil {
			return err
		}
		db.SetMaxOpenConns(part.conns)
		db.SetMaxIdleConns(part.conns)
		*part.db = db
	}
	if err := s.prepare(ctx, steps, ours); err != nil {
		return err
	}
	return s.prepareOften(ctx)
}

// careFor tells whether a file is a database of ours; one that is damaged or cannot be brought up to date is refused, and stays as it is.
func (s *Store) careFor(ctx context.Context, steps fs.FS) (ours bool, err error) {
	db, err := lookAt(s.path)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if ours, err = recognise(ctx, db); err != nil || !ours {
		if code(err) == sqlite3.SQLITE_NOTADB {
			err = fmt.Errorf("%w. If it was one, it is damaged: swingroom restore BACKUP --db %s --replace brings a backup back",
				ErrForeign, s.path)
		}
		if code(err) == sqlite3.SQLITE_CORRUPT {
			err = damaged(s.path, err.Error())
		}
		return ours, err
	}
	if found, err := lookOver(ctx, db); err != nil || found != "" {
		if err == nil {
			err = damaged(s.path, found)
		}
		return ours, err
	}
	current, err := tablesVersion(ctx, db)
	if err != nil {
		return ours, err
	}
	known, err := knownVersion(steps)
	switch {
	case err != nil:
		return ours, err
	case current > known:
		return ours, fmt.Errorf("%w: its tables are of version %d, this program knows %d", ErrNewer, current, known)
	case current == 0 || current == known: // 0: its making broke off, it holds nothing yet
		return ours, nil
	}
	s.kept, err = tryUpgrade(ctx, s.path, steps, current, known)
	return ours, err
}

// Path is the path of the file, as it was opened.
func (s *Store) Path() string { return s.path }

// UpgradeCopy is the path of a copy of the file as it was before Open brought its tables up to date; empty where there was nothing to do.
func (s *Store) UpgradeCopy() string { return s.kept }

// recognise tells whether a file is a database of ours or an empty one; any other is refused.
func recognise(ctx context.Context, db *sql.DB) (ours bool, err error) {
	tx, err := db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // both answers of one moment: another process may be making the file
	if err != nil {
		return false, err
	}
	defer tx.Rollback() // nothing was written
	var id, tables int
	if err := tx.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return false, err
	}
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil {
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

// prepare brings the tables up to date; ours is false where there are none yet.
func (s *Store) prepare(ctx context.Context, steps fs.FS, ours bool) error {
	provider, err := goose.NewProvider(goose.DialectSQLite3, s.write, steps, goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	if ours {
		current, target, err := provider.GetVersions(ctx)
		if err != nil || current == target {
			return err
		}
	} else if _, err := s.write.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	return migrate(ctx, provider)
}

// migrate takes every step that is wanting. Another process may do the same on the same file: a step is one transaction, so of two
// who take it one fails, and finds it done. It goes on as long as somebody gets further.
func migrate(ctx context.Context, provider *goose.Provider) error {
	for last := int64(-1); ; {
		_, err := provider.Up(ctx)
		if err == nil {
			return nil
		}
		current, target, asked := provider.GetVersions(ctx)
		if asked != nil || current <= last {
			return errors.Join(err, asked)
		}
		if current >= target {
			return nil
		}
		last = current
	}
}

// Close waits until every change that was submitted is on disk, and ends all connections. A change that is submitted later gets ErrClosed.
func (s *Store) Close() error {
	s.queue.close()
	return s.disconnect()
}

// disconnect ends the connections that there are.
func (s *Store) disconnect() error {
	var errs []error
	for _, db := range []*sql.DB{s.read, s.watch, s.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// DataVersion changes whenever anybody, this process or another, has written to the database. The numbers mean nothing else.
func (s *Store) DataVersion(ctx context.Context) (int64, error) {
	var v int64
	err := s.watch.QueryRowContext(ctx, "PRAGMA data_version").Scan(&v)
	return v, err
}
