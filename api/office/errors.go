package office

import (
	"errors"
	"strings"

	"swingroom/api/store"
	"swingroom/geo"
)

// Kinds of error of a use case, besides those of geo and store. A caller asks for one with errors.Is.
var (
	// ErrIncomplete: something that the act or the question needs was not said, or two things were said that exclude each other.
	ErrIncomplete = errors.New("not complete")
	// ErrDoesNotFit: a boat does not fit, or it cannot be said whether it does. It is an *UnfitError where verdicts say why.
	ErrDoesNotFit = errors.New("the boat does not fit")
	// ErrNotUndone: an act that cannot be taken back by an act.
	ErrNotUndone = errors.New("that act cannot be undone here")
	// ErrNotYours: a field that the role may not set.
	ErrNotYours = errors.New("that is for another role")
	// ErrPast: an act on a harbor as it stood.
	ErrPast = errors.New("what has been cannot be changed")
)

// UnfitError refuses an act for what the fit check does not let pass. Its kind is ErrDoesNotFit.
type UnfitError struct{ Reasons []geo.Words }

func (e *UnfitError) Error() string { return e.In(geo.UnitsMetres) }

// In tells it in the reader's units.
func (e *UnfitError) In(u geo.Units) string { return "the boat does not fit: " + e.reasonsIn(u) }

func (e *UnfitError) reasonsIn(u geo.Units) string {
	told := make([]string, len(e.Reasons))
	for i, reason := range e.Reasons {
		told[i] = reason.In(u)
	}
	return strings.Join(told, "; ")
}

// Unwrap gives the kind.
func (e *UnfitError) Unwrap() error { return ErrDoesNotFit }

// ChangedError refuses an act on something that others have changed since its author looked. Its kind is store.ErrStale.
type ChangedError struct {
	Revision int64          // that holds now
	Changed  []ChangedThing // the oldest change first
}

func (e *ChangedError) Error() string {
	if len(e.Changed) == 0 {
		return "this was changed since you looked at it"
	}
	c := e.Changed[len(e.Changed)-1]
	return c.Noun + " " + c.Name + " was changed since you looked at it, by " + c.Who + ": " + c.Why
}

// Unwrap gives the kind.
func (e *ChangedError) Unwrap() error { return store.ErrStale }
