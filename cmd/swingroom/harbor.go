package main

import (
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

// which names the harbor that a command reads.
type which struct {
	DB     string `help:"Database file." default:"swingroom.db" env:"SWINGROOM_DB" placeholder:"FILE"`
	Harbor string `help:"Harbor, by the short name that import printed; not needed when the database holds only one." placeholder:"NAME"`
	Demo   bool   `help:"Read the invented demo harbor instead of a database."`
	AsOf   string `help:"Read the harbor as it stood at the end of a day, or at a time: 2026-03-01, 2026-03-01T12:00:00Z." placeholder:"DATE"`
}

// field loads the harbor and works out its field.
func (w which) field(ctx context.Context) (*clearance.Field, error) {
	harbor, err := w.read(ctx)
	if err != nil {
		return nil, err
	}
	if harbor.Day == "" {
		harbor.Day = geo.Date(time.Now().Format(time.DateOnly))
	}
	return clearance.NewField(harbor)
}

func (w which) read(ctx context.Context) (*geo.Harbor, error) {
	if w.Demo {
		return demoHarbor()
	}
	var at time.Time
	if w.AsOf != "" {
		var err error
		if at, err = geo.ParseAsOf(w.AsOf); err != nil {
			return nil, fmt.Errorf("--as-of: %w", err)
		}
	}
	db, err := openExisting(ctx, w.DB)
	if err != nil {
		return nil, err
	}
	defer db.Close()
	harbor, info, err := db.Harbor(ctx, w.Harbor)
	if err == nil && !at.IsZero() {
		if harbor, err = db.HarborAsOf(ctx, info.Slug, at); err == nil {
			harbor.Day = geo.Date(at.Format(time.DateOnly))
		}
	}
	return harbor, err
}

// openExisting opens a database that import has made; a misspelled name must not make an empty one.
func openExisting(ctx context.Context, path string) (*store.Store, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no database %s yet; take in your files first: swingroom import FOLDER --db %s\n"+
			"(or look at the invented harbor: swingroom demo)", path, path)
	}
	db, err := store.Open(ctx, path)
	if err == nil {
		tellKept(db)
	}
	return db, err
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
