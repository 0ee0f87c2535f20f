package office

import (
	"context"
	"fmt"
	"slices"

	"swingroom/geo"
)

// Retirement names the mooring that is given up.
type Retirement struct {
	Number string `json:"number"`
}

// Retire gives up a mooring on which no boat lies; its history stays. Errors: geo.ErrNotFound, ErrIncomplete while a boat lies there, and
// those of an act.
func (h *Harbor) Retire(ctx context.Context, by Author, r Retirement) (Result, error) {
	return h.changeMooring(ctx, by, r.Number, func(next *geo.Harbor, m *geo.Mooring) (placed, error) {
		if m.Boat != nil {
			return placed{}, fmt.Errorf("%w: %s lies on %s and has to leave first", ErrIncomplete, nameOf(m.Boat), m.Number)
		}
		number := m.Number
		next.Moorings = slices.DeleteFunc(next.Moorings, numbered(number))
		return placed{words: geo.Plain(number + " is retired")}, nil
	})
}

func numbered(number string) func(geo.Mooring) bool {
	return func(m geo.Mooring) bool { return m.Number == number }
}
