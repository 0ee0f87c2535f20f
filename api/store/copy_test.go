package store_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"

	"swingroom/api/store"
)

var triangle = orb.MultiPolygon{{{{-41.5, 44.2}, {-41.4, 44.2}, {-41.4, 44.3}, {-41.5, 44.2}}}}

// withStep is the program's own migrations and one more.
func withStep(t testing.TB, step string) fs.FS {
	t.Helper()
	steps := fstest.MapFS{"99999_next.sql": &fstest.MapFile{Data: []byte("-- +goose Up\n" + step)}}
	own := store.Migrations(t)
	names, err := fs.Glob(own, "*.sql")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		b, err := fs.ReadFile(own, name)
		if err != nil {
			t.Fatal(err)
		}
		steps[name] = &fstest.MapFile{Data: b}
	}
	return steps
}

func TestAnUpgradeThatFailsOnItsTrialLeavesTheFileAsItIs(t *testing.T) {
	for name, c := range map[string]struct{ step, words string }{
		"a step that SQLite refuses": {"ALTER TABLE nowhere ADD COLUMN x;", "nowhere"},
		"a reference to nothing": {"PRAGMA defer_foreign_keys = ON; INSERT INTO boat (mooring_id, name, kind, owner) VALUES " +
			"(77, '', '', '');", "FOREIGN KEY"},
		"a column that is gone":          {"ALTER TABLE harbor DROP COLUMN levels_are_gone;", "levels_are_gone"},
		"a harbor that cannot be read":   {"UPDATE harbor SET defaults = '{';", "harbor cove"},
		"a harbor that is another after": {"UPDATE harbor SET name = 'Elsewhere';", "harbor \"\" is not as the history left it"},
		"a history that is cut":          {"DELETE FROM history WHERE noun = 'area';", "area \"Inner\""},
	} {
		t.Run(name, func(t *testing.T) {
			path := older(t, 3, triangle)
			before, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			s, err := store.OpenWith(ctx, path, withStep(t, c.step))
			if err == nil {
				s.Close()
			}
			if !errors.Is(err, store.ErrUpgrade) || !strings.Contains(err.Error(), c.words) ||
				!strings.Contains(err.Error(), "Nothing in the file was changed") {
				t.Errorf("%v", err)
			}
			if after, err := os.ReadFile(path); err != nil || !bytes.Equal(before, after) {
				t.Errorf("the file was changed (%v)", err)
			}
			if got := namesIn(t, filepath.Dir(path)); !slices.Equal(got, []string{"h.db"}) {
				t.Errorf("left behind: %v", got)
			}
			open(t, path) // with the steps that there are it goes on
		})
	}
}

func TestTheFileBeforeAnUpgradeIsKept(t *testing.T) {
	path := older(t, 3, triangle)
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	first := open(t, path)
	kept := path + ".before-3.db"
	if info, err := os.Stat(kept); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("others may read it: %v (%v)", info, err)
	}
	if first.UpgradeCopy() != kept {
		t.Errorf("%q, want %q", first.UpgradeCopy(), kept)
	}
	// It can be upgraded in its turn: it is the old file whole.
	if h, _, err := open(t, kept).Harbor(ctx, ""); err != nil || h.Name != "Old Cove" {
		t.Errorf("%v", err)
	}
	if again := open(t, path); again.UpgradeCopy() != "" {
		t.Errorf("with nothing to do it kept %s", again.UpgradeCopy())
	}
	if fresh := open(t, filepath.Join(t.TempDir(), "new.db")); fresh.UpgradeCopy() != "" {
		t.Errorf("of a new file it kept %s", fresh.UpgradeCopy())
	}
}

func TestAKeptFileDoesNotTakeAnothersPlace(t *testing.T) {
	path := older(t, 3, triangle)
	text(t, path+".before-3.db", "kept by an earlier upgrade")
	if s := open(t, path); s.UpgradeCopy() != path+".before-3-2.db" {
		t.Errorf("%q", s.UpgradeCopy())
	}
	if b, err := os.ReadFile(path + ".before-3.db"); err != nil || string(b) != "kept by an earlier upgrade" {
		t.Errorf("%q %v", b, err)
	}
}

func TestManyWhoUpgradeTheSameFileAtOnceAllOpenIt(t *testing.T) {
	for range 3 {
		path := older(t, 1, triangle)
		var wait sync.WaitGroup
		for range 6 {
			wait.Go(func() {
				s, err := store.Open(ctx, path)
				if err != nil {
					t.Error(err)
					return
				}
				if h, _, err := s.Harbor(ctx, ""); err != nil || h.Name != "Old Cove" {
					t.Error(err)
				}
				if err := s.Close(); err != nil {
					t.Error(err)
				}
			})
		}
		wait.Wait()
		names := namesIn(t, filepath.Dir(path))
		if !slices.Contains(names, "h.db.before-1.db") {
			t.Errorf("%v", names)
		}
		for _, name := range names {
			if strings.HasPrefix(name, ".") {
				t.Errorf("left behind: %s", name)
			}
		}
		if err := open(t, path).Check(ctx); err != nil {
			t.Error(fmt.Errorf("afterwards: %w", err))
		}
	}
}
