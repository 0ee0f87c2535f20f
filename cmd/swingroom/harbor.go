package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"swingroom/api/exchange"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// database names the file that a command works on.
type database struct {
	DB string `help:"Database file." default:"swingroom.db" env:"SWINGROOM_DB" placeholder:"FILE"`
}

// onFile names a harbor of a database.
type onFile struct {
	database
	Harbor string `help:"${harbor_help}" placeholder:"NAME"`
}

// which names the harbor that a command reads.
type which struct {
	onFile
	Demo bool   `help:"Read the invented demo harbor instead of a database."`
	AsOf string `help:"Read the harbor as it stood at the end of a day, or at a time: ${day}, ${day}T12:00:00Z." placeholder:"DATE"`
}

// field loads the harbor and works out its field.
func (w which) field(ctx context.Context) (*clearance.Field, error) {
	field, _, err := w.fieldAt(ctx)
	return field, err
}

// fieldAt is the field with the revision of the harbor on file, which is 0 for the demo.
func (w which) fieldAt(ctx context.Context) (*clearance.Field, int64, error) {
	harbor, info, err := w.read(ctx)
	if err != nil {
		return nil, 0, err
	}
	harbor.Day = cmp.Or(harbor.Day, dayOf(time.Now()))
	field, err := clearance.NewField(harbor)
	return field, info.Revision, err
}

// read reads the harbor as it stands, or as it stood.
func (w which) read(ctx context.Context) (*geo.Harbor, store.Info, error) {
	if w.Demo {
		harbor, err := demoHarbor()
		return harbor, store.Info{}, err
	}
	at, err := w.asOf()
	if err != nil {
		return nil, store.Info{}, err
	}
	db, err := openExisting(ctx, w.DB)
	if err != nil {
		return nil, store.Info{}, err
	}
	defer db.Close()
	harbor, info, err := db.Harbor(ctx, w.Harbor)
	if err != nil || at.IsZero() {
		return harbor, info, err
	}
	if harbor, err = db.HarborAsOf(ctx, info.Slug, at); err == nil {
		harbor.Day = dayOf(at)
	}
	return harbor, info, err
}

// dayOf is the day on which a harbor is judged.
func dayOf(at time.Time) geo.Date { return geo.Date(at.Format(time.DateOnly)) }

// asOf is the time at which the harbor is asked for; zero: as it stands.
func (w which) asOf() (at time.Time, err error) {
	if w.AsOf == "" {
		return at, nil
	}
	if at, err = geo.ParseAsOf(w.AsOf); err != nil {
		return at, fmt.Errorf("--as-of: %w", err)
	}
	return at, nil
}

// openExisting opens a database that import has made; a misspelled name must not make an empty one.
func openExisting(ctx context.Context, path string) (*store.Store, error) {
	switch info, err := os.Stat(path); {
	case errors.Is(err, fs.ErrNotExist):
		return nil, noDatabase(path)
	case err == nil && info.IsDir():
		return nil, fmt.Errorf("%s is a folder; the database file is expected", path)
	}
	return openTold(ctx, path)
}

// openTold opens a database, and tells where one of an earlier version is kept as it was.
func openTold(ctx context.Context, path string) (*store.Store, error) {
	db, err := store.Open(ctx, path)
	if err == nil {
		tellKept(db)
	}
	return db, err
}

func noDatabase(path string) error {
	return fmt.Errorf("there is no database %s yet; take in your files first: swingroom import FOLDER --db %s\n"+
		"(or look at the invented harbor: swingroom demo)", path, path)
}

// demoHarbor reads the invented harbor through the very import that a user's files go through.
func demoHarbor() (*geo.Harbor, error) {
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		return nil, err
	}
	if len(in.Problems) > 0 {
		return nil, fmt.Errorf("the demo harbor has %d problems, the first: %v", len(in.Problems), in.Problems[0])
	}
	return in.Harbor, nil
}
