package account

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"

	"swingroom/api/store"
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

// Options of an Authenticator.
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

// Authenticator tells who somebody is and what they may do: it knows the accounts, sessions and tokens of a store. Any number of goroutines
// may use it.
type Authenticator struct {
	store    *store.Store
	log      *slog.Logger
	sessions *scs.SessionManager
	kept     store.Sessions
	idle     time.Duration
	throttle *throttle
	hashing  chan struct{} // one place for each hash that is worked out at once: it takes 19 MiB
	decoy    string        // a hash that no password has, for names that are not on file
	compare  func(password, kept string) (same, outdated bool, err error)
	accounts atomic.Bool
}

// NewAuthenticator is for the accounts of a store.
func NewAuthenticator(ctx context.Context, opt Options) (*Authenticator, error) {
	opt = opt.withDefaults()
	kept := opt.Store.Sessions()
	g := &Authenticator{store: opt.Store, log: opt.Log, sessions: newSessions(kept, opt), kept: kept, idle: opt.Idle,
		throttle: newThrottle(opt.Now), hashing: make(chan struct{}, max(2, runtime.NumCPU())), compare: compare}
	var err error
	if g.decoy, err = hash(newSecret()); err != nil {
		return nil, err
	}
	return g, g.Refresh(ctx)
}

func (o Options) withDefaults() Options {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	o.Idle, o.Lifetime = cmp.Or(o.Idle, IdleTime), cmp.Or(o.Lifetime, Lifetime)
	return o
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
