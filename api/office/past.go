package office

import (
	"context"
	"fmt"
	"sync"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// maxPast is how many harbors as they stood are kept ready: a person who compares days goes back and forth between a few.
const maxPast = 6

// historyCache keeps harbors as they stood at some time, those asked for last.
type historyCache struct {
	mu   sync.Mutex
	kept []pastHarbor
}

type pastHarbor struct {
	key      string // the name with the time, as it was asked for
	revision int64  // of the harbor when it was rebuilt: what the public may see is that of now
	snapshot *Snapshot
}

// find gives what is kept under a key for a revision; nil: nothing is.
func (c *historyCache) find(key string, revision int64) *Snapshot {
	for _, p := range c.kept {
		if p.key == key && p.revision == revision {
			return p.snapshot
		}
	}
	return nil
}

// keep adds a harbor, and drops the one that was added first where there are too many.
func (c *historyCache) keep(p pastHarbor) {
	c.kept = append(c.kept, p)
	if len(c.kept) > maxPast {
		c.kept = c.kept[1:]
	}
}

// past is a harbor as it stood at the end of a day, or at a time.
func (o *Office) past(ctx context.Context, now *Snapshot, text string) (*Snapshot, error) {
	at, err := geo.ParseAsOf(text)
	if err != nil {
		return nil, err
	}
	if begun := time.Now().Format(time.DateOnly); at.After(time.Now()) && text != begun { // of today as much as there has been
		return nil, fmt.Errorf("%w: %s has not come yet", geo.ErrInvalid, text)
	}
	key := now.Slug() + "@" + text
	o.history.mu.Lock()
	defer o.history.mu.Unlock()
	if found := o.history.find(key, now.Info.Revision); found != nil {
		return found, nil
	}
	s, err := o.rebuild(ctx, now, key, at)
	if err == nil {
		o.history.keep(pastHarbor{key, now.Info.Revision, s})
	}
	return s, err
}

// rebuild works a harbor out as it stood at a time. What the public may see of it is what it may see now.
func (o *Office) rebuild(ctx context.Context, now *Snapshot, key string, at time.Time) (*Snapshot, error) {
	h, err := o.store.HarborAsOf(ctx, now.Slug(), at)
	if err != nil {
		return nil, err
	}
	h.Public = now.Field.Harbor().Public
	h.Day = geo.Date(at.Format(time.DateOnly))
	field, err := clearance.NewField(h)
	if err != nil {
		return nil, err
	}
	s := SnapshotOf(field, store.Info{Slug: key, Name: h.Name, Revision: now.Info.Revision, Moorings: len(h.Moorings), Changed: at})
	s.AsOf, s.slug = at, now.Slug()
	return s, nil
}
