package office

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

// maxTries is how often an act is tried again that met another's. Each try begins from what is on disk by then, so that even many writers
// in step with each other get through long before.
const maxTries = 20

// writer is where one harbor is changed. It holds what the harbor will be once every act that has been submitted is on disk: the next act
// is worked out from that without waiting for the disk.
type writer struct {
	mu       sync.Mutex
	harbor   *geo.Harbor // nil: it has to be read from the store
	field    *clearance.Field
	revision int64
	versions map[store.Key]int64 // at which revision each thing was last changed
}

// writer gives the writer of a harbor.
func (o *Office) writer(slug string) *writer {
	o.mu.Lock()
	defer o.mu.Unlock()
	w, ok := o.writers[slug]
	if !ok {
		w = &writer{}
		o.writers[slug] = w
	}
	return w
}

// open reads what is on file. The field is that of the snapshot where it is of the same revision.
func (w *writer) open(ctx context.Context, o *Office, slug string) error {
	if w.harbor != nil {
		return nil
	}
	for range maxTries {
		harbor, info, err := o.store.Harbor(ctx, slug)
		if err != nil {
			return err
		}
		versions, err := o.store.Versions(ctx, slug)
		if err != nil {
			return err
		}
		_, again, err := o.store.Revision(ctx, slug)
		if err != nil {
			return err
		}
		if again != info.Revision {
			continue // somebody has written between the two readings
		}
		return w.begin(o.newest(slug), harbor, info.Revision, versions)
	}
	return fmt.Errorf("%w: others keep writing", store.ErrStale)
}

// begin starts from a harbor as it is on file.
func (w *writer) begin(newest *Snapshot, harbor *geo.Harbor, revision int64, versions map[store.Key]int64) (err error) {
	var field *clearance.Field
	if newest != nil && newest.Info.Revision == revision {
		harbor, field = newest.Field.Harbor(), newest.Field
	} else {
		harbor.Day = today()
		if field, err = clearance.NewField(harbor); err != nil {
			return err
		}
	}
	w.harbor, w.field, w.revision, w.versions = harbor, field, revision, versions
	return nil
}

// pending is an act that has been submitted.
type pending struct {
	written *store.Pending
	field   *clearance.Field
}

// command is an act before it is done.
type command struct {
	precondition int64       // the revision that its author has looked at, or AnyRevision
	about        []store.Key // what it is about, whether it changes that or not
	act          store.Act
	do           func(h *geo.Harbor, f *clearance.Field) error
}

// submit works an act out on the harbor as the writer holds it and submits it to the disk. Where something that the act touches or is about
// has been changed since its author looked, it is a *ChangedError.
func (w *writer) submit(ctx context.Context, o *Office, slug string, x command) (*pending, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if err := w.open(ctx, o, slug); err != nil {
		return nil, err
	}
	if err := w.check(ctx, o, slug, x.precondition, x.about); err != nil {
		return nil, err
	}
	next := draftOf(w.harbor)
	if err := x.do(next, w.field); err != nil {
		return nil, err
	}
	written, err := o.store.Prepare(slug, w.revision, w.harbor, next, x.act)
	if err != nil {
		return nil, err
	}
	touched := written.Touched()
	if err := w.check(ctx, o, slug, x.precondition, touched); err != nil {
		return nil, err
	}
	if err := w.advance(next, touched); err != nil {
		return nil, err
	}
	written.Submit(ctx)
	return &pending{written, w.field}, nil
}

// draftOf is a copy of a harbor of which an act may change the lists.
func draftOf(h *geo.Harbor) *geo.Harbor {
	next := h.Clone()
	next.Day = today()
	return next
}

// advance takes what an act has made of the harbor as what the next one begins from.
func (w *writer) advance(next *geo.Harbor, touched []store.Key) error {
	if len(touched) == 0 {
		return nil
	}
	field, err := w.field.Next(next)
	if err != nil {
		return err
	}
	w.harbor, w.field, w.revision = next, field, w.revision+1
	for _, key := range touched {
		w.versions[key] = w.revision
	}
	return nil
}

// check refuses an act whose author has looked at an older state of some things than the one that holds: that is a *ChangedError.
func (w *writer) check(ctx context.Context, o *Office, slug string, precondition int64, things []store.Key) error {
	if precondition == AnyRevision {
		return nil
	}
	var stale []store.Key
	for _, key := range things {
		if w.versions[key] > precondition {
			stale = append(stale, key)
		}
	}
	if len(stale) == 0 {
		return nil
	}
	return o.changedSince(ctx, slug, precondition, w.revision, stale)
}

// reset forgets what the writer holds: something of it did not get to disk.
func (w *writer) reset() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.harbor, w.field, w.versions = nil, nil, nil
}

// change carries out an act: worked out, written, and shown to every reader once it is on disk. Where another program has written to the
// file meanwhile all of it is done again, with its checks.
func (o *Office) change(ctx context.Context, slug string, x command) (store.Changes, error) {
	w := o.writer(slug)
	for range maxTries {
		x.act.At = time.Now()
		p, err := w.submit(ctx, o, slug, x)
		if err != nil {
			return store.Changes{}, err
		}
		changes, err := p.written.Wait()
		if err == nil {
			o.publish(slug, changes, p.field)
			return changes, nil
		}
		w.reset()
		if !errors.Is(err, store.ErrStale) {
			return store.Changes{}, err
		}
	}
	return store.Changes{}, fmt.Errorf("%w: others keep writing", store.ErrStale)
}

// publish shows readers what an act has made of a harbor, unless they are shown something later already.
func (o *Office) publish(slug string, changes store.Changes, field *clearance.Field) {
	old := o.newest(slug)
	if old != nil && old.Info.Revision >= changes.Revision {
		return
	}
	h := field.Harbor()
	next := SnapshotOf(field, store.Info{Slug: slug, Name: h.Name, Revision: changes.Revision, Moorings: len(h.Moorings),
		Changed: time.Now()})
	next.keep(old)
	o.mu.Lock()
	if now := o.snapshots[slug]; now == nil || now.Info.Revision < changes.Revision {
		o.snapshots[slug] = next
	}
	o.mu.Unlock()
	o.broadcast.send()
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

// changedSince tells what has become of some things since a revision. What is not on disk yet cannot be told.
func (o *Office) changedSince(ctx context.Context, slug string, precondition, revision int64, stale []store.Key) error {
	e := &ChangedError{Revision: revision, Changed: []ChangedThing{}}
	for _, key := range stale {
		changes, err := o.store.Since(ctx, slug, key, precondition)
		if err != nil {
			return err
		}
		for _, c := range changes {
			e.Changed = append(e.Changed, changedThing(c))
		}
	}
	slices.SortFunc(e.Changed, func(a, b ChangedThing) int { return int(a.Revision - b.Revision) })
	return e
}
