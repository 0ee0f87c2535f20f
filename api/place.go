package api

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

var placeParams = append([]param{
	{name: "position", doc: "Where the anchor is set, in any form."}, {name: "area", doc: "Name of the area; the one in which it lies unless given."},
	{name: "number", doc: "Number of the new mooring; the next free one by the area's own numbering unless given."},
	{name: "rode_m", doc: "Length of the rode that is laid, metres."}, {name: "scope", doc: "Or the rode over the height from bed to bow at the high level."}, {name: "tackle_of", doc: "Or the number of a mooring whose tackle is laid."},
	{name: "radius_m", doc: "A stated swing radius, metres, where the area asks for one."},
	{name: "boat", doc: "Name of the boat."}, {name: "owner", doc: "Her owner."}, {name: "waiting", doc: "Name on the waiting list: its boat is placed and leaves the list."},
	{name: "vacant", doc: "true: the mooring is set vacant and keeps the water of a boat of that length and draft."},
	{name: "who", doc: "Who does it, for the record."}, {name: "why", doc: "Why, for the record."}, {name: "despite", doc: "Why it is done although the check does not say that she fits; without it such a place is refused."},
	{name: "revision", doc: "The revision of the harbor that was looked at; refused where it has changed since. Without it the check alone decides."},
}, boatParams...)

// place sets a new mooring at a position, with a boat or vacant.
func (q *request) place() error {
	var m geo.Mooring
	why := strings.TrimSpace(q.query.Get("why"))
	despite := strings.TrimSpace(q.query.Get("despite"))
	if despite != "" {
		why += "; despite the check: " + despite
	}
	revision, report, err := q.act(why, func(h *geo.Harbor, f *clearance.Field) (report clearance.Report, err error) {
		if m, err = q.newMooring(h, f); err != nil {
			return report, err
		}
		checked := keeper(m)
		report, answer := f.Check(checked)
		if reasons := unfit(&checked, h.Rules(&checked), &report, verdict(&report, answer)); len(reasons) > 0 && despite == "" {
			return report, fmt.Errorf("%w: %s", errDoesNot, strings.Join(reasons, "; "))
		}
		h.Moorings = append(h.Moorings, m)
		return report, nil
	})
	if err != nil {
		return err
	}
	words := fmt.Sprintf("%s is set in %s", m.Number, m.Area)
	if m.Boat != nil && m.Boat.Name != "" {
		words += " for " + m.Boat.Name
	}
	return q.writeJSON(Acted{Number: m.Number, Revision: revision, Words: words, Report: report})
}

// keeper is a vacant mooring with the boat whose water it keeps, or any other as it is.
func keeper(m geo.Mooring) geo.Mooring {
	if m.Boat == nil && m.LargestLOA.IsKnown() {
		m.Boat, m.Status = &geo.Boat{LOA: m.LargestLOA, Draft: m.LargestDraft}, geo.Occupied
	}
	return m
}

// newMooring reads the mooring that is to be set.
func (q *request) newMooring(h *geo.Harbor, f *clearance.Field) (m geo.Mooring, err error) {
	o, err := OpeningAt(f, q.query.Get("position"), q.query.Get("area"))
	if err != nil {
		return m, err
	}
	if _, ok := h.Area(o.Area); !ok {
		return m, fmt.Errorf("area %q: %w", o.Area, geo.ErrNotFound)
	}
	m = geo.Mooring{Number: strings.TrimSpace(q.query.Get("number")), Area: o.Area, Status: geo.Occupied, Position: o.Position, Accuracy: geo.Known(geo.Metres(0))}
	if m.Number == "" {
		m.Number = h.NextNumber(o.Area)
	} else if slices.ContainsFunc(h.Moorings, func(x geo.Mooring) bool { return x.Number == m.Number }) {
		return m, fmt.Errorf("%w: there is a mooring %s already", geo.ErrInvalid, m.Number)
	}
	boat := geo.Boat{}
	if name := q.query.Get("waiting"); name != "" {
		at := slices.IndexFunc(h.Waiting, func(w geo.Waiting) bool { return w.Name == name })
		if at < 0 {
			return m, fmt.Errorf("%s on the waiting list: %w", name, geo.ErrNotFound)
		}
		boat = h.Waiting[at].Boat
		boat.Owner = name
		h.Waiting = slices.Delete(h.Waiting, at, at+1)
	}
	if err := q.boat(&boat); err != nil {
		return m, err
	}
	boat.Name, boat.Owner = cmp.Or(strings.TrimSpace(q.query.Get("boat")), boat.Name), cmp.Or(strings.TrimSpace(q.query.Get("owner")), boat.Owner)
	if m.StatedRadius, err = q.metres("radius_m"); err != nil {
		return m, err
	}
	tackle, scope, err := q.tackle(h)
	if err != nil {
		return m, err
	}
	if m.Tackle = tackle; scope > 0 {
		depth, err := f.Bed().Depth(f.Frame().Project(m.Position))
		if err != nil {
			return m, fmt.Errorf("the rode cannot be cut to the depth: %w", err)
		}
		m.Tackle = room.CutTo(h, scope, depth, &boat)
	}
	if lower(q.query.Get("vacant")) == "true" {
		m.Status, m.LargestLOA, m.LargestDraft = geo.Vacant, boat.LOA, boat.Draft
		return m, m.Validate()
	}
	if length, _ := boat.SwingLength(); !length.IsKnown() {
		return m, fmt.Errorf("%w: the boat's loa_m is wanted, or vacant", errBody)
	}
	m.Boat = &boat
	return m, m.Validate()
}
