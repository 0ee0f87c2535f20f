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
// kept with it is read, and a formula without one is refused.
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
func (s *sheetRows) read() (row []string, line int, faults []fault, err error) {
	for {
		token, err := s.xml.Token()
		if errors.Is(err, io.EOF) {
			return nil, 0, nil, io.EOF
		}
		if err != nil {
			return nil, 0, nil, s.broken(err)
		}
		switch el := token.(type) {
		case xml.StartElement:
			if el.Name.Local != "row" {
				continue
			}
			s.line++
			if n, err := strconv.Atoi(attr(el, "r")); err == nil && n > s.line {
				s.line = n
			}
			if s.line > maxSheetRows {
				return nil, 0, nil, &rowsError{s.line, fmt.Sprintf("a sheet has at most %d rows", maxSheetRows)}
			}
			row, faults, err = s.row()
			return row, s.line, faults, err
		case xml.EndElement:
			if el.Name.Local == "sheetData" {
				return nil, 0, nil, io.EOF
			}
		}
	}
}

func (s *sheetRows) broken(err error) error {
	return &rowsError{s.line, "the sheet cannot be read on from here: " + err.Error()}
}

// row reads the cells of a row up to its end.
func (s *sheetRows) row() (row []string, faults []fault, err error) {
	place := 0
	for {
		token, err := s.xml.Token()
		if err != nil {
			return nil, nil, s.broken(err)
		}
		switch el := token.(type) {
		case xml.EndElement:
			return row, faults, nil
		case xml.StartElement:
			if el.Name.Local != "c" {
				if err := s.xml.Skip(); err != nil {
					return nil, nil, s.broken(err)
				}
				continue
			}
			if ref := attr(el, "r"); ref != "" {
				place = columnOf(ref)
			}
			text, why, err := s.cell(el)
			if err != nil {
				return nil, nil, s.broken(err)
			}
			if place < 0 || place >= maxSheetWidth {
				if text == "" {
					continue
				}
				return nil, nil, &rowsError{s.line, fmt.Sprintf("cell %s: at most %d columns are read", attr(el, "r"), maxSheetWidth)}
			}
			for len(row) <= place {
				row = append(row, "")
			}
			row[place] = text
			if why != "" {
				faults = append(faults, fault{place, text, why})
			}
			place++
		}
	}
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
			switch el.Name.Local {
			case "v", "is":
				hasValue = true
				value, err = stringOf(s.xml, el.Name.Local == "v")
			case "f":
				hasFormula = true
				err = s.xml.Skip()
			default:
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
	switch attr(start, "t") {
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || i < 0 || i >= len(s.strings) {
			return "", "", fmt.Errorf("cell %s names a text that is not there", attr(start, "r"))
		}
		return s.strings[i], "", nil
	case "str", "inlineStr":
		return xlsxUnmarked(value), "", nil
	case "b":
		return map[bool]string{true: "true", false: "false"}[strings.TrimSpace(value) == "1"], "", nil
	case "e":
		return value, "the formula of this cell has failed; put the value in its place", nil
	case "d":
		return strings.TrimSpace(value), "", nil
	}
	return s.number(attr(start, "s"), strings.TrimSpace(value)), "", nil
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

// serialDate is the date of a spreadsheet's number: days since 30 December 1899, or since 1 January 1904 (ECMA-376, part 1, 18.17.4.1).
// Before 1 March 1900 spreadsheets are a day apart from each other, so that such a number is no date.
func serialDate(days float64, since1904 bool) (string, bool) {
	epoch := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if since1904 {
		epoch = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	if days < 0 || days < 61 && !since1904 || days > 2958465 { // 31 December 9999
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
