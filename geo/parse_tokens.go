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

// tokenize splits a text into tokens. A comma right between two digits is a decimal comma where decimalComma says so.
func tokenize(text string, decimalComma bool) ([]token, error) {
	text = strings.TrimSpace(sameMarks.Replace(text))
	if rest, ok := strings.CutPrefix(strings.ToLower(text), "geo:"); ok { // a geo URI (RFC 5870)
		text, _, _ = strings.Cut(rest, ";")
	}
	t := tokenizer{runes: []rune(text), decimalComma: decimalComma}
	for t.at < len(t.runes) {
		if err := t.next(); err != nil {
			return nil, err
		}
	}
	for len(t.tokens) > 0 && t.tokens[len(t.tokens)-1].kind == partToken {
		t.tokens = t.tokens[:len(t.tokens)-1]
	}
	return t.tokens, nil
}

// tokenizer is a text as far as it has been read.
type tokenizer struct {
	runes        []rune
	at           int // the next rune to be read
	decimalComma bool
	tokens       []token
}

// digit reports whether a digit stands at a place.
func (t *tokenizer) digit(i int) bool {
	return i >= 0 && i < len(t.runes) && t.runes[i] >= '0' && t.runes[i] <= '9'
}

// add appends a token. Parts at the beginning and one behind the other separate nothing.
func (t *tokenizer) add(kind tokenKind, text string) {
	if kind == partToken && (len(t.tokens) == 0 || t.tokens[len(t.tokens)-1].kind == partToken) {
		return
	}
	t.tokens = append(t.tokens, token{kind, text})
}

// next reads one token, or what may stand between two.
func (t *tokenizer) next() error {
	c := t.runes[t.at]
	switch {
	case t.digit(t.at) || c == '.' && t.digit(t.at+1):
		return t.number()
	case unicode.IsLetter(c):
		return t.word()
	case strings.ContainsRune("°'\"", c):
		t.add(markToken, string(c))
	case strings.ContainsRune(",;|/\t\n", c):
		t.add(partToken, string(c))
	case t.sign():
		t.add(signToken, string(c))
	case c == '-' && t.digit(t.at-1) && t.digit(t.at+1): // 44-29.5 N
	case strings.ContainsRune(":=.", c) || unicode.IsSpace(c):
	default:
		return fmt.Errorf("%q does not belong in a position", string(c))
	}
	t.at++
	return nil
}

// sign reports whether a plus or minus stands before a number, and not between two.
func (t *tokenizer) sign() bool {
	if c := t.runes[t.at]; c != '-' && c != '+' {
		return false
	}
	return t.digit(t.at+1) && !t.digit(t.at-1) || t.at+1 < len(t.runes) && t.runes[t.at+1] == '.' && t.digit(t.at+2)
}

// number reads digits with at most one decimal point or comma.
func (t *tokenizer) number() error {
	start, points := t.at, 0
	for t.at < len(t.runes) && (t.digit(t.at) || t.point()) {
		if !t.digit(t.at) {
			points++
		}
		t.at++
	}
	text := string(t.runes[start:t.at])
	if points > 1 {
		return fmt.Errorf("%q is no number", text)
	}
	t.add(numberToken, strings.ReplaceAll(text, ",", "."))
	return nil
}

// point reports whether a decimal point, or a comma that may be one, stands here.
func (t *tokenizer) point() bool {
	c := t.runes[t.at]
	return c == '.' || t.decimalComma && c == ',' && t.digit(t.at-1) && t.digit(t.at+1)
}

// word reads letters, which have to be one of [positionWords].
func (t *tokenizer) word() error {
	start := t.at
	for t.at < len(t.runes) && unicode.IsLetter(t.runes[t.at]) {
		t.at++
	}
	text := string(t.runes[start:t.at])
	word, known := positionWords[strings.ToLower(text)]
	if !known {
		return fmt.Errorf("%q does not belong in a position", text)
	}
	t.add(word.kind, word.text)
	return nil
}
