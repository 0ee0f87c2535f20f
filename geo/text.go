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

// text notes a text that is too long or no text. Any script and any sign is right: it is kept as it is, and shown as text.
func (p *problems) text(field, text string, longest int) {
	switch {
	case !utf8.ValidString(text):
		p.add(field, "", "it is not in UTF-8")
	case utf8.RuneCountInString(text) > longest:
		p.add(field, fmt.Sprintf("%d characters long", utf8.RuneCountInString(text)),
			fmt.Sprintf("at most %d characters are wanted", longest))
	}
}

// name notes a text that has to be there, without spaces around it.
func (p *problems) named(field, text string) {
	if text == "" || text != strings.TrimSpace(text) {
		p.add(field, fmt.Sprintf("%q", text), "a name is wanted, without spaces around it")
	}
	if strings.ContainsFunc(text, unicode.IsControl) {
		p.add(field, fmt.Sprintf("%q", text), "one line without control characters is wanted")
	}
	p.text(field, text, maxNameLength)
}
