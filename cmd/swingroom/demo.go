package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo"
)

type demoCommand struct {
	Listen string `help:"${demo_listen_help}" default:"${listen}" placeholder:"HOST:PORT"`
	DB     string `help:"Keep the demo harbor in this new database file instead of a temporary one." placeholder:"FILE"`
	Files  string `help:"Only write the demo harbor's files into this new folder, as templates for your own." placeholder:"FOLDER"`
	Debug  bool   `help:"Log every request, and send the page with source maps."`
}

func (demoCommand) Help() string {
	return "Examples:\n  swingroom demo\n  swingroom demo --files my-harbor     (templates for your own files)"
}

// Run takes the invented harbor in as a user's files are taken in, and serves it.
func (c *demoCommand) Run(s *session) error {
	if c.Files != "" {
		return writeDemoFiles(c.Files, s.out)
	}
	harbor, err := demoHarbor()
	if err != nil {
		return err
	}
	path, remove, err := c.path()
	if err != nil {
		return err
	}
	defer remove()
	db, err := demoStore(s.ctx, path, harbor)
	if err != nil {
		return err
	}
	defer db.Close()
	listener, err := listen(c.Listen)
	if err != nil && c.Listen == defaultListen {
		listener, err = listen("127.0.0.1:0")
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s: a wholly invented harbor of %d moorings.\n", harbor.Name, len(harbor.Moorings))
	return serve(s, db, listener, exposure{}, nil, c.Debug)
}

// path is where the demo's database is kept: where it is said, or in a folder that remove takes away.
func (c *demoCommand) path() (path string, remove func(), err error) {
	if c.DB != "" {
		return c.DB, func() {}, nil
	}
	dir, err := os.MkdirTemp("", "swingroom-demo-")
	return filepath.Join(dir, "demo.db"), func() { _ = os.RemoveAll(dir) }, err // what stays of it the system removes
}

// demoStore is a database with the demo harbor; one that has it already keeps it as it is.
func demoStore(ctx context.Context, path string, harbor *geo.Harbor) (*store.Store, error) {
	db, err := store.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	act := store.Act{Who: "demo", Why: "the invented harbor", At: time.Now()}
	if _, err := db.Save(ctx, store.Slug(harbor.Name), 0, harbor, act); err != nil && !errors.Is(err, store.ErrExists) {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

// writeDemoFiles copies the demo harbor's files into a folder that does not exist yet.
func writeDemoFiles(folder string, out io.Writer) error {
	if _, err := os.Stat(folder); err == nil {
		return fmt.Errorf("%s is there already; name a folder that is not", folder)
	}
	if err := os.CopyFS(folder, fixtures.Tarrowick()); err != nil {
		return err
	}
	fmt.Fprintf(out, "The demo harbor's files are in %s. Put your own in their place, then: swingroom import %s --db harbor.db\n", folder,
		folder)
	return nil
}
