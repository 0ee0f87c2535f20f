package exchange

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// byteOrderMark is U+FEFF in UTF-8.
const byteOrderMark = "\xef\xbb\xbf"

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

type csvRows struct{ *csv.Reader }

func newCSVRows(text []byte, d dialect) csvRows {
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.ReuseRecord = d.comma, -1, true, true
	return csvRows{r}
}

func (c csvRows) read() (cells []string, line int, faults []fault, err error) {
	if cells, err = c.Read(); err != nil {
		return nil, 0, nil, csvError(err)
	}
	line, _ = c.FieldPos(0)
	return cells, line, nil, nil
}

// csvError says in which line a table cannot be read on; quotes are all that can be wrong.
func csvError(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return &rowsError{parse.Line, fmt.Sprintf("the quotes of this row do not close (%v)", parse.Err)}
	}
	return err
}

func (c csvRows) offset() int { return int(c.InputOffset()) }

// writeCSV writes RFC 4180 with plain line feeds. A text with a figure in it stands in quotes, by which a spreadsheet can be told to leave
// it a text: 007 is a number painted on a buoy; encoding/csv sets quotes only where it must, so the cells are written here. The reader
// turns a carriage return and line feed within a cell into a line feed, as files get that were carried between systems; one that is on
// record is written with a second carriage return and comes back as it was.
func (s sheet) writeCSV(w io.Writer) error {
	out := bufio.NewWriter(w)
	_, _ = out.WriteString(byteOrderMark) // a bufio.Writer keeps its first error for Flush
	for i, c := range s.headings {
		writeCell(out, i, c.name, false)
	}
	_ = out.WriteByte('\n')
	for _, cells := range s.rows {
		for i, c := range cells {
			text, quoted := c.csv()
			writeCell(out, i, text, quoted)
		}
		_ = out.WriteByte('\n')
	}
	return out.Flush()
}

// csv is a cell as CSV holds it, and whether it stands in quotes in any case.
func (c cell) csv() (text string, quoted bool) {
	switch c.kind {
	case wordCell:
		return strings.ReplaceAll(marked(c.text), "\r\n", "\r\r\n"), looksOtherwise(c.text)
	case dateCell:
		return marked(c.text), false
	}
	return c.text, false
}

// looksOtherwise reports a text that a spreadsheet may take for a number, a date or a truth value.
func looksOtherwise(text string) bool {
	return strings.ContainsFunc(text, unicode.IsDigit) || strings.EqualFold(text, "true") || strings.EqualFold(text, "false")
}

func writeCell(out *bufio.Writer, at int, text string, quoted bool) {
	if at > 0 {
		_ = out.WriteByte(',')
	}
	if quoted || strings.ContainsAny(text, "\",\r\n") || text != strings.TrimSpace(text) {
		text = quote(text)
	}
	_, _ = out.WriteString(text)
}

// quote puts a text in double quotes, those within doubled.
func quote(text string) string { return `"` + strings.ReplaceAll(text, `"`, `""`) + `"` }
