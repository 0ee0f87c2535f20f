// Package store keeps harbors in one SQLite file: what holds now, and every change that led to it.
package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"time"
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

// steps are the migrations that this program knows, by their names.
func steps() (fs.FS, error) { return fs.Sub(migrations, "migrations") }

// Store is an open database. Any number of goroutines may use it; one writes at a time.
type Store struct {
	path  string
	kept  string  // a copy of the file as it was before it was brought up to date
	write *sql.DB // one connection
	read  *sql.DB
	watch *sql.DB // one connection, whose data_version tells of others' writes
	queue writeQueue
	// prepared are the statements of acts by their text, on the connection that writes.
	prepared map[string]*sql.Stmt
	now      func() time.Time
}

// Path is the path of the file, as it was opened.
func (s *Store) Path() string { return s.path }

// UpgradeCopy is the path of a copy of the file as it was before Open brought its tables up to date; empty where there was nothing to do.
func (s *Store) UpgradeCopy() string { return s.kept }

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
