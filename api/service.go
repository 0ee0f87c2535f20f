package api

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"time"

	"swingroom/api/account"
	"swingroom/api/office"
	"swingroom/api/store"
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

// Service answers over HTTP for every harbor of a store.
type Service struct {
	office      *office.Office
	store       *store.Store
	backups     *store.BackupSchedule
	log         *slog.Logger
	router      http.Handler
	static      func() (map[string]*answer, error)
	description *answer
	searches    searches
	gate        *account.Authenticator
	local       bool
	secure      bool
	behindProxy bool
	ending      chan struct{} // closed when the service stops, for answers that never end by themselves
}

// New works out the field of every harbor on file and makes the service ready to answer.
func New(opt Options) (*Service, error) {
	if opt.Log == nil {
		opt.Log = slog.New(slog.DiscardHandler)
	}
	s := &Service{office: office.New(office.Options{Store: opt.Store, Log: opt.Log}), store: opt.Store, backups: opt.Backups, log: opt.Log,
		local: opt.Local && !opt.BehindProxy, secure: opt.Secure, behindProxy: opt.BehindProxy, ending: make(chan struct{}),
		static: buildPage(opt.Debug)}
	var err error
	s.gate, err = account.NewAuthenticator(context.Background(),
		account.Options{Store: s.store, Log: s.log, Secure: s.secure || s.behindProxy})
	if err != nil {
		return nil, err
	}
	if s.description, err = describe(); err != nil {
		return nil, err
	}
	if err := s.Refresh(context.Background()); err != nil {
		return nil, err
	}
	s.router = s.newRouter()
	return s, nil
}

// Handler answers requests.
func (s *Service) Handler() http.Handler { return s.router }

// Refresh takes in what has changed in the store. Harbors that have not changed keep their snapshot.
func (s *Service) Refresh(ctx context.Context) error {
	if err := s.gate.Refresh(ctx); err != nil {
		return err
	}
	return s.office.Refresh(ctx)
}

// watch refreshes when anybody has written to the store, or a day has begun, until the context ends.
func (s *Service) watch(ctx context.Context) {
	tick := time.NewTicker(refreshEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		outdated, err := s.office.Outdated(ctx)
		if err == nil && outdated {
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
	go s.office.Warm(ctx)
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
