package api

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// errPast: an act on a harbor as it stood.
var errPast = errors.New("what has been cannot be changed")

// mostPasts is how many harbors as they stood are kept ready.
const mostPasts = 6

// pasts are harbors as they stood at some time, the last ones asked for.
type pasts struct {
	mu   sync.Mutex
	kept []past
}

type past struct {
	slug     string // with the time, as it was asked for
	revision int64  // of the harbor when it was rebuilt: what the public may see is that of now
	snap     *snapshot
}

// past is a harbor as it stood: its name is followed by @ and a day, whose end is meant, or a time.
func (s *Service) past(ctx context.Context, now *snapshot, slug, text string) (*snapshot, error) {
	at, err := geo.ParseAsOf(text)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errQuery, err)
	}
	if begun := time.Now().Format(time.DateOnly); at.After(time.Now()) && text != begun { // of today as much as there has been
		return nil, fmt.Errorf("%w: %s has not come yet", errQuery, text)
	}
	key := slug + "@" + text
	s.pasts.mu.Lock()
	defer s.pasts.mu.Unlock()
	for _, p := range s.pasts.kept {
		if p.slug == key && p.revision == now.info.Revision {
			return p.snap, nil
		}
	}
	h, err := s.store.HarborAsOf(ctx, slug, at)
	if err != nil {
		return nil, err
	}
	h.Public = now.field.Harbor().Public
	h.Day = geo.Date(at.Format(time.DateOnly))
	field, err := clearance.NewField(h)
	if err != nil {
		return nil, err
	}
	snap := snapshotOf(field, store.Info{Slug: key, Name: h.Name, Revision: now.info.Revision, Moorings: len(h.Moorings), Changed: at})
	snap.asOf = at
	s.pasts.kept = append(s.pasts.kept, past{key, now.info.Revision, snap})
	if len(s.pasts.kept) > mostPasts {
		s.pasts.kept = s.pasts.kept[1:]
	}
	return snap, nil
}

// split parts a harbor's name from the time at which it is wanted; there is none in an ordinary name.
func split(slug string) (name, at string, past bool) { return strings.Cut(slug, "@") }
