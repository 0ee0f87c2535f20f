package api

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// The parameters that every act has.
var actParams = []param{
	{name: "who", doc: "Who does it, for the record."}, {name: "why", doc: "Why, for the record."},
	{name: "despite", doc: "Why it is done although the fit check does not say that it fits; without it such an act is refused."},
	{name: "revision", doc: "The revision of the harbor that was looked at; refused where it has changed since. Without it the check " +
		"alone decides."},
}

var (
	assignParams = append(append([]param{{name: "number", doc: "The mooring."}, {name: "boat", doc: "Name of the boat."},
		{name: "owner", doc: "Her owner."},
		{name: "waiting", doc: "Name on the waiting list: its boat gets the mooring and leaves the list."},
		{name: "replace", doc: "true: the boat that lies there leaves. Without it an occupied mooring is refused."}}, boatParams...),
		actParams...)
	vacateParams = append([]param{{name: "number",
		doc: "The mooring that its boat leaves. It keeps the water of the largest boat that is set for it, or else of this one."}},
		actParams...)
	ringParams = append([]param{{name: "ring", doc: "Numbers of moorings with commas: the boat of each goes to the next, that of the " +
		"last to the first. The last may be vacant: then the boats only move up, and the first is vacant."}}, actParams...)
	anchorParams = append([]param{{name: "number", doc: "The mooring whose anchor is moved."},
		{name: "position", doc: "Where to, in any form."},
		{name: "accuracy_m", doc: "Accuracy of the position, metres; as survey of the new place, 0 unless given."}}, actParams...)
	retireParams = append([]param{{name: "number", doc: "The mooring that is given up. Its history stays."}}, actParams...)
)

// at finds a mooring of a harbor that is to be changed. The error is geo.ErrNotFound.
func at(h *geo.Harbor, number string) (*geo.Mooring, error) {
	number = strings.TrimSpace(number)
	for i := range h.Moorings {
		if h.Moorings[i].Number == number {
			return &h.Moorings[i], nil
		}
	}
	return nil, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
}

// changeMoorings carries out an act that changes moorings on file: do makes the changes on the harbor and tells of them; what it gives back
// is held against the field.
func (q *request) changeMoorings(do func(h *geo.Harbor) (words geo.Words, changed []*geo.Mooring, err error)) error {
	done := Acted{}
	why, despite := q.reasonOf()
	revision, err := q.act(why, func(h *geo.Harbor, f *clearance.Field) error {
		words, changed, err := do(h)
		if err != nil {
			return err
		}
		moorings := make([]geo.Mooring, len(changed))
		for i, m := range changed {
			if err := m.Validate(); err != nil {
				return err
			}
			moorings[i] = *m
		}
		if done.Number = strings.TrimSpace(q.query.Get("number")); len(moorings) > 0 {
			done.Number = moorings[0].Number
		}
		done.Words = words
		done.Fits, err = fitting(f, despite, moorings...)
		return err
	})
	if err != nil {
		return err
	}
	done.Revision = revision
	return q.writeJSON(done)
}

// assign gives a mooring to a boat.
func (q *request) assign() error {
	return q.changeMoorings(func(h *geo.Harbor) (geo.Words, []*geo.Mooring, error) {
		m, err := at(h, q.query.Get("number"))
		if err != nil {
			return geo.Words{}, nil, err
		}
		if m.Boat != nil && lower(q.query.Get("replace")) != "true" {
			return geo.Words{}, nil,
				fmt.Errorf("%w: %s lies on %s; she has to leave first, or replace is wanted", errBody, orBoat(m.Boat), m.Number)
		}
		boat, err := q.newBoat(h)
		if err != nil {
			return geo.Words{}, nil, err
		}
		if length, _ := boat.SwingLength(); !length.IsKnown() {
			return geo.Words{}, nil, fmt.Errorf("%w: the boat's loa_m is wanted", errBody)
		}
		m.Boat, m.Status, m.StatedRadius = &boat, geo.Occupied, geo.Maybe[geo.Metres]{}
		return geo.Tell("%s is given to %s", m.Number, orBoat(&boat)), []*geo.Mooring{m}, nil
	})
}

func orBoat(b *geo.Boat) string { return cmp.Or(b.Name, b.Owner, "the boat") }

// newBoat reads a boat, or takes that of one of the waiting list, who then leaves it.
func (q *request) newBoat(h *geo.Harbor) (boat geo.Boat, err error) {
	if name := q.query.Get("waiting"); name != "" {
		at := slices.IndexFunc(h.Waiting, func(w geo.Waiting) bool { return w.Name == name })
		if at < 0 {
			return boat, fmt.Errorf("%s on the waiting list: %w", name, geo.ErrNotFound)
		}
		boat = h.Waiting[at].Boat
		boat.Owner = name
		h.Waiting = slices.Delete(h.Waiting, at, at+1)
	}
	if err := q.boat(&boat); err != nil {
		return boat, err
	}
	boat.Name, boat.Owner = cmp.Or(strings.TrimSpace(q.query.Get("boat")), boat.Name),
		cmp.Or(strings.TrimSpace(q.query.Get("owner")), boat.Owner)
	return boat, nil
}

