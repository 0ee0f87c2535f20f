package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"

	"swingroom/geo"
)

// Act says whose change it is and why. Both are needed; At is the store's clock where it is zero.
type Act struct {
	Who string
	Why string
	At  time.Time
}

func (a Act) valid() error {
	if strings.TrimSpace(a.Who) == "" || strings.TrimSpace(a.Why) == "" {
		return fmt.Errorf("a change without who or why: %w", geo.ErrInvalid)
	}
	return nil
}

// Pending is a change that has been worked out and not been submitted yet.
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
		return p, p.compareWhole(from)
	}
	return p, p.compareParts(from)
}

// compareWhole works the change out from all that is on record.
func (p *Pending) compareWhole(from *geo.Harbor) error {
	if err := p.to.Validate(); err != nil {
		return err
	}
	a, err := snapshotOf(from)
	if err != nil {
		return err
	}
	b, err := snapshotOf(p.to)
	if err != nil {
		return err
	}
	p.Changes = changesBetween(a, b)
	return nil
}

// compareParts works the change out from the moorings, owners, notes and those who wait that differ.
func (p *Pending) compareParts(from *geo.Harbor) error {
	a, b := cutToDifference(from, p.to)
	if err := validParts(p.to, b); err != nil {
		return err
	}
	p.was = make(map[string]*geo.Mooring, len(a.Moorings))
	for i := range a.Moorings {
		p.was[a.Moorings[i].Number] = &a.Moorings[i]
	}
	before, after := newSnapshot(), newSnapshot()
	if err := before.addMooringsAndEntries(a); err != nil {
		return err
	}
	if err := after.addMooringsAndEntries(b); err != nil {
		return err
	}
	p.Changes = changesBetween(before, after)
	return nil
}

// validParts checks what has come into a harbor whose other parts are valid.
func validParts(h, come *geo.Harbor) error {
	part := geo.Harbor{Name: h.Name, Units: h.Units, Levels: h.Levels, Defaults: h.Defaults, Areas: h.Areas, Moorings: come.Moorings,
		Owners: come.Owners, Notes: come.Notes, Waiting: come.Waiting}
	return part.Validate()
}

// Touched are the records that the change touches.
func (p *Pending) Touched() (keys []Key) {
	for c := range p.Changes.all {
		keys = append(keys, Key{c.Noun, c.Name})
	}
	return keys
}

// Submit has the change written. Changes come to disk in the order in which they are submitted; each needs the revision that the one before
// it makes.
func (p *Pending) Submit(ctx context.Context) {
	if p.Changes.Count() == 0 {
		done := make(chan error, 1)
		done <- nil
		p.Changes.Revision, p.done = p.base, done
		return
	}
	if p.whole {
		p.done = p.store.enqueue(ctx, p.saveWhole)
		return
	}
	changes := p.Changes
	p.done = p.store.enqueue(ctx, func(ctx context.Context, tx *sql.Tx) error {
		p.Changes = changes.unstamped() // it may run a second time
		return p.saveParts(ctx, tx)
	})
}

// Wait waits until the change is on disk. Errors: ErrStale, ErrFull, ErrClosed, that of a context that ended before it was written.
func (p *Pending) Wait() (Changes, error) {
	if err := <-p.done; err != nil {
		return Changes{}, err
	}
	return p.Changes, nil
}

func (p *Pending) saveWhole(ctx context.Context, tx *sql.Tx) error {
	to, err := snapshotOf(p.to)
	if err != nil {
		return err
	}
	p.Changes, err = p.store.save(ctx, tx, saved{p.slug, p.base, p.to, to, p.act})
	return err
}

const revisionSQL = "SELECT id, revision, changed_ms FROM harbor WHERE slug = ?"

func (p *Pending) saveParts(ctx context.Context, tx *sql.Tx) error {
	w := p.store.writer(ctx, tx)
	stmt, err := w.statement(revisionSQL)
	if err != nil {
		return err
	}
	var row harborState
	if err := stmt.QueryRowContext(ctx, p.slug).Scan(&row.id, &row.revision, &row.changedMS); err != nil {
		return fmt.Errorf("harbor %s: %w", p.slug, err)
	}
	if row.revision != p.base {
		return staleError(p.slug, row.revision, p.base)
	}
	p.Changes.Revision = p.base + 1
	if err := w.stamp(row, &p.Changes, p.act); err != nil {
		return err
	}
	return w.writeRecords(row.id, p.to, p.was, &p.Changes)
}
