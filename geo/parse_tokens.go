package geo

import (
	"fmt"
	"strings"
	"unicode"
)

// tokenKind tells the pieces of a written position apart.
type tokenKind int

const (
	numberToken tokenKind = iota // digits with at most one decimal point; never a sign
	signToken                    // + or - before a number
	markToken                    // °, ' or "
	letterToken                  // N, S, E or W
	wordToken                    // "lat" or "lon"
	partToken                    // what stands between the two axes: comma, semicolon, slash, bar, tab, line break
)

type token struct {
	kind tokenKind
	text string
}

// sameMarks brings the many ways of writing a mark to one.
var sameMarks = strings.NewReplacer(
	"′", "'", "’", "'", "‘", "'", "´", "'", "`", "'", "ʹ", "'", "″", `"`, "”", `"`, "“", `"`, "ʺ", `"`, "''", `"`,
	"º", "°", "˚", "°", "−", "-", "–", "-", "—", "-", "\u00a0", " ", "\u2009", " ", "\u202f", " ", "\r\n", "\n",
	"(", " ", ")", " ", "[", " ", "]", " ", "{", " ", "}", " ",
)

// positionWords are the positionWords that may stand in a position.
var positionWords = map[string]token{
	"n": {letterToken, "N"}, "north": {letterToken, "N"}, "s": {letterToken, "S"}, "south": {letterToken, "S"},
	"e": {letterToken, "E"}, "east": {letterToken, "E"}, "w": {letterToken, "W"}, "west": {letterToken, "W"},
	"lat": {wordToken, "lat"}, "latitude": {wordToken, "lat"}, "lon": {wordToken, "lon"}, "long": {wordToken, "lon"},
	"lng": {wordToken, "lon"}, "longitude": {wordToken, "lon"},
	"d": {markToken, "°"}, "deg": {markToken, "°"}, "degrees": {markToken, "°"},
	"min": {markToken, "'"}, "minutes": {markToken, "'"}, "sec": {markToken, `"`}, "seconds": {markToken, `"`},
}

// tokenize takes a text apart. A comma right between two digits is a decimal comma where decimalComma says so.
func tokenize(text string, decimalComma bool) ([]token, error) {
	text = strings.TrimSpace(sameMarks.Replace(text))
	if rest, ok := strings.CutPrefix(strings.ToLower(text), "geo:"); ok {
		text, _, _ = strings.Cut(rest, ";")
	}
	runes := []rune(text)
	digit := func(i int) bool { return i >= 0 && i < len(runes) && runes[i] >= '0' && runes[i] <= '9' }
	var tokens []token
	add := func(kind tokenKind, text string) {
		if kind == partToken && (len(tokens) == 0 || tokens[len(tokens)-1].kind == partToken) {
			return
		}
		tokens = append(tokens, token{kind, text})
	}
	for i := 0; i < len(runes); i++ {
		switch c := runes[i]; {
		case digit(i) || c == '.' && digit(i+1):
			start, points := i, 0
			for i < len(runes) && (digit(i) || runes[i] == '.' || decimalComma && runes[i] == ',' && digit(i-1) && digit(i+1)) {
				if !digit(i) {
					points++
				}
				i++
			}
			if points > 1 {
				return nil, fmt.Errorf("%q is no number", string(runes[start:i]))
			}
			add(numberToken, strings.ReplaceAll(string(runes[start:i]), ",", "."))
			i--
		case unicode.IsLetter(c):
			start := i
			for i < len(runes) && unicode.IsLetter(runes[i]) {
				i++
			}
			word, known := positionWords[strings.ToLower(string(runes[start:i]))]
			if !known {
				return nil, fmt.Errorf("%q does not belong in a position", string(runes[start:i]))
			}
			add(word.kind, word.text)
			i--
		case c == '°' || c == '\'' || c == '"':
			add(markToken, string(c))
		case c == ',' || c == ';' || c == '|' || c == '/' || c == '\t' || c == '\n':
			add(partToken, string(c))
		case (c == '-' || c == '+') && digit(i+1) && !digit(i-1) ||
			(c == '-' || c == '+') && i+2 < len(runes) && runes[i+1] == '.' && digit(i+2):
			add(signToken, string(c))
		case c == '-' && digit(i-1) && digit(i+1): // 44-29.5 N
		case c == ':' || c == '=' || c == '.' || unicode.IsSpace(c):
		default:
			return nil, fmt.Errorf("%q does not belong in a position", string(c))
		}
	}
	for len(tokens) > 0 && tokens[len(tokens)-1].kind == partToken {
		tokens = tokens[:len(tokens)-1]
	}
	return tokens, nil
}
