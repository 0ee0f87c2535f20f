package office_test

import (
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"swingroom/api/account"
	"swingroom/api/exchange"
	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo"
)

// demo is an office with the demo harbor on file, and the harbor as its harbormaster sees it.
func demo(t testing.TB) (*office.Office, *office.Harbor, office.Author) {
	t.Helper()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil || len(in.Problems) > 0 {
		t.Fatal(err, in.Problems)
	}
	db, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "h.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if _, err := db.Save(t.Context(), "tarrowick-harbor", 0, in.Harbor, store.Act{Who: "harbormaster", Why: "the demo"}); err != nil {
		t.Fatal(err)
	}
	o := office.New(office.Options{Store: db})
	by := office.Author{Person: account.Person{Name: "Quay Warden", Role: account.Harbormaster}, Why: "test",
		Precondition: office.AnyRevision}
	return o, harborOf(t, o, by.Person), by
}

func harborOf(t testing.TB, o *office.Office, p account.Person) *office.Harbor {
	t.Helper()
	h, err := o.Harbor(t.Context(), "", p)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// mooringWith is the first mooring of which something holds.
func mooringWith(t testing.TB, h *office.Harbor, is func(*geo.Mooring) bool) geo.Mooring {
	t.Helper()
	for _, m := range h.Field.Harbor().Moorings {
		if is(&m) {
			return m
		}
	}
	t.Fatal("there is none")
	return geo.Mooring{}
}

// Whatever act is carried out, undoing it gives the record that was before, and the history has grown by both.
func TestEveryActIsTakenBackByUndo(t *testing.T) {
	o, h, by := demo(t)
	by.Despite = "the field is full, and this is a test"
	occupied := mooringWith(t, h, func(m *geo.Mooring) bool { return m.Boat != nil && !m.StatedRadius.IsKnown() })
	other := mooringWith(t, h, func(m *geo.Mooring) bool { return m.Boat != nil && m.Number != occupied.Number })
	vacant := mooringWith(t, h, func(m *geo.Mooring) bool { return m.Boat == nil })
	small := office.Boat{Name: "Wren", Owner: "Ada Quill"}
	small.LOA, small.Beam, small.Draft, small.BowHeight = geo.Known[geo.Metres](6), geo.Known[geo.Metres](2), geo.Known[geo.Metres](1),
		geo.Known[geo.Metres](1)
	ctx := t.Context()
	acts := map[string]func(h *office.Harbor) (office.Result, error){
		"assign": func(h *office.Harbor) (office.Result, error) {
			return h.Assign(ctx, by, office.Assignment{Number: vacant.Number, Boat: small})
		},
		"replace": func(h *office.Harbor) (office.Result, error) {
			return h.Assign(ctx, by, office.Assignment{Number: occupied.Number, Boat: small, Replace: true})
		},
		"vacate": func(h *office.Harbor) (office.Result, error) {
			return h.Vacate(ctx, by, office.Vacancy{Number: occupied.Number})
		},
		"swap": func(h *office.Harbor) (office.Result, error) {
			return h.Ring(ctx, by, office.Ring{Numbers: office.Numbers{occupied.Number, other.Number}})
		},
		"move up": func(h *office.Harbor) (office.Result, error) {
			return h.Ring(ctx, by, office.Ring{Numbers: office.Numbers{occupied.Number, vacant.Number}})
		},
		"move": func(h *office.Harbor) (office.Result, error) {
			return h.Move(ctx, by, office.Move{Number: occupied.Number, Position: geo.Ahead(occupied.Position, 90, 3).DD()})
		},
		"retire": func(h *office.Harbor) (office.Result, error) {
			return h.Retire(ctx, by, office.Retirement{Number: vacant.Number})
		},
		"place": func(h *office.Harbor) (office.Result, error) {
			p := office.Placement{Position: geo.Ahead(occupied.Position, 45, 4).DD(), Vacant: true, Boat: small}
			p.Rode = geo.Known[geo.Metres](20)
			return h.Place(ctx, by, p)
		},
		"note": func(h *office.Harbor) (office.Result, error) {
			return h.Note(ctx, by, office.Note{Mooring: occupied.Number, Text: "swivel stiff"})
		},
		"propose": func(h *office.Harbor) (office.Result, error) {
			return h.Propose(ctx, by, office.Ring{Numbers: office.Numbers{occupied.Number, other.Number}})
		},
		"edit": func(h *office.Harbor) (office.Result, error) {
			return h.Edit(ctx, by, office.Edit{Noun: "mooring", Name: occupied.Number, Set: office.Fields{"note": []byte(`"seen"`)}})
		},
	}
	for name, do := range acts {
		before := harborOf(t, o, by.Person)
		done, err := do(before)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		after := harborOf(t, o, by.Person)
		if done.Revision != before.Info.Revision+1 || after.Info.Revision != done.Revision || done.Words.Feet == "" {
			t.Errorf("%s: revision %d after %d, told as %d: %q", name, after.Info.Revision, before.Info.Revision, done.Revision, done.Words)
		}
		if after.Field.Harbor().Equal(before.Field.Harbor()) {
			t.Errorf("%s changed nothing", name)
		}
		if _, err := after.Undo(ctx, by); err != nil {
			t.Errorf("undo of %s: %v", name, err)
			continue
		}
		again := harborOf(t, o, by.Person)
		if want := before.Field.Harbor(); !sameRecords(again.Field.Harbor(), want) {
			t.Errorf("%s and its undo leave another record", name)
		}
		if again.Info.Revision != before.Info.Revision+2 {
			t.Errorf("%s and its undo: revision %d after %d", name, again.Info.Revision, before.Info.Revision)
		}
	}
}

// sameRecords compares two harbors whose moorings may stand in another order: a retired one comes back at the end.
func sameRecords(a, b *geo.Harbor) bool {
	a, b = a.Clone(), b.Clone()
	if len(a.Moorings) != len(b.Moorings) {
		return false
	}
	at := map[string]int{}
	for i := range a.Moorings {
		at[a.Moorings[i].Number] = i
	}
	sorted := make([]geo.Mooring, 0, len(a.Moorings))
	for i := range b.Moorings {
		j, ok := at[b.Moorings[i].Number]
		if !ok {
			return false
		}
		sorted = append(sorted, a.Moorings[j])
	}
	a.Moorings = sorted
	return a.Equal(b)
}

// An act that is refused leaves the record, the revision and the writer as they were: the next act begins from the same state.
func TestARefusedActLeavesNothingBehind(t *testing.T) {
	o, h, by := demo(t)
	ctx := t.Context()
	occupied := mooringWith(t, h, func(m *geo.Mooring) bool { return m.Boat != nil })
	huge := office.Boat{Name: "Too Long"}
	huge.LOA, huge.Beam, huge.Draft, huge.BowHeight = geo.Known[geo.Metres](30), geo.Known[geo.Metres](8), geo.Known[geo.Metres](3),
		geo.Known[geo.Metres](2)
	ended, cancel := context.WithCancel(ctx)
	cancel()
	for name, c := range map[string]struct {
		do   func() error
		want error
	}{
		"it does not fit": {func() error {
			_, err := h.Assign(ctx, by, office.Assignment{Number: occupied.Number, Boat: huge, Replace: true})
			return err
		}, office.ErrDoesNotFit},
		"somebody lies there": {func() error {
			_, err := h.Assign(ctx, by, office.Assignment{Number: occupied.Number, Boat: huge})
			return err
		}, office.ErrIncomplete},
		"no such mooring": {func() error { _, err := h.Vacate(ctx, by, office.Vacancy{Number: "no such"}); return err }, geo.ErrNotFound},
		"no reason": {func() error {
			_, err := h.Vacate(ctx, office.Author{Person: by.Person}, office.Vacancy{Number: occupied.Number})
			return err
		}, office.ErrIncomplete},
		"an old look": {func() error {
			late := by
			late.Precondition = 0
			_, err := h.Vacate(ctx, late, office.Vacancy{Number: occupied.Number})
			return err
		}, store.ErrStale},
		"the asker has gone": {func() error {
			_, err := h.Vacate(ended, by, office.Vacancy{Number: occupied.Number})
			return err
		}, context.Canceled},
		"a ring of one": {func() error {
			_, err := h.Ring(ctx, by, office.Ring{Numbers: office.Numbers{occupied.Number}})
			return err
		}, office.ErrIncomplete},
	} {
		if err := c.do(); !errors.Is(err, c.want) {
			t.Errorf("%s: %v; want %v", name, err, c.want)
		}
		now := harborOf(t, o, by.Person)
		if now.Info.Revision != h.Info.Revision || !now.Field.Harbor().Equal(h.Field.Harbor()) {
			t.Errorf("%s: the record has changed", name)
		}
	}
	if done, err := h.Vacate(ctx, by, office.Vacancy{Number: occupied.Number}); err != nil || done.Revision != h.Info.Revision+1 {
		t.Errorf("the next act: %+v, %v", done, err)
	}
}

// What has been is looked at and not changed.
func TestAHarborAsItStoodTakesNoAct(t *testing.T) {
	o, now, by := demo(t)
	past, err := o.Harbor(t.Context(), now.Slug()+"@"+string(now.Field.Harbor().Day), by.Person)
	if err != nil {
		t.Fatal(err)
	}
	number := mooringWith(t, past, func(m *geo.Mooring) bool { return m.Boat != nil }).Number
	if _, err := past.Vacate(t.Context(), by, office.Vacancy{Number: number}); !errors.Is(err, office.ErrPast) {
		t.Errorf("%v", err)
	}
	if past.Slug() != now.Slug() || !strings.Contains(past.Info.Slug, "@") {
		t.Errorf("%q of %q", past.Slug(), past.Info.Slug)
	}
}
