package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/record"
)

// Key names one thing of a harbor.
type Key struct{ Noun, Name string }

// Pending is a change that has been worked out and not been handed in yet.
type Pending struct {
	Changes Changes // without revision, time and ids

	store *Store
	slug  string
	base  int64
	to    *geo.Harbor
	act   Act
	was   map[string]*geo.Mooring // the moorings on file that differ
	whole bool                    // more than moorings, owners, notes and those who wait differs: it goes the way of Save
	done  <-chan error
}

// Prepare works out what leads from one harbor to the next; from is what is on file at the revision base. Only what differs is looked into,
// so that an act in a large harbor costs no more than in a small one. Only what differs is validated: from is taken to be valid. Errors:
// geo.ErrInvalid.
func (s *Store) Prepare(slug string, base int64, from, to *geo.Harbor, act Act) (*Pending, error) {
	if err := act.valid(); err != nil {
		return nil, err
	}
	p := &Pending{store: s, slug: slug, base: base, to: to, act: act, whole: !sameBesides(from, to)}
	if p.whole {
		if err := to.Validate(); err != nil {
			return nil, err
		}
		a, err := takeApart(from)
		if err != nil {
			return nil, err
		}
		b, err := takeApart(to)
		if err != nil {
			return nil, err
		}
		p.Changes = difference(a, b)
		return p, nil
	}
	a, b := cutToDifference(from, to)
	if err := validParts(to, b); err != nil {
		return nil, err
	}
	p.was = make(map[string]*geo.Mooring, len(a.Moorings))
	for i := range a.Moorings {
		p.was[a.Moorings[i].Number] = &a.Moorings[i]
	}
	before, after := &snapshot{index: map[[2]string]int{}}, &snapshot{index: map[[2]string]int{}}
	if err := before.addThings(a); err != nil {
		return nil, err
	}
	if err := after.addThings(b); err != nil {
		return nil, err
	}
	p.Changes = difference(before, after)
	return p, nil
}

// Touched are the things that the change touches.
func (p *Pending) Touched() []Key {
	var keys []Key
	for _, group := range [][]Change{p.Changes.Added, p.Changes.Changed, p.Changes.Removed} {
		for _, c := range group {
			keys = append(keys, Key{c.Noun, c.Name})
		}
	}
	return keys
}

// Submit puts the change in the row of those that wait to be written. Changes come to disk in the order in which they are handed in; each
// needs the revision that the one before it makes.
func (p *Pending) Submit(ctx context.Context) {
	if p.Changes.Count() == 0 {
		done := make(chan error, 1)
		done <- nil
		p.Changes.Revision, p.done = p.base, done
		return
	}
	changes := p.Changes
	p.done = p.store.enqueue(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if p.whole {
			to, err := takeApart(p.to)
			if err != nil {
				return err
			}
			p.Changes, err = p.store.save(ctx, tx, p.slug, p.base, p.to, to, p.act)
			return err
		}
		p.Changes = changes.fresh()
		return p.store.commit(ctx, tx, p)
	})
}

// fresh is a copy without what a transaction stamps.
func (c Changes) fresh() Changes {
	return Changes{Added: slices.Clone(c.Added), Changed: slices.Clone(c.Changed), Removed: slices.Clone(c.Removed)}
}

// Wait waits until the change is on disk. Errors: ErrStale, ErrFull, that of a context that ended before its turn came.
func (p *Pending) Wait() (Changes, error) {
	if err := <-p.done; err != nil {
		return Changes{}, err
	}
	return p.Changes, nil
}

const revisionSQL = "SELECT id, revision, changed_ms FROM harbor WHERE slug = ?"

