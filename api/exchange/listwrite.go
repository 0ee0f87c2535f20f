package exchange

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"swingroom/geo"
)

// byteOrderMark is U+FEFF in UTF-8.
const byteOrderMark = "\xef\xbb\xbf"

// writeCSV writes RFC 4180 with plain line feeds. A text with a figure in it stands in quotes, by which a spreadsheet can be told to leave
// it a text: 007 is a number painted on a buoy. The reader turns a carriage return and line feed within a cell into a line feed, as files
// get that were carried between systems; one that is on record is written with a second carriage return and comes back as it was.
func (s sheet) writeCSV(w io.Writer) error {
	out := bufio.NewWriter(w)
	_, _ = out.WriteString(byteOrderMark) // a bufio.Writer keeps its first error for Flush
	for i, c := range s.columns {
		writeCell(out, i, c.name, false)
	}
	_ = out.WriteByte('\n')
	for _, cells := range s.rows {
		for i, c := range cells {
			switch c.kind {
			case wordCell:
				writeCell(out, i, strings.ReplaceAll(marked(c.text), "\r\n", "\r\r\n"), looksOtherwise(c.text))
			case dateCell:
				writeCell(out, i, marked(c.text), false)
			default:
				writeCell(out, i, c.text, false)
			}
		}
		_ = out.WriteByte('\n')
	}
	return out.Flush()
}

// looksOtherwise reports a text that a spreadsheet may take for a number, a date or a truth.
func looksOtherwise(text string) bool {
	return strings.ContainsFunc(text, unicode.IsDigit) || strings.EqualFold(text, "true") || strings.EqualFold(text, "false")
}

func writeCell(out *bufio.Writer, at int, text string, quoted bool) {
	if at > 0 {
		_ = out.WriteByte(',')
	}
	if quoted || strings.ContainsAny(text, "\",\r\n") || text != strings.TrimSpace(text) {
		text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	_, _ = out.WriteString(text)
}

// maxSheetCell is the longest text that a cell of XLSX holds, in units of UTF-16. Source: the limits that Microsoft publishes for Excel,
// "total number of characters that a cell can contain".
const maxSheetCell = 32767

var errSheetCell = errors.New("a text is too long for a cell of XLSX; CSV has no such limit")

// styles are the looks of cells by their kind.
type styles struct{ heading, date int }

func stylesOf(f *excelize.File) (s styles, err error) {
	days := "yyyy-mm-dd"
	for _, x := range []struct {
		to    *int
		style excelize.Style
	}{{&s.heading, excelize.Style{Font: &excelize.Font{Bold: true}}}, {&s.date, excelize.Style{CustomNumFmt: &days}}} {
		style := x.style
		if *x.to, err = f.NewStyle(&style); err != nil {
			return s, err
		}
	}
	return s, nil
}

// writeXLSX writes a workbook of one sheet whose heading stays in sight.
func (s sheet) writeXLSX(w io.Writer, name string) (err error) {
	f := excelize.NewFile()
	defer func() { err = errors.Join(err, f.Close()) }()
	if err := f.SetSheetName(f.GetSheetName(0), name); err != nil {
		return err
	}
	looks, err := stylesOf(f)
	if err != nil {
		return err
	}
	out, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	for i, c := range s.columns {
		if err := out.SetColWidth(i+1, i+1, c.width); err != nil {
			return err
		}
	}
	if err := out.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	row := make([]any, len(s.columns))
	for i, c := range s.columns {
		row[i] = excelize.Cell{StyleID: looks.heading, Value: c.name}
	}
	if err := out.SetRow("A1", row); err != nil {
		return err
	}
	for i, cells := range s.rows {
		for j, c := range cells {
			if row[j], err = looks.value(c); err != nil {
				return fmt.Errorf("%s, row %d, %s: %w", name, i+2, s.columns[j].name, err)
			}
		}
		if err := out.SetRow("A"+strconv.Itoa(i+2), row); err != nil {
			return err
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	var body bytes.Buffer // what has gone wrong by the end is not sent in part
	if err := f.Write(&body); err != nil {
		return err
	}
	_, err = body.WriteTo(w)
	return err
}

// value is a cell as the workbook takes it; nothing for an empty one.
func (s styles) value(c cell) (any, error) {
	if c.text == "" {
		return nil, nil
	}
	switch c.kind {
	case unknownCell:
		return c.text, nil
	case numberCell:
		return strconv.ParseFloat(c.text, 64)
	case dateCell:
		// The days before 1 March 1900 have no number that spreadsheets agree on, and a date that is none stays what it is.
		if at, err := time.Parse(time.DateOnly, c.text); err == nil && geo.Date(c.text).Valid() == nil && at.Year() > 1900 {
			return excelize.Cell{StyleID: s.date, Value: int64(at.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)}, nil
		}
	}
	text := xlsxMarked(sheetMarked(c.text))
	units := 0
	for _, r := range text {
		units += utf16.RuneLen(r)
	}
	if units > maxSheetCell {
		return nil, errSheetCell
	}
	return text, nil
}
