package api

import (
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

var remedyParams = append(append([]param{{name: "number", doc: "The mooring on which the boat was tried."},
	{name: "boat", doc: "Name of the boat."}, {name: "owner", doc: "Her owner."},
	{name: "remedy",
		doc: "The id of the way out that is taken, as the fit check told it; refused where the check does not tell it any more."},
	{name: "rode_m", doc: "A rode tried with her, metres."}, {name: "radius_m", doc: "A swing radius stated for her, metres."}},
	boatParams...), actParams...)

// takeRemedy carries out a way out of the fit check: the check is made again on what is on file, and all that the way changes is written at
// once. The boat that lay on the mooring has gone where the way gives her no place.
func (q *request) takeRemedy() error {
	id := strings.TrimSpace(q.query.Get("remedy"))
	if id == "" {
		return fmt.Errorf("%w: remedy is missing: the id of a remedy that the fit check told", errBody)
	}
	done := Acted{}
	why, _ := q.reasonOf()
	revision, err := q.act(why, func(h *geo.Harbor, f *clearance.Field) error {
		m, err := q.onMooring(f, q.query.Get("number"))
		if err != nil {
			return err
		}
		fit, err := room.Fit(q.r.Context(), room.New(f), m, q.lengthsIn(f))
		if err != nil {
			return err
		}
		at := slices.IndexFunc(fit.Remedies, func(w room.Remedy) bool { return w.ID == id })
		if at < 0 {
			return fmt.Errorf("%w: the fit check does not tell this way any more: %s", errDoesNot, id)
		}
		way := fit.Remedies[at]
		if err := apply(h, m.Number, way); err != nil {
			return err
		}
		done.Number, done.Words = way.Mooring, geo.Tell("done: %s", way.Words)
		done.Fits, err = fitting(f, "", way.Moorings...)
		return err
	})
	if err != nil {
		return err
	}
	done.Revision = revision
	return q.writeJSON(done)
}

// lengthsIn are the longest boats of a field: as far as they are ready where the field is that of the snapshot.
func (q *request) lengthsIn(f *clearance.Field) *room.Lengths {
	if s, err := q.harbor(); err == nil {
		if s.field == f {
			return s.lengths
		}
		return s.lengths.Next(f)
	}
	return room.NewLengths(f)
}

// apply writes what a way changes into a harbor. Where the boat goes to another mooring and nobody comes to her old one, that is vacant:
// who lay there has sold the boat whose place she takes.
func apply(h *geo.Harbor, number string, way room.Remedy) error {
	for _, changed := range way.Moorings {
		m, err := at(h, changed.Number)
		if err != nil {
			return err
		}
		*m = changed
	}
	if slices.ContainsFunc(way.Moorings, func(m geo.Mooring) bool { return m.Number == number }) {
		return nil
	}
	m, err := at(h, number)
	if err != nil {
		return err
	}
	leave(m)
	return nil
}

// leave takes the boat off a mooring, which keeps the water of the largest boat that is set for it, or else hers.
func leave(m *geo.Mooring) {
	if m.Boat != nil && !m.LargestLOA.IsKnown() {
		m.LargestLOA, _ = m.Boat.SwingLength()
		m.LargestDraft = m.Boat.Draft
	}
	m.Boat, m.Status = nil, geo.Vacant
}
