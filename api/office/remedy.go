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

// TakenRemedy names a remedy of a fit check, with the question that the check answered.
type TakenRemedy struct {
	Number string `json:"number"`
	ID     string `json:"remedy"` // as the fit check told it
	Tried
}

// TakeRemedy carries out a remedy of the fit check: the check is made again on what is on file, and all that the remedy changes is written
// at once. The boat that lay on the mooring has gone where the remedy gives it no place. Errors: ErrDoesNotFit where the check does not
// tell this remedy any more, ErrIncomplete, those of [OnMooring] and of an act.
func (h *Harbor) TakeRemedy(ctx context.Context, by Author, t TakenRemedy) (Result, error) {
	id := strings.TrimSpace(t.ID)
	if id == "" {
		return Result{}, fmt.Errorf("%w: remedy is missing: the id of a remedy that the fit check told", ErrIncomplete)
	}
	return h.act(ctx, by, func(next *geo.Harbor, f *clearance.Field) (Result, error) {
		number, remedy, err := h.remedy(ctx, f, t, id)
		if err != nil {
			return Result{}, err
		}
		if err := apply(next, number, remedy); err != nil {
			return Result{}, err
		}
		fits, err := fitAll(f, "", remedy.Moorings...)
		return Result{Number: remedy.Mooring, Words: geo.Tell("done: %s", remedy.Words), Fits: fits}, err
	})
}

// remedy finds a remedy by its id among those that the fit check of a field tells, and the mooring on which the boat is tried.
func (h *Harbor) remedy(ctx context.Context, f *clearance.Field, t TakenRemedy, id string) (number string, _ room.Remedy, err error) {
	m, err := t.onMooring(f, t.Number)
	if err != nil {
		return "", room.Remedy{}, err
	}
	fit, err := room.Fit(ctx, room.New(f), m, h.lengthsOf(f))
	if err != nil {
		return "", room.Remedy{}, err
	}
	at := slices.IndexFunc(fit.Remedies, func(r room.Remedy) bool { return r.ID == id })
	if at < 0 {
		return "", room.Remedy{}, fmt.Errorf("%w: the fit check does not tell this remedy any more: %s", ErrDoesNotFit, id)
	}
	return m.Number, fit.Remedies[at], nil
}

// lengthsOf are the longest boats of a field: as far as they are ready where the field follows from that of the snapshot.
func (s *Snapshot) lengthsOf(f *clearance.Field) *room.Lengths {
	if s.Field == f {
		return s.Lengths
	}
	return s.Lengths.Next(f)
}

// apply writes what a remedy changes into a harbor. Where the boat goes to another mooring and nobody comes to its old one, that is vacant:
// who lay there has sold the boat whose place this one takes.
func apply(h *geo.Harbor, number string, remedy room.Remedy) error {
	for _, changed := range remedy.Moorings {
		m, err := mooringOf(h, changed.Number)
		if err != nil {
			return err
		}
		*m = changed
	}
	if slices.ContainsFunc(remedy.Moorings, numbered(number)) {
		return nil
	}
	m, err := mooringOf(h, number)
	if err != nil {
		return err
	}
	leave(m)
	return nil
}
