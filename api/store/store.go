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
	"sync"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"
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
	write *sql.DB // one connection
	read  *sql.DB
	watch *sql.DB // one connection, whose data_version tells of others' writes
	turn  sync.Mutex
	now   func() time.Time
}

// Open opens or makes a database file and brings its tables up to date. Errors: ErrForeign, ErrNewer, or the system's.
func Open(ctx context.Context, path string) (*Store, error) {
	if dir := filepath.Dir(path); dir != "." {
		if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("database %s: there is no folder %s", path, dir)
		}
	}
	s := &Store{now: time.Now}
	for _, part := range []struct {
		db    **sql.DB
		conns int
	}{{&s.write, 1}, {&s.watch, 1}, {&s.read, 4}} {
		db, err := sql.Open("sqlite", dsn(path))
		if err != nil {
			return nil, errors.Join(err, s.Close())
		}
		db.SetMaxOpenConns(part.conns)
		db.SetMaxIdleConns(part.conns)
		*part.db = db
	}
	if err := s.prepare(ctx); err != nil {
		var low *sqlite.Error
		if errors.As(err, &low) && low.Code()&0xff == sqlite3.SQLITE_NOTADB {
			err = ErrForeign
		}
		return nil, errors.Join(fmt.Errorf("database %s: %w", path, err), s.Close())
	}
	return s, nil
}

// dsn sets what every connection needs: a commit that has been answered survives a power cut (WAL with synchronous FULL), references
// hold, and a writer waits for its turn.
func dsn(path string) string {
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {
		"busy_timeout(10000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)",
	}}
	u := url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: q.Encode()}
	if !filepath.IsAbs(path) {
		u = url.URL{Scheme: "file", Opaque: url.PathEscape(filepath.ToSlash(path)), RawQuery: q.Encode()}
	}
	return u.String()
}

// prepare refuses what is not ours and migrates what is.
func (s *Store) prepare(ctx context.Context) error {
	var id, tables int
	if err := s.write.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return err
	}
	if err := s.write.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil {
		return err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return ErrForeign
	}
	sub, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectSQLite3, s.write, sub, goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	if id == applicationID {
		current, target, err := provider.GetVersions(ctx)
		if err != nil {
			return err
		}
		if current > target {
			return fmt.Errorf("%w: its tables are of version %d, this program knows %d", ErrNewer, current, target)
		}
		if current == target {
			return nil
		}
	}
	if _, err := s.write.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	_, err = provider.Up(ctx)
	return err
}

// Close ends all connections.
func (s *Store) Close() error {
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
