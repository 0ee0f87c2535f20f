package store_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swingroom/api/store"
)

// FuzzRestore: whatever stands in the sums and in the database of a folder that is no backup, nothing is brought back and nothing is
// written.
func FuzzRestore(f *testing.F) {
	sum := strings.Repeat("ab", 32)
	for _, seed := range []string{"", sum + "  harbor.db\n", sum + " *harbor.db\n" + sum + "  photos/ab/" + sum + ".jpg\n",
		sum + "  ../harbor.db\n", "harbor.db", sum + "  /etc/passwd\n", strings.Repeat("x", 70000),
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  harbor.db\n"} { // SHA-256 of nothing, FIPS 180-4
		f.Add(seed, "")
		f.Add(seed, "SQLite format 3\x00")
	}
	f.Fuzz(func(t *testing.T, sums, database string) {
		folder, to := t.TempDir(), filepath.Join(t.TempDir(), "h.db")
		for name, text := range map[string]string{"SHA256SUMS": sums, "harbor.db": database} {
			if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := store.Restore(ctx, folder, to, false); err == nil {
			t.Fatal("it was brought back")
		}
		if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s is there (%v)", to, err)
		}
	})
}
