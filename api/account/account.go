package account

import (
	"context"

	"swingroom/api/store"
)

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
	kept, err := newHash(name, password)
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
	kept, err := newHash(a.Name, password)
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
