package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"swingroom/api/photo"
	"swingroom/api/store"
	"swingroom/geo"
)

// backedUp makes a backup of a small harbor with two photos, and gives its folder.
func backedUp(t testing.TB) (folder string, h *geo.Harbor) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "h.db")
	folder = filepath.Join(t.TempDir(), "b")
	s := open(t, path)
	h = pictured(t, path, "one", "two")
	save(t, s, 0, h)
	backup(t, s, folder)
	return folder, h
}

func mustRestore(t testing.TB, folder, to string, replace bool) store.RestoreResult {
	t.Helper()
	done, err := store.Restore(ctx, folder, to, replace)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

func harborIn(t testing.TB, path string) *geo.Harbor {
	t.Helper()
	h, _, err := open(t, path).Harbor(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// text puts a file where a test wants it.
func text(t testing.TB, path, content string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestABackupComesBackWithItsPhotos(t *testing.T) {
	folder, h := backedUp(t)
	dir := t.TempDir()
	to := filepath.Join(dir, "new.db")
	if done := mustRestore(t, folder, to, false); done.Photos != 2 || done.ReplacedFile != "" || done.Mismatch != "" ||
		len(done.Harbors) != 1 ||
		done.Harbors[0].Slug != "cove" {
		t.Errorf("%+v", done)
	}
	if got := namesIn(t, dir); !slices.Equal(got, []string{"new.db", "new.db.photos"}) {
		t.Errorf("%v", got)
	}
	if !reflect.DeepEqual(harborIn(t, to), h) {
		t.Error("another harbor comes back")
	}
	for _, sum := range h.Notes[0].Photos {
		if f, err := photo.FolderOf(to).Open(sum); err != nil {
			t.Error(err)
		} else if err := f.Close(); err != nil {
			t.Error(err)
		}
	}
}

func TestABackupComesBackFromADiskThatMayOnlyBeRead(t *testing.T) {
	folder, h := backedUp(t)
	before := namesIn(t, folder)
	for _, path := range []string{filepath.Join(folder, "harbor.db"), folder} {
		if err := os.Chmod(path, 0o500); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { _ = os.Chmod(folder, 0o700) }) // so that it can be removed
	to := filepath.Join(t.TempDir(), "new.db")
	mustRestore(t, folder, to, false)
	if !reflect.DeepEqual(harborIn(t, to), h) || !slices.Equal(namesIn(t, folder), before) {
		t.Errorf("%v", namesIn(t, folder))
	}
}

func TestAFileThatIsThereStaysUnlessItIsToBeReplaced(t *testing.T) {
	folder, h := backedUp(t)
	dir := t.TempDir()
	to := filepath.Join(dir, "harbor.db")
	old := many(3)
	s, err := store.Open(ctx, to)
	if err != nil {
		t.Fatal(err)
	}
	save(t, s, 0, old)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Restore(ctx, folder, to, false); !errors.Is(err, fs.ErrExist) {
		t.Errorf("%v", err)
	}
	if got := namesIn(t, dir); !slices.Equal(got, []string{"harbor.db"}) {
		t.Errorf("left behind: %v", got)
	}
	var asides []string
	for range 3 { // in one second: none takes another's name
		asides = append(asides, mustRestore(t, folder, to, true).ReplacedFile)
	}
	if !reflect.DeepEqual(harborIn(t, to), h) || !reflect.DeepEqual(harborIn(t, asides[0]), old) ||
		!reflect.DeepEqual(harborIn(t, asides[2]), h) {
		t.Errorf("other harbors come back: %v", asides)
	}
	if day := time.Now().UTC().Format("2006-01"); !strings.Contains(asides[0], ".replaced-"+day) {
		t.Errorf("%s does not say when", asides[0])
	}
}

func TestAFileThatIsOpenIsNotReplaced(t *testing.T) {
	const variable = "SWINGROOM_TEST_HOLDS_OPEN"
	if path := os.Getenv(variable); path != "" {
		open(t, path)
		fmt.Println("open")
		_, _ = fmt.Scanln() // until it is told to end
		return
	}
	folder, _ := backedUp(t)
	to := filepath.Join(t.TempDir(), "harbor.db")
	s, err := store.Open(ctx, to)
	if err != nil {
		t.Fatal(err)
	}
	old := many(3)
	save(t, s, 0, old)
	if _, err := store.Restore(ctx, folder, to, true); !errors.Is(err, store.ErrInUse) {
		t.Errorf("open here: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for _, damage := range []bool{false, true} { // of a file that SQLite cannot read any more, too
		cmd := child("TestAFileThatIsOpenIsNotReplaced", variable, to)
		in, errIn := cmd.StdinPipe()
		out, errOut := cmd.StdoutPipe()
		if err := errors.Join(errIn, errOut, cmd.Start()); err != nil {
			t.Fatal(err)
		}
		var said string
		if _, err := fmt.Fscanln(out, &said); err != nil || said != "open" {
			t.Fatalf("%q %v", said, err)
		}
		if damage {
			flip(t, to, 3, 1)
		}
		if _, err := store.Restore(ctx, folder, to, true); !errors.Is(err, store.ErrInUse) || !strings.Contains(err.Error(), to) {
			t.Errorf("open elsewhere, damaged %v: %v", damage, err)
		}
		if damage {
			flip(t, to, 3, 1)
		}
		if names, err := filepath.Glob(filepath.Join(filepath.Dir(to), "*replaced*")); err != nil || len(names) > 0 {
			t.Errorf("%v %v", names, err)
		}
		if err := in.Close(); err != nil {
			t.Fatal(err)
		}
		if err := cmd.Wait(); err != nil {
			t.Error(err)
		}
	}
	if !reflect.DeepEqual(harborIn(t, to), old) {
		t.Error("another harbor is there")
	}
}

func TestADamagedFileIsReplacedWithWhatLiesBesideIt(t *testing.T) {
	folder, h := backedUp(t)
	dir := t.TempDir()
	to := filepath.Join(dir, "harbor.db")
	for _, end := range []string{"", "-wal"} {
		text(t, to+end, "lost"+end)
	}
	done := mustRestore(t, folder, to, true)
	for _, end := range []string{"", "-wal"} {
		if b, err := os.ReadFile(done.ReplacedFile + end); err != nil || string(b) != "lost"+end {
			t.Errorf("%q: %q %v", end, b, err)
		}
	}
	if !reflect.DeepEqual(harborIn(t, to), h) {
		t.Error("another harbor comes back")
	}
}

// A journal without its file would be written into the file that takes the name.
func TestAJournalThatWasLeftIsMovedAside(t *testing.T) {
	folder, h := backedUp(t)
	to := filepath.Join(t.TempDir(), "harbor.db")
	text(t, to+"-wal", "of another file")
	done := mustRestore(t, folder, to, false)
	if _, err := os.Stat(done.ReplacedFile + "-wal"); err != nil || done.ReplacedFile == "" {
		t.Errorf("%q %v", done.ReplacedFile, err)
	}
	if !reflect.DeepEqual(harborIn(t, to), h) {
		t.Error("another harbor comes back")
	}
}

func TestAnothersDatabaseIsNotReplaced(t *testing.T) {
	folder, _ := backedUp(t)
	to := othersDatabase(t)
	if _, err := store.Restore(ctx, folder, to, true); !errors.Is(err, store.ErrForeign) {
		t.Errorf("%v", err)
	}
	if got := namesIn(t, filepath.Dir(to)); !slices.Equal(got, []string{"other.db", "other.db.photos"}) {
		t.Errorf("%v", got)
	}
}

func TestWhatIsNoWholeBackupIsRefusedAndNothingIsTouched(t *testing.T) {
	sums := func(folder string, change func(string) string) func(t *testing.T) {
		return func(t *testing.T) {
			path := filepath.Join(folder, "SHA256SUMS")
			b, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			text(t, path, change(string(b)))
		}
	}
	for name, c := range map[string]struct {
		spoil func(folder string, h *geo.Harbor) func(*testing.T)
		kind  error
	}{
		"no sums": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return func(t *testing.T) { _ = os.Remove(filepath.Join(folder, "SHA256SUMS")) }
		}, store.ErrNoBackup},
		"no database": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return func(t *testing.T) { _ = os.Remove(filepath.Join(folder, "harbor.db")) }
		}, store.ErrNoBackup},
		"no folder": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return func(t *testing.T) { _ = os.RemoveAll(folder) }
		}, store.ErrNoBackup},
		"a photo less": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return func(t *testing.T) {
				_ = os.RemoveAll(filepath.Join(folder, "photos", h.Notes[0].Photos[0][:2]))
			}
		}, store.ErrNoBackup},
		"another photo": {func(folder string, h *geo.Harbor) func(*testing.T) {
			sum := h.Notes[0].Photos[0]
			return func(t *testing.T) { text(t, filepath.Join(folder, "photos", sum[:2], sum+".jpg"), "0ne") }
		}, store.ErrNoBackup},
		"a bit of the database": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return func(t *testing.T) { flip(t, filepath.Join(folder, "harbor.db"), 9000, 4) }
		}, store.ErrNoBackup},
		"sums cut off": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return sums(folder, func(s string) string { return s[:len(s)-10] })
		}, store.ErrNoBackup},
		"sums of nothing": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return sums(folder, func(string) string { return "" })
		}, store.ErrNoBackup},
		"a name that leads out": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return sums(folder, func(s string) string { return s + sumOf(nil) + "  ../../etc/passwd\n" })
		}, store.ErrNoBackup},
		"a photo of another name": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return sums(folder, func(s string) string { return s + sumOf(nil) + "  photos/ab/" + strings.Repeat("ab", 32) + ".jpg\n" })
		}, store.ErrNoBackup},
		"no database of ours": {func(folder string, h *geo.Harbor) func(*testing.T) {
			text := "a letter"
			return sums(folder, func(s string) string {
				_ = os.WriteFile(filepath.Join(folder, "harbor.db"), []byte(text), 0o600)
				return sumOf([]byte(text)) + "  harbor.db\n"
			})
		}, store.ErrForeign},
		"damaged before it was summed": {func(folder string, h *geo.Harbor) func(*testing.T) {
			return sums(folder, func(s string) string {
				b, _ := os.ReadFile(filepath.Join(folder, "harbor.db"))
				clear(b[4096*5 : 4096*6])
				_ = os.WriteFile(filepath.Join(folder, "harbor.db"), b, 0o600)
				return sumOf(b) + "  harbor.db\n"
			})
		}, store.ErrDamaged},
	} {
		t.Run(name, func(t *testing.T) {
			folder, h := backedUp(t)
			c.spoil(folder, h)(t)
			dir := t.TempDir()
			to := filepath.Join(dir, "harbor.db")
			text(t, to, "what was there")
			_, err := store.Restore(ctx, folder, to, true)
			if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), folder) {
				t.Errorf("%v, want %v", err, c.kind)
			}
			if got := namesIn(t, dir); !slices.Equal(got, []string{"harbor.db"}) {
				t.Errorf("%v", got)
			}
			if b, err := os.ReadFile(to); err != nil || string(b) != "what was there" {
				t.Errorf("%q %v", b, err)
			}
		})
	}
}

