package api

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Trial is a boat tried on a mooring, or at a position where there is none yet. Nothing is saved.
type Trial struct {
	Number   string          `json:"number"` // empty at a position
	Position Understood      `json:"position"`
	Fits     geo.Maybe[bool] `json:"fits"` // null: it cannot be said
	Fit      clearance.Fit   `json:"fit"`
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

// Places are the vacant moorings for a boat, those that fit first.
type Places struct {
	Places []Place `json:"places"`
}

// boat reads the parameters of a boat.
func (q *request) boat(into *geo.Boat) error {
	for name, to := range map[string]*geo.Maybe[geo.Metres]{"loa_m": &into.LOA, "length_all_m": &into.LengthAll, "beam_m": &into.Beam,
		"draft_m": &into.Draft, "bow_height_m": &into.BowHeight} {
		v, err := q.metres(name)
		if err != nil {
			return err
		}
		if v.IsKnown() {
			*to = v
		}
	}
	if kind := q.query.Get("boat_kind"); kind != "" {
		into.Kind = kind
	}
	return nil
}

// trial tries a boat on a mooring, where what is not said of her is taken from the boat that lies there only when her length is not
// said either; or at a position.
func (q *request) trial() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	m, err := q.tried(s)
	if err != nil {
		return err
	}
	if err := m.Validate(); err != nil {
		return err
	}
	number := m.Number
	if q.query.Get("number") == "" {
		number = ""
	}
	fit := s.field.Fit(m)
	return q.writeJSON(Trial{Number: number, Position: understood(m.Position), Fits: saidOf(fit.Outcome), Fit: fit})
}

// untitled is the number of a mooring that is only tried; no buoy has it.
const untitled = "(new)"

// tried makes the mooring that is asked about.
func (q *request) tried(s *snapshot) (m geo.Mooring, err error) {
	boat := geo.Boat{}
	switch number, position := q.query.Get("number"), q.query.Get("position"); {
	case number != "" && position != "", number == "" && position == "":
		return m, fmt.Errorf("%w: either number or position is wanted", errQuery)
	case number != "":
		i, ok := s.field.Index(number)
		if !ok {
			return m, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
		}
		m = s.field.Harbor().Moorings[i]
		if m.Boat != nil && q.query.Get("loa_m")+q.query.Get("length_all_m") == "" {
			boat = *m.Boat
		}
	default:
		p, err := geo.ParsePosition(position, Vicinity(s.field))
		if err != nil {
			return m, err
		}
		m = geo.Mooring{Number: untitled, Position: p, Area: q.query.Get("area"), Accuracy: geo.Known(geo.Metres(0))}
		if m.Area == "" {
			m.Area = s.field.AreaAt(p)
		} else if _, ok := s.field.Harbor().Area(m.Area); !ok {
			return m, fmt.Errorf("area %s: %w", m.Area, geo.ErrNotFound)
		}
	}
	if err := q.boat(&boat); err != nil {
		return m, err
	}
	m.Boat, m.Status = &boat, geo.Occupied
	rode, err := q.metres("rode_m")
	if err != nil {
		return m, err
	}
	if rode.IsKnown() {
		m.Tackle = geo.Tackle{{Kind: geo.Rode, Length: rode}}
	}
	radius, err := q.metres("radius_m")
	if err != nil {
		return m, err
	}
	if radius.IsKnown() || q.query.Get("loa_m") != "" {
		m.StatedRadius = radius // one on record was stated for the boat that lies there
	}
	return m, nil
}

// saidOf is an outcome as yes, no, or not known.
func saidOf(o clearance.Outcome) geo.Maybe[bool] {
	if o == clearance.CannotBeSaid {
		return geo.Maybe[bool]{}
	}
	return geo.Known(o == clearance.Fits)
}

func (q *request) places() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	boat := geo.Boat{}
	if err := q.boat(&boat); err != nil {
		return err
	}
	if err := boat.Validate("of the question"); err != nil {
		return err
	}
	if length, _ := boat.SwingLength(); !length.IsKnown() {
		return fmt.Errorf("%w: loa_m or length_all_m is wanted", errQuery)
	}
	h := s.field.Harbor()
	answer := Places{Places: []Place{}}
	for i := range h.Moorings {
		if h.Moorings[i].Status == geo.Vacant {
			answer.Places = append(answer.Places, s.place(h.Moorings[i], boat))
		}
	}
	rank := func(p Place) int {
		if fits, known := p.Fits.Get(); known {
			return map[bool]int{true: 0, false: 2}[fits]
		}
		return 1
	}
	slices.SortStableFunc(answer.Places, func(a, b Place) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), -cmp.Compare(a.LeastGapM.Or(math.Inf(1)), b.LeastGapM.Or(math.Inf(1))))
	})
	return q.writeJSON(answer)
}

// place tries a boat on one vacant mooring.
func (s *snapshot) place(m geo.Mooring, boat geo.Boat) Place {
	m.Boat, m.Status = &boat, geo.Occupied
	fit := s.field.Fit(m)
	return Place{Number: m.Number, Area: m.Area, Fits: saidOf(fit.Outcome), LeastGapM: fit.MinGapM(), Fit: fit}
}
