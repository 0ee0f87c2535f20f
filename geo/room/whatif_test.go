package room_test

import (
	"errors"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

func rulesOf(t *testing.T, f *clearance.Field, area string, change func(*geo.Rules)) geo.Maybe[geo.Rules] {
	t.Helper()
	a, ok := f.Harbor().Area(area)
	if !ok {
		t.Fatal(area)
	}
	r := a.Rules
	change(&r)
	return geo.Known(r)
}

func TestWhatIf(t *testing.T) {
	f := demo(t).Field()
	try := func(c room.Change) *room.WhatIf {
		t.Helper()
		w, err := room.Try(f, c)
		if err != nil {
			t.Fatal(err)
		}
		if w.Before.Conflicts-len(w.Gone)+len(w.New) != w.After.Conflicts {
			t.Errorf("%d conflicts, %d gone, %d new, %d after", w.Before.Conflicts, len(w.Gone), len(w.New), w.After.Conflicts)
		}
		return w
	}
	if w := try(room.Change{Area: "North Roads"}); w.Before != w.After || len(w.New) != 0 {
		t.Errorf("no change changes: %+v", w)
	}
	if w := try(room.Change{Area: "North Roads", Rules: rulesOf(t, f, "North Roads", func(r *geo.Rules) {
		r.Lying = geo.Independent
	})}); len(w.New) < 20 {
		t.Errorf("boats that lay in unison lie as they like, and %d conflicts are new", len(w.New))
	}
	if w := try(room.Change{Area: "Middle Ground", Rules: rulesOf(t, f, "Middle Ground", func(r *geo.Rules) {
		r.Margin = 0
	})}); w.After.Conflicts >= w.Before.Conflicts || len(w.New) != 0 {
		t.Errorf("no margin: %s", w.Words)
	}
	if w := try(room.Change{Area: "Middle Ground", ScopeRatio: 1.5}); w.After.CirclesM2 >= w.Before.CirclesM2 {
		t.Errorf("a shorter rode takes more water: %+v %+v", w.Before, w.After)
	}
	if w := try(room.Change{Area: "Middle Ground", ScopeRatio: 4}); w.After.CirclesM2 <= w.Before.CirclesM2 || len(w.New) < 20 {
		t.Errorf("a longer rode: %s", w.Words)
	}
	if i, _ := f.Index("301"); f.Harbor().Moorings[i].Tackle[1].Kind != geo.GroundChain {
		t.Error("the field itself is changed")
	}
}

func TestWhatIfOnElasticLines(t *testing.T) {
	h := *demo(t).Field().Harbor()
	h.Defaults.Lines.Ropes = []geo.RopeKind{{Material: "rubber cord", Size: 0.04, MassKgPerM: 1.4, DensityKgPerM3: 1100,
		Stretch: []geo.StretchPoint{{PullN: 3000, StrainRatio: 0.25}, {PullN: 20000, StrainRatio: 0.45}}}}
	f, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	rules := rulesOf(t, f, "Middle Ground", func(r *geo.Rules) { r.Swing = geo.SwingRule{Kind: geo.Catenary} })
	w, err := room.Try(f, room.Change{Area: "Middle Ground", Rules: rules, Elastic: "rubber cord", ElasticRatio: 1.1})
	if err != nil {
		t.Fatal(err)
	}
	if w.After.CirclesM2 >= 0.9*w.Before.CirclesM2 {
		t.Errorf("elastic lines of little more than the water's depth take %.0f m² in place of %.0f m²", w.After.CirclesM2,
			w.Before.CirclesM2)
	}
	if _, err := room.Try(f, room.Change{Area: "Middle Ground", Elastic: "moonbeam", ElasticRatio: 1}); !errors.Is(err, geo.ErrUnknown) {
		t.Errorf("an elastic of which nothing is known: %v", err)
	}
	if _, err := room.Try(f, room.Change{Area: "Moon"}); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("%v", err)
	}
}

// A shorter rode frees places, a longer one takes them; what is told is what a capacity asked by itself tells.
func TestPlacesGained(t *testing.T) {
	if testing.Short() {
		t.Skip("two counts of places; run without -short")
	}
	f := demo(t).Field()
	w, err := room.Try(f, room.Change{Area: "Middle Ground", ScopeRatio: 1.5})
	if err != nil {
		t.Fatal(err)
	}
	last := 0
	g, err := w.Gained(t.Context(), "301", func(done, total int) {
		if done < last || done > total {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
	})
	if err != nil {
		t.Fatal(err)
	}
	i, _ := f.Index("301")
	m := f.Harbor().Moorings[i]
	q, err := room.New(f).Ask(room.Ask{Area: "Middle Ground", Boat: *m.Boat, Tackle: m.Tackle})
	if err != nil {
		t.Fatal(err)
	}
	if alone, err := q.CapacityAsIs(t.Context(), nil); err != nil || alone.Count != g.Before.Count {
		t.Errorf("%d places, by itself %d", g.Before.Count, alone.Count)
	}
	if g.Gained <= 0 || g.Gained != g.After.Count-g.Before.Count || last == 0 {
		t.Errorf("a shorter rode: %s", g.Words)
	}
	if _, err := w.Gained(t.Context(), "nobody", nil); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("a mooring that is not there: %v", err)
	}
	if g, err := w.Gained(stopped(t), "", nil); !room.Partial(err) || g.Like == "" {
		t.Errorf("the middle boat: %v", err)
	}
}
