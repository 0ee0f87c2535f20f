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
	// Like is the mooring whose boat and tackle make the class: with the change she lies on the tackle that the change gives that mooring.
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
	m, changed := &w.field.Harbor().Moorings[i], &w.Changed.Harbor().Moorings[i]
	g := CapacityGain{Like: m.Number, Boat: *m.Boat}
	halves := func(half int) Progress {
		return func(done, total int) {
			if report != nil {
				report(half*total+done, 2*total)
			}
		}
	}
	if g.Before, err = asIsIn(ctx, w.field, w.Area, m, halves(0)); err != nil && !Partial(err) {
		return CapacityGain{}, fmt.Errorf("as it is: %w", err)
	}
	if g.After, err = asIsIn(ctx, w.Changed, w.Area, changed, halves(1)); err != nil && !Partial(err) {
		return CapacityGain{}, fmt.Errorf("with the change: %w", err)
	}
	g.Gained = g.After.Count - g.Before.Count
	g.Words = fmt.Sprintf("%d more boats like that of %s find a place with the change, %d without it", g.After.Count, m.Number,
		g.Before.Count)
	return g, err
}

// asIsIn counts the places for boats like that of a mooring.
func asIsIn(ctx context.Context, f *clearance.Field, area string, m *geo.Mooring, report Progress) (Capacity, error) {
	q, err := New(f).Ask(Ask{Area: area, Boat: *m.Boat, Tackle: m.Tackle, Radius: m.StatedRadius})
	if err != nil {
		return Capacity{}, err
	}
	return q.CapacityAsIs(ctx, report)
}

// like is the place of a mooring with a boat, or of the area's middle boat by length.
func (w *WhatIf) like(number string) (int, error) {
	h := w.field.Harbor()
	if number != "" {
		i, ok := w.field.Index(number)
		switch {
		case !ok:
			return 0, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
		case h.Moorings[i].Boat == nil:
			return 0,
				&geo.FieldError{Noun: "mooring", Name: number, Field: "boat", Got: "not on record",
					Want: "a mooring with a boat is wanted, whose like is counted", Kind: geo.ErrUnknown}
		}
		return i, nil
	}
	lengthM := func(i int) float64 {
		length, _ := h.Moorings[i].Boat.SwingLength()
		return float64(length.Or(0))
	}
	var known []int
	for i := range h.Moorings {
		if m := &h.Moorings[i]; m.Area == w.Area && m.Boat != nil && lengthM(i) > 0 && w.field.Swing(i).Radius.IsKnown() &&
			!w.field.Swing(i).Bound && m.Boat.Draft.IsKnown() {
			known = append(known, i)
		}
	}
	if len(known) == 0 {
		return 0,
			&geo.FieldError{Noun: "area", Name: w.Area, Field: "boats", Got: "none on record with length, draft and tackle",
				Want: "one is wanted whose like is counted", Kind: geo.ErrUnknown}
	}
	slices.SortStableFunc(known, func(a, b int) int { return cmp.Compare(lengthM(a), lengthM(b)) })
	return known[len(known)/2], nil
}
