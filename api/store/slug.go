package store

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Slug is a harbor's short name, for addresses and commands: lower-case letters, digits and hyphens; "harbor" where a name has none of
// them.
func Slug(name string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r): // the accent of the letter before
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	slug := strings.Trim(b.String(), "-")
	if len(slug) > 60 {
		slug = strings.Trim(slug[:60], "-")
	}
	if slug == "" {
		return "harbor"
	}
	return slug
}
