package api

import (
	"cmp"
	"fmt"
	"strings"

	"swingroom/api/paper"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// OnMooring is a mooring with a boat tried on it; a boat without any length is the one that lies there. A swing radius that was stated for
// another boat does not hold for her. Errors: geo.ErrNotFound, and a geo.FieldError of geo.ErrUnknown where no boat is given and none lies
// there.
func OnMooring(f *clearance.Field, number string, boat geo.Boat) (geo.Mooring, error) {
	i, ok := f.Index(number)
	if !ok {
		return geo.Mooring{}, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	m := f.Harbor().Moorings[i]
	if length, _ := boat.SwingLength(); !length.IsKnown() {
		if boat != (geo.Boat{}) {
			return m,
				&geo.FieldError{Noun: "boat", Name: "that is tried", Field: "loa_m", Got: "not known",
					Want: "without the boat's length nothing can be said", Kind: geo.ErrUnknown}
		}
		if m.Boat == nil {
			return m,
				&geo.FieldError{Noun: "mooring", Name: number, Field: "boat", Got: "not on record",
					Want: "no boat lies there: loa_m of one to try is wanted", Kind: geo.ErrUnknown}
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
	done, err := q.turn()
	if err != nil {
		return err
	}
	defer done()
	fit, err := room.Fit(q.r.Context(), s.water(), m, s.lengths)
	if err != nil {
		return err
	}
	return q.writeJSON(fit)
}

// TrialOf makes a fit check ready to be printed on a mooring's sheet.
func TrialOf(fit *room.Fitting, u geo.Units) *paper.Trial {
	length, _ := fit.Boat.SwingLength()
	t := &paper.Trial{Title: cmp.Or(fit.Boat.Name, fit.Boat.Kind, "a boat") + ", " + geo.Figure(float64(length.Or(0)), "m", u),
		Boat: fit.Boat, Answer: fit.Words.In(u)}
	for _, v := range fit.Ordered() {
		line := paper.Verdict{Constraint: strings.ReplaceAll(string(v.Constraint), "_", " "), Name: strings.ReplaceAll(v.Of, "_", " "),
			Answer: "cannot be said"}
		if fits, known := v.Fits.Get(); known {
			line.Answer = map[bool]string{true: "yes", false: "no"}[fits]
		}
		for _, x := range []struct {
			to   *string
			from geo.Maybe[float64]
		}{{&line.Have, v.Has}, {&line.Need, v.Needs}, {&line.Spare, v.Spare}} {
			if f, known := x.from.Get(); known {
				*x.to = geo.Figure(f, v.Unit, u)
			}
		}
		if !v.Fits.Or(false) || !v.Has.IsKnown() { // the figures do not say why
			line.Words = v.Sentence(u)
		}
		t.Verdicts = append(t.Verdicts, line)
	}
	for _, w := range fit.Remedies {
		text := w.Words.In(u)
		for _, x := range w.Remains {
			text += fmt.Sprintf("; %s keeps a trouble that it has now: %s", x.Mooring, x.Verdict.Sentence(u))
		}
		t.Remedies = append(t.Remedies, text)
	}
	return t
}

// fitted reads the boat that is tried on the mooring of the path.
func (q *request) fitted(s *snapshot) (geo.Mooring, error) {
	_, i, err := q.mooring()
	if err != nil {
		return geo.Mooring{}, err
	}
	return q.onMooring(s.field, s.field.Harbor().Moorings[i].Number)
}

// onMooring reads the boat that is tried on a mooring, with another rode or a radius stated for her where these are given.
func (q *request) onMooring(f *clearance.Field, number string) (geo.Mooring, error) {
	boat := geo.Boat{Name: strings.TrimSpace(q.query.Get("boat")), Owner: strings.TrimSpace(q.query.Get("owner"))}
	if err := q.boat(&boat); err != nil {
		return geo.Mooring{}, err
	}
	if length, _ := boat.SwingLength(); !length.IsKnown() {
		boat.Name, boat.Owner = "", "" // a name alone is no other boat
	}
	m, err := OnMooring(f, strings.TrimSpace(number), boat)
	if err != nil {
		return m, err
	}
	for name, use := range map[string]func(geo.Metres){
		"rode_m":   func(l geo.Metres) { m.Tackle = geo.Tackle{{Kind: geo.Rode, Length: geo.Known(l)}} },
		"radius_m": func(r geo.Metres) { m.StatedRadius = geo.Known(r) },
	} {
		v, err := q.metres(name)
		if err != nil {
			return m, err
		}
		if l, known := v.Get(); known {
			use(l)
		}
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
	all, err := s.lengths.All(q.r.Context(), nil)
	if err != nil {
		return err
	}
	answer := Largest{LargestM: map[string]float64{}}
	for i, m := range all {
		answer.LargestM[s.field.Harbor().Moorings[i].Number] = m
	}
	return q.writeJSON(answer)
}
