package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/geo"
)

// errOld: somebody who wants another password does not know the old one.
var errOld = errors.New("the old password is not right, so it stays")

// Me is who asks, as the service knows them.
type Me struct {
	Name string       `json:"name"`
	Role account.Role `json:"role"`
	// Accounts tells whether anybody can sign in here.
	Accounts bool                 `json:"accounts"`
	May      []account.Permission `json:"may"`
}

// AccountList is every account.
type AccountList struct {
	Accounts []Account `json:"accounts"`
}

// Account is one who may sign in.
type Account struct {
	Name     string       `json:"name"`
	Role     account.Role `json:"role"`
	Disabled bool         `json:"disabled"`
	Created  time.Time    `json:"created"`
	SignedIn *time.Time   `json:"signed_in"` // last; null: never
	From     string       `json:"from"`      // the address of that
}

// FailedSignIns are the sign-ins that failed last, the newest first.
type FailedSignIns struct {
	Failed []FailedSignIn `json:"failed"`
}

// FailedSignIn is one of them.
type FailedSignIn struct {
	At   time.Time `json:"at"`
	Name string    `json:"name"` // as it was typed, cut
	From string    `json:"from"` // the address
}

// TokenList is every token that has not been revoked.
type TokenList struct {
	Tokens []Token `json:"tokens"`
}

// Token lets a script or a map in.
type Token struct {
	Name      string       `json:"name"`
	Role      account.Role `json:"role"`
	Created   time.Time    `json:"created"`
	CreatedBy string       `json:"created_by"`
	Expires   time.Time    `json:"expires"`
	LastUsed  *time.Time   `json:"last_used"` // about; null: never
}

// Secret is that of a token that has been made. It is told this once.
type Secret struct {
	Name   string `json:"name"`
	Secret string `json:"secret"`
}

// maxFailed is how many failed sign-ins are shown: some days of somebody who tries all the time.
const maxFailed = 500

func (q *request) meOf(p account.Person) Me {
	return Me{Name: p.Name, Role: p.Role, Accounts: q.service.gate.HasAccounts(), May: p.Role.Permissions()}
}

func me(q *request) error { return q.writeJSON(q.meOf(q.person)) }

// credentials are what somebody signs in with.
type credentials struct {
	Name     string `json:"name"`
	Password string `json:"password"`
}

// signIn begins a session.
func signIn(q *request, in credentials) (Me, error) {
	p, err := q.service.gate.SignIn(q.w, q.r, in.Name, in.Password, q.address())
	if err != nil {
		return Me{}, q.slowed(err)
	}
	q.person = p
	return q.meOf(p), nil
}

// slowed tells a client how long to wait, where that is what is wrong.
func (q *request) slowed(err error) error {
	var slow *account.TooManyTriesError
	if errors.As(err, &slow) {
		q.w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(slow.Wait.Seconds()))))
	}
	return err
}

// done answers an act that has nothing to tell, or with what went wrong.
func (q *request) done(err error) error {
	if err == nil {
		q.w.WriteHeader(http.StatusNoContent)
	}
	return err
}

// signOut ends the session; the browser drops what it has kept of the answers.
func signOut(q *request) error {
	if err := q.service.gate.SignOut(q.w, q.r); err != nil {
		return err
	}
	q.w.Header().Set("Clear-Site-Data", `"cache"`)
	return q.done(nil)
}

// passwords are the one that holds now and the one that is to hold.
type passwords struct {
	Old string `json:"old"`
	New string `json:"new"`
}

// setOwnPassword gives who asks another password.
func setOwnPassword(q *request, in passwords) error {
	p := q.person
	if !p.SignedIn() || p.ByToken {
		return fmt.Errorf("%w with a password, which a token has not", errSignIn)
	}
	err := q.service.gate.ChangeOwnPassword(q.w, q.r, p, in.Old, in.New, q.address())
	if errors.Is(err, account.ErrCredentials) {
		err = errOld
	}
	return q.done(q.slowed(err))
}

