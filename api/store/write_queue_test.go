package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	geom "github.com/twpayne/go-geom"

	"swingroom/api/store"
	"swingroom/geo"
)

func TestOfManyWhoSaveAtOnceOneWinsAndTheOthersAreTold(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	a, b := open(t, path), open(t, path) // as two programs on one file, several people in each
	save(t, a, 0, rich())
	for revision := int64(1); revision <= 5; revision++ {
		var won atomic.Int64
		var wait sync.WaitGroup
		for i := range 8 {
			wait.Add(1)
			go func() {
				defer wait.Done()
				h := rich()
				h.Moorings[0].Depth = known(float64(10*revision) + float64(i))
				c, err := []*store.Store{a, b}[i%2].Save(ctx, "cove", revision, h, act)
				switch {
				case err == nil && c.Revision == revision+1 && c.Count() == 1:
					won.Add(1)
				case !errors.Is(err, store.ErrStale) || !strings.Contains(err.Error(), fmt.Sprintf("revision %d", revision+1)):
					t.Errorf("%+v %v", c, err)
				}
			}()
		}
		wait.Wait()
		if won.Load() != 1 {
			t.Fatalf("%d of 8 won", won.Load())
		}
	}
	if rows, err := a.History(ctx, "cove", store.NounMooring, "007"); err != nil || len(rows) != 6 {
		t.Errorf("%d rows of history (%v), want the first and five changes", len(rows), err)
	}
}

// numbered is a harbor in which every depth, and the bed, says its revision.
func numbered(h *geo.Harbor, revision int64) *geo.Harbor {
	for i := range h.Moorings {
		h.Moorings[i].Depth = known(float64(revision))
	}
	h.Soundings = geom.NewMultiPointFlat(geom.XYZ, []float64{-41.5, 44.2, float64(revision)})
	return h
}

func TestAReaderNeverSeesHalfASave(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	s, other := open(t, path), open(t, path)
	h := many(20)
	save(t, s, 0, numbered(h, 1))
	var done atomic.Bool
	var wait sync.WaitGroup
	for i := range 4 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for reads := 0; reads == 0 || !done.Load(); reads++ {
				got, info, err := []*store.Store{s, other}[i%2].Harbor(ctx, "cove")
				if err != nil {
					t.Error(err)
					return
				}
				if want := numbered(many(20), info.Revision); !reflect.DeepEqual(got, want) {
					t.Errorf("revision %d is read with parts of another", info.Revision)
					return
				}
			}
		}()
	}
	for revision := int64(2); revision <= 12; revision++ {
		save(t, s, revision-1, numbered(h, revision))
	}
	done.Store(true)
	wait.Wait()
}

func TestASaveThatIsCalledOffLeavesNothing(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := surveyed(many(1000), 1500)
	begin := time.Now()
	first := save(t, s, 0, h)
	whole := time.Since(begin)
	saved, calledOff := map[string]bool{"cove": true}, 0
	const tries = 10
	for i := range tries { // at any moment of a save
		if testing.Short() && i%4 != 1 {
			continue
		}
		slug := fmt.Sprint("try-", i)
		short, cancel := context.WithTimeout(ctx, whole*time.Duration(i)/tries)
		_, err := s.Save(short, slug, 0, h, act)
		cancel()
		if err == nil {
			saved[slug] = true
		} else {
			calledOff++
		}
	}
	if calledOff == 0 {
		t.Error("no save was called off: nothing was tested")
	}
	on, err := s.Harbors(ctx)
	if err != nil || len(on) != len(saved) {
		t.Errorf("%d harbors are there (%v), %d were saved", len(on), err, len(saved))
	}
	for _, info := range on {
		history, err := s.History(ctx, info.Slug, "", "")
		if err != nil || !saved[info.Slug] || info.Moorings != len(h.Moorings) || len(history) != first.Count() {
			t.Errorf("%s: %d moorings, %d rows of history (%v)", info.Slug, info.Moorings, len(history), err)
		}
	}
	if _, err := s.Save(ctx, "after", 0, h, act); err != nil {
		t.Errorf("the next save: %v", err)
	}
}

