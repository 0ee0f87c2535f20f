package api

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// desk is where one harbor is changed. What lies on it is what will hold once every act that has been handed in is on disk: the next act is
// worked out from it without waiting for the disk.
type desk struct {
	mu       sync.Mutex
	harbor   *geo.Harbor // nil: it has to be read from the store
	field    *clearance.Field
	revision int64
	versions map[store.Key]int64 // at which revision each thing was last changed
}

// desk gives the desk of a harbor.
func (s *Service) desk(slug string) *desk {
	s.mu.Lock()
	defer s.mu.Unlock()
	d, ok := s.desks[slug]
	if !ok {
		d = &desk{}
		s.desks[slug] = d
	}
	return d
}

// open reads what is on file onto an empty desk. The field is that of the snapshot where it is of the same revision.
func (d *desk) open(ctx context.Context, s *Service, slug string) error {
	if d.harbor != nil {
		return nil
	}
	for range mostTries {
		harbor, info, err := s.store.Harbor(ctx, slug)
		if err != nil {
			return err
		}
		versions, err := s.store.Versions(ctx, slug)
		if err != nil {
			return err
		}
		if _, again, err := s.store.Revision(ctx, slug); err != nil || again != info.Revision {
			if err != nil {
				return err
			}
			continue // somebody has written between the two readings
		}
		field := (*clearance.Field)(nil)
		if snap := s.snapshot(slug); snap != nil && snap.info.Revision == info.Revision {
			harbor, field = snap.field.Harbor(), snap.field
		} else {
			harbor.Day = today()
			if field, err = clearance.NewField(harbor); err != nil {
				return err
			}
		}
		d.harbor, d.field, d.revision, d.versions = harbor, field, info.Revision, versions
		return nil
	}
	return fmt.Errorf("%w: others keep writing", store.ErrStale)
}

// handed is an act that has been handed in.
type handed struct {
	pending *store.Pending
	field   *clearance.Field
}

// deed is an act before it is done.
type deed struct {
	seen  int64       // the revision that its author has looked at, or anyRevision
	about []store.Key // what it is about, whether it changes that or not
	act   store.Act
	do    func(h *geo.Harbor, f *clearance.Field) error
}

// handIn works an act out on the harbor as it lies on the desk and hands it in. Where something that the act touches or is about has been
// changed since its author looked, it is a *changedError.
func (d *desk) handIn(ctx context.Context, s *Service, slug string, x deed) (*handed, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.open(ctx, s, slug); err != nil {
		return nil, err
	}
	if stale := d.since(x.seen, x.about); len(stale) > 0 {
		return nil, s.changed(ctx, slug, x.seen, d.revision, stale)
	}
	next := *d.harbor.Clone()
	next.Day = today()
	if err := x.do(&next, d.field); err != nil {
		return nil, err
	}
	pending, err := s.store.Prepare(slug, d.revision, d.harbor, &next, x.act)
	if err != nil {
		return nil, err
	}
	touched := pending.Touched()
	if stale := d.since(x.seen, touched); len(stale) > 0 {
		return nil, s.changed(ctx, slug, x.seen, d.revision, stale)
	}
	field := d.field
	if len(touched) > 0 {
		if field, err = d.field.Next(&next); err != nil {
			return nil, err
		}
		d.harbor, d.field, d.revision = &next, field, d.revision+1
		for _, key := range touched {
			d.versions[key] = d.revision
		}
	}
	pending.Submit(ctx)
	return &handed{pending, field}, nil
}

// since lists which of some things have been changed after a revision.
func (d *desk) since(seen int64, touched []store.Key) (stale []store.Key) {
	for _, key := range touched {
		if seen != anyRevision && d.versions[key] > seen {
			stale = append(stale, key)
		}
	}
	return stale
}

// clear takes everything off the desk: something that lay on it did not get to disk.
func (d *desk) clear() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.harbor, d.field, d.versions = nil, nil, nil
}

// change carries out an act: worked out, written, and shown to every reader once it is on disk. Where another program has written to the
// file meanwhile all of it is done again, with its checks.
func (s *Service) change(ctx context.Context, slug string, x deed) (store.Changes, error) {
	d := s.desk(slug)
	for range mostTries {
		x.act.At = time.Now()
		h, err := d.handIn(ctx, s, slug, x)
		if err != nil {
			return store.Changes{}, err
		}
		changes, err := h.pending.Wait()
		if err == nil {
			return changes, s.publish(slug, changes, h.field)
		}
		d.clear()
		if !errors.Is(err, store.ErrStale) {
			return store.Changes{}, err
		}
	}
	return store.Changes{}, fmt.Errorf("%w: others keep writing", store.ErrStale)
}

// publish shows readers what an act has made of a harbor, unless they are shown something later already.
func (s *Service) publish(slug string, changes store.Changes, field *clearance.Field) error {
	old := s.snapshot(slug)
	if old != nil && old.info.Revision >= changes.Revision {
		return nil
	}
	h := field.Harbor()
	next := snapshotOf(field, store.Info{Slug: slug, Name: h.Name, Revision: changes.Revision, Moorings: len(h.Moorings),
		Changed: time.Now()})
	if old != nil {
		next.lengths = old.lengths.Next(field)
	}
	s.mu.Lock()
	if now := s.snapshots[slug]; now == nil || now.info.Revision < changes.Revision {
		s.snapshots[slug] = next
	}
	s.mu.Unlock()
	s.bells.ring()
	return nil
}

// ChangedThing is something that has been changed since somebody looked at it, field by field.
type ChangedThing struct {
	Noun     string              `json:"noun"`
	Name     string              `json:"name"`
	Who      string              `json:"who"`
	At       time.Time           `json:"at"`
	Why      string              `json:"why"`
	Revision int64               `json:"revision"`
	Fields   []store.FieldChange `json:"fields"`
}

func changedThing(c store.Change) ChangedThing {
	return ChangedThing{c.Noun, c.Name, c.Who, c.At, c.Why, c.Revision, c.Fields()}
}

// changedError refuses an act on something that others have changed since its author looked.
type changedError struct {
	revision int64 // that holds now
	changed  []ChangedThing
}

func (e *changedError) Error() string {
	words := "this was changed since you looked at it"
	if len(e.changed) > 0 {
		c := e.changed[len(e.changed)-1]
		words = fmt.Sprintf("%s %s was changed since you looked at it, by %s: %s", c.Noun, c.Name, c.Who, c.Why)
	}
	return words
}

func (e *changedError) Unwrap() error { return store.ErrStale }

// changed tells what has become of some things since a revision, the oldest change first. What is not on disk yet cannot be told, and is
// looked for once more.
func (s *Service) changed(ctx context.Context, slug string, seen, revision int64, stale []store.Key) error {
	e := &changedError{revision: revision, changed: []ChangedThing{}}
	for _, key := range stale {
		changes, err := s.store.Since(ctx, slug, key, seen)
		if err != nil {
			return err
		}
		for _, c := range changes {
			e.changed = append(e.changed, changedThing(c))
		}
	}
	slices.SortFunc(e.changed, func(a, b ChangedThing) int { return int(a.Revision - b.Revision) })
	return e
}
