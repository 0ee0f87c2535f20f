package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"swingroom/api/exchange"
	"swingroom/api/store"
	"swingroom/geo"
)

type importCommand struct {
	Folder     string `arg:"" help:"Folder with moorings.csv and what else there is." type:"existingdir"`
	DB         string `help:"Database file; made if it is not there." default:"swingroom.db" env:"SWINGROOM_DB" placeholder:"FILE"`
	Harbor     string `help:"Short name of the harbor in the database. Needed only when it holds several." placeholder:"NAME"`
	Name       string `help:"Name of a new harbor, where the folder has no harbor.json." placeholder:"TEXT"`
	DryRun     bool   `help:"Only report what is wrong and what would change."`
	AcceptGood string `help:"${accept_good_help}" placeholder:"FILE"`
	Who        string `help:"Whose change it is, for the history." default:"${user}" placeholder:"NAME"`
	Why        string `help:"Why, for the history." default:"import" placeholder:"TEXT"`
	Format     string `help:"table or json." enum:"table,json" default:"table"`
}

func (importCommand) Help() string {
	return `Reads harbor.json, moorings.csv, tackle.csv, owners.csv, notes.csv, waiting.csv, soundings.csv, areas.geojson,
shoreline.geojson, fairways.geojson and tide.json; every .csv may be an .xlsx workbook instead. Only moorings.csv is needed to
begin. All or nothing: with one bad row nothing is written, and every bad row is listed with its line and column.
Importing again updates by number and says what changed.

Examples:
  swingroom demo --files my-harbor                  (templates to begin with)
  swingroom import my-harbor --db harbor.db --dry-run
  swingroom import my-harbor --db harbor.db
  swingroom import my-harbor --db harbor.db --accept-good to-mend/moorings.csv`
}

// Run reads the folder, lays it over what is on file and saves the whole in one transaction.
func (c *importCommand) Run(s *session) error {
	if plain := store.Slug(c.Harbor); c.Harbor != "" && c.Harbor != plain {
		return fmt.Errorf("--harbor %q: a short name consists of lower-case letters, digits and hyphens, such as %q", c.Harbor, plain)
	}
	db, err := c.open(s.ctx)
	if err != nil {
		return err
	}
	info := store.Info{Slug: c.Harbor}
	var base *geo.Harbor
	if db != nil {
		defer db.Close()
		if base, info, err = c.base(s.ctx, db); err != nil {
			return err
		}
	}
	bar := newProgress(s.errOut, "reading")
	in, err := exchange.ReadFolder(os.DirFS(c.Folder), exchange.Options{Base: base, Name: c.newName(), Progress: bar.set})
	bar.done()
	if err != nil {
		return err
	}
	return c.settle(s, db, info, in)
}

// open opens the database that is there; nil: there is none. It is made when there is something to write: what is refused, or tried dry,
// leaves no empty one behind.
func (c *importCommand) open(ctx context.Context) (*store.Store, error) {
	if _, err := os.Stat(c.DB); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return openTold(ctx, c.DB)
}

// base is the harbor on file that the folder is laid over; nil for a new one.
func (c *importCommand) base(ctx context.Context, db *store.Store) (*geo.Harbor, store.Info, error) {
	harbor, info, err := db.Harbor(ctx, c.Harbor)
	switch {
	case err == nil:
		return harbor, info, nil
	case errors.Is(err, store.ErrNoHarbor), c.Harbor != "" && errors.Is(err, geo.ErrNotFound):
		return nil, store.Info{Slug: c.Harbor}, nil
	}
	return nil, store.Info{}, err
}

func (c *importCommand) newName() string {
	if c.Name != "" {
		return c.Name
	}
	abs, err := filepath.Abs(c.Folder)
	if err != nil {
		return filepath.Base(c.Folder)
	}
	return filepath.Base(abs)
}
