package main

import (
	"cmp"
	"strings"

	"swingroom/api/paper"
	"swingroom/api/store"
	"swingroom/geo"
)

type historyCommand struct {
	What   string    `arg:"" optional:"" help:"Number of a mooring, or name of what --noun says; without it everything."`
	DB     string    `help:"Database file." default:"swingroom.db" env:"SWINGROOM_DB" placeholder:"FILE"`
	Harbor string    `help:"Harbor, by its short name; not needed when the database holds only one." placeholder:"NAME"`
	Noun   string    `help:"mooring, owner, waiting, note, area, keep_out or harbor." default:"mooring"`
	Count  int       `help:"How many of the last changes." short:"n" default:"50"`
	Format string    `help:"table or json; as CSV or XLSX: swingroom export." enum:"table,json" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (historyCommand) Help() string {
	return `Newest first, field by field.

Examples:
  swingroom history 217 --db harbor.db
  swingroom history -n 10
  swingroom history "North Roads" --noun area
  swingroom check --as-of 2026-03-01           (any reading command: the field as it stood)`
}

// historyRow is one change as a script reads it.
type historyRow struct {
	store.Change
	Fields []store.FieldChange `json:"fields"`
}

// Run prints the last changes.
func (c *historyCommand) Run(s *session) error {
	db, err := openExisting(s.ctx, c.DB)
	if err != nil {
		return err
	}
	defer db.Close()
	harbor, info, err := db.Harbor(s.ctx, c.Harbor)
	if err != nil {
		return err
	}
	page := store.Page{Name: c.What, Limit: max(c.Count, 1)}
	if c.What != "" {
		page.Noun = c.Noun
	}
	changes, err := db.HistoryPage(s.ctx, info.Slug, page)
	if err != nil {
		return err
	}
	if c.Format == "json" {
		rows := make([]historyRow, len(changes))
		for i, x := range changes {
			rows[i] = historyRow{x, x.Fields()}
		}
		return writeJSON(s.out, rows)
	}
	t := newTable(s.out, "When", "Who", "Why", "What", "Field", "Before", "After")
	units := cmp.Or(c.Units, harbor.Units)
	const mostFields = 12 // of one change; the other formats have all
	for _, x := range changes {
		when, who, why, what := x.At.Local().Format("2006-01-02 15:04"), x.Who, x.Why, x.Noun+" "+x.Name
		for i, f := range x.Fields() {
			if i == mostFields {
				t.row("", "", "", "", "…", "", "")
				break
			}
			t.row(when, who, why, what, paper.FieldName(f.Field, units), oneLine(paper.FieldValue(f.Field, f.Before, units)),
				oneLine(paper.FieldValue(f.Field, f.After, units)))
			when, who, why, what = "", "", "", ""
		}
	}
	t.end("nothing is on record of it")
	return nil
}

// oneLine is a text for one cell of a table, cut where it is long.
func oneLine(text string) string {
	const most = 60
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}
