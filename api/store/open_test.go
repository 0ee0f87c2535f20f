package store_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"swingroom/api/store"
)

func TestAFileThatIsNoDatabaseIsRefusedAndLeftAsItIs(t *testing.T) {
	for name, content := range map[string][]byte{
		"a few letters":                  []byte("harbor"),
		"shorter than a database header": bytes.Repeat([]byte("a"), 99),
		"a spreadsheet":                  []byte(strings.Repeat("number,lat,lon\r\n1,44.2,-41.5\r\n", 300)),
		"zeros":                          make([]byte, 8192),
		"almost the words of a header":   append([]byte("SQLite format 2\x00"), make([]byte, 4080)...),
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "h.db")
			if err := os.WriteFile(path, content, 0o644); err != nil {
				t.Fatal(err)
			}
			s, err := store.Open(ctx, path)
			if err == nil {
				s.Close()
			}
			if !errors.Is(err, store.ErrForeign) || !strings.Contains(err.Error(), path) {
				t.Errorf("%v", err)
			}
			if after, err := os.ReadFile(path); err != nil || !bytes.Equal(after, content) {
				t.Errorf("%d bytes before, %d after (%v)", len(content), len(after), err)
			}
		})
	}
}

func TestAnEmptyFileBecomesADatabase(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	save(t, open(t, path), 0, rich())
}

func TestWhatCannotBeOpenedIsNamed(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	for name, path := range map[string]string{
		"a folder":          dir,
		"a path below file": filepath.Join(file, "h.db"),
		"a missing folder":  filepath.Join(dir, "missing", "h.db"),
	} {
		s, err := store.Open(ctx, path)
		if err == nil {
			s.Close()
		}
		if err == nil || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The path goes to SQLite inside an address, so signs that mean something there have to stay signs of a file name.
func TestAPathIsTakenLetterForLetter(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.MkdirAll("Öland’s #1", 0o755); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"h.db", "./a b.db", "50%.db", "h%20.db", "mode=ro&x.db", "what?.db", "a+b#c.db", "Öland’s #1/h.db",
		"../" + filepath.Base(mustGetwd(t)) + "/up.db"} {
		s, err := store.Open(ctx, path)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		save(t, s, 0, rich())
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		if info, err := os.Stat(path); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", path, err)
		}
	}
	// eight files and the folder: nothing else, no journal left behind
	if entries, err := os.ReadDir("."); err != nil || len(entries) != 9 {
		t.Errorf("%v %v", entries, err)
	}
}

func mustGetwd(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// A copy that broke off is an error, or it lacks nothing that is asked for: it never comes back as another harbor.
func TestACopyThatBrokeOffIsNoOtherHarbor(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	want := many(200)
	save(t, s, 0, want)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	const tries = 24
	for i := 1; i < tries; i++ {
		cut := filepath.Join(t.TempDir(), "cut.db")
		if err := os.WriteFile(cut, whole[:len(whole)*i/tries], 0o644); err != nil {
			t.Fatal(err)
		}
		s, err := store.Open(ctx, cut)
		if err != nil {
			refused++
			continue
		}
		got, _, err := s.Harbor(ctx, "cove")
		switch {
		case err != nil:
			refused++
		case !reflect.DeepEqual(got, want):
			t.Errorf("cut after %d of %d bytes: another harbor comes back", len(whole)*i/tries, len(whole))
		}
		s.Close() // what a broken file says on closing is no news
	}
	if refused == 0 {
		t.Error("no cut was noticed: the test cuts nothing that matters")
	}
}