// A backup of any earlier version comes back, and one of a later version does not.
func TestBackupsOfOtherVersions(t *testing.T) {
	shape := orb.MultiPolygon{{{{-41.5, 44.2}, {-41.4, 44.2}, {-41.4, 44.3}, {-41.5, 44.2}}}}
	folderOf := func(t *testing.T, file string) string {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		folder := t.TempDir()
		text(t, filepath.Join(folder, "harbor.db"), string(b))
		text(t, filepath.Join(folder, "SHA256SUMS"), sumOf(b)+"  harbor.db\n")
		return folder
	}
	for _, version := range []int64{1, 5} {
		to := filepath.Join(t.TempDir(), "back.db")
		mustRestore(t, folderOf(t, older(t, version, shape)), to, false)
		if h := harborIn(t, to); h.Name != "Old Cove" || len(h.Areas) != 1 {
			t.Errorf("version %d: %+v", version, h)
		}
	}
	path := filepath.Join(t.TempDir(), "newer.db")
	s := open(t, path)
	save(t, s, 0, rich())
	copied := filepath.Join(t.TempDir(), "b")
	backup(t, s, copied)
	db, err := sql.Open("sqlite", filepath.Join(copied, "harbor.db"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Restore(ctx, folderOf(t, filepath.Join(copied, "harbor.db")), filepath.Join(t.TempDir(), "back.db"),
		false); !errors.Is(err, store.ErrNewer) {
		t.Errorf("%v", err)
	}
}

// Who writes past the program leaves a file that its history does not lead to: it is kept and brought back, and both say so.
func TestAFileThatSomebodyHasWrittenIntoIsKeptWithADoubt(t *testing.T) {
	path, folder := filepath.Join(t.TempDir(), "h.db"), filepath.Join(t.TempDir(), "b")
	s := open(t, path)
	save(t, s, 0, pictured(t, path))
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("UPDATE mooring SET depth_m = 7.5 WHERE number = '9'"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	if err := s.Check(ctx); !errors.Is(err, store.ErrDamaged) ||
		!strings.Contains(err.Error(), `mooring "9" is not as the history left it`) {
		t.Errorf("%v", err)
	}
	if done := backup(t, s, folder); !strings.Contains(done.Mismatch, `mooring "9"`) {
		t.Errorf("%+v", done)
	}
	if done := mustRestore(t, folder, filepath.Join(t.TempDir(), "back.db"), false); !strings.Contains(done.Mismatch, `mooring "9"`) {
		t.Errorf("%+v", done)
	}
}

// One who opens a file while another is put in its place gets the new one, and not what was moved aside.
func TestWhoWaitsForAFileThatIsReplacedGetsTheNewOne(t *testing.T) {
	folder, want := backedUp(t)
	to := filepath.Join(t.TempDir(), "harbor.db")
	s, err := store.Open(ctx, to)
	if err != nil {
		t.Fatal(err)
	}
	save(t, s, 0, many(3))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	fresh := filepath.Join(filepath.Dir(to), "fresh.db")
	mustRestore(t, folder, fresh, false)
	holder, err := sql.Open("sqlite", to) // as a restore that is moving it
	if err != nil {
		t.Fatal(err)
	}
	for _, query := range []string{"PRAGMA journal_mode = DELETE", "BEGIN EXCLUSIVE"} {
		if _, err := holder.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	opened := make(chan *store.Store)
	go func() {
		s, err := store.Open(ctx, to)
		if err != nil {
			t.Error(err)
		}
		opened <- s
	}()
	time.Sleep(200 * time.Millisecond) // it has the old file open by now, and waits
	if err := errors.Join(os.Rename(to, to+".aside"), os.Rename(fresh, to), holder.Close()); err != nil {
		t.Fatal(err)
	}
	got := <-opened
	if got == nil {
		return
	}
	defer got.Close()
	if h, _, err := got.Harbor(ctx, ""); err != nil || !reflect.DeepEqual(h, want) {
		t.Errorf("the harbor of the old file is served (%v)", err)
	}
}
