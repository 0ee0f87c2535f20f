package account

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// ErrName: a name that an account or a token cannot have.
var ErrName = errors.New("a name is not valid")

// mostName is how many signs a name may have.
const mostName = 64

// cleanName is a name of any script as it is kept: composed, with single spaces. Signs that cannot be seen are refused, but for the joiners
// that some scripts are spelled with. The error is ErrName.
func cleanName(name string) (string, error) {
	if !utf8.ValidString(name) {
		return "", fmt.Errorf("%w: %q is no text", ErrName, name)
	}
	name = strings.Join(strings.Fields(norm.NFC.String(name)), " ")
	const zeroWidthNonJoiner, zeroWidthJoiner = '\u200c', '\u200d'
	hidden := func(r rune) bool {
		return !unicode.IsPrint(r) && r != zeroWidthNonJoiner && r != zeroWidthJoiner
	}
	switch {
	case !strings.ContainsFunc(name, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }):
		return "", fmt.Errorf("%w: %q; a name with a letter or a digit is wanted", ErrName, name)
	case utf8.RuneCountInString(name) > mostName:
		return "", fmt.Errorf("%w: it has %d signs, at most %d are kept", ErrName, utf8.RuneCountInString(name), mostName)
	case strings.ContainsFunc(name, hidden):
		return "", fmt.Errorf("%w: %q has signs that cannot be seen", ErrName, name)
	}
	return name, nil
}
