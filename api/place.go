package api

import (
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

var placeParams = append([]param{
	{name: "position", doc: "Where the anchor is set, in any form."},
	{name: "area", doc: "Name of the area; the one in which it lies unless given."},
	{name: "number", doc: "Number of the new mooring; the next free one by the area's own numbering unless given."},
	{name: "rode_m", doc: "Length of the rode that is laid, metres."},
	{name: "scope", doc: "Or the rode over the height from bed to bow at the high level."},
	{name: "tackle_of", doc: "Or the number of a mooring whose tackle is laid."},
	{name: "radius_m", doc: "A stated swing radius, metres, where the area asks for one."},
	{name: "boat", doc: "Name of the boat."}, {name: "owner", doc: "Her owner."},
	{name: "waiting", doc: "Name on the waiting list: its boat is placed and leaves the list."},
	{name: "vacant", doc: "true: the mooring is set vacant and keeps the water of a boat of that length and draft."},
}, append(boatParams[:len(boatParams):len(boatParams)], actParams...)...)

// place sets a new mooring at a position, with a boat or vacant.
func (q *request) place() error {
	var m geo.Mooring
	done := Acted{}
	why, despite := q.reasonOf()
	revision, err := q.act(why, func(h *geo.Harbor, f *clearance.Field) (err error) {
		if m, err = q.newMooring(h, f); err != nil {
			return err
		}
		if done.Fits, err = fitting(f, despite, m); err != nil {
			return err
		}
		h.Moorings = append(h.Moorings, m)
		return nil
	})
	if err != nil {
		return err
	}
	words := fmt.Sprintf("%s is set in %s", m.Number, m.Area)
	if m.Boat != nil && m.Boat.Name != "" {
		words += " for " + m.Boat.Name
	}
	done.Number, done.Revision, done.Words = m.Number, revision, geo.Plain(words)
	return q.writeJSON(done)
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
	m = geo.Mooring{Number: strings.TrimSpace(q.query.Get("number")), Area: o.Area, Status: geo.Occupied, Position: o.Position,
		Accuracy: geo.Known(geo.Metres(0))}
	if m.Number == "" {
		m.Number = h.NextNumber(o.Area)
	} else if slices.ContainsFunc(h.Moorings, func(x geo.Mooring) bool { return x.Number == m.Number }) {
		return m, fmt.Errorf("%w: there is a mooring %s already", geo.ErrInvalid, m.Number)
	}
	boat, err := q.newBoat(h)
	if err != nil {
		return m, err
	}
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
