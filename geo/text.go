package geo

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The longest texts that are taken, in characters.
const (
	maxNameLength = 120
	maxTextLength = 10000
)

// text notes a text that is too long or no text. Any script and any character is right: it is kept as it is, and shown as text.
func (p *problems) text(field, text string, maxLength int) {
	switch {
	case !utf8.ValidString(text):
		p.add(field, "", "it is not in UTF-8")
	case utf8.RuneCountInString(text) > maxLength:
		p.add(field, fmt.Sprintf("%d characters long", utf8.RuneCountInString(text)),
			fmt.Sprintf("expected at most %d characters", maxLength))
	}
}

// named notes a text that has to be there, without spaces around it.
func (p *problems) named(field, text string) {
	if text == "" || text != strings.TrimSpace(text) {
		p.add(field, fmt.Sprintf("%q", text), "expected a name without spaces around it")
	}
	if strings.ContainsFunc(text, unicode.IsControl) {
		p.add(field, fmt.Sprintf("%q", text), "expected one line without control characters")
	}
	p.text(field, text, maxNameLength)
}
