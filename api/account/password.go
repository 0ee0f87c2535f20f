package account

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"golang.org/x/text/unicode/norm"

	"swingroom/api/store"
)

// ErrPassword: a password that is not taken.
var ErrPassword = errors.New("that password is not taken")

// Lengths of a password in characters, each code point counted once: OWASP ASVS 4.0.3, items 2.1.1 and 2.1.2.
const (
	minPassword = 12
	maxPassword = 128
)

// parameters of Argon2id: 19 MiB, two passes, one lane, the least that OWASP's Password Storage Cheat Sheet recommends; salt and key by RFC
// 9106, section 4.
var parameters = argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

//go:embed common.txt
var commonList string

// common are the first bytes of the SHA-256 of the commonest passwords.
var common = sync.OnceValue(func() map[string]bool {
	all := map[string]bool{}
	for line := range strings.Lines(commonList) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			all[line] = true
		}
	}
	return all
})

func isCommon(text string) bool {
	sum := sha256.Sum256([]byte(strings.ToLower(text)))
	return common()[hex.EncodeToString(sum[:8])]
}

// CheckPassword refuses a password that is too short, too long, or among the first that are tried: the commonest ones, also with digits and
// marks round them or written again and again, and those with the account's own name in it. It asks for no kind of character, and takes
// any. The error is ErrPassword.
func CheckPassword(name, password string) error {
	if !utf8.ValidString(password) {
		return fmt.Errorf("%w: it is not text in UTF-8", ErrPassword)
	}
	if length := utf8.RuneCountInString(oneSpace(password)); length < minPassword {
		return fmt.Errorf("%w: it has %d characters, at least %d are needed; several words in a row make a good one", ErrPassword, length,
			minPassword)
	}
	if length := utf8.RuneCountInString(password); length > maxPassword {
		return fmt.Errorf("%w: it has %d characters, the limit is %d", ErrPassword, length, maxPassword)
	}
	const minName = 3 // a shorter name is in many a word
	if own := store.Fold(name); utf8.RuneCountInString(own) >= minName && strings.Contains(store.Fold(password), own) {
		return fmt.Errorf("%w: the account's name is in it", ErrPassword)
	}
	if isTriedFirst(password) {
		return fmt.Errorf("%w: it is among the first that anybody would try", ErrPassword)
	}
	return nil
}

// isTriedFirst reports one of the commonest passwords, also with digits and marks round it, and what is one short text again and again.
func isTriedFirst(password string) bool {
	const shortUnit = 4 // characters: "abcdabcdabcd"
	bare := strings.TrimFunc(password, func(r rune) bool { return !unicode.IsLetter(r) })
	unit := repeated(password)
	return isCommon(password) || isCommon(bare) || isCommon(unit) || unit != password && utf8.RuneCountInString(unit) <= shortUnit
}

// oneSpace has every run of spaces as one.
func oneSpace(text string) string {
	space := false
	return strings.Map(func(r rune) rune {
		if was := space; unicode.IsSpace(r) {
			if space = true; was {
				return -1
			}
			return r
		}
		space = false
		return r
	}, text)
}

// repeated is the shortest text of which a text is made by writing it again and again; the text itself where there is none.
func repeated(text string) string {
	// A text lies within its own double at the length of its shortest period, and nowhere sooner.
	return text[:strings.Index((text + text)[1:], text)+1]
}

// plain is a password as it is hashed: typed on another keyboard it may come decomposed or in another width (NIST SP 800-63B, section
// 5.1.1.2).
func plain(password string) string { return norm.NFKC.String(password) }

// newHash makes what is kept of the new password of an account. The error is ErrPassword where it is not taken.
func newHash(name, password string) (string, error) {
	if err := CheckPassword(name, password); err != nil {
		return "", err
	}
	return hash(password)
}

// hash makes what is kept of a password.
func hash(password string) (string, error) {
	p := parameters
	return argon2id.CreateHash(plain(password), &p)
}

// compare checks a password with what is kept, and tells whether that was made with other parameters than are used now.
func compare(password, kept string) (same, outdated bool, err error) {
	same, with, err := argon2id.CheckHash(plain(password), kept)
	return same, err == nil && *with != parameters, err
}
