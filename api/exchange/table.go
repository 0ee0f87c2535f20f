package exchange

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// rows is what a table is read from, a row at a time: CSV or a sheet of XLSX.
type rows interface {
	// read gives the next row and its line; io.EOF after the last. Cells that cannot be taken are named beside it.
	read() (cells []string, line int, faults []fault, err error)
	// offset is how many bytes of the file have been read, as far as it is known.
	offset() int
}

// fault is a cell that cannot be taken, by its place in the row.
type fault struct {
	at        int
	got, want string
}

// rowsError ends the reading of a table.
type rowsError struct {
	line int
	want string
}

func (e *rowsError) Error() string { return e.want }

// table is a file of rows under a heading that is being read row by row.
type table struct {
	*reader
	dialect
	file    string
	rows    rows
	heading []string       // as it stands in the file
	names   []string       // the same in lower case, without space around it
	texts   map[string]int // columns of words -> their places
	kept    []string       // the last row as it stands in the file, where keep says so
	keep    bool
	unknown []bool // of each cell of the last row: it says that something is there that is not known
}

// report notes a problem of the table.
func (t *table) report(line int, column, got, want string) {
	t.problem(t.file, line, column, got, want)
}

// openTable reads the heading. Columns of one name are a problem.
func (r *reader) openTable(text []byte) (*table, bool) {
	t := &table{reader: r, dialect: dialect{comma: ','}, file: r.file, texts: map[string]int{}}
	if err := t.open(text); err != nil {
		t.report(0, "", "", err.Error())
		return nil, false
	}
	heading, _, _, err := t.rows.read()
	if err != nil {
		t.report(1, "", "", t.headingProblem(err))
		return nil, false
	}
	t.heading = slices.Clone(heading)
	return t, t.nameColumns()
}

// open finds out what the rows are read from.
func (t *table) open(text []byte) (err error) {
	if isXLSX(t.file) {
		t.rows, err = t.openSheet(text)
		return err
	}
	t.dialect = dialectOf(text)
	t.rows = newCSVRows(text, t.dialect)
	return nil
}

// headingProblem says why there is no heading.
func (t *table) headingProblem(err error) string {
	var broken *rowsError
	if isXLSX(t.file) && errors.As(err, &broken) {
		return broken.want
	}
	return "the first line has to name the columns"
}

// nameColumns fills in the names of the columns; none may stand twice.
func (t *table) nameColumns() (good bool) {
	good = true
	seen := map[string]bool{}
	for _, name := range t.heading {
		name = strings.ToLower(strings.TrimSpace(name))
		if seen[name] {
			t.report(1, name, "", "there are two columns of that name")
			good = false
		}
		seen[name] = name != ""
		t.names = append(t.names, name)
	}
	return good
}

// name is the name of a column by its place, for messages.
func (t *table) name(at int) string {
	if at < len(t.names) {
		return t.names[at]
	}
	return fmt.Sprintf("column %d", at+1)
}

// maxCell is the longest cell that is taken, in bytes: the longest text of the core in any script, with marks.
const maxCell = 1 << 16

// next reads a row that is not empty, its cells without the marks of a text. Rows of another length than the heading are a problem, and ok
// is false for them; trailing empty cells do not count. The error is io.EOF at the end, also where a fault ends the table early.
func (t *table) next() (cells []string, line int, ok bool, err error) {
	for {
		var faults []fault
		if cells, line, faults, err = t.rows.read(); err != nil {
			return nil, 0, false, t.ended(err)
		}
		filled := countFilled(cells)
		if filled == 0 && len(faults) == 0 {
			continue
		}
		if t.keep {
			t.kept = slices.Clone(cells)
		}
		ok = t.fits(cells, line, filled, faults)
		return t.unmark(cells), line, ok, nil
	}
}

// ended tells why there are no more rows.
func (t *table) ended(err error) error {
	var broken *rowsError
	if errors.As(err, &broken) {
		t.report(broken.line, "", "", broken.want)
		return io.EOF
	}
	return err
}

// countFilled is how many cells a row has without the empty ones at its end.
func countFilled(cells []string) int {
	filled := len(cells)
	for filled > 0 && strings.TrimSpace(cells[filled-1]) == "" {
		filled--
	}
	return filled
}

// unmark takes the marks off the cells, notes which say that something is not known, and makes the row as long as the heading.
func (t *table) unmark(cells []string) []string {
	t.unknown = t.unknown[:0]
	for i, cell := range cells {
		t.unknown = append(t.unknown, saysUnknown(strings.TrimSpace(cell)))
		cells[i] = unmarked(cell)
	}
	for len(cells) < len(t.heading) {
		cells, t.unknown = append(cells, ""), append(t.unknown, false)
	}
	return cells
}

// fits tells what is wrong with a row as such.
func (t *table) fits(cells []string, line, filled int, faults []fault) bool {
	if filled > len(t.heading) {
		t.report(line, "", strings.Join(cells, string(t.comma)),
			fmt.Sprintf("the row has %d cells, the heading %d columns", len(cells), len(t.heading)))
		return false
	}
	for _, f := range faults {
		t.report(line, t.name(f.at), f.got, f.want)
	}
	return t.shortCells(cells, line) && len(faults) == 0
}

// shortCells refuses cells that are too long.
func (t *table) shortCells(cells []string, line int) (good bool) {
	good = true
	for at, cell := range cells {
		if len(cell) > maxCell {
			t.report(line, t.name(at), cell, fmt.Sprintf("the cell is longer than %d bytes", maxCell))
			good = false
		}
	}
	return good
}
