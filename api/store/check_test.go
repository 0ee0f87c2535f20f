package store_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
)

func sumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// flip changes one bit of a file.
func flip(t testing.TB, path string, at int64, bit byte) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	b := make([]byte, 1)
	if _, err := f.ReadAt(b, at); err != nil {
		t.Fatal(err)
	}
	b[0] ^= bit
	if _, err := f.WriteAt(b, at); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// lived makes a closed file in which some things have happened, and gives all that can be read from it.
func lived(t testing.TB, path string) (h *geo.Harbor, history []store.Change) {
	t.Helper()
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	s.SetClock(func() time.Time { return time.Date(2026, 11, 26, 10, 15, 0, 0, time.UTC) }) // so that the file is the same each time
	h = surveyed(many(40), 300)
	save(t, s, 0, h)
	for revision := int64(1); revision <= 30; revision++ {
		h.Moorings[revision%7].Depth = known(float64(revision) + 0.25)
		if revision%10 == 0 {
			h.Moorings = h.Moorings[:len(h.Moorings)-1]
			h.Areas[0].Rules.Margin += 0.5
			h.Owners[0].Note = fmt.Sprint("seen ", revision)
		}
		save(t, s, revision, h)
	}
	history, err = s.History(ctx, "cove", "", "")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return h, history
}

// What can be read of a file: whether Open and Check let it pass, and whether what they let pass is what was written.
func readBack(path string, h *geo.Harbor, history []store.Change) (found, same bool) {
	s, err := store.Open(ctx, path)
	if err != nil {
		return true, false
	}
	defer s.Close() // what a damaged file says on closing is no news
	if s.Check(ctx) != nil {
		found = true
	}
	got, _, err := s.Harbor(ctx, "cove")
	if err != nil {
		return found, false
	}
	rows, err := s.History(ctx, "cove", "", "")
	return found, err == nil && reflect.DeepEqual(got, h) && reflect.DeepEqual(figures(rows), figures(history))
}

// figures are rows of history with their JSON read: the last of 17 digits may change without another number coming of it.
func figures(rows []store.Change) (all []any) {
	for _, c := range rows {
		var before, after any
		_ = json.Unmarshal(c.Before, &before) // nil where there is none
		_ = json.Unmarshal(c.After, &after)
		c.Before, c.After = nil, nil
		all = append(all, c, before, after)
	}
	return all
}

// One bit is turned at many places, one at a time: either that is found, or all reads back as it was.
func TestALostBitIsFoundOrTouchesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	h, history := lived(t, path)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if found, same := readBack(path, h, history); found || !same {
		t.Fatal("the whole file does not pass")
	}
	tries := 150
	if testing.Short() {
		tries = 40
	}
	random := rand.New(rand.NewPCG(7, 26))
	caught := 0
	for range tries {
		at, bit := random.Int64N(int64(len(whole))), byte(1)<<random.IntN(8)
		if random.IntN(3) == 0 { // the first pages hold the tables' own description
			at = random.Int64N(min(int64(len(whole)), 3*4096))
		}
		broken := filepath.Join(t.TempDir(), "h.db")
		if err := os.WriteFile(broken, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		flip(t, broken, at, bit)
		found, same := readBack(broken, h, history)
		if found {
			caught++
		} else if !same {
			t.Errorf("byte %d, bit %#x: other data comes back and nothing is said; there stands %q", at, bit,
				whole[max(0, at-40):min(int64(len(whole)), at+20)])
		}
	}
	t.Logf("%d of %d found; the others touched nothing", caught, tries)
	if caught < tries/6 {
		t.Errorf("%d of %d were found: nothing that matters was hit", caught, tries)
	}
}

// Whole pages are written over: that is found at the start already, or by Check.
func TestALostPageIsFound(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	h, history := lived(t, path)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 14))
	caught := 0
	for page := range len(whole) / 4096 {
		broken := filepath.Join(t.TempDir(), "h.db")
		b := bytes.Clone(whole)
		for i := range 4096 {
			b[page*4096+i] = byte(random.Uint32())
		}
		if err := os.WriteFile(broken, b, 0o600); err != nil {
			t.Fatal(err)
		}
		found, same := readBack(broken, h, history)
		if found {
			caught++
		} else if !same {
			t.Errorf("page %d: other data comes back and nothing is said", page+1)
		}
	}
	if caught == 0 {
		t.Error("none was found: nothing was tested")
	}
}

