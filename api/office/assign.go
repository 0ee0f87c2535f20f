package office

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"swingroom/geo"
)

// Assignment gives a mooring to a boat, typed or of the waiting list.
type Assignment struct {
	Number  string `json:"number"`
	Waiting string `json:"waiting"` // a name on the waiting list: its boat gets the mooring and leaves the list
	Replace bool   `json:"replace"` // the boat that lies there leaves; without it an occupied mooring is refused
	Boat
}

// Assign gives a mooring to a boat, after the fit check. Errors: geo.ErrNotFound, ErrIncomplete, *UnfitError, and those of an act.
func (h *Harbor) Assign(ctx context.Context, by Author, a Assignment) (Result, error) {
	return h.changeMooring(ctx, by, a.Number, func(next *geo.Harbor, m *geo.Mooring) (placed, error) {
		if m.Boat != nil && !a.Replace {
			return placed{}, fmt.Errorf("%w: %s lies on %s; it has to leave first, or be replaced (replace)", ErrIncomplete, nameOf(m.Boat),
				m.Number)
		}
		boat, err := a.newBoat(next, a.Waiting)
		if err != nil {
			return placed{}, err
		}
		if !hasLength(&boat) {
			return placed{}, fmt.Errorf("%w: the boat's length is expected (loa_m)", ErrIncomplete)
		}
		m.Boat, m.Status, m.StatedRadius = &boat, geo.Occupied, geo.Maybe[geo.Metres]{}
		return placed{geo.Tell("%s is assigned to %s", m.Number, nameOf(&boat)), []*geo.Mooring{m}}, nil
	})
}

// nameOf is what a boat is called in a sentence.
func nameOf(b *geo.Boat) string { return cmp.Or(b.Name, b.Owner, "the boat") }

// newBoat is the record of a boat as it is said, or of one of the waiting list, who then leaves it.
func (b *Boat) newBoat(h *geo.Harbor, waiting string) (boat geo.Boat, err error) {
	if waiting == "" {
		return b.boat(), nil
	}
	at := slices.IndexFunc(h.Waiting, func(w geo.Waiting) bool { return w.Name == waiting })
	if at < 0 {
		return boat, fmt.Errorf("%s on the waiting list: %w", waiting, geo.ErrNotFound)
	}
	boat = h.Waiting[at].Boat
	h.Waiting = slices.Delete(h.Waiting, at, at+1)
	said := b.boat()
	boat.Name, boat.Owner = cmp.Or(said.Name, boat.Name), cmp.Or(said.Owner, waiting)
	b.into(&boat)
	return boat, nil
}
