package main

import (
	"bytes"
	"io"
	"strings"
	"testing"
)

// What is no text must not come into the record. A script cannot hold such bytes.
func TestWhatIsNoTextIsWrongUsage(t *testing.T) {
	path, _ := twoFiles(t)
	for _, args := range [][]string{{"note", "\xff"}, {"vacate", "217", "--why", "\xff"}, {"import", t.TempDir(), "--who", "\xff"},
		{"set", "owner", "Ada Quill", "note=\xff", "--new", "--why", "new"}} {
		var errOut bytes.Buffer
		code := run(t.Context(), append(args, "--db", path), io.Discard, &errOut)
		if code != exitUsage || !strings.Contains(errOut.String(), "not a text in UTF-8") {
			t.Errorf("%q: %d %s", args, code, &errOut)
		}
	}
}
