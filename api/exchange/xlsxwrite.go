package exchange

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"swingroom/geo"
)

// maxSheetCell is the longest text that a cell of XLSX holds, in units of UTF-16. Source: the limits that Microsoft publishes for Excel,
// "total number of characters that a cell can contain".
const maxSheetCell = 32767

var errSheetCell = errors.New("a text is too long for a cell of XLSX; CSV has no such limit")

// styles are the looks of cells by their kind.
type styles struct{ heading, date int }

func stylesOf(f *excelize.File) (s styles, err error) {
	if s.heading, err = f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}}); err != nil {
		return s, err
	}
	days := "yyyy-mm-dd"
	s.date, err = f.NewStyle(&excelize.Style{CustomNumFmt: &days})
	return s, err
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
	if err := s.writeHeadings(out, looks); err != nil {
		return err
	}
	if err := s.writeRows(out, looks, name); err != nil {
		return err
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

// writeHeadings writes the first row, and sets how wide the columns are.
func (s sheet) writeHeadings(out *excelize.StreamWriter, looks styles) error {
	row := make([]any, len(s.headings))
	for i, h := range s.headings {
		row[i] = excelize.Cell{StyleID: looks.heading, Value: h.name}
		if err := out.SetColWidth(i+1, i+1, h.width); err != nil {
			return err
		}
	}
	if err := out.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	return out.SetRow("A1", row)
}

// writeRows writes the rows under the headings.
func (s sheet) writeRows(out *excelize.StreamWriter, looks styles, name string) (err error) {
	row := make([]any, len(s.headings))
	for i, cells := range s.rows {
		for j, c := range cells {
			if row[j], err = looks.value(c); err != nil {
				return fmt.Errorf("%s, row %d, %s: %w", name, i+2, s.headings[j].name, err)
			}
		}
		if err := out.SetRow("A"+strconv.Itoa(i+2), row); err != nil {
			return err
		}
	}
	return nil
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
		if days, ok := dateSerial(c.text); ok {
			return excelize.Cell{StyleID: s.date, Value: days}, nil
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

// dateSerial is the number of a date in a spreadsheet. The days before 1 March 1900 have none that spreadsheets agree on, and a date that
// is none stays what it is.
func dateSerial(text string) (days int64, ok bool) {
	at, err := time.Parse(time.DateOnly, text)
	if err != nil || geo.Date(text).Validate() != nil || at.Year() <= 1900 {
		return 0, false
	}
	return int64(at.Sub(epoch1900).Hours() / 24), true
}
