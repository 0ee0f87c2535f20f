package office

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// AnyRevision is the precondition of who leaves it to the act's own check.
const AnyRevision = -1

// Author is who does an act, and why, as the history keeps it.
type Author struct {
	account.Person
	Why string
	// Despite is why it is done although the fit check does not say that it fits; empty: such an act is refused.
	Despite string
	// Precondition is the revision of what was looked at: the act is refused where something that it touches has been changed since.
	Precondition int64
	// PreconditionError is why the precondition is not known; nil: it is. It is told after whatever else keeps the act from being done
	// (RFC 9110, section 13.2.1).
	PreconditionError error
}

// reason is why the act is done, with why it is done despite the check where that is said.
func (by *Author) reason() string {
	if by.Despite != "" && by.Why != "" {
		return by.Why + "; despite the check: " + by.Despite
	}
	return by.Why
}

// Result is what an act has done.
type Result struct {
	Number   string    `json:"number"`
	Revision int64     `json:"revision"`
	Words    geo.Words `json:"words"`
	// Fits are the fit checks of the boats that have another place than before.
	Fits []clearance.Fit `json:"fits"`
}

// work is what an act makes of a harbor: it may change the harbor's lists, and their members where it puts new ones in. The field is that
// of the harbor before. It gives all of the result but the revision.
type work func(h *geo.Harbor, f *clearance.Field) (Result, error)

// act changes the harbor in one transaction: do gets the harbor as it will be when every act before this one is on disk. The errors of an
// act are those of its work, ErrPast, ErrIncomplete without who and why, *ChangedError, and those of the store.
func (h *Harbor) act(ctx context.Context, by Author, do work, about ...store.Key) (done Result, err error) {
	if !h.AsOf.IsZero() {
		return done, fmt.Errorf("%w: it is shown as it stood at %s", ErrPast, h.AsOf.Format(time.RFC3339))
	}
	if strings.TrimSpace(by.Name) == "" || strings.TrimSpace(by.Why) == "" {
		return done, fmt.Errorf("%w: who and why are expected, for the record", ErrIncomplete)
	}
	if by.PreconditionError != nil {
		return done, by.PreconditionError
	}
	changes, err := h.office.change(ctx, h.slug, command{
		precondition: by.Precondition, about: about, act: store.Act{Who: by.Name, Why: by.reason()},
		do: func(next *geo.Harbor, f *clearance.Field) (err error) {
			done, err = do(next, f)
			return err
		},
	})
	if done.Revision = changes.Revision; done.Fits == nil {
		done.Fits = []clearance.Fit{}
	}
	return done, err
}

// placed is a result of which moorings are to be held against the field.
type placed struct {
	words   geo.Words
	changed []*geo.Mooring // in the harbor that is to be on file
}

// changeMoorings carries out an act that changes moorings on file: do makes the changes and tells of them; the moorings that it gives back
// are held against the field.
func (h *Harbor) changeMoorings(ctx context.Context, by Author, number string, do func(h *geo.Harbor) (placed, error)) (Result, error) {
	return h.act(ctx, by, func(next *geo.Harbor, f *clearance.Field) (Result, error) {
		p, err := do(next)
		if err != nil {
			return Result{}, err
		}
		moorings, err := valid(p.changed)
		if err != nil {
			return Result{}, err
		}
		done := Result{Number: strings.TrimSpace(number), Words: p.words}
		if len(moorings) > 0 {
			done.Number = moorings[0].Number
		}
		done.Fits, err = fitAll(f, by.Despite, moorings...)
		return done, err
	})
}

// changeMooring is changeMoorings for an act on one mooring, which do gets.
func (h *Harbor) changeMooring(ctx context.Context, by Author, number string,
	do func(next *geo.Harbor, m *geo.Mooring) (placed, error)) (Result, error) {
	return h.changeMoorings(ctx, by, number, func(next *geo.Harbor) (placed, error) {
		m, err := mooringOf(next, number)
		if err != nil {
			return placed{}, err
		}
		return do(next, m)
	})
}

// valid are copies of some moorings whose records have been checked.
func valid(all []*geo.Mooring) ([]geo.Mooring, error) {
	moorings := make([]geo.Mooring, len(all))
	for i, m := range all {
		if err := m.Validate(); err != nil {
			return nil, err
		}
		moorings[i] = *m
	}
	return moorings, nil
}

// fitAll puts changed moorings in a field and checks each boat that has another place than before, with all of them there. Where one does
// not fit, or it cannot be said, that is an *UnfitError unless a reason is given for doing it anyway.
func fitAll(f *clearance.Field, despite string, changed ...geo.Mooring) (fits []clearance.Fit, err error) {
	for _, m := range changed {
		if f, err = f.With(m); err != nil {
			return nil, err
		}
	}
	fits = []clearance.Fit{}
	var reasons []geo.Words
	for _, m := range changed {
		if m.Boat == nil && !m.LargestLOA.IsKnown() {
			continue // it keeps no water
		}
		fit := f.Fit(m)
		fits = append(fits, fit)
		for _, v := range fit.Against() {
			if refuses(&v) {
				reasons = append(reasons, geo.Tell("%s: %s", m.Number, geo.WordsOf(v.Sentence)))
			}
		}
	}
	if len(reasons) > 0 && despite == "" {
		return nil, &UnfitError{reasons}
	}
	return fits, nil
}

// refuses reports whether a verdict stands in the way of an act. A mooring gets its water before all of its tackle is on record, and a boat
// its place before its permit: the answer tells what is missing.
func refuses(v *clearance.Verdict) bool {
	switch v.Reason {
	case clearance.PermitOver, clearance.PermitUnknown:
		return false
	}
	return v.Fits.IsKnown() || v.Constraint.Kind() != clearance.KindTackle
}

// mooringOf finds a mooring of a harbor that is to be changed. The error is geo.ErrNotFound.
func mooringOf(h *geo.Harbor, number string) (*geo.Mooring, error) {
	number = strings.TrimSpace(number)
	i := slices.IndexFunc(h.Moorings, func(m geo.Mooring) bool { return m.Number == number })
	if i < 0 {
		return nil, noMooring(number)
	}
	return &h.Moorings[i], nil
}

func noMooring(number string) error { return fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound) }
