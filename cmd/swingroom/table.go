package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// units shows lengths as the user reads them.
type units struct{ feet bool }

// unitsOf takes what was asked for, or the harbor's own.
func unitsOf(asked geo.Units, field *clearance.Field) units {
	if asked == "" {
		asked = field.Harbor().Units
	}
	return units{feet: asked == geo.UnitsFeet}
}

// length shows metres to the decimetre, or the same in feet.
func (u units) length(metres float64) string {
	if u.feet {
		return fmt.Sprintf("%.1f ft", geo.Metres(metres).Feet())
	}
	return fmt.Sprintf("%.1f m", metres)
}

// table is a text table that says so when it is empty.
type table struct {
	out  io.Writer
	tabs *tabwriter.Writer
	rows int
}

func newTable(out io.Writer, headings ...string) *table {
	t := &table{out: out, tabs: tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)}
	fmt.Fprintln(t.tabs, strings.Join(headings, "\t"))
	return t
}

func (t *table) row(cells ...string) {
	t.rows++
	fmt.Fprintln(t.tabs, strings.Join(cells, "\t"))
}

// end prints the table, or a line in its place when there is no row.
func (t *table) end(empty string) {
	if t.rows == 0 {
		fmt.Fprintf(t.out, "(%s)\n\n", empty)
		return
	}
	t.tabs.Flush()
	fmt.Fprintln(t.out)
}

// words turns a code such as closed_water into what a person reads.
func words(code string) string { return strings.ReplaceAll(code, "_", " ") }

func orText(text, alternative string) string {
	if text == "" {
		return alternative
	}
	return text
}

// plainCell keeps a spreadsheet from running a text as a formula.
func plainCell(text string) string {
	if text != "" && strings.ContainsRune("=+@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}
