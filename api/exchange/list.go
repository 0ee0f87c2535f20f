package exchange

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"time"

	"swingroom/geo"
)

// Format is how a list is written.
type Format string

const (
	// CSV is comma-separated, in UTF-8 with a byte order mark: spreadsheets on Windows take a file without one for the system's own
	// encoding and spoil every name that is not plain English; the reader takes the mark off.
	CSV Format = "csv"
	// XLSX is a workbook of one sheet (ECMA-376): texts are texts and never formulas, numbers and dates are such.
	XLSX Format = "xlsx"
)

// Formats are all of them.
func Formats() []Format { return []Format{CSV, XLSX} }

// MediaType is the format's name on the web: RFC 4180 with RFC 7111 for CSV, that registered with IANA for XLSX.
func (f Format) MediaType() string {
	if f == XLSX {
		return "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	}
	return "text/csv; charset=utf-8"
}

// List is a list that is given out.
type List struct {
	Name  string // and of its file, without the ending
	Words string // what it holds
	// Read: import takes the same file in again, over the same harbor without any change. What is not read is for looking at.
	Read bool
}

// HistoryList is the name of the list of changes, which WriteHistory writes.
const HistoryList = "history"

// Lists are all lists that are given out.
func Lists() []List {
	return []List{
		{"moorings", "the moorings, with their boats and permits", true},
		{"tackle", "the tackle of the moorings, one part a row", true},
		{"owners", "the owners, and how to reach them", true},
		{"waiting", "the waiting list", true},
		{"notes", "the notes on moorings and on the harbor", true},
		{HistoryList, "every change, with who, when and why", false},
	}
}

// Event is a row of the list of changes: one field that has changed, or a thing that was added or removed.
type Event struct {
	Revision      int64
	At            time.Time
	Who, Why      string
	Noun, Name    string
	What          string // added, changed or removed
	Field         string // of what has changed, as it is spelled in JSON
	Before, After string // as JSON
}

// Write writes a list of the harbor in its units, or in those given. geo.ErrNotFound where there is no such list, geo.ErrInvalid for other
// units or another format. What is written as CSV or XLSX is read by ReadFolder over the same harbor without any change.
func Write(w io.Writer, list string, h *geo.Harbor, units geo.Units, format Format) error {
	if units == "" {
		units = h.Units
	}
	if units != geo.UnitsFeet && units != geo.UnitsMetres {
		return fmt.Errorf("units %q: %w; feet or metres is expected", string(units), geo.ErrInvalid)
	}
	makers := map[string]func(*geo.Harbor, geo.Units) sheet{"moorings": mooringSheet, "tackle": tackleSheet, "owners": ownerSheet,
		"waiting": waitingSheet, "notes": noteSheet}
	make, ok := makers[list]
	if !ok {
		return fmt.Errorf("list %q: %w", list, geo.ErrNotFound)
	}
	return make(h, units).write(w, list, format)
}

// WriteHistory writes the list of changes.
func WriteHistory(w io.Writer, events []Event, format Format) error {
	s := sheet{columns: []column{{"revision", narrow}, {"at", middling}, {"who", middling}, {"why", wide}, {"noun", narrow},
		{"name", middling}, {"what", narrow}, {"field", middling}, {"before", wide}, {"after", wide}}}
	for _, e := range events {
		s.rows = append(s.rows, []cell{number(strconv.FormatInt(e.Revision, 10)), word(e.At.UTC().Format(time.RFC3339)), word(e.Who),
			word(e.Why), word(e.Noun), word(e.Name), word(e.What), word(e.Field),
			word(cut(e.Before)), word(cut(e.After))})
	}
	return s.write(w, HistoryList, format)
}

// cut shortens what nobody reads in a cell, as the corners of an area.
func cut(text string) string {
	const most = 2000
	if r := []rune(text); len(r) > most {
		return fmt.Sprintf("%s... (%d characters)", string(r[:most]), len(r))
	}
	return text
}

// sheet is a list ready to be written.
type sheet struct {
	columns []column
	rows    [][]cell
}

// column is a heading, with its unit, and how wide it is shown, in characters.
type column struct {
	name  string
	width float64
}

const (
	narrow     = 11
	coordinate = 18
	middling   = 22
	wide       = 48
)

// cell is a text, or a number or a date written out.
type cell struct {
	text string
	kind cellKind
}

type cellKind int

const (
	wordCell cellKind = iota
	numberCell
	dateCell
	unknownCell
)

func word(text string) cell    { return cell{text, wordCell} }
func number(text string) cell  { return cell{text, numberCell} }
func date(day geo.Date) cell   { return cell{string(day), dateCell} }
func degrees(deg float64) cell { return cell{strconv.FormatFloat(deg, 'f', -1, 64), numberCell} }

// unknown says that a thing is there of which nothing is on record.
func unknown() cell { return cell{"?", unknownCell} }

// amount is a figure in the unit of its column; empty where it is not on record.
func amount[T ~float64](m geo.Maybe[T], unit string) cell {
	v, known := m.Get()
	if !known {
		return number("")
	}
	return number(figure(float64(v), unitMetres[unit]))
}

func (s sheet) write(w io.Writer, name string, format Format) error {
	switch format {
	case CSV:
		return s.writeCSV(w)
	case XLSX:
		return s.writeXLSX(w, name)
	}
	return fmt.Errorf("format %q: %w; one of %v is expected", string(format), geo.ErrInvalid, Formats())
}

// unitsOf are the units of a system: of lengths, sizes and weights.
func unitsOf(units geo.Units) (long, thin, heavy string) {
	if units == geo.UnitsFeet {
		return "ft", "in", "lb"
	}
	return "m", "mm", "kg"
}

// unitIn is the one of a column's units that belongs to a system.
func unitIn(units geo.Units, of []string) string {
	long, thin, heavy := unitsOf(units)
	for _, unit := range []string{long, thin, heavy} {
		if slices.Contains(of, unit) {
			return unit
		}
	}
	return of[0]
}