// byHand lets nobody do something with a token: one that got into wrong hands must not make itself another, or an account.
func byHand(h handler) handler {
	do := h.do
	h.do = func(q *request) error {
		if q.person.ByToken {
			return fmt.Errorf("%w: accounts and tokens are for a harbormaster who has signed in, not for a token", errMayNot)
		}
		return do(q)
	}
	return h
}

// accounts lists them.
func accounts(q *request, _ nothing) (AccountList, error) {
	all, err := q.service.store.Accounts(q.r.Context())
	list := AccountList{Accounts: []Account{}}
	for _, a := range all {
		list.Accounts = append(list.Accounts, Account{a.Name, account.Role(a.Role), a.Disabled, a.Created, orNever(a.SignedIn), a.From})
	}
	return list, err
}

func orNever(at time.Time) *time.Time {
	if at.IsZero() {
		return nil
	}
	return &at
}

// accountChange is what is given of an account.
type accountChange struct {
	Name     string          `json:"name"`
	Role     string          `json:"role"`
	Password string          `json:"password"`
	Disabled geo.Maybe[bool] `json:"disabled"`
}

// setAccount makes an account, or changes what is given of one. Each change ends its sessions.
func setAccount(q *request, in accountChange) error {
	ctx, gate := q.r.Context(), q.service.gate
	_, err := q.service.store.AccountNamed(ctx, in.Name)
	switch {
	case errors.Is(err, geo.ErrNotFound) && in.Role != "" && in.Password != "":
		_, err = gate.Add(ctx, in.Name, in.Role, in.Password)
	case err != nil:
	case in.Role == "" && in.Password == "" && !in.Disabled.IsKnown():
		err = fmt.Errorf("%w: role, password or disabled is expected", errBody)
	default:
		err = in.change(ctx, gate)
	}
	return q.done(err)
}

// change changes what is given, one after another: what comes first has been done where a later one is refused.
func (in *accountChange) change(ctx context.Context, gate *account.Authenticator) (err error) {
	if in.Password != "" {
		err = gate.SetPassword(ctx, in.Name, in.Password)
	}
	if err == nil && in.Role != "" {
		err = gate.SetRole(ctx, in.Name, in.Role)
	}
	if off, known := in.Disabled.Get(); err == nil && known {
		err = gate.SetDisabled(ctx, in.Name, off)
	}
	return err
}

// failedSignIns lists the newest.
func failedSignIns(q *request, _ nothing) (FailedSignIns, error) {
	all, err := q.service.store.Attempts(q.r.Context(), maxFailed)
	list := FailedSignIns{Failed: []FailedSignIn{}}
	for _, a := range all {
		list.Failed = append(list.Failed, FailedSignIn{a.At, a.Name, a.Address})
	}
	return list, err
}

// tokens lists those that have not been revoked.
func tokens(q *request, _ nothing) (TokenList, error) {
	all, err := q.service.store.Tokens(q.r.Context())
	list := TokenList{Tokens: []Token{}}
	for _, t := range all {
		if t.Revoked.IsZero() {
			list.Tokens = append(list.Tokens, Token{t.Name, account.Role(t.Role), t.Created, t.CreatedBy, t.Expires, orNever(t.Used)})
		}
	}
	return list, err
}

// tokenChange is a token that is made or revoked.
type tokenChange struct {
	Name    string `json:"name"`
	Role    string `json:"role"`
	Expires string `json:"expires"` // the last day on which it holds
	Revoke  bool   `json:"revoke"`
}

// setToken makes a token, or revokes one.
func setToken(q *request, in tokenChange) error {
	ctx := q.r.Context()
	if in.Revoke {
		return q.done(q.service.store.RevokeToken(ctx, in.Name))
	}
	secret, err := q.service.gate.MakeToken(ctx, in.Name, in.Role, in.Expires, q.person.Name)
	if err != nil {
		return err
	}
	return q.writeJSON(Secret{strings.TrimSpace(in.Name), secret})
}
