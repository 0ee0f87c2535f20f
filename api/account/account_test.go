package account_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/alexedwards/argon2id"

	"swingroom/api/account"
	"swingroom/api/store"
)

var ctx = context.Background()

const (
	wardens = "kelp otter lantern" // passwords of the invented accounts
	crews   = "grey heron at dusk"
)

// clock is one that a test moves.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time { c.mu.Lock(); defer c.mu.Unlock(); return c.at }
func (c *clock) move(d time.Duration) {
	c.mu.Lock()
	c.at = c.at.Add(d)
	c.mu.Unlock()
}

// newAuthenticator has a harbormaster "Quay Warden" and a crew "Zoë".
func newAuthenticator(t testing.TB, opt account.Options) (*account.Authenticator, *store.Store) {
	t.Helper()
	return newAuthenticatorAt(t, filepath.Join(t.TempDir(), "h.db"), opt)
}

func newAuthenticatorAt(t testing.TB, path string, opt account.Options) (*account.Authenticator, *store.Store) {
	t.Helper()
	db, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	opt.Store = db
	g, err := account.NewAuthenticator(ctx, opt)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range [][3]string{{"Quay Warden", "harbormaster", wardens}, {"Zoë", "crew", crews}} {
		if _, err := g.Add(ctx, a[0], a[1], a[2]); err != nil {
			t.Fatal(err)
		}
	}
	return g, db
}

// signIn gives the cookie of a new session.
func signIn(g *account.Authenticator, name, password, from string, old ...*http.Cookie) (*http.Cookie, error) {
	w, r := httptest.NewRecorder(), httptest.NewRequest("POST", "/", nil)
	for _, c := range old {
		r.AddCookie(c)
	}
	if _, err := g.SignIn(w, r, name, password, from); err != nil {
		return nil, err
	}
	return w.Result().Cookies()[0], nil
}

func who(t testing.TB, g *account.Authenticator, c *http.Cookie) (account.Person, bool) {
	t.Helper()
	r := httptest.NewRequest("GET", "/", nil)
	r.AddCookie(c)
	p, keep, err := g.InSession(r)
	if err != nil {
		t.Fatal(err)
	}
	if keep == nil {
		return p, false
	}
	if err := keep(); err != nil {
		t.Fatal(err)
	}
	return p, true
}

func TestThePasswordIsKeptAsArgon2idWithItsParameters(t *testing.T) {
	_, db := newAuthenticator(t, account.Options{})
	hashes := map[string]bool{}
	for _, name := range []string{"quay warden", "zoe"} {
		a, err := db.AccountNamed(ctx, name)
		if err != nil {
			t.Fatal(err)
		}
		p, salt, key, err := argon2id.DecodeHash(a.Hash)
		// OWASP's Password Storage Cheat Sheet: at least 19 MiB, two passes, one lane. RFC 9106, section 4: 16 bytes of salt.
		if err != nil || p.Memory < 19*1024 || p.Iterations < 2 || p.Parallelism != 1 || len(salt) < 16 || len(key) < 32 {
			t.Errorf("%v: %+v, salt of %d bytes, key of %d", err, p, len(salt), len(key))
		}
		hashes[string(salt)] = true
	}
	if len(hashes) != 2 {
		t.Error("two accounts have the same salt")
	}
}

func TestNameAndPasswordHaveToBelongTogether(t *testing.T) {
	g, db := newAuthenticator(t, account.Options{})
	if err := g.SetDisabled(ctx, "zoe", true); err != nil {
		t.Fatal(err)
	}
	for i, c := range []struct {
		name, password string
		want           error
	}{
		{"Quay Warden", wardens, nil},
		{" quay  WARDEN ", wardens, nil},
		{"Ｑｕａｙ　Ｗａｒｄｅｎ", wardens, nil},
		{"Quay Warden", crews, account.ErrCredentials},
		{"Quay Warden", "", account.ErrCredentials},
		{"Quay Warden", wardens + " ", account.ErrCredentials}, // nothing is cut off
		{"Quay Warden", strings.Repeat("x", 60000), account.ErrCredentials},
		{"Zoë", crews, account.ErrCredentials}, // disabled
		{"nobody", wardens, account.ErrCredentials},
		{"", "", account.ErrCredentials},
		{"' OR 1=1 --", "x", account.ErrCredentials},
	} {
		if _, err := signIn(g, c.name, c.password, fmt.Sprintf("192.0.2.%d", i)); !errors.Is(err, c.want) && (err != nil || c.want != nil) {
			t.Errorf("%q with %.20q: %v; want %v", c.name, c.password, err, c.want)
		}
	}
	failed, err := db.Attempts(ctx, 100)
	if err != nil || len(failed) != 8 {
		t.Errorf("%v: %d failures are on record", err, len(failed))
	}
	a, err := db.AccountNamed(ctx, "quay warden")
	if err != nil || a.From != "192.0.2.2" || time.Since(a.SignedIn) > time.Minute {
		t.Errorf("%v: %+v", err, a)
	}
}

