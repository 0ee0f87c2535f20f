package api

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// errNotUndone: an act that cannot be taken back by an act.
var errNotUndone = errors.New("that act cannot be undone here")

// undo takes back the asker's own last act, as a new act. It is refused where others have built on it.
func (q *request) undo() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	who := q.who()
	if who == "" {
		return fmt.Errorf("%w: who is wanted", errBody)
	}
	ctx, slug := q.r.Context(), s.info.Slug
	last, err := q.service.store.LastBy(ctx, slug, who)
	if err != nil {
		return err
	}
	revision := last[0].Revision
	if wanted := q.query.Get("revision"); wanted != "" && wanted != fmt.Sprint(revision) {
		return fmt.Errorf("%w: your last act is revision %d, not %s; look at the history again", store.ErrStale, revision, wanted)
	}
	before, err := q.service.store.HarborAt(ctx, slug, revision-1)
	if err != nil {
		return fmt.Errorf("%w: the harbor was taken in by it", errNotUndone)
	}
	given, despite := q.reasonOf()
	why := strings.TrimSuffix(fmt.Sprintf("undo of revision %d (%s): %s", revision, last[0].Why, given), ": ")
	done := Acted{Words: geo.Plain("undone: " + last[0].Why), Fits: []clearance.Fit{}}
	about := make([]store.Key, len(last)) // none of it must have been changed since
	for i, c := range last {
		about[i] = store.Key{Noun: c.Noun, Name: c.Name}
	}
	q.query.Set("revision", fmt.Sprint(revision))
	done.Revision, err = q.act(why, func(h *geo.Harbor, f *clearance.Field) error {
		changed, err := restore(h, before, last)
		if err != nil {
			return err
		}
		if len(changed) > 0 {
			done.Number = changed[0].Number
		}
		done.Fits, err = fitting(f, despite, changed...)
		return err
	}, about...)
	if err != nil {
		return err
	}
	return q.writeJSON(done)
}

// restore makes the things that an act has changed again what they were, and gives the moorings that may lie otherwise than they do.
func restore(h, before *geo.Harbor, act []store.Change) (changed []geo.Mooring, err error) {
	for _, c := range act {
		switch c.Noun {
		case store.NounMooring:
			was, now := slices.IndexFunc(before.Moorings, numbered(c.Name)), slices.IndexFunc(h.Moorings, numbered(c.Name))
			if was >= 0 && (now < 0 || !clearance.SameWater(&before.Moorings[was], &h.Moorings[now])) {
				changed = append(changed, before.Moorings[was])
			}
			h.Moorings = restoreIn(h.Moorings, before.Moorings, numbered(c.Name))
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
			h.Name, h.Units, h.Levels, h.Defaults, h.Background, h.Tide, h.Public = before.Name, before.Units, before.Levels,
				before.Defaults, before.Background, before.Tide, before.Public
			h.Shoreline, h.Soundings = before.Shoreline, before.Soundings
		default:
			return nil, fmt.Errorf("%w: it changed a %s", errNotUndone, c.Noun)
		}
	}
	return changed, nil
}

func numbered(number string) func(geo.Mooring) bool {
	return func(m geo.Mooring) bool { return m.Number == number }
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
