package room

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// CapacityGain is how many more boats of a class an area takes with a change than without it, while all moorings stay where they are.
type CapacityGain struct {
	// Like is the mooring whose boat and tackle make the class: with the change the boats lie on the tackle that the change gives that
	// mooring.
	Like   string   `json:"like"`
	Boat   geo.Boat `json:"boat"`
	Before Capacity `json:"before"`
	After  Capacity `json:"after"`
	Gained int      `json:"gained"` // below 0 places are lost
	Words  string   `json:"words"`
}

// Gained counts the places of the area before and after the change for boats like that of a mooring; an empty number takes the area's
// middle boat by length. Errors: geo.ErrNotFound for the mooring, geo.ErrUnknown where it has no boat, where the area has none, or as
// [Water.Ask]. Stopped, it tells what it has with ctx.Err(); Ended of either side then says so.
func (w *WhatIf) Gained(ctx context.Context, like string, report Progress) (CapacityGain, error) {
	i, err := w.like(like)
	if err != nil {
		return CapacityGain{}, err
	}
	m := &w.field.Harbor().Moorings[i]
	g := CapacityGain{Like: m.Number, Boat: *m.Boat}
	if g.Before, err = asIsIn(ctx, w.field, w.Area, i, report.half(0)); err != nil && !Partial(err) {
		return CapacityGain{}, fmt.Errorf("as it is: %w", err)
	}
	if g.After, err = asIsIn(ctx, w.Changed, w.Area, i, report.half(1)); err != nil && !Partial(err) {
		return CapacityGain{}, fmt.Errorf("with the change: %w", err)
	}
	g.Gained = g.After.Count - g.Before.Count
	g.Words = fmt.Sprintf("%d more boats like that of %s find a place with the change, %d without it", g.After.Count, m.Number,
		g.Before.Count)
	return g, err
}

// half is told of the first or the second half of a search as of a part of the whole.
func (p Progress) half(half int) Progress {
	return func(done, total int) {
		p.tell(half*total+done, 2*total)
	}
}

// asIsIn counts the places for boats like that of Harbor().Moorings[i].
func asIsIn(ctx context.Context, f *clearance.Field, area string, i int, report Progress) (Capacity, error) {
	m := &f.Harbor().Moorings[i]
	q, err := New(f).Ask(Ask{Area: area, Boat: *m.Boat, Tackle: m.Tackle, Radius: m.StatedRadius})
	if err != nil {
		return Capacity{}, err
	}
	return q.CapacityAsIs(ctx, report)
}

// like is the place of a mooring with a boat, or of the area's middle boat by length.
func (w *WhatIf) like(number string) (int, error) {
	if number == "" {
		return w.middleBoat()
	}
	i, ok := w.field.Index(number)
	if !ok {
		return 0, noMooring(number)
	}
	if w.field.Harbor().Moorings[i].Boat == nil {
		return 0, &geo.FieldError{Noun: "mooring", Name: number, Field: "boat", Got: "not on record",
			Want: "a mooring with a boat is expected, whose like is counted", Kind: geo.ErrUnknown}
	}
	return i, nil
}

// noMooring is the error of a number that no mooring has.
func noMooring(number string) error { return fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound) }

// middleBoat is the mooring of the area whose boat is in the middle by length, of those of which all is known.
func (w *WhatIf) middleBoat() (int, error) {
	moorings := w.field.Harbor().Moorings
	var known []int
	for i := range moorings {
		if moorings[i].Area == w.Area && w.knownWhole(i) {
			known = append(known, i)
		}
	}
	if len(known) == 0 {
		return 0, &geo.FieldError{Noun: "area", Name: w.Area, Field: "boats", Got: "none on record with length, draft and tackle",
			Want: "one is expected whose like is counted", Kind: geo.ErrUnknown}
	}
	slices.SortStableFunc(known, func(a, b int) int { return cmp.Compare(boatLength(&moorings[a]), boatLength(&moorings[b])) })
	return known[len(known)/2], nil
}

// knownWhole reports a mooring with a boat of which length, draft and swing radius are known.
func (w *WhatIf) knownWhole(i int) bool {
	m, swing := &w.field.Harbor().Moorings[i], w.field.Swing(i)
	return boatLength(m) > 0 && m.Boat.Draft.IsKnown() && swing.Radius.IsKnown() && !swing.Bound
}
