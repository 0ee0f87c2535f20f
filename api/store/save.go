package store

import (
	"context"
	"database/sql"
	"fmt"

	"swingroom/geo"
)

// Save makes a harbor on file exactly h: what differs is written, and each difference becomes a row of history, all in one transaction.
// base is the revision that h was made from, 0 for a new harbor. Where nothing differs nothing is written and the
// revision stays. Errors: geo.ErrInvalid from h's own validation or an act without who or why, ErrStale when base is not the
// harbor's revision any more, ErrExists when a new harbor's slug is taken, geo.ErrNotFound, ErrClosed.
func (s *Store) Save(ctx context.Context, slug string, base int64, h *geo.Harbor, act Act) (Changes, error) {
	if err := h.Validate(); err != nil {
		return Changes{}, err
	}
	if err := act.valid(); err != nil {
		return Changes{}, err
	}
	if slug != Slug(slug) {
		return Changes{}, fmt.Errorf("harbor %q: %w; a short name consists of lower-case letters, digits and hyphens, such as %q", slug,
			geo.ErrInvalid, Slug(slug))
	}
	to, err := snapshotOf(h)
	if err != nil {
		return Changes{}, err
	}
	var changes Changes
	err = s.submit(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		changes, err = s.save(ctx, tx, saved{slug, base, h, to, act})
		return err
	})
	if err != nil {
		return Changes{}, err
	}
	return changes, nil
}

// saved is what is saved as a whole: a harbor made from a revision, with its records.
type saved struct {
	slug string
	base int64
	h    *geo.Harbor
	to   *snapshot
	act  Act
}

// harborState is what a harbor's row says of its last change.
type harborState struct{ id, revision, changedMS int64 }

func (s *Store) save(ctx context.Context, tx *sql.Tx, x saved) (Changes, error) {
	state, from, err := onFile(ctx, tx, x.slug, x.base)
	if err != nil {
		return Changes{}, err
	}
	changes := changesBetween(from, x.to)
	changes.Revision = x.base
	if changes.Count() == 0 {
		return changes, nil
	}
	if from == nil {
		if state.id, err = addHarbor(ctx, tx, x.slug, x.h); err != nil {
			return Changes{}, err
		}
	}
	changes.Revision++
	w := s.writer(ctx, tx)
	if err := w.stamp(state, &changes, x.act); err != nil {
		return Changes{}, err
	}
	return changes, w.writeHarbor(state.id, x.h, x.to, &changes)
}

// onFile reads what is on file, nil for a new harbor, and refuses a base that is not its revision.
func onFile(ctx context.Context, tx *sql.Tx, slug string, base int64) (state harborState, from *snapshot, err error) {
	info, err := findHarbor(ctx, tx, slug)
	switch {
	case err == nil && base == 0:
		return state, nil, fmt.Errorf("harbor %s: %w", slug, ErrExists)
	case noHarbor(err) && base == 0:
		return state, nil, nil
	case err != nil:
		return state, nil, err
	case info.Revision != base:
		return state, nil, staleError(slug, info.Revision, base)
	}
	from, err = snapshotOnFile(ctx, tx, info.id)
	return harborState{info.id, info.Revision, info.Changed.UnixMilli()}, from, err
}

// addHarbor makes the row of a new harbor; what it holds is written afterwards.
func addHarbor(ctx context.Context, tx *sql.Tx, slug string, h *geo.Harbor) (id int64, err error) {
	err = tx.QueryRowContext(ctx, "INSERT INTO harbor (slug, name, units, defaults, revision, changed_ms) VALUES (?, ?, ?, '{}', 0, 0) "+
		"RETURNING id", slug, h.Name, h.Units).Scan(&id)
	return id, err
}

func staleError(slug string, revision, base int64) error {
	return fmt.Errorf("harbor %s: %w: it is at revision %d, this change was made from %d", slug, ErrStale, revision, base)
}

// Compare tells what Save would do, and writes nothing. A harbor that is not on file is all new.
func (s *Store) Compare(ctx context.Context, slug string, h *geo.Harbor) (changes Changes, err error) {
	if err := h.Validate(); err != nil {
		return Changes{}, err
	}
	to, err := snapshotOf(h)
	if err != nil {
		return Changes{}, err
	}
	err = s.readingHarbor(ctx, slug, func(tx *sql.Tx, info Info) error {
		from, err := snapshotOnFile(ctx, tx, info.id)
		if err != nil {
			return err
		}
		changes = changesBetween(from, to)
		changes.Revision = info.Revision
		return nil
	})
	if noHarbor(err) {
		return changesBetween(nil, to), nil
	}
	return changes, err
}
