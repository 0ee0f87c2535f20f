package office

import (
	"context"
	"fmt"

	"swingroom/geo"
)

// Vacancy names the mooring that its boat leaves.
type Vacancy struct {
	Number string `json:"number"`
}

// Vacate lets a boat leave its mooring. Errors: geo.ErrNotFound, ErrIncomplete where no boat lies there, and those of an act.
func (h *Harbor) Vacate(ctx context.Context, by Author, v Vacancy) (Result, error) {
	return h.changeMooring(ctx, by, v.Number, func(_ *geo.Harbor, m *geo.Mooring) (placed, error) {
		if m.Boat == nil {
			return placed{}, fmt.Errorf("%w: no boat lies on %s", ErrIncomplete, m.Number)
		}
		name := nameOf(m.Boat)
		leave(m)
		return placed{words: geo.Tell("%s leaves %s", name, m.Number)}, nil // the water was the boat's before: nothing to check
	})
}

// leave takes the boat off a mooring, which keeps the water of the largest boat that is set for it, or else of the one that leaves.
func leave(m *geo.Mooring) {
	if m.Boat != nil && !m.LargestLOA.IsKnown() {
		m.LargestLOA, _ = m.Boat.SwingLength()
		m.LargestDraft = m.Boat.Draft
	}
	m.Boat, m.Status = nil, geo.Vacant
}
