package exchange

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// What is read of a workbook: so much, unpacked, of all its parts together, and so wide a sheet. A file of a few kilobytes can unpack to
// gigabytes, and one cell in the last column can make a row of 16,384.
const (
	maxUnpacked   = 128 << 20
	maxSheetRows  = 1 << 20 // as many as a sheet can have
	maxSheetWidth = 512
)

func isXLSX(file string) bool { return strings.HasSuffix(file, ".xlsx") }

// sheetRows reads the first sheet of a workbook row by row (ECMA-376, part 1, 18.3.1). A formula is never worked out: the value that was
// kept with it is read, and a formula without one is refused. The library that writes workbooks gives such a formula as an empty cell,
// which here would wipe out what is on file, and a date either as the workbook shows it or as a bare number; so the cells are read here.
type sheetRows struct {
	xml       *xml.Decoder
	strings   []string
	dated     []bool // by style: its numbers are dates
	since1904 bool
	line      int
}

// openSheet opens the first sheet of a workbook.
func (r *reader) openSheet(text []byte) (*sheetRows, error) {
	zipped, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return nil, errors.New("it is no XLSX workbook; one with a password, or of another kind, has to be saved as XLSX without it")
	}
	b := &book{zip: zipped, left: maxUnpacked}
	s, sheets, err := b.firstSheet()
	if err != nil {
		return nil, fmt.Errorf("the workbook cannot be read: %w", err)
	}
	if len(sheets) > 1 {
		r.notice(r.file, 0, "the workbook has %d sheets; the first, %q, is read and the others are left alone", len(sheets), sheets[0])
	}
	return s, nil
}

func (s *sheetRows) offset() int { return 0 }

// read gives the next row of the sheet.
func (s *sheetRows) read() (cells []string, line int, faults []fault, err error) {
	start, err := s.nextRow()
	if err != nil {
		return nil, 0, nil, err
	}
	s.line++
	if n, err := strconv.Atoi(attr(start, "r")); err == nil && n > s.line {
		s.line = n
	}
	if s.line > maxSheetRows {
		return nil, 0, nil, &rowsError{s.line, fmt.Sprintf("a sheet has at most %d rows", maxSheetRows)}
	}
	cells, faults, err = s.row()
	return cells, s.line, faults, err
}

// nextRow reads on to the element of the next row; io.EOF where there is none.
func (s *sheetRows) nextRow() (start xml.StartElement, err error) {
	for {
		token, err := s.xml.Token()
		if errors.Is(err, io.EOF) {
			return start, io.EOF
		}
		if err != nil {
			return start, s.broken(err)
		}
		switch el := token.(type) {
		case xml.StartElement:
			if el.Name.Local == "row" {
				return el, nil
			}
		case xml.EndElement:
			if el.Name.Local == "sheetData" {
				return start, io.EOF
			}
		}
	}
}

func (s *sheetRows) broken(err error) error {
	return &rowsError{s.line, "the sheet cannot be read on from here: " + err.Error()}
}

// sheetRow is a row of a sheet while it is read.
type sheetRow struct {
	cells  []string
	faults []fault
	place  int // of the next cell, unless it has a name
}

// row reads the cells of a row up to its end.
func (s *sheetRows) row() (cells []string, faults []fault, err error) {
	var r sheetRow
	for {
		token, err := s.xml.Token()
		if err != nil {
			return nil, nil, s.broken(err)
		}
		switch el := token.(type) {
		case xml.EndElement:
			return r.cells, r.faults, nil
		case xml.StartElement:
			if err := s.readElement(&r, el); err != nil {
				return nil, nil, err
			}
		}
	}
}

// readElement reads a cell into its row; other elements of a row hold nothing that is read.
func (s *sheetRows) readElement(r *sheetRow, el xml.StartElement) error {
	if el.Name.Local != "c" {
		if err := s.xml.Skip(); err != nil {
			return s.broken(err)
		}
		return nil
	}
	ref := attr(el, "r")
	if ref != "" {
		r.place = columnOf(ref)
	}
	text, why, err := s.cell(el)
	switch {
	case err != nil:
		return s.broken(err)
	case r.put(text, why):
		return nil
	}
	return &rowsError{s.line, fmt.Sprintf("cell %s: at most %d columns are read", ref, maxSheetWidth)}
}

