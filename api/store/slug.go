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

// naturalLess orders numbers as people do: 2 before 10, 007 before 7, digits before letters.
func naturalLess(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		dx, dy := digits(x), digits(y)
		if dx == "" || dy == "" {
			if x[0] != y[0] {
				return int(x[0]) - int(y[0])
			}
			x, y = x[1:], y[1:]
			continue
		}
		nx, ny := strings.TrimLeft(dx, "0"), strings.TrimLeft(dy, "0")
		if len(nx) != len(ny) {
			return len(nx) - len(ny)
		}
		if c := strings.Compare(nx, ny); c != 0 {
			return c
		}
		x, y = x[len(dx):], y[len(dy):]
	}
	if len(x) != len(y) {
		return len(x) - len(y)
	}
	return strings.Compare(a, b)
}

func digits(s string) string {
	end := 0
	for end < len(s) && s[end] >= '0' && s[end] <= '9' {
		end++
	}
	return s[:end]
}
