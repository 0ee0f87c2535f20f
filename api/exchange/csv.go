package exchange

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

func firstInvalidUTF8(text []byte) int {
	if utf8.Valid(text) {
		return -1
	}
	for at := 0; at < len(text); {
		c, size := utf8.DecodeRune(text[at:])
		if c == utf8.RuneError && size == 1 {
			return at
		}
		at += size
	}
	return -1
}

// dialect is how a spreadsheet wrote a table.
type dialect struct {
	comma        rune
	decimalComma bool // 12,5 is twelve and a half: with semicolons or tabs between the cells
}

func dialectOf(text []byte) dialect {
	heading, _, _ := bytes.Cut(text, []byte("\n"))
	d := dialect{comma: ','}
	for _, c := range ";\t" {
		if bytes.Count(heading, []byte(string(c))) > bytes.Count(heading, []byte(string(d.comma))) {
			d = dialect{comma: c, decimalComma: true}
		}
	}
	return d
}

// rows is what a table is read from, a row at a time: CSV or a sheet of XLSX.
type rows interface {
	// read gives the next row and its line; io.EOF after the last. Cells that cannot be taken are named beside it.
	read() (row []string, line int, faults []fault, err error)
	// offset is how many bytes of the file have been read, as far as it is known.
	offset() int
}

// fault is a cell that cannot be taken, by its place in the row.
type fault struct {
	at        int
	got, want string
}

type csvRows struct{ *csv.Reader }

func newCSVRows(text []byte, d dialect) csvRows {
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.ReuseRecord = d.comma, -1, true, true
	return csvRows{r}
}

func (c csvRows) read() (row []string, line int, faults []fault, err error) {
	if row, err = c.Read(); err != nil {
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			err = &rowsError{parse.Line, fmt.Sprintf("the quotes of this row do not close (%v)", parse.Err)}
		}
		return nil, 0, nil, err
	}
	line, _ = c.FieldPos(0)
	return row, line, nil, nil
}

func (c csvRows) offset() int { return int(c.InputOffset()) }

// rowsError ends the reading of a table.
type rowsError struct {
	line int
	want string
}

func (e *rowsError) Error() string { return e.want }

// table is a file of rows under a heading that is being read row by row.
type table struct {
	dialect
	rows
	heading []string       // as it stands in the file
	columns map[string]int // lower-case name -> place
	kept    []string       // the last row as it stands in the file, where keep says so
	keep    bool
	unknown []bool // of each cell of the last row: it says that something is there that is not known
}

// openTable reads the heading. Columns of one name are a problem.
func (r *reader) openTable(text []byte) (*table, bool) {
	t := &table{dialect: dialect{comma: ','}, columns: map[string]int{}}
	if isXLSX(r.file) {
		sheet, err := r.openSheet(text)
		if err != nil {
			r.problem(r.file, 0, "", "", err.Error())
			return nil, false
		}
		t.rows = sheet
	} else {
		t.dialect = dialectOf(text)
		t.rows = newCSVRows(text, t.dialect)
	}
	heading, _, _, err := t.read()
	if err != nil {
		want := "the first line has to name the columns"
		var broken *rowsError
		if isXLSX(r.file) && errors.As(err, &broken) {
			want = broken.want
		}
		r.problem(r.file, 1, "", "", want)
		return nil, false
	}
	t.heading = slices.Clone(heading)
	good := true
	for i, name := range t.heading {
		name = strings.ToLower(strings.TrimSpace(name))
		if name == "" {
			continue
		}
		if _, twice := t.columns[name]; twice {
			r.problem(r.file, 1, name, "", "there are two columns of that name")
			good = false
		}
		t.columns[name] = i
	}
	return t, good
}

// maxCell is the longest cell that is taken, in bytes: the longest text of the core in any script, with marks.
const maxCell = 1 << 16

// word is the text of a column of words in the row that was read last: empty where the cell says that it is not known.
func (t *table) word(row []string, at int) string {
	if t.unknown[at] {
		return ""
	}
	return row[at]
}

