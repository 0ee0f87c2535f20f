package exchange

import (
	"strings"
	"unicode"
)

// A spreadsheet runs a cell that begins like a formula, people leave spaces around a cell, and "?" says that nothing is known. A text on
// record may be like that and is none of it: it is written under two marks that the reader takes off again. Each mark is put on exactly the
// texts that would otherwise be taken for marked, so that every text comes back as it was.
//
//	edges    " a "    <->  "' a '"   a text with space at its ends, in a pair of apostrophes
//	plain    "=1+1"   <->  "'=1+1"   a text that begins like a formula, perhaps behind quotes or space, or says that nothing is
//	         "?"      <->  "'?"      known, with an apostrophe before it
//
// In CSV both are on. A cell of XLSX says by itself that it is a text, and "=1+1" stands there as it is; but a spreadsheet that opens our
// CSV and saves it as XLSX leaves the marks where they are, and so the reader takes them off there too, and a text that has an apostrophe
// of its own there gets one more.

// marked is a text as a cell of CSV holds it.
func marked(text string) string { return plainMarked(edgesMarked(text)) }

// sheetMarked is a text as a cell of XLSX holds it.
func sheetMarked(text string) string {
	text = edgesMarked(text)
	if strings.HasPrefix(text, "'") || saysUnknown(text) {
		text = plainMarked(text)
	}
	return text
}

// unmarked is the text of a cell: without the space around it, and without the marks.
func unmarked(cell string) string {
	cell = strings.TrimSpace(cell)
	if cell == "" || cell[0] != '\'' {
		return cell
	}
	if needsMark(cell) {
		cell = cell[1:]
	}
	if inQuotes(cell) && spaced(cell) {
		cell = cell[1 : len(cell)-1]
	}
	return cell
}

func edgesMarked(text string) string {
	if spaced(text) {
		return "'" + text + "'"
	}
	return text
}

func plainMarked(text string) string {
	if needsMark(text) {
		return "'" + text
	}
	return text
}

// needsMark reports a text that would be taken for something else, or for marked.
func needsMark(text string) bool {
	return likeFormula(text) || saysUnknown(strings.TrimLeft(text, "'"))
}

// saysUnknown reports a cell of words that says that something is there of which nothing is known. Words that are names of people and boats
// too are not among them.
func saysUnknown(cell string) bool {
	switch strings.ToLower(cell) {
	case "?", "??", "???", "-", "–", "—", "n/a", "unknown":
		return true
	}
	return false
}

// blank reports a cell of figures in which no figure stands: it is empty, or says that the figure is not known.
func blank(cell string) bool {
	switch strings.ToLower(cell) {
	case "", "na", "null":
		return true
	}
	return saysUnknown(cell)
}

// spaced reports a text with space at one of its ends, inside any number of pairs of apostrophes.
func spaced(text string) bool {
	for inQuotes(text) {
		text = text[1 : len(text)-1]
	}
	return text != strings.TrimSpace(text)
}

func inQuotes(text string) bool {
	return len(text) >= 2 && text[0] == '\'' && text[len(text)-1] == '\''
}

// formulaStarts are the characters by which a spreadsheet may take a text for a formula, and quotes those that may stand before them. The
// wide forms count too, which spreadsheets set to East Asian languages take for the narrow ones. Source: OWASP, "CSV Injection".
const (
	formulaStarts = "=+-@\t\r＝＋－＠"
	quotes        = `'"‘’“”`
)

// likeFormula reports a text that a spreadsheet may run, behind any number of quotes and spaces.
func likeFormula(text string) bool {
	for _, c := range text {
		if strings.ContainsRune(formulaStarts, c) {
			return true
		}
		if !strings.ContainsRune(quotes, c) && !unicode.IsSpace(c) {
			return false
		}
	}
	return false
}
