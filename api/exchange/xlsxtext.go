package exchange

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// XML 1.0, section 2.2, has no place for most control characters, nor for U+FFFE and U+FFFF. In a cell of XLSX they stand as _u0001_, and
// so does what would be taken for such a mark. A workbook has a mark of its own, _x0001_ (ECMA-376, part 1, 22.9.2.19), and what looks like
// one is kept from it by the library that writes the cell, but where two follow each other with one underscore between them.

// xlsxMarked is a text as a cell of XLSX holds it.
func xlsxMarked(text string) string {
	if !strings.ContainsFunc(text, func(c rune) bool { return c == '_' || !inXML(c) }) {
		return text
	}
	var b strings.Builder
	last, chained := rune(0), chain.MatchString(text)
	for at, c := range text {
		if !inXML(c) || c == '_' && hexAfter(text[at+1:], 'u') || c == 'x' && chained && last == '_' && hexAfter(text[at:], 'x') {
			fmt.Fprintf(&b, "_u%04X_", c)
			last = '_'
			continue
		}
		b.WriteRune(c)
		last = c
	}
	return b.String()
}

func inXML(c rune) bool {
	return c >= ' ' && c != 0xFFFE && c != 0xFFFF || c == '\t' || c == '\n' || c == '\r'
}

// hexAfter reports that a text goes on with a letter and four hexadecimal digits.
func hexAfter(text string, letter byte) bool {
	if len(text) < 5 || text[0] != letter {
		return false
	}
	_, err := strconv.ParseUint(text[1:5], 16, 16)
	return err == nil
}

var (
	ownMark  = regexp.MustCompile(`_u(00[01][0-9A-F]|005F|0078|FFF[EF])_`)
	chain    = regexp.MustCompile(`x[0-9A-Fa-f]{4}_x[0-9A-Fa-f]{4}_|x005[Ff]_`)
	bookMark = regexp.MustCompile(`_x([0-9A-Fa-f]{4})_`)
)

// xlsxUnmarked is the text that a cell of XLSX stands for.
func xlsxUnmarked(cell string) string {
	if !strings.Contains(cell, "_") {
		return cell
	}
	return ownMark.ReplaceAllStringFunc(bookMark.ReplaceAllStringFunc(cell, characterOf), characterOf)
}

// characterOf is the character that a mark such as _x000D_ stands for.
func characterOf(mark string) string {
	c, err := strconv.ParseUint(mark[2:6], 16, 16)
	if err != nil {
		return mark // the pattern lets nothing else through
	}
	return string(rune(c))
}
