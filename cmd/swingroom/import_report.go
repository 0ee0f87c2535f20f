package main

import (
	"encoding/json"
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
	if !refused && len(in.Problems) > 0 && !c.DryRun {
		if err := setAside(c.AcceptGood, in); err != nil {
			return err
		}
		o.SetAside = c.AcceptGood
	}
	if !refused {
		if err := c.save(s, db, info, in, &o); err != nil {
			return err
		}
	}
	if c.Format == "json" {
		enc := json.NewEncoder(s.out)
		enc.SetIndent("", "  ")
		if err := enc.Encode(o); err != nil {
			return err
		}
	} else {
		c.print(s.out, &o)
	}
	if refused {
		return errRefused
	}
	return nil
}

// save writes the harbor, or finds out what a dry run would have written.
func (c *importCommand) save(s *session, db *store.Store, info store.Info, in *exchange.Import, o *outcome) error {
	act := store.Act{Who: c.Who, Why: c.Why, At: time.Now()}
	var changes store.Changes
	var err error
	if db == nil && !c.DryRun {
		if db, err = store.Open(s.ctx, c.DB); err != nil {
			return err
		}
		defer db.Close()
	}
	switch {
	case !c.DryRun:
		changes, err = db.Save(s.ctx, o.Harbor, info.Revision, in.Harbor, act)
	case db != nil:
		changes, err = db.Compare(s.ctx, o.Harbor, in.Harbor)
	default:
		o.Added = len(in.Harbor.Moorings) + len(in.Harbor.Areas) + len(in.Harbor.KeepOuts) + 1
		return nil
	}
	if err != nil {
		return err
	}
	o.Written = !c.DryRun
	if changes.Revision != 0 {
		o.Revision = changes.Revision
	}
	o.Added, o.Changed, o.Removed = len(changes.Added), len(changes.Changed), len(changes.Removed)
	for _, group := range []struct {
		what string
		list []store.Change
	}{{"added", changes.Added}, {"changed", changes.Changed}, {"removed", changes.Removed}} {
		for _, ch := range group.list {
			o.Changes = append(o.Changes, change{Noun: ch.Noun, Name: ch.Name, What: group.what, Fields: ch.Fields()})
		}
	}
	return nil
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

func (c *importCommand) print(w io.Writer, o *outcome) {
	printUpTo(w, "Problems:", o.Problems)
	printUpTo(w, "Noticed:", o.Notices)
	if len(o.Changes) > 0 && o.Added < len(o.Changes) {
		fmt.Fprintln(w, "Changes:")
		for i, ch := range o.Changes {
			if i == shown {
				fmt.Fprintf(w, "  ... and %d more\n", len(o.Changes)-shown)
				break
			}
			fmt.Fprintf(w, "  %s %s %s%s\n", ch.What, words(ch.Noun), ch.Name, fieldList(ch))
		}
	}
	verb := "Nothing was written"
	switch {
	case o.Written && o.Added+o.Changed+o.Removed == 0:
		verb = "Nothing has changed"
	case o.Written:
		verb = fmt.Sprintf("Written to %s", c.DB)
	case o.DryRun && len(o.Problems) == 0:
		verb = "Dry run, nothing written; it would be"
	}
	problems := "problems"
	if len(o.Problems) == 1 {
		problems = "problem"
	}
	fmt.Fprintf(w, "%s: harbor %s, %d added, %d changed, %d removed, %d %s.\n", verb, o.Harbor, o.Added, o.Changed, o.Removed,
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