func (s *Store) commit(ctx context.Context, tx *sql.Tx, p *Pending) error {
	var id, revision, lastMS int64
	w := s.writer(ctx, tx)
	stmt, err := w.statement(revisionSQL)
	if err != nil {
		return err
	}
	if err := stmt.QueryRowContext(ctx, p.slug).Scan(&id, &revision, &lastMS); err != nil {
		return fmt.Errorf("harbor %s: %w", p.slug, err)
	}
	if revision != p.base {
		return staleError(p.slug, revision, p.base)
	}
	p.Changes.Revision = p.base + 1
	if err := s.stamp(ctx, tx, id, lastMS, &p.Changes, p.act); err != nil {
		return err
	}
	return w.putThings(id, p.to, p.was, &p.Changes)
}

// sameBesides reports whether two harbors differ at most in moorings, owners, notes and those who wait. The day is not kept on file.
func sameBesides(a, b *geo.Harbor) bool {
	x, y := *a, *b
	for _, side := range []*geo.Harbor{&x, &y} {
		side.Moorings, side.Owners, side.Notes, side.Waiting, side.Day = nil, nil, nil, nil, ""
	}
	return x.Equal(&y)
}

// cutToDifference cuts two harbors down to what differs between them, where sameBesides holds.
func cutToDifference(from, to *geo.Harbor) (a, b *geo.Harbor) {
	a, b = &geo.Harbor{}, &geo.Harbor{}
	a.Moorings, b.Moorings = diff(from.Moorings, to.Moorings, func(m *geo.Mooring) string { return m.Number })
	a.Owners, b.Owners = diff(from.Owners, to.Owners, func(o *geo.Owner) string { return o.Name })
	a.Notes, b.Notes = diff(from.Notes, to.Notes, func(n *geo.Note) string { return n.ID })
	if !record.Equal(&from.Waiting, &to.Waiting) { // several may have one name, and are told apart by their order: all or none
		a.Waiting, b.Waiting = from.Waiting, to.Waiting
	}
	return a, b
}

// diff gives the members of two lists that are not the same in both; key names a member within its list.
func diff[T any](from, to []T, key func(*T) string) (removed, added []T) {
	from, to = trimSame(from, to)
	place := make(map[string]int, len(from))
	for i := range from {
		place[key(&from[i])] = i
	}
	kept := make([]bool, len(from))
	for i := range to {
		if at, ok := place[key(&to[i])]; ok && record.Equal(&from[at], &to[i]) {
			kept[at] = true
			continue
		}
		added = append(added, to[i])
	}
	for i := range from {
		if !kept[i] {
			removed = append(removed, from[i])
		}
	}
	return removed, added
}

// trimSame cuts off what two lists begin and end with alike: an act changes few members of long lists.
func trimSame[T any](a, b []T) (restA, restB []T) {
	for len(a) > 0 && len(b) > 0 && record.Equal(&a[0], &b[0]) {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && record.Equal(&a[len(a)-1], &b[len(b)-1]) {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	return a, b
}

// validParts checks what has come into a harbor whose other parts are valid.
func validParts(h, come *geo.Harbor) error {
	part := geo.Harbor{Name: h.Name, Units: h.Units, Levels: h.Levels, Defaults: h.Defaults, Areas: h.Areas, Moorings: come.Moorings,
		Owners: come.Owners, Notes: come.Notes, Waiting: come.Waiting}
	return part.Validate()
}

func (a Act) valid() error {
	if strings.TrimSpace(a.Who) == "" || strings.TrimSpace(a.Why) == "" {
		return fmt.Errorf("a change without who or why: %w", geo.ErrInvalid)
	}
	return nil
}

// Versions tells at which revision each thing was last changed.
func (s *Store) Versions(ctx context.Context, slug string) (map[Key]int64, error) {
	versions := map[Key]int64{}
	err := s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		if err != nil {
			return err
		}
		rows, err := tx.QueryContext(ctx, "SELECT noun, name, max(revision) FROM history WHERE harbor_id = ? GROUP BY noun, name", info.id)
		if err != nil {
			return err
		}
		_, err = collect(rows, func(rows *sql.Rows) (none struct{}, err error) {
			var k Key
			var revision int64
			err = rows.Scan(&k.Noun, &k.Name, &revision)
			versions[k] = revision
			return none, err
		})
		return err
	})
	return versions, err
}
