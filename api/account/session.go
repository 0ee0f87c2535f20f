package account

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"swingroom/api/store"
	"swingroom/geo"
)

// Names of the cookie. The prefix makes a browser take it only by TLS, for this host alone and for all of its paths (RFC 6265bis, section
// 4.1.3.2).
const (
	cookieName       = "swingroom"
	secureCookieName = "__Host-" + cookieName
)

// What a session holds.
const (
	sessionAccount  = "account"
	sessionPassword = "password_ms" // when the password was set with which it was begun
)

func newSessions(kept store.Sessions, opt Options) *scs.SessionManager {
	m := scs.New()
	m.Store, m.Codec = kept, codec{}
	m.IdleTimeout, m.Lifetime = opt.Idle, opt.Lifetime
	m.Cookie = scs.SessionCookie{Name: cookieName, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: opt.Secure}
	if opt.Secure {
		m.Cookie.Name = secureCookieName
	}
	return m
}

// codec keeps a session as JSON that the store can look into.
type codec struct{}

type sessionRecord struct {
	Account    int64     `json:"account"`
	PasswordMS int64     `json:"password_ms"`
	Deadline   time.Time `json:"deadline"`
}

func (codec) Encode(deadline time.Time, values map[string]any) ([]byte, error) {
	account, _ := values[sessionAccount].(int64)
	passwordMS, _ := values[sessionPassword].(int64)
	return json.Marshal(sessionRecord{account, passwordMS, deadline})
}

func (codec) Decode(data []byte) (time.Time, map[string]any, error) {
	var r sessionRecord
	err := json.Unmarshal(data, &r)
	return r.Deadline, map[string]any{sessionAccount: r.Account, sessionPassword: r.PasswordMS}, err
}

// SignIn begins a session for the account of a name and a password, under a new token: whatever the browser came with is no part of it.
// Errors: ErrCredentials, ErrTooManyTries.
func (g *Authenticator) SignIn(w http.ResponseWriter, r *http.Request, name, password, from string) (Person, error) {
	a, err := g.signIn(r.Context(), name, password, from)
	if err != nil {
		return Person{}, err
	}
	return g.begin(w, r, a)
}

// begin ends the session that a request comes with, and begins one for an account.
func (g *Authenticator) begin(w http.ResponseWriter, r *http.Request, a store.Account) (Person, error) {
	ctx, err := g.load(r)
	if err != nil {
		return Person{}, err
	}
	if err := g.sessions.RenewToken(ctx); err != nil {
		return Person{}, err
	}
	g.sessions.Put(ctx, sessionAccount, a.ID)
	g.sessions.Put(ctx, sessionPassword, a.PasswordSet.UnixMilli())
	token, expires, err := g.sessions.Commit(ctx)
	if err != nil {
		return Person{}, err
	}
	g.sessions.WriteSessionCookie(ctx, w, token, expires)
	return personOf(a), nil
}

// load finds the session of a request's cookie; without one, or with one that is not on file, it is an empty session without a token.
func (g *Authenticator) load(r *http.Request) (context.Context, error) {
	token := ""
	if cookie, err := r.Cookie(g.sessions.Cookie.Name); err == nil {
		token = cookie.Value
	}
	return g.sessions.Load(r.Context(), token)
}

// InSession finds who asks by the request's cookie. keep moves the end of the session on, for what somebody has done; nil where there is no
// session, or it has ended.
func (g *Authenticator) InSession(r *http.Request) (p Person, keep func() error, err error) {
	if _, err := r.Cookie(g.sessions.Cookie.Name); err != nil {
		return p, nil, nil
	}
	ctx, err := g.load(r)
	if err != nil {
		return p, nil, err
	}
	a, valid, err := g.accountIn(ctx)
	if err != nil || !valid {
		return p, nil, err
	}
	expires := time.Now().Add(g.idle)
	if deadline := g.sessions.Deadline(ctx); deadline.Before(expires) {
		expires = deadline
	}
	return personOf(a), func() error { return g.kept.Touch(ctx, g.sessions.Token(ctx), expires) }, nil
}

// accountIn finds the account of a loaded session; valid is false where there is none, or the session may not go on.
func (g *Authenticator) accountIn(ctx context.Context) (a store.Account, valid bool, err error) {
	id, _ := g.sessions.Get(ctx, sessionAccount).(int64)
	if id == 0 {
		return a, false, nil
	}
	a, err = g.store.Account(ctx, id)
	if errors.Is(err, geo.ErrNotFound) {
		return a, false, nil
	}
	// A session that was begun while the password was being changed is of the old one.
	began, _ := g.sessions.Get(ctx, sessionPassword).(int64)
	return a, err == nil && !a.Disabled && began == a.PasswordSet.UnixMilli(), err
}

// SignOut ends the session of a request.
func (g *Authenticator) SignOut(w http.ResponseWriter, r *http.Request) error {
	ctx, err := g.load(r)
	if err != nil {
		return err
	}
	if err := g.sessions.Destroy(ctx); err != nil {
		return err
	}
	g.sessions.WriteSessionCookie(ctx, w, "", time.Time{})
	return nil
}

// ChangeOwnPassword gives somebody who shows the old password another one. All sessions of the account end; the one that asked goes on
// under a new token. Errors: ErrCredentials, ErrTooManyTries, ErrPassword.
func (g *Authenticator) ChangeOwnPassword(w http.ResponseWriter, r *http.Request, p Person, old, password, from string) error {
	if err := g.ChangePassword(r.Context(), p, old, password, from); err != nil {
		return err
	}
	a, err := g.store.Account(r.Context(), p.id)
	if err != nil {
		return err
	}
	_, err = g.begin(w, r, a)
	return err
}

func personOf(a store.Account) Person { return Person{Name: a.Name, Role: Role(a.Role), id: a.ID} }
