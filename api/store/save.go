package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"swingroom/geo"
)

// Save makes a harbor on file exactly h: what differs is written, and each difference becomes a row of history, all in one transaction.
// base is the revision that h was made from, 0 for a new harbor. Where nothing differs nothing is written and the
// revision stays. Errors: geo.ErrInvalid from h's own validation or an act without who or why, ErrStale when base is not the
// harbor's revision any more, ErrExists when a new harbor's slug is taken, geo.ErrNotFound.
func (s *Store) Save(ctx context.Context, slug string, base int64, h *geo.Harbor, act Act) (Changes, error) {
	if err := h.Validate(); err != nil {
		return Changes{}, err
	}
	if err := act.valid(); err != nil {
		return Changes{}, err
	}
	if slug != Slug(slug) {
		return Changes{},
			fmt.Errorf("harbor %q: %w; a short name of lower-case letters, digits and hyphens is wanted, such as %q", slug, geo.ErrInvalid,
				Slug(slug))
	}
	to, err := takeApart(h)
	if err != nil {
		return Changes{}, err
	}
	var changes Changes
	err = s.submit(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		changes, err = s.save(ctx, tx, slug, base, h, to, act)
		return err
	})
	if err != nil {
		return Changes{}, err
	}
	return changes, nil
}

func (s *Store) save(ctx context.Context, tx *sql.Tx, slug string, base int64, h *geo.Harbor, to *snapshot, act Act) (Changes, error) {
	id, lastMS, from, err := current(ctx, tx, slug, base)
	if err != nil {
		return Changes{}, err
	}
	changes := difference(from, to)
	changes.Revision = base
	if changes.Count() == 0 {
		return changes, nil
	}
	if id == 0 {
		result, err := tx.ExecContext(ctx, "INSERT INTO harbor (slug, name, units, defaults, revision, changed_ms) VALUES (?, ?, ?, "+
			"'{}', 0, 0)", slug, h.Name, h.Units)
		if err != nil {
			return Changes{}, err
		}
		if id, err = result.LastInsertId(); err != nil {
			return Changes{}, err
		}
	}
	changes.Revision++
	if err := s.stamp(ctx, tx, id, lastMS, &changes, act); err != nil {
		return Changes{}, err
	}
	return changes, s.writeAllOf(ctx, tx, id, h, to, &changes)
}

// current reads what is on file, nil for a new harbor, and refuses a base that is not its revision.
func current(ctx context.Context, tx *sql.Tx, slug string, base int64) (id, lastMS int64, from *snapshot, err error) {
	info, err := which(ctx, tx, slug)
	switch {
	case err == nil && base == 0:
		return 0, 0, nil, fmt.Errorf("harbor %s: %w", slug, ErrExists)
	case errors.Is(err, ErrNoHarbor) || errors.Is(err, geo.ErrNotFound):
		if base != 0 {
			return 0, 0, nil, err
		}
		return 0, 0, nil, nil
	case err != nil:
		return 0, 0, nil, err
	case info.Revision != base:
		return 0, 0, nil, staleError(slug, info.Revision, base)
	}
	from, err = onFile(ctx, tx, info.id)
	return info.id, info.Changed.UnixMilli(), from, err
}

func staleError(slug string, revision, base int64) error {
	return fmt.Errorf("harbor %s: %w: it is at revision %d, this change was made from %d", slug, ErrStale, revision, base)
}

const (
	insertHistorySQL = "INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, before, after) VALUES (?, ?, ?, ?, ?, ?, " +
		"?, ?, ?) RETURNING id"
	stampSQL = "UPDATE harbor SET revision = ?, changed_ms = ? WHERE id = ?"
)

