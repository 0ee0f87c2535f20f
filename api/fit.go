package api

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// OnMooring is a mooring with a boat tried on it; a boat without any length is the one that lies there. A swing radius that was stated for another boat does not hold for her. Errors: geo.ErrNotFound, and a geo.FieldError of
// geo.ErrUnknown where no boat is given and none lies there.
func OnMooring(f *clearance.Field, number string, boat geo.Boat) (geo.Mooring, error) {
	i, ok := f.Index(number)
	if !ok {
		return geo.Mooring{}, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	m := f.Harbor().Moorings[i]
	if length, _ := boat.SwingLength(); !length.IsKnown() {
		if boat != (geo.Boat{}) {
			return m, &geo.FieldError{Noun: "boat", Name: "that is tried", Field: "loa_m", Got: "not known", Want: "without her length nothing can be said", Kind: geo.ErrUnknown}
		}
		if m.Boat == nil {
			return m, &geo.FieldError{Noun: "mooring", Name: number, Field: "boat", Got: "not on record", Want: "no boat lies there: loa_m of one to try is wanted", Kind: geo.ErrUnknown}
		}
		return m, nil
	}
	if err := boat.Validate("that is tried"); err != nil {
		return m, err
	}
	m.Boat, m.Status, m.StatedRadius = &boat, geo.Occupied, geo.Maybe[geo.Metres]{}
	return m, nil
}

// fit answers whether a boat fits on a mooring, with one verdict a constraint and ways out.
func (q *request) fit() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	m, err := q.fitted(s)
	if err != nil {
		return err
	}
	return q.writeJSON(room.Fit(s.water, m, s.largest(), q.gone))
}

// fitted reads the boat that is tried on a mooring.
func (q *request) fitted(s *snapshot) (geo.Mooring, error) {
	_, i, err := q.mooring()
	if err != nil {
		return geo.Mooring{}, err
	}
	boat := geo.Boat{}
	if err := q.boat(&boat); err != nil {
		return geo.Mooring{}, err
	}
	m, err := OnMooring(s.field, s.field.Harbor().Moorings[i].Number, boat)
	if err != nil {
		return m, err
	}
	radius, err := q.metres("radius_m")
	if err != nil {
		return m, err
	}
	if radius.IsKnown() {
		m.StatedRadius = radius
	}
	return m, m.Validate()
}

// Largest is the longest boat that each mooring can take.
type Largest struct {
	LargestM map[string]float64 `json:"largest_m"`
}

func (q *request) largest() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	answer := Largest{LargestM: map[string]float64{}}
	for i, m := range s.largest() {
		answer.LargestM[s.field.Harbor().Moorings[i].Number] = m
	}
	return q.writeJSON(answer)
}
