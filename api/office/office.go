// Package office is what a harbor's office does: it assigns and vacates moorings, sets, moves and retires them, records what is found,
// takes back what was wrong, and answers whether a boat fits. Every use case is a plain function of values and a context; the HTTP service,
// the command and the tests call the same ones.
package office

import (
	"context"
	"fmt"
	"log/slog"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"swingroom/api/account"
	"swingroom/api/store"
	"swingroom/geo"
)

// Caution stands with every view of the map.
const Caution = "A planning aid, not for navigation. The harbormaster's permit and local codes govern."

// Options of an office.
type Options struct {
	Store *store.Store
	Log   *slog.Logger // nil: nothing is logged
}

// Office answers for every harbor of a store. Readers see one immutable snapshot and never wait for a writer. Any number of goroutines may
// use it at once.
type Office struct {
	store     *store.Store
	log       *slog.Logger
	mu        sync.RWMutex
	snapshots map[string]*Snapshot
	writers   map[string]*writer
	version   int64 // of the store's data when the snapshots were last looked at

	broadcast broadcast
	limit     searchLimit
	history   historyCache
	index     searchIndexes
}

// New makes an office that reads each harbor when it is first asked for. [Office.Refresh] reads them all.
func New(opt Options) *Office {
	o := &Office{store: opt.Store, log: opt.Log, snapshots: map[string]*Snapshot{}, writers: map[string]*writer{}, limit: newSearchLimit()}
	if o.log == nil {
		o.log = slog.New(slog.DiscardHandler)
	}
	return o
}

// Refresh takes in what has changed in the store. Harbors that have not changed keep their snapshot, and of one that has, what was worked
// out and still holds.
func (o *Office) Refresh(ctx context.Context) error {
	version, err := o.store.DataVersion(ctx)
	if err != nil {
		return err
	}
	infos, err := o.store.Harbors(ctx)
	if err != nil {
		return err
	}
	next := make(map[string]*Snapshot, len(infos))
	for _, info := range infos {
		if next[info.Slug], err = o.refreshed(ctx, info); err != nil {
			return err
		}
	}
	o.mu.Lock()
	for slug, now := range o.snapshots {
		if read, ok := next[slug]; ok && now.Info.Revision > read.Info.Revision {
			next[slug] = now // an act has been shown while this was read
		}
	}
	o.snapshots, o.version = next, version
	o.mu.Unlock()
	o.broadcast.send()
	return nil
}

// refreshed is the snapshot of a harbor as it is on file.
func (o *Office) refreshed(ctx context.Context, info store.Info) (*Snapshot, error) {
	old := o.newest(info.Slug)
	if old != nil && old.Info.Revision == info.Revision && old.Field.Harbor().Day == today() {
		return old, nil
	}
	harbor, info, err := o.store.Harbor(ctx, info.Slug)
	if err != nil {
		return nil, err
	}
	harbor.Day = today()
	return newSnapshot(harbor, info, old)
}

// newest is the snapshot that readers are shown now; nil: none has been read yet.
func (o *Office) newest(slug string) *Snapshot {
	o.mu.RLock()
	defer o.mu.RUnlock()
	return o.snapshots[slug]
}

// Revision is that of the harbor as readers are shown it; false where there is no such harbor.
func (o *Office) Revision(slug string) (int64, bool) {
	s := o.newest(slug)
	if s == nil {
		return 0, false
	}
	return s.Info.Revision, true
}

// today is the day on which the record is judged.
func today() geo.Date { return geo.Date(time.Now().Format(time.DateOnly)) }

// Outdated reports whether somebody has written to the store since it was read, or a day has begun since some harbor was judged.
func (o *Office) Outdated(ctx context.Context) (bool, error) {
	version, err := o.store.DataVersion(ctx)
	if err != nil {
		return false, err
	}
	o.mu.RLock()
	defer o.mu.RUnlock()
	if version != o.version {
		return true, nil
	}
	for _, s := range o.snapshots {
		if s.Field.Harbor().Day != today() {
			return true, nil
		}
	}
	return false, nil
}

