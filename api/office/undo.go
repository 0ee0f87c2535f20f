package office

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Undo takes back the author's own last act, as a new act. Where the author's precondition is a revision, the last act has to be that one.
// Errors: geo.ErrNotFound where there is no such act, ErrNotUndone, store.ErrStale where others have built on it, *UnfitError, and those of
// an act.
func (h *Harbor) Undo(ctx context.Context, by Author) (Result, error) {
	if by.Name == "" {
		return Result{}, fmt.Errorf("%w: who is expected", ErrIncomplete)
	}
	last, err := h.lastAct(ctx, by)
	if err != nil {
		return Result{}, err
	}
	before, err := h.office.store.HarborAt(ctx, h.slug, last[0].Revision-1)
	if err != nil {
		return Result{}, fmt.Errorf("%w: the harbor was taken in by it", ErrNotUndone)
	}
	by.Why = strings.TrimSuffix(fmt.Sprintf("undo of revision %d (%s): %s", last[0].Revision, last[0].Why, by.Why), ": ")
	by.Precondition = last[0].Revision
	return h.act(ctx, by, func(next *geo.Harbor, f *clearance.Field) (Result, error) {
		changed, err := restore(next, before, last)
		if err != nil {
			return Result{}, err
		}
		done := Result{Words: geo.Plain("undone: " + last[0].Why)}
		if len(changed) > 0 {
			done.Number = changed[0].Number
		}
		done.Fits, err = fitAll(f, by.Despite, changed...)
		return done, err
	}, keysOf(last)...)
}

// lastAct are the changes of the author's own last act, which has to be the one of the author's precondition.
func (h *Harbor) lastAct(ctx context.Context, by Author) ([]store.Change, error) {
	last, err := h.office.store.LastBy(ctx, h.slug, by.Name)
	if err != nil {
		return nil, err
	}
	if by.Precondition != AnyRevision && by.Precondition != last[0].Revision {
		return nil, fmt.Errorf("%w: your last act is revision %d, not %d; look at the history again", store.ErrStale, last[0].Revision,
			by.Precondition)
	}
	return last, nil
}

// keysOf are the things that an act has changed: for its undoing, none of them must have been changed since.
func keysOf(act []store.Change) []store.Key {
	keys := make([]store.Key, len(act))
	for i, c := range act {
		keys[i] = store.Key{Noun: c.Noun, Name: c.Name}
	}
	return keys
}

// restore makes the things that an act has changed again what they were, and gives the moorings that may lie otherwise than they do.
func restore(h, before *geo.Harbor, act []store.Change) (changed []geo.Mooring, err error) {
	for _, c := range act {
		switch c.Noun {
		case store.NounMooring:
			if m, otherwise := liesOtherwise(h, before, c.Name); otherwise {
				changed = append(changed, m)
			}
			h.Moorings = restoreIn(h.Moorings, before.Moorings, numbered(c.Name))
		default:
			if err := restoreThing(h, before, c); err != nil {
				return nil, err
			}
		}
	}
	return changed, nil
}

// restoreThing makes something other than a mooring what it was.
func restoreThing(h, before *geo.Harbor, c store.Change) error {
	switch c.Noun {
	case store.NounOwner:
		h.Owners = restoreIn(h.Owners, before.Owners, func(o geo.Owner) bool { return o.Name == c.Name })
	case store.NounNote:
		h.Notes = restoreIn(h.Notes, before.Notes, func(n geo.Note) bool { return n.ID == c.Name })
	case store.NounWaiting:
		h.Waiting = before.Waiting // of one name there may be several, told apart by their order
	case store.NounArea:
		h.Areas = restoreIn(slices.Clone(h.Areas), before.Areas, func(a geo.Area) bool { return a.Name == c.Name })
	case store.NounKeepOut:
		h.KeepOuts = before.KeepOuts
	case store.NounHarbor:
		restoreGround(h, before)
	default:
		return fmt.Errorf("%w: it changed a %s", ErrNotUndone, c.Noun)
	}
	return nil
}

// liesOtherwise gives a mooring as it was, where it was there and keeps other water now.
func liesOtherwise(h, before *geo.Harbor, number string) (geo.Mooring, bool) {
	was, now := slices.IndexFunc(before.Moorings, numbered(number)), slices.IndexFunc(h.Moorings, numbered(number))
	if was < 0 || now >= 0 && clearance.SameWater(&before.Moorings[was], &h.Moorings[now]) {
		return geo.Mooring{}, false
	}
	return before.Moorings[was], true
}

// restoreGround restores what a harbor is besides what lies in it.
func restoreGround(h, before *geo.Harbor) {
	h.Name, h.Units, h.Levels, h.Defaults = before.Name, before.Units, before.Levels, before.Defaults
	h.Background, h.Tide, h.Public = before.Background, before.Tide, before.Public
	h.Shoreline, h.Soundings = before.Shoreline, before.Soundings
}

// restoreIn gives a list with one of its members as it was in another.
func restoreIn[T any](list, before []T, is func(T) bool) []T {
	was, now := slices.IndexFunc(before, is), slices.IndexFunc(list, is)
	switch {
	case was < 0:
		return slices.DeleteFunc(list, is)
	case now < 0:
		return append(list, before[was])
	}
	list[now] = before[was]
	return list
}
