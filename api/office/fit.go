package office

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"swingroom/api/paper"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// Tried is a boat that is tried on a mooring, with another rode or a radius stated for it where these are said. Without a length it is the
// boat that lies there.
type Tried struct {
	Boat
	Stated
}

// Stated are what is tried with a boat beside its own lengths.
type Stated struct {
	Rode   geo.Maybe[geo.Metres] `json:"rode_m"` // of its parts then nothing is known
	Radius geo.Maybe[geo.Metres] `json:"radius_m"`
}

// IsSaid reports whether another boat than the one that lies there is tried.
func (t *Tried) IsSaid() bool { return t.LOA.IsKnown() || t.LengthAll.IsKnown() }

// onMooring is the mooring with the boat tried on it.
func (t *Tried) onMooring(f *clearance.Field, number string) (geo.Mooring, error) {
	boat := t.boat()
	if !hasLength(&boat) {
		boat.Name, boat.Owner = "", "" // a name alone is no other boat
	}
	m, err := OnMooring(f, strings.TrimSpace(number), boat)
	if err != nil {
		return m, err
	}
	if t.Rode.IsKnown() {
		m.Tackle = rodeOf(t.Rode)
	}
	if t.Radius.IsKnown() {
		m.StatedRadius = t.Radius
	}
	return m, m.Validate()
}

// OnMooring is a mooring with a boat tried on it; a boat without any length is the one that lies there. A swing radius that was stated for
// another boat does not hold for this one. Errors: geo.ErrNotFound, and a geo.FieldError of geo.ErrUnknown where no boat is given and none
// lies there.
func OnMooring(f *clearance.Field, number string, boat geo.Boat) (geo.Mooring, error) {
	i, ok := f.Index(number)
	if !ok {
		return geo.Mooring{}, noMooring(number)
	}
	m := f.Harbor().Moorings[i]
	if !hasLength(&boat) {
		return m, asItLies(&m, boat)
	}
	if err := boat.Validate("that is tried"); err != nil {
		return m, err
	}
	m.Boat, m.Status, m.StatedRadius = &boat, geo.Occupied, geo.Maybe[geo.Metres]{}
	return m, nil
}

// asItLies refuses a question about the boat that lies on a mooring where there is none, or where another one was begun to be said.
func asItLies(m *geo.Mooring, boat geo.Boat) error {
	switch {
	case boat != (geo.Boat{}):
		return &geo.FieldError{Noun: "boat", Name: "that is tried", Field: "loa_m", Got: "not known",
			Want: "without the boat's length nothing can be said", Kind: geo.ErrUnknown}
	case m.Boat == nil:
		return &geo.FieldError{Noun: "mooring", Name: m.Number, Field: "boat", Got: "not on record",
			Want: "no boat lies there: loa_m of one to try is expected", Kind: geo.ErrUnknown}
	}
	return nil
}

// Fit answers whether a boat fits on a mooring, with one verdict a constraint and remedies where it does not. It waits for its turn among
// the searches. Errors: geo.ErrNotFound, those of [OnMooring], geo.ErrInvalid, and that of a context that has ended.
func (h *Harbor) Fit(ctx context.Context, number string, t Tried) (room.Fitting, error) {
	if _, err := h.Index(ctx, number); err != nil {
		return room.Fitting{}, err
	}
	m, err := t.onMooring(h.Field, number)
	if err != nil {
		return room.Fitting{}, err
	}
	end, err := h.office.limit.begin(ctx)
	if err != nil {
		return room.Fitting{}, err
	}
	defer end()
	return room.Fit(ctx, h.water(), m, h.Lengths)
}

// TrialOf makes a fit check ready to be printed on a mooring's sheet.
func TrialOf(fit *room.Fitting, u geo.Units) *paper.Trial {
	length, _ := fit.Boat.SwingLength()
	t := &paper.Trial{Title: cmp.Or(fit.Boat.Name, fit.Boat.Kind, "a boat") + ", " + geo.Figure(float64(length.Or(0)), "m", u),
		Boat: fit.Boat, Answer: fit.Words.In(u)}
	for _, v := range fit.Ordered() {
		t.Verdicts = append(t.Verdicts, printed(&v, u))
	}
	for _, r := range fit.Remedies {
		text := r.Words.In(u)
		for _, x := range r.Remains {
			text += fmt.Sprintf("; %s keeps a trouble that it has now: %s", x.Mooring, x.Verdict.Sentence(u))
		}
		t.Remedies = append(t.Remedies, text)
	}
	return t
}

// printed is one verdict as a line of a sheet.
func printed(v *clearance.Verdict, u geo.Units) paper.Verdict {
	line := paper.Verdict{Constraint: strings.ReplaceAll(string(v.Constraint), "_", " "), Name: strings.ReplaceAll(v.Of, "_", " "),
		Answer: "cannot be said"}
	if fits, known := v.Fits.Get(); known {
		line.Answer = map[bool]string{true: "yes", false: "no"}[fits]
	}
	figure := func(x geo.Maybe[float64]) string {
		if f, known := x.Get(); known {
			return geo.Figure(f, v.Unit, u)
		}
		return ""
	}
	line.Have, line.Need, line.Spare = figure(v.Has), figure(v.Needs), figure(v.Spare)
	if !v.Fits.Or(false) || !v.Has.IsKnown() { // the figures do not say why
		line.Words = v.Sentence(u)
	}
	return line
}

// Largest is the longest boat that each mooring can take by its water, by number.
type Largest struct {
	LargestM map[string]float64 `json:"largest_m"`
}

// Largest works out the longest boat of every mooring. The error is that of a context that has ended.
func (h *Harbor) Largest(ctx context.Context) (Largest, error) {
	all, err := h.Lengths.All(ctx, nil)
	if err != nil {
		return Largest{}, err
	}
	answer := Largest{LargestM: map[string]float64{}}
	for i, m := range all {
		answer.LargestM[h.Field.Harbor().Moorings[i].Number] = m
	}
	return answer, nil
}
