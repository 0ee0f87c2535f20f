package office

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Ring is a ring of moorings: the boat of each goes to the next, that of the last to the first. The last may be vacant: then the boats only
// move up, and the first is vacant. Two numbers swap the boats of two moorings.
type Ring struct {
	Numbers Numbers `json:"ring"`
}

// maxRing is how many moorings a ring may have: more than anybody moves in one go with a work boat.
const maxRing = 6

// Ring moves boats round a ring, after the check of every boat with all of them moved: all of it or nothing. Errors: ErrIncomplete for a
// ring that is none, geo.ErrNotFound, *UnfitError, and those of an act.
func (h *Harbor) Ring(ctx context.Context, by Author, r Ring) (Result, error) {
	return h.changeMoorings(ctx, by, "", r.moveBoats)
}

// moorings are those of the ring, in order.
func (r Ring) moorings(h *geo.Harbor) ([]*geo.Mooring, error) {
	if len(r.Numbers) < 2 || len(r.Numbers) > maxRing {
		return nil, fmt.Errorf("%w: ring=%q; two to six numbers with commas are expected", ErrIncomplete, strings.Join(r.Numbers, ","))
	}
	var all []*geo.Mooring
	for i, number := range r.Numbers {
		m, err := mooringOf(h, number)
		if err != nil {
			return nil, err
		}
		if slices.Contains(all, m) {
			return nil, fmt.Errorf("%w: %s stands twice in the ring, and no boat lies on two moorings", ErrIncomplete, m.Number)
		}
		if m.Boat == nil && i < len(r.Numbers)-1 {
			return nil, fmt.Errorf("%w: no boat lies on %s; only the last of a ring may be vacant", ErrIncomplete, m.Number)
		}
		all = append(all, m)
	}
	return all, nil
}

// moveBoats moves boats round a ring of moorings, or up a row of them whose last is vacant.
func (r Ring) moveBoats(h *geo.Harbor) (placed, error) {
	all, err := r.moorings(h)
	if err != nil {
		return placed{}, err
	}
	boats, told := make([]*geo.Boat, len(all)), []string{}
	for i, m := range all {
		boats[i] = m.Boat
	}
	for i, b := range boats {
		to := all[(i+1)%len(all)]
		to.StatedRadius = geo.Maybe[geo.Metres]{}
		if b == nil {
			leave(to) // the first, whose own boat has moved up
			continue
		}
		to.Boat, to.Status = b, geo.Occupied
		told = append(told, fmt.Sprintf("%s from %s to %s", nameOf(b), all[i].Number, to.Number))
	}
	occupied := slices.DeleteFunc(all, func(m *geo.Mooring) bool { return m.Boat == nil })
	return placed{geo.Plain(strings.Join(told, ", ")), occupied}, nil
}

// Propose notes a ring down for the harbormaster to decide, with what the fit check says of it; nobody's place changes. Errors: as
// [Harbor.Ring], but for what does not fit, which stands in the note.
func (h *Harbor) Propose(ctx context.Context, by Author, r Ring) (Result, error) {
	why := strings.TrimSpace(by.Why)
	if why == "" {
		return Result{}, fmt.Errorf("%w: why is expected", ErrIncomplete)
	}
	by.Why, by.Despite = "proposal: "+why, ""
	return h.act(ctx, by, func(next *geo.Harbor, f *clearance.Field) (Result, error) {
		p, moorings, err := r.moved(next)
		if err != nil {
			return Result{}, err
		}
		fits, verdict, err := proposed(f, next.Units, moorings)
		if err != nil {
			return Result{}, err
		}
		done := Result{Number: moorings[0].Number, Words: geo.Tell("proposed: %s", p.words), Fits: fits}
		text := fmt.Sprintf("Proposed: %s. %s %s", p.words.In(next.Units), why, verdict)
		next.Notes = append(next.Notes, newNote(done.Number, by.Name, text))
		return done, nil
	})
}

// moved are the moorings of the ring as they would be; the harbor stays as it is.
func (r Ring) moved(h *geo.Harbor) (placed, []geo.Mooring, error) {
	p, err := r.moveBoats(h.Clone())
	moorings := make([]geo.Mooring, len(p.changed))
	for i, m := range p.changed {
		moorings[i] = *m
	}
	return p, moorings, err
}

// proposed checks a ring and says in one sentence what comes out.
func proposed(f *clearance.Field, u geo.Units, moorings []geo.Mooring) ([]clearance.Fit, string, error) {
	fits, err := fitAll(f, "", moorings...)
	var unfit *UnfitError
	switch {
	case errors.As(err, &unfit):
		return fits, "This does not fit: " + unfit.reasonsIn(u) + ".", nil
	case err != nil:
		return nil, "", err
	}
	return fits, "All boats fit.", nil
}
