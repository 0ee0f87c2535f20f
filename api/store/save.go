package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

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
	if strings.TrimSpace(act.Who) == "" || strings.TrimSpace(act.Why) == "" {
		return Changes{}, fmt.Errorf("a change without who or why: %w", geo.ErrInvalid)
	}
	if slug != Slug(slug) {
		return Changes{}, fmt.Errorf("harbor %q: %w; a short name of lower-case letters, digits and hyphens is wanted, such as %q", slug, geo.ErrInvalid, Slug(slug))
	}
	to, err := takeApart(h)
	if err != nil {
		return Changes{}, err
	}
	s.turn.Lock()
	defer s.turn.Unlock()
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return Changes{}, err
	}
	changes, err := s.save(ctx, tx, slug, base, h, to, act)
	if err != nil {
		undo := tx.Rollback()
		if off := ctx.Err(); off != nil { // it is rolled back already, and what failed first is chance: say what the cause was
			return Changes{}, fmt.Errorf("harbor %s: nothing was saved: %w", slug, off)
		}
		return Changes{}, errors.Join(err, undo)
	}
	if err := tx.Commit(); err != nil {
		return Changes{}, err
	}
	return changes, nil
}

func (s *Store) save(ctx context.Context, tx *sql.Tx, slug string, base int64, h *geo.Harbor, to *snapshot, act Act) (Changes, error) {
	id, from, err := current(ctx, tx, slug, base)
	if err != nil {
		return Changes{}, err
	}
	changes := difference(from, to)
	changes.Revision = base
	if changes.Count() == 0 {
		return changes, nil
	}
	if id == 0 {
		result, err := tx.ExecContext(ctx, "INSERT INTO harbor (slug, name, units, defaults, revision, changed_ms) VALUES (?, ?, ?, '{}', 0, 0)", slug, h.Name, h.Units)
		if err != nil {
			return Changes{}, err
		}
		if id, err = result.LastInsertId(); err != nil {
			return Changes{}, err
		}
	}
	changes.Revision++
	if err := s.stamp(ctx, tx, id, &changes, act); err != nil {
		return Changes{}, err
	}
	return changes, write(ctx, tx, id, h, to, &changes)
}

// current reads what is on file, nil for a new harbor, and refuses a base that is not its revision.
func current(ctx context.Context, tx *sql.Tx, slug string, base int64) (int64, *snapshot, error) {
	info, err := which(ctx, tx, slug)
	switch {
	case err == nil && base == 0:
		return 0, nil, fmt.Errorf("harbor %s: %w", slug, ErrExists)
	case errors.Is(err, ErrNoHarbor) || errors.Is(err, geo.ErrNotFound):
		if base != 0 {
			return 0, nil, err
		}
		return 0, nil, nil
	case err != nil:
		return 0, nil, err
	case info.Revision != base:
		return 0, nil, fmt.Errorf("harbor %s: %w: it is at revision %d, this change was made from %d", slug, ErrStale, info.Revision, base)
	}
	from, err := onFile(ctx, tx, info.id)
	return info.id, from, err
}

// stamp gives every change its time, revision and row. The clock of a harbor never runs backwards, or a reading as of a time would
// mix up what came first.
func (s *Store) stamp(ctx context.Context, tx *sql.Tx, id int64, changes *Changes, act Act) error {
	at := act.At
	if at.IsZero() {
		at = s.now()
	}
	var lastMS int64
	if err := tx.QueryRowContext(ctx, "SELECT changed_ms FROM harbor WHERE id = ?", id).Scan(&lastMS); err != nil {
		return err
	}
	atMS := max(at.UnixMilli(), lastMS)
	insert, err := tx.PrepareContext(ctx, "INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, before, after) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)")
	if err != nil {
		return err
	}
	for _, group := range [][]Change{changes.Added, changes.Changed, changes.Removed} {
		for i := range group {
			c := &group[i]
			c.Revision, c.At, c.Who, c.Why = changes.Revision, timeOf(atMS), act.Who, act.Why
			result, err := insert.ExecContext(ctx, id, c.Revision, atMS, c.Who, c.Why, c.Noun, c.Name, orNull(string(c.Before)), orNull(string(c.After)))
			if err != nil {
				return err
			}
			if c.ID, err = result.LastInsertId(); err != nil {
				return err
			}
		}
	}
	_, err = tx.ExecContext(ctx, "UPDATE harbor SET revision = ?, changed_ms = ? WHERE id = ?", changes.Revision, atMS, id)
	return err
}

// write brings the tables of what holds now up to date.
func write(ctx context.Context, tx *sql.Tx, id int64, h *geo.Harbor, to *snapshot, changes *Changes) error {
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
	for _, group := range [][]Change{changes.Added, changes.Changed, changes.Removed} {
		for _, c := range group {
			if isEntry(c.Noun) {
				if err := writeEntry(ctx, tx, id, c); err != nil {
					return err
				}
			}
		}
	}
	moorings, err := newMooringWriter(ctx, tx, id)
	if err != nil {
		return err
	}
	for _, c := range changes.Removed {
		switch c.Noun {
		case NounMooring:
			err = moorings.delete(c.Name)
		case NounArea:
			_, err = tx.ExecContext(ctx, "DELETE FROM area WHERE harbor_id = ? AND name = ?", id, c.Name)
		}
		if err != nil {
			return err
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
	for i := range h.Moorings {
		if touched[[2]string{NounMooring, h.Moorings[i].Number}] {
			if err := moorings.put(&h.Moorings[i]); err != nil {
				return err
			}
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
