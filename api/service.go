// Package api serves a harbor's field as GeoJSON and JSON over HTTP, and the page that draws it.
package api

import (
	"context"
	"errors"
	"log/slog"
	"maps"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"swingroom/api/account"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/room"
)

// Options of a service.
type Options struct {
	Store *store.Store
	Log   *slog.Logger // nil: nothing is logged
	// Local: nobody but this machine reaches the address. Without accounts whoever asks from here is then the harbormaster.
	Local bool
	// Secure: the service is reached by TLS.
	Secure bool
	// BehindProxy: all requests come through a proxy that speaks TLS and writes X-Forwarded-For.
	BehindProxy bool
	// Backups are made while it serves; nil: none are. It only tells how they stand.
	Backups *store.BackupSchedule
	// Debug: the page is sent with source maps.
	Debug bool
}

// Service answers for every harbor of a store. Readers see one immutable snapshot and never wait for a writer.
type Service struct {
	store     *store.Store
	backups   *store.BackupSchedule
	log       *slog.Logger
	router    http.Handler
	mu        sync.RWMutex
	snapshots map[string]*snapshot
	version   int64 // of the store's data when the snapshots were last looked at
	static    map[string]*answer

	description *answer
	searches    searches
	gate        *account.Gate
	local       bool
	secure      bool
	behindProxy bool
	desks       map[string]*desk
	bells       bells
	heavy       heavy
	pasts       pasts
	words       wordings
	ending      chan struct{} // closed when the service stops, for answers that never end by themselves
}

// New works out the field of every harbor on file and makes the service ready to answer.
func New(opt Options) (*Service, error) {
	s := &Service{store: opt.Store, backups: opt.Backups, log: opt.Log, local: opt.Local && !opt.BehindProxy, secure: opt.Secure,
		behindProxy: opt.BehindProxy, snapshots: map[string]*snapshot{}, desks: map[string]*desk{}, ending: make(chan struct{}),
		heavy: newHeavy()}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	buildPage(opt.Debug)
	var err error
	if s.gate, err = account.NewGate(context.Background(),
		account.Options{Store: s.store, Log: s.log, Secure: s.secure || s.behindProxy}); err != nil {
		return nil, err
	}
	if s.description, err = describe(); err != nil {
		return nil, err
	}
	if err := s.Refresh(context.Background()); err != nil {
		return nil, err
	}
	if s.static, err = staticAnswers(opt.Debug); err != nil {
		return nil, err
	}
	s.router = s.newRouter()
	return s, nil
}

// Handler answers requests.
func (s *Service) Handler() http.Handler { return s.router }

// newRouter is every path of the service, from top to bottom.
func (s *Service) newRouter() http.Handler {
	r := chi.NewRouter()
	r.Use(s.outermost)
	r.NotFound(s.handle(func(q *request) error { return errNoSuchPath }))
	r.MethodNotAllowed(s.handle(func(q *request) error {
		var allowed []string
		for _, method := range []string{http.MethodGet, http.MethodHead, http.MethodPost} {
			if r.Match(chi.NewRouteContext(), method, q.r.URL.Path) {
				allowed = append(allowed, method)
			}
		}
		q.w.Header().Set("Allow", strings.Join(allowed, ", "))
		return errMethod
	}))
	for _, route := range routes() {
		h := s.admitted(route)
		for _, pattern := range route.patterns() {
			if route.acts {
				r.Post(pattern, h)
				continue
			}
			r.Get(pattern, h)
			r.Head(pattern, h)
		}
	}
	for name := range s.static {
		h := s.handle(func(q *request) error { q.write(s.static[name]); return nil })
		r.Get(name, h)
		r.Head(name, h)
	}
	return r
}

// Refresh takes in what has changed in the store. Harbors that have not changed keep their snapshot.
func (s *Service) Refresh(ctx context.Context) error {
	version, err := s.store.DataVersion(ctx)
	if err != nil {
		return err
	}
	if err := s.gate.Refresh(ctx); err != nil {
		return err
	}
	infos, err := s.store.Harbors(ctx)
	if err != nil {
		return err
	}
	next := make(map[string]*snapshot, len(infos))
	for _, info := range infos {
		if old := s.snapshot(info.Slug); old != nil && old.info.Revision == info.Revision && old.field.Harbor().Day == today() {
			next[info.Slug] = old
			continue
		}
		harbor, info, err := s.store.Harbor(ctx, info.Slug)
		if err != nil {
			return err
		}
		harbor.Day = today()
		if next[info.Slug], err = newSnapshot(harbor, info); err != nil {
			return err
		}
	}
	s.mu.Lock()
	for slug, now := range s.snapshots {
		if read, ok := next[slug]; ok && now.info.Revision > read.info.Revision {
			next[slug] = now // an act has been shown while this was read
		}
	}
	s.snapshots, s.version = next, version
	s.mu.Unlock()
	s.bells.ring()
	return nil
}

func (s *Service) snapshot(slug string) *snapshot {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return s.snapshots[slug]
}

// today is the day on which the record is judged.
func today() geo.Date { return geo.Date(time.Now().Format(time.DateOnly)) }

// stale reports whether a day has begun since some harbor was judged.
func (s *Service) stale() bool {
	s.mu.RLock()
	defer s.mu.RUnlock()
	for _, snap := range s.snapshots {
		if snap.field.Harbor().Day != today() {
			return true
		}
	}
	return false
}

// watch refreshes when anybody has written to the store, until the context ends.
func (s *Service) watch(ctx context.Context) {
	tick := time.NewTicker(refreshEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		version, err := s.store.DataVersion(ctx)
		if err == nil && (version != s.version || s.stale()) {
			err = s.Refresh(ctx)
		}
		if err != nil && ctx.Err() == nil {
			s.log.Error("the store cannot be read", "error", err)
		}
	}
}

// Serve answers on a listener until the context ends; requests under way are finished first.
func (s *Service) Serve(ctx context.Context, listener net.Listener) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	go s.watch(ctx)
	go s.warm(ctx)
	server := newServer(s.router, s.log)
	stopped := make(chan error, 1)
	go func() {
		<-ctx.Done()
		close(s.ending)
		patience, cancel := context.WithTimeout(context.Background(), stopPatience)
		defer cancel()
		stopped <- server.Shutdown(patience)
	}()
	err := server.Serve(listener)
	if !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-stopped
}

// warm works out beforehand what takes longest to be asked for the first time: the words that are searched, and the longest boats of all
// moorings, from which ways out begin. What has been worked out is handed on from state to state.
func (s *Service) warm(ctx context.Context) {
	s.mu.RLock()
	all := slices.Collect(maps.Values(s.snapshots))
	s.mu.RUnlock()
	for _, snap := range all {
		s.words.index(snap.info.Slug, snap.field.Harbor())
		snap.lengths.All(room.Control{Stop: func() bool { return ctx.Err() != nil }})
	}
}
