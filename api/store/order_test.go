package store

import (
	"cmp"
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

func TestTheOrderOfNumbersIsOneOrder(t *testing.T) {
	number := rapid.StringMatching(`[0-9a-bA-B-]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := number.Draw(t, "a"), number.Draw(t, "b"), number.Draw(t, "c")
		if ab, ba := compareNumbers(a, b), compareNumbers(b, a); cmp.Compare(ab, 0) != -cmp.Compare(ba, 0) {
			t.Fatalf("%q to %q is %d, the other way %d", a, b, ab, ba)
		}
		if (compareNumbers(a, b) == 0) != (a == b) {
			t.Fatalf("%q and %q are told alike", a, b)
		}
		if compareNumbers(a, b) < 0 && compareNumbers(b, c) < 0 && compareNumbers(a, c) >= 0 {
			t.Fatalf("%q before %q before %q, but not the first before the last", a, b, c)
		}
	})
}

func TestASlugIsShortPlainAndItsOwnSlug(t *testing.T) {
	plain := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.String().Draw(t, "name")
		slug := Slug(name)
		if !plain.MatchString(slug) || len(slug) > 60 || Slug(slug) != slug {
			t.Fatalf("%q becomes %q, and that %q", name, slug, Slug(slug))
		}
	})
}
