package api

import (
	"context"
	"fmt"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// mostOpenings can be held against the waiting list at once.
const mostOpenings = 20

var waitingParams = []param{
	{name: "open", doc: "Positions at which a mooring may be set, with semicolons: each is held against the list like a vacant mooring."},
	{name: "area", doc: "Area of these openings; that in which each lies unless given."},
	{name: "rode_m", doc: "Length of the rode that would be laid there, metres."},
	{name: "scope", doc: "Or the rode over the height from bed to bow at the high level: it is then cut for each boat."},
	{name: "tackle_of", doc: "Or the number of a mooring whose tackle would be laid."},
}

// waiting answers with the waiting list held against the vacant moorings, which is worked out once for each state of the harbor, or against
// some openings too.
func (q *request) waiting() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	openings, err := q.openings(s)
	if err != nil {
		return err
	}
	if len(openings) == 0 && s.served.Load() != nil {
		return q.writeJSON(s.served.Load())
	}
	return q.watched(func(ctx context.Context, report room.Progress) (any, error) {
		served, err := room.Serve(ctx, s.field, openings, report)
		if err == nil && len(openings) == 0 {
			s.served.Store(&served)
		}
		return served, err
	})
}

// openings reads at which positions a mooring may be set, and what would be laid there.
func (q *request) openings(s *snapshot) ([]room.Opening, error) {
	h := s.field.Harbor()
	tackle, scope, err := q.tackle(h)
	if err != nil {
		return nil, err
	}
	var all []room.Opening
	for _, text := range strings.Split(q.query.Get("open"), ";") {
		if strings.TrimSpace(text) == "" {
			continue
		}
		o, err := OpeningAt(s.field, text, q.query.Get("area"))
		if err != nil {
			return nil, err
		}
		o.Tackle, o.ScopeRatio = tackle, scope
		all = append(all, o)
	}
	if len(all) > mostOpenings {
		return nil, fmt.Errorf("%w: %d openings; at most %d at once", errQuery, len(all), mostOpenings)
	}
	return all, nil
}

// OpeningAt reads the position of an opening; an empty area is that in which it lies. Errors: geo.PositionError, geo.ErrNotFound for the
// area or where it lies in none.
func OpeningAt(f *clearance.Field, text, area string) (room.Opening, error) {
	p, err := geo.ParsePosition(text, Vicinity(f))
	if err != nil {
		return room.Opening{}, err
	}
	if area == "" {
		if area = f.AreaAt(p); area == "" {
			return room.Opening{}, fmt.Errorf("%s lies in no area: %w", p.DDM(), geo.ErrNotFound)
		}
	}
	return room.Opening{Position: p, Area: area}, nil
}
