package api

import (
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

var (
	signInParams   = []param{{name: "name", doc: "Name of the account."}, {name: "password", doc: "Its password."}}
	passwordParams = []param{{name: "old", doc: "The password that holds now."},
		{name: "new", doc: "The one that is to hold: 12 to 128 characters of any kind."}}
	accountParams = []param{{name: "name", doc: "Name of the account; with role and password a new one is made where there is none."},
		{name: "role", doc: "crew, yard or harbormaster."},
		{name: "password", doc: "Another password."}, {name: "disabled", doc: "true keeps it from signing in, false lets it again."}}
	tokenParams = []param{{name: "name", doc: "Name of the token; it stands in the history as who did it."},
		{name: "role", doc: "crew, yard or harbormaster."},
		{name: "expires", doc: "The last day on which it holds, as 2027-03-31 (UTC)."},
		{name: "revoke", doc: "true ends the token of that name."}}
)

// mostFailed is how many failed sign-ins are shown.
const mostFailed = 500

func (q *request) meOf(p account.Person) Me {
	return Me{Name: p.Name, Role: p.Role, Accounts: q.service.gate.HasAccounts(), May: p.Role.Permissions()}
}

func (q *request) me() error { return q.writeJSON(q.meOf(q.person())) }

// signIn begins a session.
func (q *request) signIn() error {
	p, err := q.service.gate.SignIn(q.w, q.r, q.query.Get("name"), q.query.Get("password"), q.address())
	if err != nil {
		return q.slowed(err)
	}
	q.asks = p
	return q.writeJSON(q.meOf(p))
}

// slowed tells a client how long to wait, where that is what is wrong.
func (q *request) slowed(err error) error {
	var slow *account.TooManyTriesError
	if errors.As(err, &slow) {
		q.w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(slow.Wait.Seconds()))))
	}
	return err
}

// signOut ends the session; the browser drops what it has kept of the answers.
func (q *request) signOut() error {
	if err := q.service.gate.SignOut(q.w, q.r); err != nil {
		return err
	}
	q.w.Header().Set("Clear-Site-Data", `"cache"`)
	q.w.WriteHeader(http.StatusNoContent)
	return nil
}

// setOwnPassword gives who asks another password.
func (q *request) setOwnPassword() error {
	p := q.person()
	if !p.SignedIn() || p.ByToken {
		return fmt.Errorf("%w with a password, which a token has not", errSignIn)
	}
	err := q.service.gate.ChangeOwnPassword(q.w, q.r, p, q.query.Get("old"), q.query.Get("new"), q.address())
	if errors.Is(err, account.ErrCredentials) {
		return errOld
	}
	if err != nil {
		return q.slowed(err)
	}
	q.w.WriteHeader(http.StatusNoContent)
	return nil
}

// byHand refuses tokens: one that got into wrong hands must not make itself another, or an account.
func (q *request) byHand() error {
	if q.person().ByToken {
		return fmt.Errorf("%w: accounts and tokens are for a harbormaster who has signed in, not for a token", errMayNot)
	}
	return nil
}

// accounts lists them.
func (q *request) accounts() error {
	if err := q.byHand(); err != nil {
		return err
	}
	all, err := q.service.store.Accounts(q.r.Context())
	if err != nil {
		return err
	}
	list := AccountList{Accounts: []Account{}}
	for _, a := range all {
		list.Accounts = append(list.Accounts, Account{a.Name, account.Role(a.Role), a.Disabled, a.Created, orNever(a.SignedIn), a.From})
	}
	return q.writeJSON(list)
}

func orNever(at time.Time) *time.Time {
	if at.IsZero() {
		return nil
	}
	return &at
}

// setAccount makes an account, or changes what is given of one. Each change ends its sessions.
func (q *request) setAccount() error {
	if err := q.byHand(); err != nil {
		return err
	}
	ctx, gate := q.r.Context(), q.service.gate
	name, role, password, disabled := q.query.Get("name"), q.query.Get("role"), q.query.Get("password"), q.query.Get("disabled")
	_, err := q.service.store.AccountNamed(ctx, name)
	switch {
	case errors.Is(err, geo.ErrNotFound) && role != "" && password != "":
		_, err = gate.Add(ctx, name, role, password)
	case err != nil:
	case role == "" && password == "" && disabled == "":
		err = fmt.Errorf("%w: role, password or disabled is wanted", errBody)
	default:
		err = q.changeAccount(name, role, password, disabled)
	}
	if err != nil {
		return err
	}
	q.w.WriteHeader(http.StatusNoContent)
	return nil
}

// changeAccount changes what is given, one after another: what comes first has been done where a later one is refused.
func (q *request) changeAccount(name, role, password, disabled string) (err error) {
	ctx, gate := q.r.Context(), q.service.gate
	if password != "" {
		err = gate.SetPassword(ctx, name, password)
	}
	if err == nil && role != "" {
		err = gate.SetRole(ctx, name, role)
	}
	if err != nil || disabled == "" {
		return err
	}
	off, wrong := strconv.ParseBool(disabled)
	if wrong != nil {
		return fmt.Errorf("%w: disabled=%q; true or false is wanted", errBody, disabled)
	}
	return gate.SetDisabled(ctx, name, off)
}

// failedSignIns lists the newest.
func (q *request) failedSignIns() error {
	if err := q.byHand(); err != nil {
		return err
	}
	all, err := q.service.store.Attempts(q.r.Context(), mostFailed)
	if err != nil {
		return err
	}
	list := FailedSignIns{Failed: []FailedSignIn{}}
	for _, a := range all {
		list.Failed = append(list.Failed, FailedSignIn{a.At, a.Name, a.Address})
	}
	return q.writeJSON(list)
}

// tokens lists those that have not been revoked.
func (q *request) tokens() error {
	if err := q.byHand(); err != nil {
		return err
	}
	all, err := q.service.store.Tokens(q.r.Context())
	if err != nil {
		return err
	}
	list := TokenList{Tokens: []Token{}}
	for _, t := range all {
		if t.Revoked.IsZero() {
			list.Tokens = append(list.Tokens, Token{t.Name, account.Role(t.Role), t.Created, t.CreatedBy, t.Expires, orNever(t.Used)})
		}
	}
	return q.writeJSON(list)
}

// setToken makes a token, or revokes one.
func (q *request) setToken() error {
	if err := q.byHand(); err != nil {
		return err
	}
	ctx, name := q.r.Context(), q.query.Get("name")
	if strings.EqualFold(q.query.Get("revoke"), "true") {
		if err := q.service.store.RevokeToken(ctx, name); err != nil {
			return err
		}
		q.w.WriteHeader(http.StatusNoContent)
		return nil
	}
	secret, err := q.service.gate.MakeToken(ctx, name, q.query.Get("role"), q.query.Get("expires"), q.person().Name)
	if err != nil {
		return err
	}
	return q.writeJSON(Secret{strings.TrimSpace(name), secret})
}
