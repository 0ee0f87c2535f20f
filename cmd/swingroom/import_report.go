package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"swingroom/api/exchange"
	"swingroom/api/store"
)

// outcome is what import prints as JSON.
type outcome struct {
	Harbor   string             `json:"harbor"`
	Revision int64              `json:"revision"`
	Written  bool               `json:"written"`
	DryRun   bool               `json:"dry_run"`
	Problems []exchange.Problem `json:"problems"`
	Notices  []exchange.Notice  `json:"notices"`
	Added    int                `json:"added"`
	Changed  int                `json:"changed"`
	Removed  int                `json:"removed"`
	Changes  []change           `json:"changes"`
	SetAside string             `json:"set_aside,omitempty"` // file of the rows that were not taken
}

type change struct {
	Noun   string              `json:"noun"`
	Name   string              `json:"name"`
	What   string              `json:"what"` // added, changed, removed
	Fields []store.FieldChange `json:"fields"`
}

// settle decides what becomes of what has been read, does it, and reports.
func (c *importCommand) settle(s *session, db *store.Store, info store.Info, in *exchange.Import) error {
	o := outcome{Harbor: info.Slug, Revision: info.Revision, DryRun: c.DryRun, Problems: in.Problems, Notices: in.Notices}
	if o.Harbor == "" {
		o.Harbor = store.Slug(in.Harbor.Name)
	}
	refused := len(in.Problems) > 0 && (c.AcceptGood == "" || !in.OnlyMooringRows())
	if !refused {
		if err := c.take(s.ctx, db, info, in, &o); err != nil {
			return err
		}
	}
	err := s.print(c.Format, output{json: o, table: func(w io.Writer) { c.print(w, &o) }})
	if err == nil && refused {
		return errRefused
	}
	return err
}

// take sets the bad rows aside and writes the harbor, or finds out what a dry run would have written.
func (c *importCommand) take(ctx context.Context, db *store.Store, info store.Info, in *exchange.Import, o *outcome) error {
	if c.DryRun {
		changes, err := compare(ctx, db, o.Harbor, in)
		o.add(changes)
		return err
	}
	if len(in.Problems) > 0 {
		if err := setAside(c.AcceptGood, in); err != nil {
			return err
		}
		o.SetAside = c.AcceptGood
	}
	changes, err := c.save(ctx, db, info.Revision, o.Harbor, in)
	if err != nil {
		return err
	}
	o.Written, o.Revision = true, changes.Revision
	o.add(changes)
	return nil
}

// save writes the harbor. The database is made where there is none yet.
func (c *importCommand) save(ctx context.Context, db *store.Store, base int64, slug string, in *exchange.Import) (store.Changes, error) {
	if db == nil {
		var err error
		if db, err = store.Open(ctx, c.DB); err != nil {
			return store.Changes{}, err
		}
		defer db.Close()
	}
	return db.Save(ctx, slug, base, in.Harbor, store.Act{Who: c.Who, Why: c.Why, At: time.Now()})
}

// compare tells what would be written. Where there is no database yet it is held against an empty one, of which nothing stays.
func compare(ctx context.Context, db *store.Store, slug string, in *exchange.Import) (store.Changes, error) {
	if db == nil {
		dir, err := os.MkdirTemp("", "swingroom-dry-run-")
		if err != nil {
			return store.Changes{}, err
		}
		defer os.RemoveAll(dir)
		if db, err = store.Open(ctx, filepath.Join(dir, "empty.db")); err != nil {
			return store.Changes{}, err
		}
		defer db.Close()
	}
	return db.Compare(ctx, slug, in.Harbor)
}

// add counts and lists what was written, or would be.
func (o *outcome) add(changes store.Changes) {
	o.Added, o.Changed, o.Removed = len(changes.Added), len(changes.Changed), len(changes.Removed)
	o.list("added", changes.Added)
	o.list("changed", changes.Changed)
	o.list("removed", changes.Removed)
}

func (o *outcome) list(what string, changes []store.Change) {
	for _, ch := range changes {
		o.Changes = append(o.Changes, change{Noun: ch.Noun, Name: ch.Name, What: what, Fields: ch.Fields()})
	}
}

// setAside writes the bad rows of moorings.csv into a new file: an older one may hold rows that nobody has mended yet.
func setAside(path string, in *exchange.Import) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return fmt.Errorf("%s is there already and may hold rows that wait to be mended; name another file", path)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return in.WriteRejected(f)
}

// shown is how many lines of a kind the table prints before it only counts them.
const shown = 200

// print shows the report as people read it.
func (c *importCommand) print(w io.Writer, o *outcome) {
	printUpTo(w, "Problems:", o.Problems)
	printUpTo(w, "Noticed:", o.Notices)
	if o.Added < len(o.Changes) { // of a harbor that is all new there is nothing to compare
		o.printChanges(w)
	}
	problems := "problems"
	if len(o.Problems) == 1 {
		problems = "problem"
	}
	fmt.Fprintf(w, "%s: harbor %s, %d added, %d changed, %d removed, %d %s.\n", c.verb(o), o.Harbor, o.Added, o.Changed, o.Removed,
		len(o.Problems), problems)
	switch {
	case o.SetAside != "":
		fmt.Fprintf(w, "The bad rows are in %s: mend them there and import that folder.\n", o.SetAside)
	case o.Written:
		fmt.Fprintf(w, "Next: swingroom check --db %s    or    swingroom serve --db %s\n", c.DB, c.DB)
	case !o.DryRun:
		fmt.Fprintf(w, "Mend the files and import again, or take the good rows with --accept-good FILE.\n")
	}
}

// verb says in the report's last line what was done.
func (c *importCommand) verb(o *outcome) string {
	switch {
	case o.Written && len(o.Changes) == 0:
		return "Nothing has changed"
	case o.Written:
		return "Written to " + c.DB
	case o.DryRun && len(o.Problems) == 0:
		return "Dry run, nothing written; it would be"
	}
	return "Nothing was written"
}

func (o *outcome) printChanges(w io.Writer) {
	fmt.Fprintln(w, "Changes:")
	for i, ch := range o.Changes {
		if i == shown {
			fmt.Fprintf(w, "  ... and %d more\n", len(o.Changes)-shown)
			break
		}
		fmt.Fprintf(w, "  %s %s %s%s\n", ch.What, words(ch.Noun), ch.Name, fieldList(ch))
	}
}

func printUpTo[T fmt.Stringer](w io.Writer, heading string, list []T) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(w, heading)
	for i, item := range list {
		if i == shown {
			fmt.Fprintf(w, "  ... and %d more (--format json lists all)\n", len(list)-shown)
			break
		}
		fmt.Fprintf(w, "  %s\n", item)
	}
	fmt.Fprintln(w)
}

// fieldList tells the first fields that differ, before and after.
func fieldList(ch change) string {
	if ch.What != "changed" {
		return ""
	}
	text := ""
	for i, f := range ch.Fields {
		if i == 4 {
			return text + fmt.Sprintf(" ... (%d fields)", len(ch.Fields))
		}
		text += fmt.Sprintf("  %s: %s -> %s", f.Field, f.Before, f.After)
	}
	return text
}