// Warm works out beforehand what takes longest to be asked for the first time: the words that are searched, and the longest boats of all
// moorings, from which remedies begin. What has been worked out is handed on from state to state.
func (o *Office) Warm(ctx context.Context) {
	o.mu.RLock()
	all := slices.Collect(maps.Values(o.snapshots))
	o.mu.RUnlock()
	for _, s := range all {
		o.index.of(s.Info.Slug, s.Field.Harbor())
		_, _ = s.Lengths.All(ctx, nil) // stopped, it has kept what it has
	}
}

// NextChange is closed when some harbor changes the next time.
func (o *Office) NextChange() <-chan struct{} { return o.broadcast.next() }

// Harbor is the harbor of a short name as somebody may see it; an empty name takes the only one. A name with @ and a day or a time, such as
// tarrowick@2026-03-01, is the harbor as it stood then. Errors: store.ErrNoHarbor, store.ErrWhichHarbor, geo.ErrNotFound, geo.ErrInvalid
// for the time.
func (o *Office) Harbor(ctx context.Context, name string, person account.Person) (*Harbor, error) {
	slug, at, isPast := strings.Cut(name, "@")
	s, err := o.named(ctx, slug)
	if err != nil {
		return nil, err
	}
	if isPast {
		if s, err = o.past(ctx, s, at); err != nil {
			return nil, err
		}
	}
	if !person.Role.Can(account.Names) {
		if s, err = s.public(); err != nil {
			return nil, err
		}
	}
	return &Harbor{Snapshot: s, office: o, person: person}, nil
}

// named finds a harbor by its name; an empty one takes the only harbor.
func (o *Office) named(ctx context.Context, slug string) (*Snapshot, error) {
	o.mu.RLock()
	found, slugs := o.snapshots[slug], slices.Sorted(maps.Keys(o.snapshots))
	if slug == "" && len(slugs) == 1 {
		found = o.snapshots[slugs[0]]
	}
	unread := o.version == 0
	o.mu.RUnlock()
	switch {
	case found != nil:
		return found, nil
	case unread:
		return o.read(ctx, slug)
	case len(slugs) == 0:
		return nil, store.ErrNoHarbor
	case slug == "":
		return nil, fmt.Errorf("%w of %s, as in /api/harbors/NAME/check", store.ErrWhichHarbor, strings.Join(slugs, ", "))
	}
	return nil, fmt.Errorf("harbor %s: %w; there is %s", slug, geo.ErrNotFound, strings.Join(slugs, ", "))
}

// read reads one harbor of an office that has not been refreshed, and keeps it.
func (o *Office) read(ctx context.Context, slug string) (*Snapshot, error) {
	harbor, info, err := o.store.Harbor(ctx, slug)
	if err != nil {
		return nil, err
	}
	harbor.Day = today()
	s, err := newSnapshot(harbor, info, nil)
	if err != nil {
		return nil, err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.snapshots[info.Slug] = s
	return s, nil
}

// HarborOnFile is one row of the list of harbors.
type HarborOnFile struct {
	Slug     string `json:"slug"`
	Name     string `json:"name"`
	Moorings int    `json:"moorings"`
	Revision int64  `json:"revision"`
}

// Harbors are those on file, by their short names.
func (o *Office) Harbors() []HarborOnFile {
	o.mu.RLock()
	defer o.mu.RUnlock()
	all := []HarborOnFile{}
	for _, s := range o.snapshots {
		all = append(all, HarborOnFile{s.Info.Slug, s.Info.Name, s.Info.Moorings, s.Info.Revision})
	}
	slices.SortFunc(all, func(a, b HarborOnFile) int { return strings.Compare(a.Slug, b.Slug) })
	return all
}