// next reads a row that is not empty, its cells without the marks of a text. Rows of another length than the heading are a problem, and ok
// is false for them; trailing empty cells do not count.
func (r *reader) next(t *table) (row []string, line int, ok bool, err error) {
	for {
		var faults []fault
		row, line, faults, err = t.read()
		if err != nil {
			var broken *rowsError
			if errors.As(err, &broken) {
				r.problem(r.file, broken.line, "", "", broken.want)
				err = io.EOF
			}
			return nil, 0, false, err
		}
		filled := len(row)
		for filled > 0 && strings.TrimSpace(row[filled-1]) == "" {
			filled--
		}
		if filled == 0 && len(faults) == 0 {
			continue
		}
		if t.keep {
			t.kept = slices.Clone(row)
		}
		ok = r.fitting(t, row, line, filled, faults)
		t.unknown = t.unknown[:0]
		for i, cell := range row {
			t.unknown = append(t.unknown, saysUnknown(strings.TrimSpace(cell)))
			row[i] = unmarked(cell)
		}
		for len(row) < len(t.heading) {
			row, t.unknown = append(row, ""), append(t.unknown, false)
		}
		return row, line, ok, nil
	}
}

// fitting tells what is wrong with a row as such.
func (r *reader) fitting(t *table, row []string, line, filled int, faults []fault) bool {
	name := func(at int) string {
		if at < len(t.heading) {
			return strings.ToLower(strings.TrimSpace(t.heading[at]))
		}
		return fmt.Sprintf("column %d", at+1)
	}
	if filled > len(t.heading) {
		r.problem(r.file, line, "", strings.Join(row, string(t.comma)),
			fmt.Sprintf("the row has %d cells, the heading %d columns", len(row), len(t.heading)))
		return false
	}
	good := true
	for _, f := range faults {
		r.problem(r.file, line, name(f.at), f.got, f.want)
		good = false
	}
	for at, cell := range row {
		if len(cell) > maxCell {
			r.problem(r.file, line, name(at), cell, fmt.Sprintf("the cell is longer than %d bytes", maxCell))
			good = false
		}
	}
	return good
}

// errNotANumber and its kin say what is wrong with a cell.
var (
	errNotANumber = errors.New("a number is expected")
	errThousands  = errors.New("is that a thousands mark or a decimal mark? Write it without thousands marks")
)

// number reads a cell as a person writes it: 12.5, 12,5 where that can be nothing else, 12.5 ft with the column's own unit behind it, and
// in columns of feet 27'6".
func (d dialect) number(cell, unit string) (float64, error) {
	text := strings.TrimSpace(cell)
	if unit == "ft" {
		if v, ok := feetAndInches(text); ok {
			return v, nil
		}
	}
	text = strings.TrimSpace(strings.TrimSuffix(strings.ToLower(text), unit))
	commas, points := strings.Count(text, ","), strings.Count(text, ".")
	switch {
	case commas == 0:
	case commas > 1 || points > 0:
		return 0, errThousands
	default:
		_, after, _ := strings.Cut(text, ",")
		if !d.decimalComma && len(after) == 3 {
			return 0, errThousands
		}
		text = strings.Replace(text, ",", ".", 1)
	}
	if strings.ContainsAny(text, "xXpPiInN_") { // hexadecimal, infinity and nan are no figures of a mooring
		return 0, errNotANumber
	}
	v, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
	if err != nil {
		return 0, errNotANumber
	}
	return v, nil
}

var inchMarks = strings.NewReplacer("′", "'", "’", "'", "″", `"`, "”", `"`, "''", `"`, " ", "")

// feetAndInches reads 27'6" and 27'.
func feetAndInches(text string) (float64, bool) {
	feet, inches, ok := strings.Cut(inchMarks.Replace(text), "'")
	if !ok {
		return 0, false
	}
	f, err := strconv.ParseUint(feet, 10, 16)
	if err != nil {
		return 0, false
	}
	if inches == "" {
		return float64(f), true
	}
	i, err := strconv.ParseFloat(strings.TrimSuffix(inches, `"`), 64)
	if err != nil || i < 0 || i >= 12 {
		return 0, false
	}
	return float64(f) + i/12, true
}
