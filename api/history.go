package api

import (
	"fmt"
	"io"
	"strconv"
	"time"

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

// mostHistory is how many changes one answer tells.
const mostHistory = 500

var historyParams = []param{
	{name: "noun", doc: "Only of one noun: mooring, owner, waiting, note, area, keep_out or harbor."},
	{name: "name", doc: "And of one thing, by number or name."},
	{name: "before", doc: "Only changes before the one of this id, for the next page."},
	{name: "limit", doc: "How many; 50 unless given, at most 500."},
}

// history tells who has changed what, when and why.
func (q *request) history() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	limit, err := q.count("limit", 50, mostHistory)
	if err != nil {
		return err
	}
	page := store.Page{Noun: q.query.Get("noun"), Name: q.query.Get("name"), Limit: limit + 1}
	if text := q.query.Get("before"); text != "" {
		if page.Before, err = strconv.ParseInt(text, 10, 64); err != nil || page.Before < 1 {
			return fmt.Errorf("%w: before=%q; the id of a change is wanted", errQuery, text)
		}
	}
	changes, err := q.service.store.HistoryPage(q.r.Context(), s.slug(), page)
	if err != nil {
		return err
	}
	h := History{Changes: []HistoryRow{}, More: len(changes) > limit}
	for _, c := range changes[:min(limit, len(changes))] {
		if s.asOf.IsZero() || !c.At.After(s.asOf) {
			h.Changes = append(h.Changes, HistoryRow{c.ID, changedThing(c)})
		}
	}
	return q.writeJSON(h)
}

// DayOf reads a day, whose end is meant, or a time.
func DayOf(text string) (time.Time, error) {
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		return at, nil
	}
	day, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		return time.Time{}, fmt.Errorf("%w: %q; a day as 2026-03-01 or a time as 2026-03-01T12:00:00Z is wanted", errQuery, text)
	}
	return day.AddDate(0, 0, 1).Add(-time.Millisecond), nil
}

// historyPDF is the history of a mooring to be printed; that of one that was given up too.
func (q *request) historyPDF() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	number := q.pathText("number")
	changes, err := q.service.store.HistoryPage(q.r.Context(), s.slug(),
		store.Page{Noun: store.NounMooring, Name: number, Limit: mostHistory})
	if err != nil {
		return err
	}
	if len(changes) == 0 {
		return fmt.Errorf("a history of mooring %s: %w", number, geo.ErrNotFound)
	}
	acts := make([]paper.HistoryAct, len(changes))
	for i, c := range changes {
		acts[i] = paper.HistoryAct{At: c.At, Who: c.Who, Why: c.Why, Revision: c.Revision}
		for _, f := range c.Fields() {
			acts[i].Fields = append(acts[i].Fields, paper.HistoryField{Name: f.Field, Before: f.Before, After: f.After})
		}
	}
	return q.pdf("history of mooring "+number, func(w io.Writer, _ int) error {
		return paper.MooringHistory(w, s.field.Harbor(), number, acts,
			paper.Options{Paper: q.paper(), At: time.Now(), Revision: s.info.Revision})
	})
}
