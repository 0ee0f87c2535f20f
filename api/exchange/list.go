package exchange

import (
	"fmt"
	"io"
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

// sheets make the lists of a harbor.
var sheets = map[string]func(*geo.Harbor, geo.Units) sheet{
	"moorings": func(h *geo.Harbor, u geo.Units) sheet { return sheetOf(mooringList, h.Moorings, u) },
	"tackle":   func(h *geo.Harbor, u geo.Units) sheet { return sheetOf(tackleList, listedParts(h), u) },
	"owners":   func(h *geo.Harbor, u geo.Units) sheet { return sheetOf(ownerList, h.Owners, u) },
	"waiting":  func(h *geo.Harbor, u geo.Units) sheet { return sheetOf(waitingList, h.Waiting, u) },
	"notes":    func(h *geo.Harbor, u geo.Units) sheet { return sheetOf(noteList, h.Notes, u) },
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
	make, ok := sheets[list]
	if !ok {
		return fmt.Errorf("list %q: %w", list, geo.ErrNotFound)
	}
	return make(h, units).write(w, list, format)
}

// WriteHistory writes the list of changes.
func WriteHistory(w io.Writer, events []Event, format Format) error {
	return sheetOf(historyList, events, geo.UnitsMetres).write(w, HistoryList, format)
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
