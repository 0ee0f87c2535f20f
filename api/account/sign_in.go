package account

import (
	"context"
	"errors"
	"unicode/utf8"

	"swingroom/api/store"
	"swingroom/geo"
)

// signIn finds the account of a name and a password. Whether the name is on file or not, one hash is worked out, so that the time tells
// nothing. from is the address of who tries. Errors: ErrCredentials, ErrTooManyTries.
func (g *Authenticator) signIn(ctx context.Context, name, password, from string) (a store.Account, err error) {
	a, err = g.store.AccountNamed(ctx, name)
	known := err == nil
	if err != nil && !errors.Is(err, geo.ErrNotFound) {
		return a, err
	}
	ownAddress := known && a.From == from
	if wait := g.throttle.take(store.Fold(name), from, ownAddress); wait > 0 {
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
		return a, g.refuse(ctx, name, from)
	}
	g.throttle.clear(store.Fold(name), ownAddress)
	if outdated {
		if err := g.rehash(ctx, a, password); err != nil {
			return a, err
		}
	}
	return a, g.store.SignedIn(ctx, a.ID, from)
}

// refuse keeps that a sign-in failed. The error is ErrCredentials.
func (g *Authenticator) refuse(ctx context.Context, name, from string) error {
	g.log.Warn("a sign-in failed", "address", from) // the name may be a password, typed in the wrong place
	if err := g.store.AddAttempt(ctx, name, from); err != nil {
		return err
	}
	return ErrCredentials
}

// rehash keeps a hash of a password that has just been checked, made with the parameters of now. Where none can be made the old one holds.
func (g *Authenticator) rehash(ctx context.Context, a store.Account, password string) error {
	better, err := hash(password)
	if err != nil {
		return nil
	}
	return g.store.Rehash(ctx, a.ID, a.Hash, better)
}

// check works out one hash, when there is a place.
func (g *Authenticator) check(ctx context.Context, password, kept string) (same, outdated bool, err error) {
	select {
	case g.hashing <- struct{}{}:
		defer func() { <-g.hashing }()
	case <-ctx.Done():
		return false, false, ctx.Err()
	}
	if len(password) > maxPassword*utf8.UTFMax {
		password = "" // no account has such a long one; the time is that of any other
	}
	return g.compare(password, kept)
}
