package main

import (
	"io"
	"strings"

	"swingroom/api/paper"
	"swingroom/api/store"
	"swingroom/geo"
)

type historyCommand struct {
	What string `arg:"" optional:"" help:"Number of a mooring, or name of what --noun says; without it everything."`
	onFile
	Noun   string `help:"mooring, owner, waiting, note, area, keep_out or harbor." default:"mooring"`
	Count  int    `help:"How many of the last changes." short:"n" default:"50"`
	Format string `help:"table or json; as CSV or XLSX: swingroom export." enum:"table,json" default:"table"`
	unitsFlag
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
	rows := make([]historyRow, len(changes))
	for i, x := range changes {
		rows[i] = historyRow{x, x.Fields()}
	}
	return s.print(c.Format, output{json: rows, table: func(w io.Writer) { historyTable(w, rows, c.unitsOf(harbor).units()) }})
}

// maxFieldsShown is how many fields of one change the table shows: the other formats have all.
const maxFieldsShown = 12

func historyTable(w io.Writer, rows []historyRow, u geo.Units) {
	t := newTable(w, "When", "Who", "Why", "What", "Field", "Before", "After")
	for _, x := range rows {
		lead := []string{x.At.Local().Format("2006-01-02 15:04"), x.Who, x.Why, x.Noun + " " + x.Name}
		for i, f := range x.Fields {
			if i == maxFieldsShown {
				t.row("", "", "", "", "…", "", "")
				break
			}
			t.row(append(lead, paper.FieldName(f.Field, u), oneLine(paper.FieldValue(f.Field, f.Before, u)),
				oneLine(paper.FieldValue(f.Field, f.After, u)))...)
			lead = []string{"", "", "", ""}
		}
	}
	t.end("nothing is on record of it")
}

// maxCell is how many characters of a text stand in a cell of a table.
const maxCell = 60

// oneLine is a text for one cell of a table, cut where it is long.
func oneLine(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > maxCell {
		return string(r[:maxCell-1]) + "…"
	}
	return text
}