// child runs this test again in a process of its own, with a variable that tells it what to do.
func child(test, variable, value string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], "-test.run", "^"+test+"$")
	cmd.Env = append(os.Environ(), variable+"="+value)
	return cmd
}

func TestAnotherProcessIsNoticed(t *testing.T) {
	const variable = "SWINGROOM_TEST_SAVES_ONCE_TO"
	if path := os.Getenv(variable); path != "" {
		h := rich()
		h.Moorings[0].Depth = known(77)
		save(t, open(t, path), 1, h)
		return
	}
	path := filepath.Join(t.TempDir(), "h.db")
	s := open(t, path)
	version := func() int64 {
		v, err := s.DataVersion(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	empty := version()
	save(t, s, 0, rich())
	before := version()
	if before <= empty {
		t.Errorf("a save of our own moves the data version from %d to %d", empty, before)
	}
	if _, _, err := s.Harbor(ctx, ""); err != nil {
		t.Fatal(err)
	}
	if after := version(); after != before {
		t.Errorf("reading alone moves the data version from %d to %d", before, after)
	}
	if out, err := child("TestAnotherProcessIsNoticed", variable, path).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if after := version(); after <= before {
		t.Errorf("data version %d, then %d: it has to grow", before, after)
	}
	if h, info, err := s.Harbor(ctx, ""); err != nil || info.Revision != 2 || h.Moorings[0].Depth != known(77) {
		t.Errorf("revision %d (%v)", info.Revision, err)
	}
}

// TestKilledWhileMakingTheFile kills a process at any moment of making a new database: the file it leaves is taken up.
func TestKilledWhileMakingTheFile(t *testing.T) {
	const variable = "SWINGROOM_TEST_MAKES"
	if path := os.Getenv(variable); path != "" {
		open(t, path)
		return
	}
	dir := t.TempDir()
	early := 0
	for round := range 10 {
		if testing.Short() && round%4 != 0 {
			continue
		}
		path := filepath.Join(dir, fmt.Sprint(round, ".db"))
		cmd := child("TestKilledWhileMakingTheFile", variable, path)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		for deadline := time.Now().Add(10 * time.Second); ; { // from when the file is there
			if _, err := os.Stat(path); err == nil || time.Now().After(deadline) {
				break
			}
			time.Sleep(100 * time.Microsecond)
		}
		time.Sleep(time.Duration(2*round) * time.Millisecond)
		if err := cmd.Process.Kill(); err == nil {
			early++
		}
		_ = cmd.Wait() // it was killed: its error is no news
		save(t, open(t, path), 0, rich())
	}
	if early == 0 {
		t.Error("no process was caught alive: nothing was tested")
	}
}

// Close comes while many submit: each is told that it is on disk, and is there, or gets a plain error; none waits for ever.
func TestWhatIsSubmittedWhileTheStoreClosesIsSavedOrRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	const several, each = 8, 50
	saved := make(chan string, several*each)
	var wait sync.WaitGroup
	for who := range several {
		wait.Go(func() {
			for n := range each {
				name := fmt.Sprintf("cove-%d-%d", who, n)
				_, err := s.Save(ctx, name, 0, many(1), act)
				switch {
				case err == nil:
					saved <- name
				case !errors.Is(err, store.ErrClosed):
					t.Errorf("%s: %v", name, err)
				}
			}
		})
	}
	first := <-saved
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	wait.Wait()
	close(saved)
	if _, err := s.Save(ctx, "late", 0, many(1), act); !errors.Is(err, store.ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Errorf("a second time: %v", err)
	}
	told := map[string]bool{first: true}
	for name := range saved {
		told[name] = true
	}
	all, err := open(t, path).Harbors(ctx)
	if err != nil || len(all) != len(told) {
		t.Fatalf("%d are on disk, %d were told so (%v)", len(all), len(told), err)
	}
	for _, info := range all {
		if !told[info.Slug] {
			t.Errorf("%s is on disk, and its author was told that it is not", info.Slug)
		}
	}
	if len(told) == several*each {
		t.Error("Close came after all of them: nothing was tried")
	}
}
