package account

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"

	"swingroom/api/store"
	"swingroom/geo"
)

// Kinds of error of somebody who wants in.
var (
	// ErrCredentials: name and password do not belong together. It is the same for a name that is not on file and for an account that is
	// disabled.
	ErrCredentials = errors.New("name and password do not belong together")
	// ErrTooManyTries: there were too many tries; a *TooManyTriesError says how long to wait.
	ErrTooManyTries = errors.New("too many tries")
	// ErrToken: a token that is not on file, has expired or was revoked.
	ErrToken = errors.New("the token is not known, has expired or was revoked")
)

// Options of a gate.
type Options struct {
	Store *store.Store
	Log   *slog.Logger // nil: nothing is logged
	// Secure: browsers reach the service by TLS, so the cookie is for that alone.
	Secure bool
	// Idle and Lifetime are how long a session lasts unused and at most; those of this package unless given.
	Idle, Lifetime time.Duration
	// Now is the clock of the delays; time.Now unless given.
	Now func() time.Time
}

// How long a session lasts. OWASP ASVS 4.0.3, item 3.3.2, asks for 30 days at most on level 1; a crew's day is over sooner.
const (
	IdleTime = 12 * time.Hour
	Lifetime = 14 * 24 * time.Hour
)

// Authenticator lets people in. Any number of goroutines may use it.
type Authenticator struct {
	store    *store.Store
	log      *slog.Logger
	sessions *scs.SessionManager
	kept     store.Sessions
	idle     time.Duration
	pace     *pace
	busy     chan struct{} // one place a hash that is worked out: each takes 19 MiB
	decoy    string        // a hash that no password has, for names that are not on file
	compare  func(password, kept string) (same, outdated bool, err error)
	accounts atomic.Bool
}

// NewAuthenticator makes a gate for the accounts of a store.
func NewAuthenticator(ctx context.Context, opt Options) (*Authenticator, error) {
	g := &Authenticator{store: opt.Store, log: opt.Log, kept: opt.Store.Sessions(), idle: opt.Idle,
		busy: make(chan struct{}, max(2, runtime.NumCPU())), compare: compare}
	if g.log == nil {
		g.log = slog.New(slog.DiscardHandler)
	}
	if g.idle == 0 {
		g.idle = IdleTime
	}
	if opt.Now == nil {
		opt.Now = time.Now
	}
	g.pace = newPace(opt.Now)
	g.sessions = newSessions(g.kept, opt)
	var err error
	if g.decoy, err = hash(newSecret()); err != nil {
		return nil, err
	}
	return g, g.Refresh(ctx)
}

// Refresh looks whether there are accounts; another program may have made the first.
func (g *Authenticator) Refresh(ctx context.Context) error {
	some, _, err := g.store.HasAccounts(ctx)
	if err == nil {
		g.accounts.Store(some)
	}
	return err
}

// HasAccounts tells whether anybody can sign in here.
func (g *Authenticator) HasAccounts() bool { return g.accounts.Load() }

// TooManyTriesError says how long to wait. Its kind is ErrTooManyTries.
type TooManyTriesError struct{ Wait time.Duration }

func (e *TooManyTriesError) Error() string {
	return fmt.Sprintf("too many tries from here or for this name; wait %s, then try again", e.Wait.Round(time.Second))
}
func (e *TooManyTriesError) Unwrap() error { return ErrTooManyTries }