func TestADamagedFileIsRefusedWithWordsAndLeftAsItIs(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	lived(t, path)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.LastIndex(whole, []byte("because")) // a reason in the history, or its copy in the index
	for name, b := range map[string][]byte{
		"a letter of a reason":  append(append(bytes.Clone(whole[:at]), 'B'), whole[at+1:]...),
		"a page of zeros":       append(append(bytes.Clone(whole[:4096*5]), make([]byte, 4096)...), whole[4096*6:]...),
		"the second half gone":  whole[:len(whole)/2/4096*4096],
		"its own account wrong": append(append(bytes.Clone(whole[:100]), 0), whole[101:]...),
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "h.db")
			if err := os.WriteFile(path, b, 0o600); err != nil {
				t.Fatal(err)
			}
			s, err := store.Open(ctx, path)
			if err == nil {
				s.Close()
			}
			if !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), "swingroom restore") ||
				!strings.Contains(err.Error(), path) {
				t.Errorf("%v", err)
			}
			if after, err := os.ReadFile(path); err != nil || !bytes.Equal(after, b) {
				t.Errorf("it was changed (%v)", err)
			}
			if names := namesIn(t, filepath.Dir(path)); len(names) != 1 {
				t.Errorf("left beside it: %v", names)
			}
		})
	}
}

// A program that broke off has left commits beside the file: a damaged one is not written into then either.
func TestADamagedFileWithCommitsBesideItIsLeftAsItIs(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "h.db")
	lived(t, path)
	s := open(t, path)
	h, info, err := s.Harbor(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	h.Moorings[3].Depth = known(99)
	save(t, s, info.Revision, h)
	broken := filepath.Join(t.TempDir(), "h.db")
	for _, end := range []string{"", "-wal"} { // as they lie on disk while it is open
		b, err := os.ReadFile(path + end)
		if err != nil || len(b) == 0 {
			t.Fatalf("%s: %d bytes (%v)", end, len(b), err)
		}
		if end == "" {
			clear(b[4096*6 : 4096*7])
		}
		if err := os.WriteFile(broken+end, b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	before, err := os.ReadFile(broken)
	if err != nil {
		t.Fatal(err)
	}
	if s, err := store.Open(ctx, broken); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("%v", err)
		if err == nil {
			s.Close()
		}
	}
	if after, err := os.ReadFile(broken); err != nil || !bytes.Equal(before, after) {
		t.Errorf("it was changed (%v)", err)
	}
	if wal, err := os.Stat(broken + "-wal"); err != nil || wal.Size() == 0 {
		t.Errorf("the commits beside it are gone (%v)", err)
	}
}

func TestWhatLiesBesideAFileThatIsGoneIsNotThrownAway(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	text(t, path+"-wal", "commits")
	s, err := store.Open(ctx, path)
	if err == nil {
		s.Close()
	}
	if !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), path+"-wal") {
		t.Errorf("%v", err)
	}
	if b, err := os.ReadFile(path + "-wal"); err != nil || string(b) != "commits" {
		t.Errorf("%q %v", b, err)
	}
}

// When the disk is full nothing of an act is saved and that is said; with room again the same act goes through, and the history is whole.
func TestOnAFullDiskNothingIsSavedAndItIsSaid(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	s := open(t, path)
	h := many(50)
	save(t, s, 0, h)
	big := surveyed(many(400), 50000)
	for _, pages := range []int{0, 3, 40} { // it is full at once, or after a part of the act was written
		s.LeaveRoom(t, pages)
		_, err := s.Save(ctx, "cove", 1, big, act)
		if !errors.Is(err, store.ErrFull) || !strings.Contains(err.Error(), "nothing of this was saved") {
			t.Fatalf("%d pages left: %v", pages, err)
		}
		if got, info, err := s.Harbor(ctx, ""); err != nil || info.Revision != 1 || !reflect.DeepEqual(got, h) {
			t.Errorf("%d pages left: revision %d (%v)", pages, info.Revision, err)
		}
	}
	s.LeaveRoom(t, -1)
	save(t, s, 1, big)
	if got, info, err := s.Harbor(ctx, ""); err != nil || info.Revision != 2 || !reflect.DeepEqual(got, big) {
		t.Errorf("with room again: revision %d (%v)", info.Revision, err)
	}
	if err := s.Check(ctx); err != nil {
		t.Error(err)
	}
}

func TestCheckPassesWhatManyHarborsHaveLivedThrough(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	lived(t, path)
	s := open(t, path)
	if _, err := s.Save(ctx, "second", 0, rich(), act); err != nil {
		t.Fatal(err)
	}
	if err := s.Check(ctx); err != nil {
		t.Error(err)
	}
}
