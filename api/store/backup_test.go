package store_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"swingroom/api/photo"
	"swingroom/api/store"
	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// pictured is the harbor rich whose first note has these bytes as its photo, which lies beside the file.
func pictured(t testing.TB, path string, pictures ...string) *geo.Harbor {
	t.Helper()
	h := rich()
	h.Notes[0].Photos = nil
	for _, p := range pictures {
		sum := sumOf([]byte(p))
		if err := photo.FolderOf(path).PutFrom(sum, strings.NewReader(p)); err != nil {
			t.Fatal(err)
		}
		h.Notes[0].Photos = append(h.Notes[0].Photos, sum)
	}
	return h
}

func backup(t testing.TB, s *store.Store, folder string) store.BackupResult {
	t.Helper()
	done, err := s.Backup(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// namesIn lists what is in a folder.
func namesIn(t testing.TB, folder string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func TestABackupIsWholeAndSaysItsSums(t *testing.T) {
	dir := t.TempDir()
	path, folder := filepath.Join(dir, "h.db"), filepath.Join(dir, "out", "b")
	s := open(t, path)
	h := pictured(t, path, "one", "two")
	save(t, s, 0, h)
	h.Notes[0].Photos = h.Notes[0].Photos[:1] // the other is in the history still
	save(t, s, 1, h)
	done := backup(t, s, folder)
	if done.Photos != 2 || len(done.Missing) != 0 || len(done.Harbors) != 1 || done.Harbors[0].Revision != 2 {
		t.Errorf("%+v", done)
	}
	if got := namesIn(t, folder); !slices.Equal(got, []string{"SHA256SUMS", "harbor.db", "photos"}) {
		t.Errorf("%v", got)
	}
	if got := namesIn(t, filepath.Join(dir, "out")); len(got) != 1 {
		t.Errorf("left beside it: %v", got)
	}
	got, _, err := open(t, filepath.Join(folder, "harbor.db")).Harbor(ctx, "")
	if err != nil || !reflect.DeepEqual(got, h) {
		t.Errorf("%v: another harbor comes back", err)
	}
	for _, path := range []string{folder, filepath.Join(folder, "harbor.db")} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s: others may enter: %v (%v)", path, info.Mode(), err)
		}
	}
}

func TestTheSumsAreThoseOfSha256sum(t *testing.T) {
	program := outside.Program(t, "sha256sum", "coreutils")
	path, folder := filepath.Join(t.TempDir(), "h.db"), filepath.Join(t.TempDir(), "b")
	s := open(t, path)
	save(t, s, 0, pictured(t, path, "one", "two"))
	backup(t, s, folder)
	check := func() (string, error) {
		cmd := exec.Command(program, "-c", "--strict", "SHA256SUMS")
		cmd.Dir = folder
		out, err := cmd.CombinedOutput()
		return string(out), err
	}
	if out, err := check(); err != nil || strings.Count(out, ": OK") != 3 {
		t.Errorf("%v\n%s", err, out)
	}
	flip(t, filepath.Join(folder, "harbor.db"), 5000, 1)
	if out, err := check(); err == nil || !strings.Contains(out, "harbor.db: FAILED") {
		t.Errorf("a letter was lost, but: %v\n%s", err, out)
	}
}

func TestABackupNeedsAFreeName(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	folder := t.TempDir()
	if _, err := s.Backup(ctx, folder); !errors.Is(err, fs.ErrExist) {
		t.Errorf("%v", err)
	}
	if got := namesIn(t, folder); len(got) != 0 {
		t.Errorf("%v was written into it", got)
	}
}

func TestAPhotoThatCannotBeHadIsToldAndTheRestIsKept(t *testing.T) {
	path, folder := filepath.Join(t.TempDir(), "h.db"), filepath.Join(t.TempDir(), "b")
	s := open(t, path)
	h := pictured(t, path, "one", "two", "three")
	save(t, s, 0, h)
	name := func(i int) string {
		sum := h.Notes[0].Photos[i]
		return filepath.Join(path+".photos", sum[:2], sum+".jpg")
	}
	if err := errors.Join(os.Remove(name(0)), os.WriteFile(name(1), []byte("tw0"), 0o600)); err != nil {
		t.Fatal(err)
	}
	done := backup(t, s, folder)
	if done.Photos != 1 || len(done.Missing) != 2 {
		t.Errorf("%+v", done)
	}
	for i := range 2 {
		if !slices.ContainsFunc(done.Missing, func(words string) bool { return strings.HasPrefix(words, h.Notes[0].Photos[i]) }) {
			t.Errorf("photo %d is not told: %v", i+1, done.Missing)
		}
	}
	if back, err := store.Restore(ctx, folder, filepath.Join(t.TempDir(), "new.db"), false); err != nil || back.Photos != 1 {
		t.Errorf("%v %+v", err, back)
	}
}

// While one writes without a pause backups are made one after another: each is a harbor as it stood at one revision, and the writer is not
// held up.
func TestBackupsWhileOthersWriteAreOfOneMoment(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "h.db")
	s := open(t, path)
	h := many(200)
	save(t, s, 0, numbered(h, 1))
	begin := time.Now()
	save(t, s, 1, numbered(h, 2))
	alone := time.Since(begin)
	stop, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	var longest time.Duration
	revision := int64(2)
	wait.Go(func() {
		for stop.Err() == nil {
			begin := time.Now()
			save(t, s, revision, numbered(h, revision+1))
			revision++
			longest = max(longest, time.Since(begin))
		}
	})
	seen := map[int64]bool{}
	for i := range 8 {
		folder := filepath.Join(dir, fmt.Sprint("b", i))
		backup(t, s, folder)
		got, info, err := open(t, filepath.Join(folder, "harbor.db")).Harbor(ctx, "")
		if err != nil || !reflect.DeepEqual(got, numbered(many(200), info.Revision)) {
			t.Errorf("revision %d is kept with parts of another (%v)", info.Revision, err)
		}
		seen[info.Revision] = true
	}
	cancel()
	wait.Wait()
	if len(seen) < 4 {
		t.Errorf("%d revisions were seen: nobody wrote meanwhile", len(seen))
	}
	t.Logf("%d saves meanwhile, the longest took %v, one alone %v", revision-2, longest, alone)
	// A save that waited for a backup's lock would wait for it to end, and fail after ten seconds; the two share the machine besides.
	if longest > 30*alone {
		t.Errorf("a save took %v beside backups, and %v alone", longest, alone)
	}
}

func TestABackupThatIsCalledOffLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	save(t, s, 0, surveyed(many(1000), 20000))
	begin := time.Now()
	backup(t, s, filepath.Join(dir, "whole"))
	took := time.Since(begin)
	calledOff := 0
	const tries = 8
	for i := range tries {
		short, cancel := context.WithTimeout(ctx, took*time.Duration(i)/tries)
		_, err := s.Backup(short, filepath.Join(dir, fmt.Sprint("b", i)))
		cancel()
		if err != nil {
			calledOff++
			if got := namesIn(t, dir); slices.ContainsFunc(got, func(name string) bool {
				return strings.Contains(name, fmt.Sprint("b", i))
			}) {
				t.Errorf("called off, and left: %v", got)
			}
		}
	}
	if calledOff == 0 {
		t.Error("no backup was called off: nothing was tested")
	}
}

// TestKilledWhileBackingUp kills a process at any moment of a backup: no folder that looks whole is not.
func TestKilledWhileBackingUp(t *testing.T) {
	const variable = "SWINGROOM_TEST_BACKS_UP"
	if dir := os.Getenv(variable); dir != "" {
		s := open(t, filepath.Join(dir, "h.db"))
		for i := 0; ; i++ {
			fmt.Println(i)
			backup(t, s, filepath.Join(dir, "out", fmt.Sprint("b", i)))
		}
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "h.db")
	want := pictured(t, path, "one", "two", "three", "four")
	s := open(t, path)
	save(t, s, 0, surveyed(want, 5000))
	begin := time.Now()
	backup(t, s, filepath.Join(dir, "first"))
	took := time.Since(begin)
	whole, parts := 0, 0
	for round := range 8 {
		cmd := child("TestKilledWhileBackingUp", variable, dir)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		var begun int
		if _, err := fmt.Fscanln(out, &begun); err != nil {
			t.Fatal(err)
		}
		go func() { // so that the process is not held up by what nobody reads
			for err == nil {
				_, err = fmt.Fscanln(out, &begun)
			}
		}()
		time.Sleep(took*time.Duration(round)/2 + time.Duration(rand.Int64N(int64(took)/2))) // from the first to some
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = cmd.Wait() // it was killed: its error is no news
		for _, name := range namesIn(t, filepath.Join(dir, "out")) {
			folder := filepath.Join(dir, "out", name)
			if strings.Contains(name, ".part-") {
				parts++
			} else {
				whole++
				to := filepath.Join(t.TempDir(), "back.db")
				if done, err := store.Restore(ctx, folder, to, false); err != nil || done.Photos != 4 {
					t.Errorf("%s looks whole: %+v %v", name, done, err)
				} else if got, _, err := open(t, to).Harbor(ctx, ""); err != nil || !reflect.DeepEqual(got, want) {
					t.Errorf("%s: another harbor comes back (%v)", name, err)
				}
			}
			if err := os.RemoveAll(folder); err != nil {
				t.Fatal(err)
			}
		}
	}
	if whole == 0 || parts == 0 {
		t.Errorf("%d whole, %d broken off: too few to have tested anything", whole, parts)
	}
}
