package office

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// TrialQuestion is a boat to be tried on a mooring, or at a position where there is none yet: one of the two.
type TrialQuestion struct {
	Number   string                `json:"number"`
	Position string                `json:"position"` // in any form that people write
	Area     string                `json:"area"`     // at a position; empty: the one in which it lies
	Rode     geo.Maybe[geo.Metres] `json:"rode_m"`
	Radius   geo.Maybe[geo.Metres] `json:"radius_m"`
	Dimensions
}

// Trial is a boat tried on a mooring, or at a position where there is none yet. Nothing is saved.
type Trial struct {
	Number   string          `json:"number"` // empty at a position
	Position Understood      `json:"position"`
	Fits     geo.Maybe[bool] `json:"fits"` // null: it cannot be said
	Fit      clearance.Fit   `json:"fit"`
}

// Try tries a boat. What is not said of it is taken from the boat that lies there only when its length is not said either. Errors:
// ErrIncomplete, geo.ErrNotFound, geo.ErrInvalid, *geo.PositionError.
func (h *Harbor) Try(q TrialQuestion) (Trial, error) {
	m, err := q.mooring(h.Field)
	if err != nil {
		return Trial{}, err
	}
	if err := m.Validate(); err != nil {
		return Trial{}, err
	}
	fit := h.Field.Fit(m)
	return Trial{Number: q.Number, Position: UnderstoodAs(m.Position), Fits: saidOf(fit.Outcome), Fit: fit}, nil
}

// untitled is the number of a mooring that is only tried; no buoy has it.
const untitled = "(new)"

// mooring is the one that is asked about, with the boat on it.
func (q *TrialQuestion) mooring(f *clearance.Field) (m geo.Mooring, err error) {
	switch {
	case (q.Number == "") == (q.Position == ""):
		return m, fmt.Errorf("%w: either number or position is expected", ErrIncomplete)
	case q.Number != "":
		i, ok := f.Index(q.Number)
		if !ok {
			return m, noMooring(q.Number)
		}
		m = f.Harbor().Moorings[i]
	default:
		if m, err = q.opening(f); err != nil {
			return m, err
		}
	}
	boat := geo.Boat{}
	if m.Boat != nil && !q.LOA.IsKnown() && !q.LengthAll.IsKnown() {
		boat = *m.Boat
	}
	q.into(&boat)
	m.Boat, m.Status = &boat, geo.Occupied
	if q.Rode.IsKnown() {
		m.Tackle = rodeOf(q.Rode)
	}
	if q.Radius.IsKnown() || q.LOA.IsKnown() {
		m.StatedRadius = q.Radius // one on record was stated for the boat that lies there
	}
	return m, nil
}

// opening is a mooring at a position where there is none yet.
func (q *TrialQuestion) opening(f *clearance.Field) (m geo.Mooring, err error) {
	p, err := geo.ParsePosition(q.Position, VicinityOf(f))
	if err != nil {
		return m, err
	}
	area := q.Area
	if area == "" {
		area = f.AreaAt(p)
	} else if _, ok := f.Harbor().Area(area); !ok {
		return m, fmt.Errorf("area %s: %w", area, geo.ErrNotFound)
	}
	return geo.Mooring{Number: untitled, Position: p, Area: area, Accuracy: geo.Known(geo.Metres(0))}, nil
}

// saidOf is an outcome as yes, no, or not known.
func saidOf(o clearance.Outcome) geo.Maybe[bool] {
	if o == clearance.CannotBeSaid {
		return geo.Maybe[bool]{}
	}
	return geo.Known(o == clearance.Fits)
}

// Place is a vacant mooring tried for a boat.
type Place struct {
	Number string          `json:"number"`
	Area   string          `json:"area"`
	Fits   geo.Maybe[bool] `json:"fits"` // null: not known, for want of a record
	// LeastGapM is the least clearance to a neighbour's circle; null when there is no neighbour or no radius.
	LeastGapM geo.Maybe[float64] `json:"least_gap_m"`
	Fit       clearance.Fit      `json:"fit"`
}

// rank puts a place that fits before one of which it cannot be said, and that before one that does not.
func (p *Place) rank() int {
	if fits, known := p.Fits.Get(); known {
		return map[bool]int{true: 0, false: 2}[fits]
	}
	return 1
}

// Places are the vacant moorings for a boat, those that fit first, the roomiest of them first.
type Places struct {
	Places []Place `json:"places"`
}

// Places tries a boat on every vacant mooring. Errors: geo.ErrInvalid, ErrIncomplete without a length.
func (h *Harbor) Places(d Dimensions) (Places, error) {
	boat := geo.Boat{}
	d.into(&boat)
	if err := boat.Validate("of the question"); err != nil {
		return Places{}, err
	}
	if !hasLength(&boat) {
		return Places{}, fmt.Errorf("%w: loa_m or length_all_m is expected", ErrIncomplete)
	}
	moorings := h.Field.Harbor().Moorings
	answer := Places{Places: []Place{}}
	for i := range moorings {
		if moorings[i].Status == geo.Vacant {
			answer.Places = append(answer.Places, placeOf(h.Field, moorings[i], boat))
		}
	}
	slices.SortStableFunc(answer.Places, func(a, b Place) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), -cmp.Compare(a.LeastGapM.Or(math.Inf(1)), b.LeastGapM.Or(math.Inf(1))))
	})
	return answer, nil
}

// placeOf tries a boat on one vacant mooring.
func placeOf(f *clearance.Field, m geo.Mooring, boat geo.Boat) Place {
	m.Boat, m.Status = &boat, geo.Occupied
	fit := f.Fit(m)
	return Place{Number: m.Number, Area: m.Area, Fits: saidOf(fit.Outcome), LeastGapM: fit.MinGapM(), Fit: fit}
}
