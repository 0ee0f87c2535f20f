package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"

	"swingroom/geo"
)

// History lists changes, newest first. An empty noun is all nouns; an empty name is all names.
func (s *Store) History(ctx context.Context, slug, noun, name string) ([]Change, error) {
	return s.changes(ctx, slug, historyOf(noun, name).newestFirst())
}

// Page of a history: of one noun or record, or all; the newest first.
type Page struct {
	Noun, Name string // empty: all
	Before     int64  // only changes with a smaller id; 0: from the newest
	Limit      int
}

// HistoryPage lists a part of the history, newest first.
func (s *Store) HistoryPage(ctx context.Context, slug string, p Page) ([]Change, error) {
	q := historyOf(p.Noun, p.Name)
	if p.Before > 0 {
		q = q.and("id < ?", p.Before)
	}
	q = q.newestFirst()
	return s.changes(ctx, slug, historyQuery{q.where + " LIMIT ?", append(q.args, p.Limit)})
}

// Since lists what was changed of one record after a revision, the oldest first.
func (s *Store) Since(ctx context.Context, slug string, key Key, revision int64) ([]Change, error) {
	q := historyQuery{"harbor_id = ?1", nil}.and("noun = ?", key.Noun).and("name = ?", key.Name).and("revision > ?", revision)
	return s.changes(ctx, slug, historyQuery{q.where + " ORDER BY id", q.args})
}

// historyQuery is which rows of a harbor's history are asked for, and in which order; the harbor itself is ?1.
type historyQuery struct {
	where string
	args  []any
}

// historyOf asks for the history of a noun, a record or all. What is not asked for is not in the query either: with "OR" in it SQLite would
// walk through the whole history.
func historyOf(noun, name string) historyQuery {
	q := historyQuery{"harbor_id = ?1", nil}
	if noun == "" {
		// Then the ids themselves are in the order that is needed: the plus sign keeps SQLite from sorting the whole history out of an
		// index.
		q.where = "+harbor_id = ?1"
	} else {
		q = q.and("noun = ?", noun)
	}
	if name != "" {
		q = q.and("name = ?", name)
	}
	return q
}

func (q historyQuery) and(condition string, arg any) historyQuery {
	return historyQuery{q.where + " AND " + condition, append(q.args, arg)}
}

func (q historyQuery) newestFirst() historyQuery {
	return historyQuery{q.where + " ORDER BY id DESC", q.args}
}

// changes lists rows of a harbor's history.
func (s *Store) changes(ctx context.Context, slug string, q historyQuery) (all []Change, err error) {
	err = s.readingHarbor(ctx, slug, func(tx *sql.Tx, info Info) error {
		args := append([]any{info.id}, q.args...)
		all, err = list(ctx, tx, scanChange, "SELECT "+historyColumns+" FROM history WHERE "+q.where, args...)
		return err
	})
	return all, err
}

// AllSince lists everything that was changed after a revision, the oldest first.
func (s *Store) AllSince(ctx context.Context, slug string, revision int64) ([]Change, error) {
	return s.newest(ctx, slug, func(c Change) (take, more bool) { return c.Revision > revision, c.Revision > revision })
}

// LastBy lists what somebody changed in their last act, the oldest row first; geo.ErrNotFound where there is none.
func (s *Store) LastBy(ctx context.Context, slug, who string) ([]Change, error) {
	var last int64
	changes, err := s.newest(ctx, slug, func(c Change) (take, more bool) {
		if last == 0 && c.Who == who {
			last = c.Revision
		}
		return c.Revision == last, last == 0 || c.Revision >= last
	})
	if err == nil && len(changes) == 0 {
		err = fmt.Errorf("an act of %s: %w", who, geo.ErrNotFound)
	}
	return changes, err
}

// newest walks through a history from its end, takes what choose takes and stops where there is no more of it; what it took comes the
// oldest first.
func (s *Store) newest(ctx context.Context, slug string, choose func(Change) (take, more bool)) (taken []Change, err error) {
	const atOnce = 256 // an act has seldom more rows, and they are small
	more := true
	for page := (Page{Limit: atOnce}); more; {
		changes, err := s.HistoryPage(ctx, slug, page)
		if err != nil {
			return nil, err
		}
		taken, more = takeNewest(taken, changes, choose)
		if len(changes) < atOnce {
			break
		}
		page.Before = changes[len(changes)-1].ID
	}
	slices.Reverse(taken)
	return taken, nil
}

func takeNewest(taken, changes []Change, choose func(Change) (take, more bool)) (all []Change, more bool) {
	for _, c := range changes {
		take, more := choose(c)
		if take {
			taken = append(taken, c)
		}
		if !more {
			return taken, false
		}
	}
	return taken, true
}

// Revision is the one at which a harbor is; an empty slug takes the only harbor.
func (s *Store) Revision(ctx context.Context, slug string) (name string, revision int64, err error) {
	err = s.readingHarbor(ctx, slug, func(_ *sql.Tx, info Info) error {
		name, revision = info.Slug, info.Revision
		return nil
	})
	return name, revision, err
}

// LastChanged is the revision at which a record was last changed; 0 where it never was.
func (s *Store) LastChanged(ctx context.Context, slug string, key Key) (revision int64, err error) {
	err = s.readingHarbor(ctx, slug, func(tx *sql.Tx, info Info) error {
		return tx.QueryRowContext(ctx, "SELECT coalesce(max(revision), 0) FROM history WHERE harbor_id = ? AND noun = ? AND name = ?",
			info.id, key.Noun, key.Name).Scan(&revision)
	})
	return revision, err
}

// Versions tells at which revision each record was last changed.
func (s *Store) Versions(ctx context.Context, slug string) (map[Key]int64, error) {
	versions := map[Key]int64{}
	err := s.readingHarbor(ctx, slug, func(tx *sql.Tx, info Info) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var k Key
			var revision int64
			err := rows.Scan(&k.Noun, &k.Name, &revision)
			versions[k] = revision
			return err
		}, "SELECT noun, name, max(revision) FROM history WHERE harbor_id = ? GROUP BY noun, name", info.id)
	})
	return versions, err
}
