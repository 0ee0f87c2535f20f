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

// table is a CSV file that is being read row by row.
type table struct {
	dialect
	csv     *csv.Reader
	heading []string       // as it stands in the file
	columns map[string]int // lower-case name -> place
}

// openTable reads the heading. Columns of one name are a problem.
func (r *reader) openTable(text []byte) (*table, bool) {
	t := &table{dialect: dialectOf(text), columns: map[string]int{}}
	t.csv = csv.NewReader(bytes.NewReader(text))
	t.csv.Comma, t.csv.FieldsPerRecord, t.csv.LazyQuotes = t.comma, -1, true
	heading, err := t.csv.Read()
	if err != nil {
		r.problem(r.file, 1, "", "", "the first line has to name the columns")
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

// maxCell is the longest cell that is taken.
const maxCell = 10000

// next reads a row that is not empty. Rows of another length than the heading are a problem, and ok is false for them; trailing empty
// cells do not count.
func (r *reader) next(t *table) (row []string, line int, ok bool, err error) {
	for {
		row, err = t.csv.Read()
		if err != nil {
			var parse *csv.ParseError
			if errors.As(err, &parse) {
				r.problem(r.file, parse.Line, "", "", fmt.Sprintf("the quotes of this row do not close (%v)", parse.Err))
				err = io.EOF
			}
			return nil, 0, false, err
		}
		line, _ = t.csv.FieldPos(0)
		filled := len(row)
		for filled > 0 && strings.TrimSpace(row[filled-1]) == "" {
			filled--
		}
		if filled == 0 {
			continue
		}
		switch {
		case filled > len(t.heading):
			r.problem(r.file, line, "", strings.Join(row, string(t.comma)), fmt.Sprintf("the row has %d cells, the heading %d columns", len(row), len(t.heading)))
			return row, line, false, nil
		case slices.ContainsFunc(row, func(cell string) bool { return len(cell) > maxCell }):
			r.problem(r.file, line, "", "", fmt.Sprintf("a cell is longer than %d bytes", maxCell))
			return row, line, false, nil
		}
		for len(row) < len(t.heading) {
			row = append(row, "")
		}
		return row, line, true, nil
	}
}

// errNotANumber and its kin say what is wrong with a cell.
var (
	errNotANumber = errors.New("a number is wanted")
	errThousands  = errors.New("is that a thousands mark or a decimal mark? Write it without thousands marks")
)

// blank reports a cell that says that nothing is known.
func blank(cell string) bool {
	switch strings.ToLower(cell) {
	case "", "-", "–", "—", "?", "n/a", "na", "unknown", "null":
		return true
	}
	return false
}

// number reads a cell as a person writes it: 12.5, 12,5 where that can be nothing else, 12.5 ft with the column's own unit behind it, and in
// columns of feet 27'6".
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
