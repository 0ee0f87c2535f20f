package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"

	"swingroom/geo"
)

// Revision is the one at which a harbor is; an empty slug takes the only harbor.
func (s *Store) Revision(ctx context.Context, slug string) (name string, revision int64, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		name, revision = info.Slug, info.Revision
		return err
	})
	return name, revision, err
}

// Since lists what was changed of one thing after a revision, the oldest first.
func (s *Store) Since(ctx context.Context, slug string, key Key, revision int64) ([]Change, error) {
	return s.changes(ctx, slug, "harbor_id = ?1 AND noun = ? AND name = ? AND revision > ? ORDER BY id", key.Noun, key.Name, revision)
}

// AllSince lists everything that was changed after a revision, the oldest first.
func (s *Store) AllSince(ctx context.Context, slug string, revision int64) ([]Change, error) {
	return s.newest(ctx, slug, func(c Change) (take, more bool) { return c.Revision > revision, c.Revision > revision })
}

// LastBy lists what somebody changed in her last act, the oldest row first; geo.ErrNotFound where there is none.
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

// newest walks through a history from its end, takes what is wanted and stops where there is no more of it; what it took comes the oldest
// first.
func (s *Store) newest(ctx context.Context, slug string, want func(Change) (take, more bool)) (taken []Change, err error) {
	const atOnce = 256
	for page := (Page{Limit: atOnce}); ; {
		changes, err := s.HistoryPage(ctx, slug, page)
		if err != nil {
			return nil, err
		}
		for _, c := range changes {
			take, more := want(c)
			if take {
				taken = append(taken, c)
			}
			if !more {
				slices.Reverse(taken)
				return taken, nil
			}
			page.Before = c.ID
		}
		if len(changes) < atOnce {
			slices.Reverse(taken)
			return taken, nil
		}
	}
}

// LastChanged is the revision at which a thing was last changed; 0 where it never was.
func (s *Store) LastChanged(ctx context.Context, slug string, key Key) (revision int64, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		if err != nil {
			return err
		}
		return tx.QueryRowContext(ctx, "SELECT coalesce(max(revision), 0) FROM history WHERE harbor_id = ? AND noun = ? AND name = ?",
			info.id, key.Noun, key.Name).Scan(&revision)
	})
	return revision, err
}

// Page of a history: of one noun or thing, or all; the newest first.
type Page struct {
	Noun, Name string // empty: all
	Before     int64  // only changes with a smaller id; 0: from the newest
	Limit      int
}

// HistoryPage lists a part of the history, newest first.
func (s *Store) HistoryPage(ctx context.Context, slug string, p Page) ([]Change, error) {
	// Without a noun the ids themselves are in the order that is wanted: the plus sign keeps SQLite from sorting the whole history out of
	// an index.
	where, args := "harbor_id = ?1", []any{}
	if p.Noun == "" {
		where = "+harbor_id = ?1"
	}
	for _, by := range []struct {
		sql   string
		value any
		wants bool
	}{{"noun = ?", p.Noun, p.Noun != ""}, {"name = ?", p.Name, p.Name != ""}, {"id < ?", p.Before, p.Before > 0}} {
		if by.wants {
			where, args = where+" AND "+by.sql, append(args, by.value)
		}
	}
	return s.changes(ctx, slug, where+" ORDER BY id DESC LIMIT ?", append(args, p.Limit)...)
}

// changes lists rows of a harbor's history; where asks for the harbor as ?1.
func (s *Store) changes(ctx context.Context, slug, where string, args ...any) (all []Change, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		if err != nil {
			return err
		}
		rows, err := tx.QueryContext(ctx, "SELECT "+historyColumns+" FROM history WHERE "+where, append([]any{info.id}, args...)...)
		if err != nil {
			return err
		}
		all, err = collect(rows, scanChange)
		return err
	})
	return all, err
}

// HarborAt rebuilds a harbor as it was at a revision.
func (s *Store) HarborAt(ctx context.Context, slug string, revision int64) (*geo.Harbor, error) {
	return s.rebuilt(ctx, slug, "revision <= ?", revision)
}

// rebuilt puts a harbor together from the last of those rows of its history that meet a condition; geo.ErrNotFound where there are none.
func (s *Store) rebuilt(ctx context.Context, slug, until string, arg any) (h *geo.Harbor, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		if err != nil {
			return err
		}
		rows, err := tx.QueryContext(ctx, "SELECT "+historyColumns+` FROM history WHERE id IN (
			SELECT max(id) FROM history WHERE harbor_id = ? AND `+until+` GROUP BY noun, name)`, info.id, arg)
		if err != nil {
			return err
		}
		last, err := collect(rows, scanChange)
		if err != nil {
			return err
		}
		if len(last) == 0 {
			var firstMS sql.NullInt64
			if err := tx.QueryRowContext(ctx, "SELECT at_ms FROM history WHERE +harbor_id = ? ORDER BY id LIMIT 1",
				info.id).Scan(&firstMS); err != nil {
				return err
			}
			return fmt.Errorf("harbor %s then: %w; its history begins %s", info.Slug, geo.ErrNotFound,
				timeOf(firstMS.Int64).Format("2006-01-02T15:04:05Z07:00"))
		}
		h, err = putTogether(ctx, tx, last)
		return err
	})
	return h, err
}