// A hash is worked out with the same parameters whether the name is on file, disabled or unknown; and only one.
func TestAnUnknownNameCostsOneHashAsAnyOther(t *testing.T) {
	g, _ := newAuthenticator(t, account.Options{})
	if err := g.SetDisabled(ctx, "zoe", true); err != nil {
		t.Fatal(err)
	}
	var kept []string
	g.SetCompare(func(password, hash string) (bool, bool, error) {
		kept = append(kept, hash)
		return account.Compare(password, hash)
	})
	for _, name := range []string{"quay warden", "zoe", "nobody", ""} {
		if _, err := signIn(g, name, "not the password", "192.0.2.1"); err == nil || err.Error() != account.ErrCredentials.Error() {
			t.Errorf("%q: %v", name, err)
		}
	}
	if len(kept) != 4 || kept[0] == kept[1] || kept[2] != kept[3] {
		t.Fatalf("hashes against %v", kept)
	}
	want, _, _, err := argon2id.DecodeHash(kept[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, hash := range kept {
		if p, _, _, err := argon2id.DecodeHash(hash); err != nil || *p != *want {
			t.Errorf("%v: worked out with %+v and %+v", err, p, want)
		}
	}
}

func TestAHashOfOtherParametersIsMadeAnewAtSignIn(t *testing.T) {
	g, db := newAuthenticator(t, account.Options{})
	old, err := argon2id.CreateHash(crews, &argon2id.Params{Memory: 8 * 1024, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32})
	if err != nil {
		t.Fatal(err)
	}
	if err := db.SetPassword(ctx, 2, old); err != nil {
		t.Fatal(err)
	}
	cookie, err := signIn(g, "zoe", crews, "192.0.2.1")
	if err != nil {
		t.Fatal(err)
	}
	a, err := db.Account(ctx, 2)
	if err != nil || a.Hash == old || !strings.Contains(a.Hash, "m=19456,t=2,p=1") {
		t.Errorf("%v: %s", err, a.Hash)
	}
	if _, ok := who(t, g, cookie); !ok {
		t.Error("the session has ended by it")
	}
}

func TestAPasswordTypedDecomposedIsTheSame(t *testing.T) {
	g, _ := newAuthenticator(t, account.Options{})
	if err := g.SetPassword(ctx, "zoe", "h\u00e9ron gris \u00e0 l'aube"); err != nil {
		t.Fatal(err)
	}
	if _, err := signIn(g, "zoe", "he\u0301ron gris a\u0300 l'aube", "192.0.2.1"); err != nil {
		t.Error(err)
	}
}

func TestNamesOfAnyScriptAreTakenAndHiddenCharactersAreNot(t *testing.T) {
	g, _ := newAuthenticator(t, account.Options{})
	for _, name := range []string{"Øyvind Åse", "山本船長", "حارس الميناء", "Капитан 2", "कप्तान", "O'Hara-Smith", "می\u200cخواهم", "🚤 9"} {
		if _, err := g.Add(ctx, name, "crew", "a tide of its own 5"); err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		if _, err := signIn(g, name, "a tide of its own 5", "192.0.2.1"); err != nil {
			t.Errorf("%q cannot sign in: %v", name, err)
		}
	}
	for _, name := range []string{"", "  ", "---", "a\x00b", "a\u202eb", "\xff", strings.Repeat("x", 65)} {
		if _, err := g.Add(ctx, name, "crew", "a tide of its own 5"); !errors.Is(err, account.ErrName) {
			t.Errorf("%q: %v", name, err)
		}
	}
	if a, err := g.Add(ctx, " Ann \n Bee ", "Crew", "a tide of its own 5"); err != nil || a.Name != "Ann Bee" {
		t.Errorf("%v: %q", err, a.Name)
	}
	if _, err := g.Add(ctx, "Cee", "public", "a tide of its own 5"); !errors.Is(err, account.ErrRole) {
		t.Errorf("role public: %v", err)
	}
}

func TestSessionsEndIdleAndInAnyCase(t *testing.T) {
	for _, c := range []struct {
		name           string
		idle, lifetime time.Duration
		pause          time.Duration
		want           bool
	}{
		{"in use", time.Minute, time.Minute, 0, true},
		{"idle", 150 * time.Millisecond, time.Minute, 300 * time.Millisecond, false},
		{"too old", time.Minute, 150 * time.Millisecond, 300 * time.Millisecond, false},
	} {
		g, _ := newAuthenticator(t, account.Options{Idle: c.idle, Lifetime: c.lifetime})
		cookie, err := signIn(g, "zoe", crews, "192.0.2.1")
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(c.pause)
		if _, ok := who(t, g, cookie); ok != c.want {
			t.Errorf("%s: in session %v", c.name, ok)
		}
	}
}

func TestASessionIsRenewedAtSignInAndEndsAtSignOut(t *testing.T) {
	g, _ := newAuthenticator(t, account.Options{})
	planted := &http.Cookie{Name: "swingroom", Value: "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"}
	first, err := signIn(g, "zoe", crews, "192.0.2.1", planted)
	if err != nil || first.Value == planted.Value {
		t.Fatalf("%v: the token that the browser came with is that of the session", err)
	}
	if _, ok := who(t, g, planted); ok {
		t.Error("the planted token is in session")
	}
	second, err := signIn(g, "quay warden", wardens, "192.0.2.1", first)
	if err != nil || second.Value == first.Value {
		t.Fatalf("%v: the token stays", err)
	}
	if _, ok := who(t, g, first); ok {
		t.Error("the session before goes on")
	}
	if p, ok := who(t, g, second); !ok || p.Name != "Quay Warden" || p.Role != account.Harbormaster {
		t.Errorf("%v %+v", ok, p)
	}
	w, r := httptest.NewRecorder(), httptest.NewRequest("POST", "/", nil)
	r.AddCookie(second)
	if err := g.SignOut(w, r); err != nil {
		t.Fatal(err)
	}
	if _, ok := who(t, g, second); ok {
		t.Error("it goes on after the sign-out")
	}
	if c := w.Result().Cookies()[0]; c.Value != "" || c.MaxAge >= 0 {
		t.Errorf("the browser keeps %v", c)
	}
}

func TestASessionBegunWithAPasswordThatWasReplacedMeanwhileDoesNotHold(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	g, _ := newAuthenticatorAt(t, path, account.Options{})
	cookie, err := signIn(g, "zoe", crews, "192.0.2.1")
	if err != nil {
		t.Fatal(err)
	}
	file, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if _, err := file.Exec("UPDATE account SET password_ms = password_ms + 1 WHERE id = 2"); err != nil {
		t.Fatal(err)
	}
	if _, ok := who(t, g, cookie); ok {
		t.Error("it holds")
	}
}

func TestTokensAreRandomAndOfALimitedLife(t *testing.T) {
	g, _ := newAuthenticator(t, account.Options{})
	day := func(d int) string { return time.Now().UTC().AddDate(0, 0, d).Format(time.DateOnly) }
	seen := map[string]bool{}
	for i := range 50 {
		secret, err := g.MakeToken(ctx, fmt.Sprint("script ", i), "crew", day(0), "Quay Warden")
		if err != nil || seen[secret] || len(secret) < 40 {
			t.Fatalf("%v: %q", err, secret)
		}
		seen[secret] = true
		if p, err := g.ByToken(ctx, secret); err != nil || p.Role != account.Crew || !p.ByToken || p.Name != fmt.Sprint("script ", i) {
			t.Fatalf("%v: %+v", err, p)
		}
	}
	for _, c := range []struct {
		name, role, expires string
		want                error
	}{
		{"a", "crew", day(-1), account.ErrExpiry},
		{"a", "crew", day(800), account.ErrExpiry},
		{"a", "crew", "31/03/2027", account.ErrExpiry},
		{"a", "crew", "", account.ErrExpiry},
		{"a", "admiral", day(5), account.ErrRole},
		{"", "crew", day(5), account.ErrName},
		{"SCRIPT 1", "crew", day(5), store.ErrTaken},
		{"zoe", "crew", day(5), store.ErrTaken},
	} {
		if _, err := g.MakeToken(ctx, c.name, c.role, c.expires, "x"); !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if _, err := g.ByToken(ctx, "swingroom_guess"); !errors.Is(err, account.ErrToken) {
		t.Errorf("a guess: %v", err)
	}
}

func TestEachRoleMayWhatThoseBeforeItMay(t *testing.T) {
	order := append([]account.Role{account.Public}, account.AssignableRoles()...)
	for i, a := range order {
		for j, b := range order {
			if a.Has(b) != (i >= j) {
				t.Errorf("%s has what is for %s: %v", a, b, a.Has(b))
			}
		}
		if i > 0 && len(a.Permissions()) <= len(order[i-1].Permissions()) {
			t.Errorf("%s may no more than %s", a, order[i-1])
		}
	}
	for _, none := range []account.Role{"", "admiral"} {
		if none.Has(account.Public) || account.Harbormaster.Has(none) || len(none.Permissions()) > 0 {
			t.Errorf("a role %q that there is not", none)
		}
	}
	if account.Crew.Can(account.Accounts) || !account.Harbormaster.Can(account.Accounts) || account.Public.Can(account.Names) {
		t.Error("who may what")
	}
}