// signIn finds the account of a name and a password. Whether the name is on file or not, one hash is worked out, so that the time tells
// nothing. from is the address of who tries. Errors: ErrCredentials, ErrTooManyTries.
func (g *Authenticator) signIn(ctx context.Context, name, password, from string) (a store.Account, err error) {
	a, err = g.store.AccountNamed(ctx, name)
	known := err == nil
	if err != nil && !errors.Is(err, geo.ErrNotFound) {
		return a, err
	}
	if wait := g.pace.take(store.Fold(name), from, known && a.From == from); wait > 0 {
		return a, &TooManyTriesError{wait}
	}
	kept := g.decoy
	if known {
		kept = a.Hash
	}
	same, outdated, err := g.check(ctx, password, kept)
	if err != nil {
		return a, err
	}
	if !same || !known || a.Disabled {
		g.log.Warn("a sign-in failed", "address", from) // the name may be a password, typed in the wrong place
		if err := g.store.AddAttempt(ctx, name, from); err != nil {
			return a, err
		}
		return a, ErrCredentials
	}
	g.pace.clear(store.Fold(name), a.From == from)
	if outdated {
		if better, err := hash(password); err == nil {
			if err := g.store.Rehash(ctx, a.ID, kept, better); err != nil {
				return a, err
			}
		}
	}
	return a, g.store.SignedIn(ctx, a.ID, from)
}

// check works out one hash, in its turn.
func (g *Authenticator) check(ctx context.Context, password, kept string) (same, outdated bool, err error) {
	select {
	case g.busy <- struct{}{}:
		defer func() { <-g.busy }()
	case <-ctx.Done():
		return false, false, ctx.Err()
	}
	if len(password) > mostPassword*maxRuneBytes {
		password = "" // no account has such a long one; the time is that of any other
	}
	return g.compare(password, kept)
}

// maxRuneBytes is how long a sign can be in UTF-8.
const maxRuneBytes = 4

// Add makes an account. Errors: ErrName, ErrRole, ErrPassword, store.ErrTaken, store.ErrLastHarbormaster where the first is no
// harbormaster.
func (g *Authenticator) Add(ctx context.Context, name, role, password string) (store.Account, error) {
	name, err := cleanName(name)
	if err != nil {
		return store.Account{}, err
	}
	r, err := ParseRole(role)
	if err != nil {
		return store.Account{}, err
	}
	if err := CheckPassword(name, password); err != nil {
		return store.Account{}, err
	}
	kept, err := hash(password)
	if err != nil {
		return store.Account{}, err
	}
	if err := g.store.AddAccount(ctx, store.Account{Name: name, Role: string(r), Hash: kept}); err != nil {
		return store.Account{}, err
	}
	g.accounts.Store(true)
	return g.store.AccountNamed(ctx, name)
}

// SetPassword gives an account another password and ends its sessions. Errors: ErrPassword, geo.ErrNotFound.
func (g *Authenticator) SetPassword(ctx context.Context, name, password string) error {
	a, err := g.store.AccountNamed(ctx, name)
	if err != nil {
		return err
	}
	if err := CheckPassword(a.Name, password); err != nil {
		return err
	}
	kept, err := hash(password)
	if err != nil {
		return err
	}
	return g.store.SetPassword(ctx, a.ID, kept)
}

// ChangePassword gives somebody another password who shows the old one. Errors: ErrCredentials, ErrTooManyTries, ErrPassword.
func (g *Authenticator) ChangePassword(ctx context.Context, p Person, old, password, from string) error {
	if _, err := g.signIn(ctx, p.Name, old, from); err != nil {
		return err
	}
	return g.SetPassword(ctx, p.Name, password)
}

// SetRole gives an account another role and ends its sessions. Errors: ErrRole, geo.ErrNotFound, store.ErrLastHarbormaster.
func (g *Authenticator) SetRole(ctx context.Context, name, role string) error {
	r, err := ParseRole(role)
	if err != nil {
		return err
	}
	a, err := g.store.AccountNamed(ctx, name)
	if err != nil {
		return err
	}
	return g.store.SetRole(ctx, a.ID, string(r))
}

// SetDisabled keeps an account from signing in, and ends its sessions, or lets it again. Errors: geo.ErrNotFound,
// store.ErrLastHarbormaster.
func (g *Authenticator) SetDisabled(ctx context.Context, name string, disabled bool) error {
	a, err := g.store.AccountNamed(ctx, name)
	if err != nil || a.Disabled == disabled {
		return err
	}
	if disabled {
		return g.store.Disable(ctx, a.ID)
	}
	return g.store.Enable(ctx, a.ID)
}
