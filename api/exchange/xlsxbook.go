package exchange

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
)

// book is a workbook while its parts are read.
type book struct {
	zip  *zip.Reader
	left int64 // bytes that may still be unpacked
}

var errUnpacked = fmt.Errorf("it unpacks to more than %d MB", maxUnpacked>>20)

// limited counts what is unpacked of all parts together.
type limited struct {
	io.Reader
	b *book
}

func (l limited) Read(p []byte) (int, error) {
	if l.b.left <= 0 {
		return 0, errUnpacked
	}
	n, err := l.Reader.Read(p[:min(int64(len(p)), l.b.left)])
	l.b.left -= int64(n)
	return n, err
}

// part opens a part by its name; the zip checks its sum at the end.
func (b *book) part(name string) (*xml.Decoder, error) {
	i := slices.IndexFunc(b.zip.File, func(f *zip.File) bool { return f.Name == name })
	if i < 0 {
		return nil, fmt.Errorf("it has no part %q", name)
	}
	f, err := b.zip.File[i].Open()
	if err != nil {
		return nil, err
	}
	return xml.NewDecoder(limited{f, b}), nil
}

// elements calls each for every element of a part; each may read on.
func (b *book) elements(name string, each func(d *xml.Decoder, el xml.StartElement) error) error {
	d, err := b.part(name)
	if err != nil {
		return err
	}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if el, ok := token.(xml.StartElement); ok {
			if err := each(d, el); err != nil {
				return err
			}
		}
	}
}

// relation is how one part names another (ECMA-376, part 2, 9.3).
type relation struct{ id, kind, target string }

func (b *book) relations(of string) (all []relation, err error) {
	dir, file := path.Split(of)
	err = b.elements(dir+"_rels/"+file+".rels", func(_ *xml.Decoder, el xml.StartElement) error {
		if el.Name.Local == "Relationship" {
			all = append(all, relation{attr(el, "Id"), path.Base(attr(el, "Type")), within(dir, attr(el, "Target"))})
		}
		return nil
	})
	return all, err
}

// within is the name of a part that is named in a folder: from the root, or from the folder.
func within(dir, target string) string {
	if rooted, ok := strings.CutPrefix(target, "/"); ok {
		return rooted
	}
	return path.Join(dir, target)
}

func target(all []relation, is func(relation) bool) string {
	if i := slices.IndexFunc(all, is); i >= 0 {
		return all[i].target
	}
	return ""
}

func ofKind(kind string) func(relation) bool {
	return func(r relation) bool { return r.kind == kind }
}

// firstSheet opens the first sheet, and names all.
func (b *book) firstSheet() (s *sheetRows, sheets []string, err error) {
	roots, err := b.relations("")
	if err != nil {
		return nil, nil, err
	}
	workbook := target(roots, ofKind("officeDocument"))
	parts, err := b.relations(workbook)
	if err != nil {
		return nil, nil, err
	}
	s = &sheetRows{}
	sheets, id, err := b.workbook(workbook, s)
	if err != nil {
		return nil, nil, err
	}
	if err := b.sharedParts(parts, s); err != nil {
		return nil, nil, err
	}
	first := target(parts, func(r relation) bool { return r.id == id })
	if first == "" {
		return nil, nil, errors.New("it has no sheet")
	}
	s.xml, err = b.part(first)
	return s, sheets, err
}

// workbook reads the names of the sheets, the id of the first, and from which day the workbook counts.
func (b *book) workbook(name string, s *sheetRows) (sheets []string, firstID string, err error) {
	err = b.elements(name, func(_ *xml.Decoder, el xml.StartElement) error {
		switch el.Name.Local {
		case "workbookPr":
			s.since1904 = attr(el, "date1904") == "1" || attr(el, "date1904") == "true"
		case "sheet":
			if len(sheets) == 0 {
				firstID = attr(el, "id")
			}
			sheets = append(sheets, attr(el, "name"))
		}
		return nil
	})
	return sheets, firstID, err
}

// sharedParts reads what cells of all sheets refer to, as far as it is there.
func (b *book) sharedParts(parts []relation, s *sheetRows) (err error) {
	if name := target(parts, ofKind("sharedStrings")); name != "" {
		if s.strings, err = b.sharedStrings(name); err != nil {
			return err
		}
	}
	if name := target(parts, ofKind("styles")); name != "" {
		s.dated, err = b.datedStyles(name)
	}
	return err
}

func (b *book) sharedStrings(name string) (all []string, err error) {
	err = b.elements(name, func(d *xml.Decoder, el xml.StartElement) error {
		if el.Name.Local != "si" {
			return nil
		}
		text, err := stringOf(d, false)
		all = append(all, xlsxUnmarked(text))
		return err
	})
	return all, err
}

// stringOf gathers the text of the elements t up to the end of the element that has begun, or all of its own text where it is a value;
// without the readings of East Asian words (ECMA-376, part 1, 18.4.6).
func stringOf(d *xml.Decoder, value bool) (string, error) {
	var text strings.Builder
	inside := value
	for depth := 1; depth > 0; {
		token, err := d.Token()
		if err != nil {
			return "", err
		}
		switch el := token.(type) {
		case xml.StartElement:
			if el.Name.Local == "rPh" {
				if err := d.Skip(); err != nil {
					return "", err
				}
				continue
			}
			depth++
			inside = el.Name.Local == "t"
		case xml.EndElement:
			depth--
			inside = value
		case xml.CharData:
			if inside {
				text.Write(el)
			}
		}
	}
	return text.String(), nil
}

// datedStyles tells of every cell style whether its numbers are shown as dates.
func (b *book) datedStyles(name string) (dated []bool, err error) {
	codes := map[string]string{}
	inCells := false
	err = b.elements(name, func(_ *xml.Decoder, el xml.StartElement) error {
		switch el.Name.Local {
		case "numFmt":
			codes[attr(el, "numFmtId")] = attr(el, "formatCode")
		case "cellStyleXfs", "cellStyles", "dxfs":
			inCells = false
		case "cellXfs":
			inCells = true
		case "xf":
			if inCells {
				id := attr(el, "numFmtId")
				dated = append(dated, builtInDate[id] || dateCode(codes[id]))
			}
		}
		return nil
	})
	return dated, err
}

// builtInDate are the formats with a day in them that every spreadsheet has, by number. Source: ECMA-376, part 1, 18.8.30; 27 to 36 and 50
// to 58 in its East Asian tables.
var builtInDate = map[string]bool{
	"14": true, "15": true, "16": true, "17": true, "22": true,
	"27": true, "28": true, "29": true, "30": true, "31": true, "34": true, "35": true, "36": true,
	"50": true, "51": true, "52": true, "53": true, "54": true, "57": true, "58": true,
}

// dateCode reports a format code with a year or a day in it.
func dateCode(code string) bool {
	for i := 0; i < len(code); i++ {
		switch code[i] {
		case '\\', '_', '*': // the next character stands for itself
			i++
		case '"', '[':
			end := strings.IndexByte(code[i+1:], closing[code[i]])
			if end < 0 {
				return false
			}
			i += end + 1
		case ';': // what follows is for numbers below zero
			return false
		case 'y', 'Y', 'd', 'D':
			return true
		}
	}
	return false
}

// closing is what ends a text or a condition in a format code.
var closing = map[byte]byte{'"': '"', '[': ']'}
