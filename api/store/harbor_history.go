package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"swingroom/geo"
)

// HarborAsOf rebuilds a harbor as it stood at a time, from its history. geo.ErrNotFound before its first change.
func (s *Store) HarborAsOf(ctx context.Context, slug string, at time.Time) (*geo.Harbor, error) {
	return s.rebuilt(ctx, slug, "at_ms <= ?", at.UnixMilli())
}

// HarborAt rebuilds a harbor as it was at a revision.
func (s *Store) HarborAt(ctx context.Context, slug string, revision int64) (*geo.Harbor, error) {
	return s.rebuilt(ctx, slug, "revision <= ?", revision)
}

// rebuilt makes a harbor of the last of those rows of its history that meet a condition; geo.ErrNotFound where there are none.
func (s *Store) rebuilt(ctx context.Context, slug, until string, arg any) (h *geo.Harbor, err error) {
	err = s.readingHarbor(ctx, slug, func(tx *sql.Tx, info Info) error {
		last, err := list(ctx, tx, scanChange, "SELECT "+historyColumns+` FROM history WHERE id IN (
			SELECT max(id) FROM history WHERE harbor_id = ? AND `+until+` GROUP BY noun, name)`, info.id, arg)
		if err != nil {
			return err
		}
		if len(last) == 0 {
			return tooEarly(ctx, tx, info)
		}
		h, err = assemble(ctx, tx, last)
		return err
	})
	return h, err
}

// tooEarly says when the history of a harbor begins.
func tooEarly(ctx context.Context, tx *sql.Tx, info Info) error {
	var firstMS sql.NullInt64
	err := tx.QueryRowContext(ctx, "SELECT at_ms FROM history WHERE +harbor_id = ? ORDER BY id LIMIT 1", info.id).Scan(&firstMS)
	if err != nil {
		return err
	}
	return fmt.Errorf("harbor %s then: %w; its history begins %s", info.Slug, geo.ErrNotFound, timeOf(firstMS.Int64).Format(time.RFC3339))
}

// assembly is a harbor while it is made of the records of its history.
type assembly struct {
	harbor   *geo.Harbor
	own      harborRecord // the harbor's own record
	areas    []areaRecord
	keepOuts []keepOutRecord
}

// assemble makes a harbor of its last records.
func assemble(ctx context.Context, tx *sql.Tx, last []Change) (*geo.Harbor, error) {
	a := &assembly{harbor: &geo.Harbor{}}
	var errs []error
	for _, c := range last {
		if c.After != nil {
			errs = append(errs, a.add(c.Noun, c.After))
		}
	}
	h := a.harbor
	a.own.into(h)
	if !slices.ContainsFunc(last, func(c Change) bool { return c.Noun == NounWaiting }) {
		h.Waiting = a.own.Waiting
	}
	errs = append(errs, readDocuments(ctx, tx, h, a.own.Shoreline, a.own.Soundings))
	a.order()
	return h, errors.Join(errs...)
}

// add takes one record in.
func (a *assembly) add(noun string, body []byte) (err error) {
	switch noun {
	case NounHarbor:
		return json.Unmarshal(body, &a.own)
	case NounArea:
		a.areas, err = appendJSON(a.areas, body)
	case NounKeepOut:
		a.keepOuts, err = appendJSON(a.keepOuts, body)
	case NounMooring:
		a.harbor.Moorings, err = appendJSON(a.harbor.Moorings, body)
	default:
		return addEntry(a.harbor, noun, body)
	}
	return err
}

// order puts every list into the order that a harbor has it in.
func (a *assembly) order() {
	h := a.harbor
	slices.SortFunc(a.areas, func(x, y areaRecord) int { return cmp.Compare(x.Ordinal, y.Ordinal) })
	for _, r := range a.areas {
		h.Areas = append(h.Areas, r.area())
	}
	slices.SortFunc(a.keepOuts, func(x, y keepOutRecord) int { return cmp.Compare(x.Ordinal, y.Ordinal) })
	for _, r := range a.keepOuts {
		h.KeepOuts = append(h.KeepOuts, r.keepOut())
	}
	sortMoorings(h.Moorings)
	sortEntries(h)
}