// vacate lets a boat leave.
func (q *request) vacate() error {
	return q.changeMoorings(func(h *geo.Harbor) (geo.Words, []*geo.Mooring, error) {
		m, err := at(h, q.query.Get("number"))
		if err != nil {
			return geo.Words{}, nil, err
		}
		if m.Boat == nil {
			return geo.Words{}, nil, fmt.Errorf("%w: no boat lies on %s", errBody, m.Number)
		}
		name := orBoat(m.Boat)
		leave(m)
		return geo.Tell("%s leaves %s", name, m.Number), nil, nil // whose water was hers before
	})
}

// ring lets boats move on: all of it or nothing.
func (q *request) ring() error { return q.changeMoorings(q.moveRound) }

// moveRound moves boats round a ring of moorings, or up a row of them whose last is vacant.
func (q *request) moveRound(h *geo.Harbor) (words geo.Words, changed []*geo.Mooring, err error) {
	numbers := strings.Split(q.query.Get("ring"), ",")
	if len(numbers) < 2 || len(numbers) > 6 {
		return geo.Words{}, nil, fmt.Errorf("%w: ring=%q; two to six numbers with commas are wanted", errBody, q.query.Get("ring"))
	}
	var ms []*geo.Mooring
	for _, number := range numbers {
		m, err := at(h, number)
		if err != nil {
			return geo.Words{}, nil, err
		}
		if slices.Contains(ms, m) {
			return geo.Words{}, nil, fmt.Errorf("%w: %s stands twice in the ring, and no boat lies on two moorings", errBody, m.Number)
		}
		ms = append(ms, m)
	}
	boats, text := make([]*geo.Boat, len(ms)), []string{}
	for i, m := range ms {
		if boats[i] = m.Boat; m.Boat == nil && i < len(ms)-1 {
			return geo.Words{}, nil, fmt.Errorf("%w: no boat lies on %s; only the last of a ring may be vacant", errBody, m.Number)
		}
	}
	for i, b := range boats {
		to := ms[(i+1)%len(ms)]
		if to.StatedRadius = (geo.Maybe[geo.Metres]{}); b == nil {
			leave(to) // the first, whose own boat has moved up
			continue
		}
		to.Boat, to.Status = b, geo.Occupied
		text = append(text, fmt.Sprintf("%s from %s to %s", orBoat(b), ms[i].Number, to.Number))
	}
	return geo.Plain(strings.Join(text, ", ")), slices.DeleteFunc(ms, func(m *geo.Mooring) bool { return m.Boat == nil }), nil
}

// moveAnchor sets the anchor of a mooring at another place.
func (q *request) moveAnchor() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	to, err := geo.ParsePosition(q.query.Get("position"), Vicinity(s.field))
	if err != nil {
		return err
	}
	accuracy, err := q.metres("accuracy_m")
	if err != nil {
		return err
	}
	return q.changeMoorings(func(h *geo.Harbor) (geo.Words, []*geo.Mooring, error) {
		m, err := at(h, q.query.Get("number"))
		if err != nil {
			return geo.Words{}, nil, err
		}
		d, bearing := geo.Geodesic(m.Position, to)
		// the card's depth was that of the old place
		m.Position, m.Accuracy, m.Depth = to, geo.Known(accuracy.Or(0)), geo.Maybe[geo.Metres]{}
		return geo.Tell("the anchor of %s is moved %s on %03.0f° true", m.Number, d, bearing), []*geo.Mooring{m}, nil
	})
}

// retire gives a mooring up.
func (q *request) retire() error {
	return q.changeMoorings(func(h *geo.Harbor) (geo.Words, []*geo.Mooring, error) {
		m, err := at(h, q.query.Get("number"))
		if err != nil {
			return geo.Words{}, nil, err
		}
		if m.Boat != nil {
			return geo.Words{}, nil, fmt.Errorf("%w: %s lies on %s and has to leave first", errBody, orBoat(m.Boat), m.Number)
		}
		number := m.Number
		h.Moorings = slices.DeleteFunc(h.Moorings, func(x geo.Mooring) bool { return x.Number == number })
		return geo.Plain(number + " is retired"), nil, nil
	})
}

// propose notes a ring down for the harbormaster to decide, with what the fit check says of it.
func (q *request) propose() error {
	done := Acted{Fits: []clearance.Fit{}}
	why := strings.TrimSpace(q.query.Get("why"))
	var err error
	done.Revision, err = q.act("proposal: "+why, func(h *geo.Harbor, f *clearance.Field) error {
		if why == "" {
			return fmt.Errorf("%w: why is wanted", errBody)
		}
		moved := *h
		moved.Moorings = slices.Clone(h.Moorings)
		words, changed, err := q.moveRound(&moved)
		if err != nil {
			return err
		}
		moorings := make([]geo.Mooring, len(changed))
		for i, m := range changed {
			moorings[i] = *m
		}
		verdict := "All boats fit."
		var unfit *unfitError
		if done.Fits, err = fitting(f, "", moorings...); errors.As(err, &unfit) {
			verdict = "This does not fit: " + unfit.reasonsIn(h.Units) + "."
		} else if err != nil {
			return err
		}
		done.Number = moorings[0].Number
		done.Words = geo.Tell("proposed: %s", words)
		if done.Fits == nil {
			done.Fits = []clearance.Fit{}
		}
		h.Notes = append(h.Notes, newNote(done.Number, q.who(), fmt.Sprintf("Proposed: %s. %s %s", words.In(h.Units), why, verdict)))
		return nil
	})
	if err != nil {
		return err
	}
	return q.writeJSON(done)
}
