package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"swingroom/geo"
)

// units shows lengths as the user reads them.
type units struct{ feet bool }

// unitsFlag are the units of what people read.
type unitsFlag struct {
	Units geo.Units `help:"feet or metres; the harbor's own unless given." enum:"feet,metres," default:""`
}

// unitsOf takes what was asked for, or the harbor's own.
func (f unitsFlag) unitsOf(h *geo.Harbor) units {
	return units{feet: cmp.Or(f.Units, h.Units) == geo.UnitsFeet}
}

// length shows metres to the decimetre, or the same in feet.
func (u units) length(metres float64) string {
	if u.feet {
		return fmt.Sprintf("%.1f ft", geo.Metres(metres).Feet())
	}
	return fmt.Sprintf("%.1f m", metres)
}

// figure shows a figure of the core's in a unit: m, N, kg or mm; in feet, pounds and inches where those are shown.
func (u units) figure(v float64, unit string) string { return geo.Figure(v, unit, u.units()) }

func (u units) units() geo.Units {
	if u.feet {
		return geo.UnitsFeet
	}
	return geo.UnitsMetres
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

// metres and newtons show a value with its own type.
func (u units) metres(m geo.Metres) string   { return u.length(float64(m)) }
func (u units) newtons(n geo.Newtons) string { return u.force(float64(n)) }

// force shows newtons, or pounds force beside feet.
func (u units) force(newtons float64) string {
	if u.feet {
		return fmt.Sprintf("%.0f lb", newtons/float64(geo.PoundsForce(1)))
	}
	return fmt.Sprintf("%.0f N", newtons)
}

// perLength shows a weight per length.
func (u units) perLength(newtonsPerM float64) string {
	if u.feet {
		return fmt.Sprintf("%.2f lb/ft", newtonsPerM/float64(geo.PoundsForce(1))*geo.MetresPerFoot)
	}
	return fmt.Sprintf("%.2f N/m", newtonsPerM)
}

// maybe shows a value that may not be known.
func maybe[T any](v geo.Maybe[T], show func(T) string) string {
	if x, known := v.Get(); known {
		return show(x)
	}
	return "unknown"
}
