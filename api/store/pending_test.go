package store_test

import (
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swingroom/api/store"
	"swingroom/geo"
)

// An act that is worked out from what differs does what saving the whole does: the same changes, the same harbor, the same history.
func TestAnActLeavesTheHarborThatItMakes(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of harbors, which the race detector makes long; run without -short")
	}
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		slug := fmt.Sprint("harbor-", n)
		from := drawHarbor(t)
		if _, err := s.Save(ctx, slug, 0, from, act); err != nil {
			t.Fatal(err)
		}
		base := int64(1)
		for range 3 {
			other := drawHarbor(t)
			for i := range other.Moorings {
				other.Moorings[i].Area = ""
			}
			to := *from
			if rapid.Bool().Draw(t, "moorings") {
				to.Moorings = other.Moorings
			}
			if rapid.Bool().Draw(t, "people") {
				to.Owners, to.Notes, to.Waiting = other.Owners, other.Notes, other.Waiting
			}
			foretold, err := s.Compare(ctx, slug, &to)
			if err != nil {
				t.Fatal(err)
			}
			p, err := s.Prepare(slug, base, from, &to, act)
			if err != nil {
				t.Fatal(err)
			}
			p.Submit(ctx)
			done, err := p.Wait()
			if err != nil {
				t.Fatal(err)
			}
			foretold.Revision = done.Revision
			if a, b := sorted(told(foretold)), sorted(told(done)); a != b {
				t.Fatalf("Compare tells\n%s\nthe act does\n%s", a, b)
			}
			got, info, err := s.Harbor(ctx, slug)
			if err != nil || !reflect.DeepEqual(byNumber(got), byNumber(&to)) || info.Revision != done.Revision {
				t.Fatalf("as it stands (%v):\n got %+v\nwant %+v", err, got, &to)
			}
			past, err := s.HarborAt(ctx, slug, done.Revision)
			if err != nil || !reflect.DeepEqual(byNumber(past), byNumber(&to)) {
				t.Fatalf("from its history (%v):\n got %+v\nwant %+v", err, past, &to)
			}
			from, base = &to, done.Revision
		}
	})
}

// sorted puts the lines of each group in order: in which order an act names what it changes does not matter.
func sorted(text string) string {
	groups := strings.Split(text, "--\n")
	for i, group := range groups {
		lines := strings.Split(group, "\n")
		slices.Sort(lines)
		groups[i] = strings.Join(lines, "\n")
	}
	return strings.Join(groups, "--\n")
}

// Of many that wait at once one fails: the others are written all the same, and those that were made from it are told.
func TestOneThatFailsTakesNobodyAlong(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	for i := range 4 {
		if _, err := s.Save(ctx, fmt.Sprint("cove-", i), 0, many(20), act); err != nil {
			t.Fatal(err)
		}
	}
	noted := func(text string) (from, to *geo.Harbor) {
		from = many(20)
		next := *from
		next.Notes = append(slices.Clone(next.Notes), geo.Note{ID: text, At: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Text: text})
		return from, &next
	}
	var wait sync.WaitGroup
	errs := make([]error, 40)
	for i := range errs {
		from, to := noted(fmt.Sprint("n", i))
		base := int64(1)
		if i%4 == 3 {
			base = 7 // of a state that never was
		}
		p, err := s.Prepare(fmt.Sprint("cove-", i%4), base, from, to, act)
		if err != nil {
			t.Fatal(err)
		}
		wait.Add(1)
		p.Submit(ctx)
		go func() {
			defer wait.Done()
			_, errs[i] = p.Wait()
		}()
	}
	wait.Wait()
	for i, err := range errs {
		// The first of each harbor is written; all others were made from a state that has passed by then.
		if first := i < 3; first != (err == nil) || err != nil && !errors.Is(err, store.ErrStale) {
			t.Errorf("%d: %v", i, err)
		}
	}
	for i, want := range []int64{2, 2, 2, 1} {
		if _, revision, err := s.Revision(ctx, fmt.Sprint("cove-", i)); err != nil || revision != want {
			t.Errorf("cove-%d is at revision %d (%v), want %d", i, revision, err, want)
		}
	}
}
