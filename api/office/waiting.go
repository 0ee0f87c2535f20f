package office

import (
	"context"
	"fmt"

	"swingroom/geo"
	"swingroom/geo/room"
)

// maxOpenings can be held against the waiting list at once: each is tried for everybody on it.
const maxOpenings = 20

// WaitingQuestion asks for the waiting list held against the vacant moorings and some openings.
type WaitingQuestion struct {
	Open Positions `json:"open"` // at which a mooring may be set: each is held against the list like a vacant mooring
	Area string    `json:"area"` // of these openings; that in which each lies unless said
	Ground
}

// Waiting holds the waiting list against the vacant moorings, which is worked out once for each state of the harbor, or against some
// openings too. Errors: geo.ErrNotFound, geo.ErrInvalid, ErrIncomplete, *geo.PositionError.
func (h *Harbor) Waiting(ctx context.Context, q WaitingQuestion, report room.Progress) (room.Assignments, error) {
	openings, err := q.openings(h)
	if err != nil {
		return room.Assignments{}, err
	}
	if kept := h.assigned.Load(); len(openings) == 0 && kept != nil {
		return *kept, nil
	}
	assignments, err := room.Serve(ctx, h.Field, openings, report)
	if err == nil && len(openings) == 0 {
		h.assigned.Store(&assignments)
	}
	return assignments, err
}

// openings are the positions at which a mooring may be set, with what would be laid there.
func (q *WaitingQuestion) openings(h *Harbor) ([]room.Opening, error) {
	if len(q.Open) > maxOpenings {
		return nil, fmt.Errorf("%w: %d openings; at most %d at once", geo.ErrInvalid, len(q.Open), maxOpenings)
	}
	tackle, scope, err := q.tackle(h.Field.Harbor())
	if err != nil {
		return nil, err
	}
	var all []room.Opening
	for _, text := range q.Open {
		o, err := OpeningAt(h.Field, text, q.Area)
		if err != nil {
			return nil, err
		}
		o.Tackle, o.ScopeRatio = tackle, scope
		all = append(all, o)
	}
	return all, nil
}
