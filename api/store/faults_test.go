package store_test

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"swingroom/api/store"
)

// othersDatabase makes a database of another program.
func othersDatabase(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "other.db")
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE card (number)"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestAnotherProgramsDatabaseIsRefusedAndLeftAsItIs(t *testing.T) {
	path := othersDatabase(t)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := store.Open(ctx, path); !errors.Is(err, store.ErrForeign) {
		t.Errorf("%v", err)
	}
	if after, err := os.ReadFile(path); err != nil || !bytes.Equal(after, before) {
		t.Errorf("its bytes differ afterwards (%v)", err)
	}
}

func TestManyWhoMakeTheSameFileAtOnceAllOpenIt(t *testing.T) {
	for range 3 {
		path := filepath.Join(t.TempDir(), "h.db")
		var wait sync.WaitGroup
		for range 8 {
			wait.Add(1)
			go func() {
				defer wait.Done()
				s, err := store.Open(ctx, path)
				if err != nil {
					t.Error(err)
					return
				}
				if err := s.Close(); err != nil {
					t.Error(err)
				}
			}()
		}
		wait.Wait()
		save(t, open(t, path), 0, rich())
	}
}

func TestADatabaseWithoutAFileIsRefused(t *testing.T) {
	for _, path := range []string{"", ":memory:"} {
		s, err := store.Open(ctx, path)
		if err == nil {
			s.Close()
			t.Errorf("%q was opened", path)
		}
	}
}

// "0° 00.000' W" is read as a zero with a sign, which a column of SQLite does not keep.
func TestAZeroBelowZeroIsNoChange(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := rich()
	h.Moorings[1].Position.LonDeg = math.Copysign(0, -1)
	save(t, s, 0, h)
	if c := save(t, s, 1, h); c.Count() != 0 {
		t.Errorf("the same harbor again: %+v", c.Changed[0].Fields())
	}
	h.Moorings[1].Position.LonDeg = -0.25
	if c := save(t, s, 1, h); c.Count() != 1 {
		t.Errorf("another longitude: %d changes", c.Count())
	}
}

func TestASaveThatIsCalledOffSaysThatAlone(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := many(1000)
	begin := time.Now()
	save(t, s, 0, h)
	whole := time.Since(begin)
	calledOff := 0
	for i := range 20 {
		if testing.Short() && i%5 != 1 {
			continue
		}
		short, cancel := context.WithTimeout(ctx, whole*time.Duration(i)/20)
		_, err := s.Save(short, fmt.Sprint("try-", i), 0, h, act)
		cancel()
		if err == nil {
			continue
		}
		calledOff++
		if !errors.Is(err, context.DeadlineExceeded) || strings.Contains(err.Error(), "transaction") {
			t.Fatalf("called off at %d twentieths: %v", i, err)
		}
	}
	if calledOff == 0 {
		t.Error("no save was called off: nothing was tested")
	}
}

func TestFieldsShowSignsAsTheyWereWritten(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := rich()
	save(t, s, 0, h)
	h.Moorings[0].Boat.Owner = `Rope & Chain <"north">`
	got := save(t, s, 1, h).Changed[0].Fields()
	if want := []store.FieldChange{{Field: "boat.owner", Before: `"A. Nobody"`, After: `"Rope & Chain <\"north\">"`}}; !slices.Equal(got,
		want) {
		t.Errorf("%q, want %q", got, want)
	}
}
