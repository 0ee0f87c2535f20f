package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"swingroom/api/exchange"
	"swingroom/api/office"
	"swingroom/geo"
)

type exportCommand struct {
	Folder string `arg:"" help:"Folder for the lists; made if it is not there."`
	which
	Format exchange.Format `help:"csv or xlsx." enum:"csv,xlsx" default:"csv"`
	unitsFlag
	Replace bool `help:"Write over lists that are there."`
}

func (exportCommand) Help() string {
	return `Writes every list of the harbor as a file: moorings, tackle, owners, waiting, notes, and history. All but the history
are read by import again: taken in over the same harbor as they are, they change nothing. Units stand in the headings.

Examples:
  swingroom export lists --db harbor.db
  swingroom export lists --db harbor.db --format xlsx --units metres`
}

// Run writes all lists, or none where one of them is there.
func (c *exportCommand) Run(s *session) error {
	harbor, events, err := c.withHistory(s)
	if err != nil {
		return err
	}
	files := map[string][]byte{}
	var names []string
	for _, list := range exchange.Lists() {
		var body bytes.Buffer
		if err := c.write(&body, list.Name, harbor, events); err != nil {
			return err
		}
		name := list.Name + "." + string(c.Format)
		names = append(names, name)
		files[name] = body.Bytes()
	}
	if err := c.putAll(names, files); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s: %s are in %s.\n", harbor.Name, strings.Join(names, ", "), c.Folder)
	return nil
}

// putAll writes the files into the folder.
func (c *exportCommand) putAll(names []string, files map[string][]byte) error {
	if err := c.free(names); err != nil {
		return err
	}
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return err
	}
	for _, name := range names {
		if err := c.put(filepath.Join(c.Folder, name), files[name]); err != nil {
			return err
		}
	}
	return nil
}

func (c *exportCommand) write(w io.Writer, list string, h *geo.Harbor, events []exchange.Event) error {
	if list == exchange.HistoryList {
		return exchange.WriteHistory(w, events, c.Format)
	}
	return exchange.Write(w, list, h, c.Units, c.Format)
}

// withHistory reads the harbor and its changes, up to the time that is asked for; the demo has none.
func (c *exportCommand) withHistory(s *session) (*geo.Harbor, []exchange.Event, error) {
	harbor, _, err := c.read(s.ctx)
	if err != nil || c.Demo {
		return harbor, nil, err
	}
	until, err := c.asOf()
	if err != nil {
		return nil, nil, err
	}
	db, err := openExisting(s.ctx, c.DB)
	if err != nil {
		return nil, nil, err
	}
	defer db.Close()
	changes, err := db.History(s.ctx, c.Harbor, "", "")
	return harbor, office.EventsOf(changes, until), err
}

// free makes sure that no list is there that would be lost, and none in the other format: import takes only one of the two.
func (c *exportCommand) free(names []string) error {
	for _, name := range names {
		if _, err := os.Stat(filepath.Join(c.Folder, name)); err == nil && !c.Replace {
			return fmt.Errorf("%s is there already and nothing was written; name another folder, or write over it with --replace",
				filepath.Join(c.Folder, name))
		}
		base := strings.TrimSuffix(name, "."+string(c.Format))
		for _, other := range exchange.Formats() {
			path := filepath.Join(c.Folder, base+"."+string(other))
			if _, err := os.Stat(path); err == nil && other != c.Format {
				return fmt.Errorf("%s is there, and import takes a list in one format only; nothing was written. Move it away, or name "+
					"another folder", path)
			}
		}
	}
	return nil
}

// put writes a file whole, so that a full disk leaves the old one.
func (c *exportCommand) put(path string, body []byte) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".list-*")
	if err != nil {
		return err
	}
	defer func() {
		if rest := os.Remove(f.Name()); rest != nil && !errors.Is(rest, fs.ErrNotExist) {
			err = errors.Join(err, rest)
		}
	}()
	_, err = f.Write(body)
	if err = errors.Join(err, f.Chmod(0o644), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
