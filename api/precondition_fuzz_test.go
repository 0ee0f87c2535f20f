package api

import (
	"testing"

	"swingroom/api/office"
)

// FuzzReadTags: whatever a header holds, what is taken for a revision is one that a tag of ours names.
func FuzzReadTags(f *testing.F) {
	for _, seed := range []string{`"r57"`, `"r57-x9_A-br"`, `*`, `W/"r57"`, `"r1", "r2"`, `"r"`, `"r-1"`, `"r007"`, `r57`,
		`"r99999999999999999999"`,
		"\"r1\"\x00", `,,`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, header string) {
		revision, err := readTags(header)
		if err != nil || revision == office.AnyRevision {
			return
		}
		if again, err := readTags(tagOf(revision)); err != nil || again != revision {
			t.Errorf("%q is read as %d, which is read as %d (%v)", header, revision, again, err)
		}
	})
}