// put takes in the next cell; ok is false where it lies too far to the side. An empty cell there does not count.
func (r *sheetRow) put(text, why string) (ok bool) {
	if r.place < 0 || r.place >= maxSheetWidth {
		return text == ""
	}
	for len(r.cells) <= r.place {
		r.cells = append(r.cells, "")
	}
	r.cells[r.place] = text
	if why != "" {
		r.faults = append(r.faults, fault{r.place, text, why})
	}
	r.place++
	return true
}

// columnOf is the place of a cell's column, from its name: 0 for A1, 27 for AB7; less than 0 where it has none.
func columnOf(ref string) int {
	n := 0
	for i := 0; i < len(ref) && i < 4; i++ {
		c := ref[i] &^ 0x20 // upper case
		if c < 'A' || c > 'Z' {
			break
		}
		n = n*26 + int(c-'A') + 1
	}
	return n - 1
}

// cell reads one cell as CSV would hold it; why says what keeps it from being taken.
func (s *sheetRows) cell(start xml.StartElement) (text, why string, err error) {
	var value string
	var hasValue, hasFormula bool
	for {
		token, err := s.xml.Token()
		if err != nil {
			return "", "", err
		}
		switch el := token.(type) {
		case xml.EndElement:
			if hasFormula && !hasValue {
				return "", "a formula without a value stands here; put the value in its place, or save the workbook in a spreadsheet", nil
			}
			return s.valueOf(start, value)
		case xml.StartElement:
			if name := el.Name.Local; name == "v" || name == "is" {
				hasValue = true
				value, err = stringOf(s.xml, name == "v")
			} else {
				hasFormula = hasFormula || name == "f"
				err = s.xml.Skip()
			}
			if err != nil {
				return "", "", err
			}
		}
	}
}

// valueOf understands a value by the cell's type (ECMA-376, part 1, 18.18.11).
func (s *sheetRows) valueOf(start xml.StartElement, value string) (text, why string, err error) {
	trimmed := strings.TrimSpace(value)
	switch attr(start, "t") {
	case "s":
		text, err = s.shared(trimmed, attr(start, "r"))
		return text, "", err
	case "str", "inlineStr":
		return xlsxUnmarked(value), "", nil
	case "b":
		return strconv.FormatBool(trimmed == "1"), "", nil
	case "e":
		return value, "the formula of this cell has failed; put the value in its place", nil
	case "d":
		return trimmed, "", nil
	}
	return s.number(attr(start, "s"), trimmed), "", nil
}

// shared is the text that a cell names by its place among those of the workbook.
func (s *sheetRows) shared(place, ref string) (string, error) {
	i, err := strconv.Atoi(place)
	if err != nil || i < 0 || i >= len(s.strings) {
		return "", fmt.Errorf("cell %s names a text that is not there", ref)
	}
	return s.strings[i], nil
}

// number is a number as CSV would hold it, or the date that it stands for by its style.
func (s *sheetRows) number(style, value string) string {
	v, err := strconv.ParseFloat(value, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return value
	}
	if i, err := strconv.Atoi(style); err == nil && i >= 0 && i < len(s.dated) && s.dated[i] {
		if date, ok := serialDate(v, s.since1904); ok {
			return date
		}
	}
	if math.Abs(v) >= 1e21 {
		return value
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// The days from which workbooks count (ECMA-376, part 1, 18.17.4.1), and the number of 31 December 9999 by the first.
var (
	epoch1900 = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	epoch1904 = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
)

const maxSerial = 2958465

// serialDate is the date of a spreadsheet's number. Before 1 March 1900 spreadsheets are a day apart from each other, so that such a number
// is no date.
func serialDate(days float64, since1904 bool) (string, bool) {
	epoch, minDays := epoch1900, 61.0
	if since1904 {
		epoch, minDays = epoch1904, 0
	}
	if days < minDays || days > maxSerial {
		return "", false
	}
	whole := math.Floor(days)
	at := epoch.AddDate(0, 0, int(whole)).Add(time.Duration(math.Round((days-whole)*86400)) * time.Second)
	if at.Hour()+at.Minute()+at.Second() == 0 {
		return at.Format(time.DateOnly), true
	}
	return at.Format(time.DateTime), true
}

func attr(el xml.StartElement, name string) string {
	for _, a := range el.Attr {
		if a.Name.Local == name && (a.Name.Space == "" || name == "id") {
			return a.Value
		}
	}
	return ""
}
