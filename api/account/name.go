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

// maxName is how many characters a name may have.
const maxName = 64

// cleanName is a name of any script as it is kept: composed, with single spaces. Characters that cannot be seen are refused, but for the
// joiners that some scripts are spelled with. The error is ErrName.
func cleanName(name string) (string, error) {
	if !utf8.ValidString(name) {
		return "", fmt.Errorf("%w: %q is not text in UTF-8", ErrName, name)
	}
	name = strings.Join(strings.Fields(norm.NFC.String(name)), " ")
	switch length := utf8.RuneCountInString(name); {
	case !strings.ContainsFunc(name, isLetterOrDigit):
		return "", fmt.Errorf("%w: %q; it needs a letter or a digit", ErrName, name)
	case length > maxName:
		return "", fmt.Errorf("%w: it has %d characters, the limit is %d", ErrName, length, maxName)
	case strings.ContainsFunc(name, isHidden):
		return "", fmt.Errorf("%w: %q has characters that cannot be seen", ErrName, name)
	}
	return name, nil
}

func isLetterOrDigit(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

func isHidden(r rune) bool {
	const zeroWidthNonJoiner, zeroWidthJoiner = '\u200c', '\u200d'
	return !unicode.IsPrint(r) && r != zeroWidthNonJoiner && r != zeroWidthJoiner
}
