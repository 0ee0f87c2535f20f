package office

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// Placement is a new mooring, with a boat or vacant.
type Placement struct {
	Position string                `json:"position"` // of the anchor, in any form that people write
	Area     string                `json:"area"`     // empty: the one in which it lies
	Number   string                `json:"number"`   // empty: the next free one by the area's own numbering
	Radius   geo.Maybe[geo.Metres] `json:"radius_m"` // stated, where the area asks for one
	Waiting  string                `json:"waiting"`  // a name on the waiting list: its boat is placed and leaves the list
	Vacant   bool                  `json:"vacant"`   // it is set vacant and keeps the water of a boat of that length and draft
	Ground
	Boat
}

// Place sets a new mooring at a position, after the full check. Errors: *geo.PositionError, geo.ErrNotFound, geo.ErrInvalid for a number
// that is taken, geo.ErrUnknown where a rode is cut to a depth that nobody has measured, ErrIncomplete, *UnfitError, and those of an act.
func (h *Harbor) Place(ctx context.Context, by Author, p Placement) (Result, error) {
	return h.act(ctx, by, func(next *geo.Harbor, f *clearance.Field) (Result, error) {
		m, err := p.mooring(next, f)
		if err != nil {
			return Result{}, err
		}
		fits, err := fitAll(f, by.Despite, m)
		if err != nil {
			return Result{}, err
		}
		next.Moorings = append(next.Moorings, m)
		words := fmt.Sprintf("%s is set in %s", m.Number, m.Area)
		if m.Boat != nil && m.Boat.Name != "" {
			words += " for " + m.Boat.Name
		}
		return Result{Number: m.Number, Words: geo.Plain(words), Fits: fits}, nil
	})
}

// mooring is the record of the mooring that is set.
func (p *Placement) mooring(h *geo.Harbor, f *clearance.Field) (m geo.Mooring, err error) {
	if m, err = p.bare(h, f); err != nil {
		return m, err
	}
	boat, err := p.newBoat(h, p.Waiting)
	if err != nil {
		return m, err
	}
	tackle, scope, err := p.tackle(h)
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
	switch {
	case p.Vacant:
		m.Status, m.LargestLOA, m.LargestDraft = geo.Vacant, boat.LOA, boat.Draft
	case !hasLength(&boat):
		return m, fmt.Errorf("%w: the boat's length is expected (loa_m), or that the mooring is vacant", ErrIncomplete)
	default:
		m.Boat = &boat
	}
	return m, m.Validate()
}

// bare is the mooring without boat and tackle.
func (p *Placement) bare(h *geo.Harbor, f *clearance.Field) (m geo.Mooring, err error) {
	o, err := OpeningAt(f, p.Position, p.Area)
	if err != nil {
		return m, err
	}
	if _, ok := h.Area(o.Area); !ok {
		return m, fmt.Errorf("area %q: %w", o.Area, geo.ErrNotFound)
	}
	number := strings.TrimSpace(p.Number)
	if number == "" {
		number = h.NextNumber(o.Area)
	} else if slices.ContainsFunc(h.Moorings, numbered(number)) {
		return m, fmt.Errorf("%w: there is a mooring %s already", geo.ErrInvalid, number)
	}
	return geo.Mooring{Number: number, Area: o.Area, Status: geo.Occupied, Position: o.Position, Accuracy: geo.Known(geo.Metres(0)),
		StatedRadius: p.Radius}, nil
}

// OpeningAt reads the position of an opening; an empty area is that in which it lies. Errors: *geo.PositionError, geo.ErrNotFound for the
// area or where it lies in none.
func OpeningAt(f *clearance.Field, text, area string) (room.Opening, error) {
	p, err := geo.ParsePosition(text, VicinityOf(f))
	if err != nil {
		return room.Opening{}, err
	}
	if area == "" {
		area = f.AreaAt(p)
	}
	if area == "" {
		return room.Opening{}, fmt.Errorf("%s lies in no area: %w", p.DDM(), geo.ErrNotFound)
	}
	return room.Opening{Position: p, Area: area}, nil
}

// VicinityOf is where a harbor lies, for reading positions; nil for a harbor without anything in it.
func VicinityOf(f *clearance.Field) *geo.Vicinity {
	if len(f.Harbor().Moorings)+len(f.Harbor().Areas) == 0 {
		return nil
	}
	return &geo.Vicinity{Centre: f.Frame().Origin(), Reach: geo.FieldReach}
}
