package office

import (
	"context"
	"fmt"
	"time"

	"swingroom/api/exchange"
	"swingroom/api/paper"
	"swingroom/api/store"
	"swingroom/geo"
)

// History is a part of what has been changed, newest first.
type History struct {
	Changes []HistoryRow `json:"changes"`
	More    bool         `json:"more"` // there are older ones
}

// HistoryRow is one change, field by field.
type HistoryRow struct {
	ID int64 `json:"id"`
	ChangedThing
}

// MaxHistory is how many changes one answer tells: some 500 rows are what a person reads through at most.
const MaxHistory = 500

// HistoryQuestion is which part of the history is asked for.
type HistoryQuestion struct {
	Noun   string           `json:"noun"`   // only of one noun
	Name   string           `json:"name"`   // and of one thing, by number or name
	Before geo.Maybe[int64] `json:"before"` // only changes before the one of this id, for the next page
	Limit  Count            `json:"limit"`  // 50 unless said
}

// History tells who has changed what, when and why. Errors: geo.ErrInvalid.
func (h *Harbor) History(ctx context.Context, q HistoryQuestion) (History, error) {
	limit, err := within("limit", q.Limit, 50, MaxHistory)
	if err != nil {
		return History{}, err
	}
	before := q.Before.Or(0)
	if q.Before.IsKnown() && before < 1 {
		return History{}, fmt.Errorf("%w: before=%d; the id of a change is expected", geo.ErrInvalid, before)
	}
	changes, err := h.office.store.HistoryPage(ctx, h.slug, store.Page{Noun: q.Noun, Name: q.Name, Limit: limit + 1, Before: before})
	if err != nil {
		return History{}, err
	}
	answer := History{Changes: []HistoryRow{}, More: len(changes) > limit}
	for _, c := range changes[:min(limit, len(changes))] {
		if h.AsOf.IsZero() || !c.At.After(h.AsOf) {
			answer.Changes = append(answer.Changes, HistoryRow{c.ID, changedThing(c)})
		}
	}
	return answer, nil
}

// MooringHistory is the history of one mooring to be printed, the newest act first; that of one that was retired too. The error is
// geo.ErrNotFound.
func (h *Harbor) MooringHistory(ctx context.Context, number string) ([]paper.HistoryAct, error) {
	changes, err := h.office.store.HistoryPage(ctx, h.slug, store.Page{Noun: store.NounMooring, Name: number, Limit: MaxHistory})
	if err != nil {
		return nil, err
	}
	if len(changes) == 0 {
		return nil, fmt.Errorf("a history of mooring %s: %w", number, geo.ErrNotFound)
	}
	acts := make([]paper.HistoryAct, len(changes))
	for i, c := range changes {
		acts[i] = paper.HistoryAct{At: c.At, Who: c.Who, Why: c.Why, Revision: c.Revision}
		for _, f := range c.Fields() {
			acts[i].Fields = append(acts[i].Fields, paper.HistoryField{Name: f.Field, Before: f.Before, After: f.After})
		}
	}
	return acts, nil
}

// Events is the whole history as rows of a list. Of a harbor as it stood it is what had happened until then.
func (h *Harbor) Events(ctx context.Context) ([]exchange.Event, error) {
	changes, err := h.office.store.History(ctx, h.slug, "", "")
	if err != nil {
		return nil, err
	}
	return EventsOf(changes, h.AsOf), nil
}

// EventsOf tells changes field by field, a row each; what was added or removed is one row. Of a harbor as it stood they are what had
// happened until then; a zero until is now.
func EventsOf(changes []store.Change, until time.Time) (events []exchange.Event) {
	for _, c := range changes {
		if !until.IsZero() && c.At.After(until) {
			continue
		}
		e := exchange.Event{Revision: c.Revision, At: c.At, Who: c.Who, Why: c.Why, Noun: c.Noun, Name: c.Name}
		switch {
		case c.Before == nil:
			e.What = "added"
		case c.After == nil:
			e.What = "removed"
		default:
			e.What = "changed"
			for _, f := range c.Fields() {
				e.Field, e.Before, e.After = f.Field, f.Before, f.After
				events = append(events, e)
			}
			continue
		}
		events = append(events, e)
	}
	return events
}