// stamp gives every change its time, revision and row. The clock of a harbor never runs backwards, or a reading as of a time would
// mix up what came first.
func (s *Store) stamp(ctx context.Context, tx *sql.Tx, id, lastMS int64, changes *Changes, act Act) error {
	at := act.At
	if at.IsZero() {
		at = s.now()
	}
	atMS := max(at.UnixMilli(), lastMS)
	w := s.writer(ctx, tx)
	for _, group := range [][]Change{changes.Added, changes.Changed, changes.Removed} {
		for i := range group {
			c := &group[i]
			c.Revision, c.At, c.Who, c.Why = changes.Revision, timeOf(atMS), act.Who, act.Why
			var err error
			if c.ID, err = w.id(insertHistorySQL, id, c.Revision, atMS, c.Who, c.Why, c.Noun, c.Name, orNull(string(c.Before)),
				orNull(string(c.After))); err != nil {
				return err
			}
		}
	}
	return w.exec(stampSQL, changes.Revision, atMS, id)
}

// writeAllOf brings the tables of what holds now up to date.
func (s *Store) writeAllOf(ctx context.Context, tx *sql.Tx, id int64, h *geo.Harbor, to *snapshot, changes *Changes) error {
	touched := map[[2]string]bool{}
	nouns := map[string]bool{}
	for _, group := range [][]Change{changes.Added, changes.Changed, changes.Removed} {
		for _, c := range group {
			touched[[2]string{c.Noun, c.Name}] = true
			nouns[c.Noun] = true
		}
	}
	if nouns[NounHarbor] {
		if err := writeHarbor(ctx, tx, id, h, to); err != nil {
			return err
		}
	}
	for _, c := range changes.Removed {
		if c.Noun == NounArea {
			if _, err := tx.ExecContext(ctx, "DELETE FROM area WHERE harbor_id = ? AND name = ?", id, c.Name); err != nil {
				return err
			}
		}
	}
	for i := range h.Areas {
		if touched[[2]string{NounArea, h.Areas[i].Name}] {
			if err := writeArea(ctx, tx, id, i, &h.Areas[i]); err != nil {
				return err
			}
		}
	}
	if nouns[NounKeepOut] {
		if err := writeKeepOuts(ctx, tx, id, h.KeepOuts); err != nil {
			return err
		}
	}
	return s.writer(ctx, tx).putThings(id, h, nil, changes)
}

// putThings brings the tables of moorings, owners, notes and those who wait up to date; was are the moorings on file by number, as far as
// they are known.
func (w *writer) putThings(id int64, h *geo.Harbor, was map[string]*geo.Mooring, changes *Changes) error {
	come := map[string]bool{}
	for _, group := range [][]Change{changes.Removed, changes.Changed, changes.Added} {
		for _, c := range group {
			var err error
			switch {
			case isEntry(c.Noun):
				err = w.putEntry(id, c)
			case c.Noun == NounMooring && c.After == nil:
				err = w.removeMooring(id, c.Name)
			case c.Noun == NounMooring:
				come[c.Name] = true
			}
			if err != nil {
				return err
			}
		}
	}
	for i := 0; i < len(h.Moorings) && len(come) > 0; i++ {
		m := &h.Moorings[i]
		if !come[m.Number] {
			continue
		}
		delete(come, m.Number)
		if err := w.putMooring(id, m, was[m.Number]); err != nil {
			return err
		}
	}
	return nil
}

// Compare tells what Save would do, and writes nothing. A harbor that is not on file is all new.
func (s *Store) Compare(ctx context.Context, slug string, h *geo.Harbor) (changes Changes, err error) {
	if err := h.Validate(); err != nil {
		return Changes{}, err
	}
	to, err := takeApart(h)
	if err != nil {
		return Changes{}, err
	}
	err = s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		if errors.Is(err, ErrNoHarbor) || errors.Is(err, geo.ErrNotFound) {
			changes = difference(nil, to)
			return nil
		}
		if err != nil {
			return err
		}
		from, err := onFile(ctx, tx, info.id)
		if err != nil {
			return err
		}
		changes = difference(from, to)
		changes.Revision = info.Revision
		return nil
	})
	return changes, err
}
