package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
)

// accounts opens a store with a harbormaster of that name, and gives its path.
func accounts(t testing.TB, name string) (*store.Store, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "h.db")
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	if err := s.AddAccount(ctx, store.Account{Name: name, Role: store.Harbormaster, Hash: "x"}); err != nil {
		t.Fatal(err)
	}
	return s, path
}

func TestNamesThatLookAlikeAreOneName(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"Quay Warden", "quay  warden", true},
		{"Zoë", "ZOE", true},
		{"Ｑｕａｙ", "quay", true}, // full width
		{"Straße", "STRASSE", true},
		{"Øyvind", "øyvind", true},
		{"Βάρκα", "βαρκα", true},
		{"Лодка", "лодка", true},
		{"qu\u200bay", "quay", true}, // a space of no width
		{"مركب", "مَرْكَب", true},    // with and without vowel marks
		{"かき", "がき", false},
		{"कम", "कुम", false}, // a vowel sign is part of the letter
		{"船頭", "船长", false},
		{"quay", "quays", false},
	} {
		if got := store.Fold(c.a) == store.Fold(c.b); got != c.same {
			t.Errorf("%q and %q: alike %v; %q, %q", c.a, c.b, got, store.Fold(c.a), store.Fold(c.b))
		}
	}
}

func TestANameIsGivenOnce(t *testing.T) {
	s, _ := accounts(t, "Zoë")
	if err := s.AddAccount(ctx, store.Account{Name: "ZOE", Role: "crew", Hash: "y"}); !errors.Is(err, store.ErrTaken) {
		t.Errorf("the same name again: %v", err)
	}
	if err := s.AddToken(ctx, store.Token{Name: "zoe", Role: "crew", Expires: time.Now().Add(time.Hour)}, "s"); !errors.Is(err,
		store.ErrTaken) {
		t.Errorf("a token of an account's name: %v", err)
	}
	a, err := s.AccountNamed(ctx, "ＺＯＥ")
	if err != nil || a.Name != "Zoë" || a.Role != store.Harbormaster || a.Disabled || !a.SignedIn.IsZero() ||
		time.Since(a.Created) > time.Minute {
		t.Errorf("%v: %+v", err, a)
	}
	if _, err := s.AccountNamed(ctx, "Zoe B"); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("a name that is not on file: %v", err)
	}
}

func TestThereIsAlwaysAHarbormaster(t *testing.T) {
	s, err := store.Open(ctx, filepath.Join(t.TempDir(), "h.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.AddAccount(ctx, store.Account{Name: "deckhand", Role: "crew", Hash: "x"}); !errors.Is(err, store.ErrLastHarbormaster) {
		t.Errorf("the first is crew: %v", err)
	}
	if some, _, err := s.HasAccounts(ctx); err != nil || some {
		t.Errorf("%v: it was made nonetheless", err)
	}
	for _, name := range []string{"one", "two"} {
		if err := s.AddAccount(ctx, store.Account{Name: name, Role: store.Harbormaster, Hash: "x"}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Disable(ctx, 1); err != nil {
		t.Fatal(err)
	}
	for what, err := range map[string]error{"disabled": s.Disable(ctx, 2), "made crew": s.SetRole(ctx, 2, "crew")} {
		if !errors.Is(err, store.ErrLastHarbormaster) {
			t.Errorf("the last is %s: %v", what, err)
		}
	}
	if a, err := s.Account(ctx, 2); err != nil || a.Disabled || a.Role != store.Harbormaster {
		t.Errorf("%v: %+v", err, a)
	}
	if err := s.Enable(ctx, 1); err != nil {
		t.Fatal(err)
	}
	if err := s.Disable(ctx, 2); err != nil {
		t.Errorf("there is another: %v", err)
	}
}

func TestEveryChangeOfAnAccountEndsItsSessionsAndNoOthers(t *testing.T) {
	for name, change := range map[string]func(*store.Store) error{
		"another password": func(s *store.Store) error { return s.SetPassword(ctx, 2, "new") },
		"another role":     func(s *store.Store) error { return s.SetRole(ctx, 2, "yard") },
		"disabled":         func(s *store.Store) error { return s.Disable(ctx, 2) },
	} {
		s, _ := accounts(t, "warden")
		if err := s.AddAccount(ctx, store.Account{Name: "deckhand", Role: "crew", Hash: "x"}); err != nil {
			t.Fatal(err)
		}
		sessions, end := s.Sessions(), time.Now().Add(time.Hour)
		for token, id := range map[string]int{"a": 1, "b": 2, "c": 2} {
			if err := sessions.CommitCtx(ctx, token, fmt.Appendf(nil, `{"account":%d}`, id), end); err != nil {
				t.Fatal(err)
			}
		}
		if err := change(s); err != nil {
			t.Fatal(err)
		}
		// What a request under way writes afterwards must not bring it back.
		if err := sessions.Touch(ctx, "b", end.Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
		for token, want := range map[string]bool{"a": true, "b": false, "c": false} {
			if _, found, err := sessions.FindCtx(ctx, token); err != nil || found != want {
				t.Errorf("%s: session %s found %v (%v)", name, token, found, err)
			}
		}
	}
}

func TestSessionsEndAndNoTokenStandsInTheFile(t *testing.T) {
	s, path := accounts(t, "warden")
	sessions := s.Sessions()
	const secret = "the-token-of-the-cookie"
	soon := time.Now().Add(time.Hour)
	commit := func(token string, at time.Time) {
		t.Helper()
		if err := sessions.Commit(token, []byte(`{"account":1}`), at); err != nil {
			t.Fatal(err)
		}
	}
	commit("expired", time.Now().Add(-time.Millisecond))
	if _, found, err := sessions.Find("expired"); err != nil || found {
		t.Errorf("one that has expired is found (%v)", err)
	}
	commit(secret, soon)
	if data, found, err := sessions.Find(secret); err != nil || !found || string(data) != `{"account":1}` {
		t.Errorf("%v: %v %s", err, found, data)
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	expires := func() (ms int64) {
		t.Helper()
		// the only one: what has expired went when another was written
		if err := db.QueryRow("SELECT expires_ms FROM session").Scan(&ms); err != nil {
			t.Fatal(err)
		}
		return ms
	}
	for _, moved := range []struct{ by, want time.Duration }{{30 * time.Second, 0}, {2 * time.Minute, 2 * time.Minute}} {
		if err := sessions.Touch(ctx, secret, soon.Add(moved.by)); err != nil {
			t.Fatal(err)
		}
		if got := expires(); got != soon.Add(moved.want).UnixMilli() {
			t.Errorf("moved by %s: the end is %d ms off", moved.by, got-soon.Add(moved.want).UnixMilli())
		}
	}
	if err := s.AddToken(ctx, store.Token{Name: "plotter", Role: "crew", Expires: soon}, secret); err != nil {
		t.Fatal(err)
	}
	for _, table := range []string{"session", "token"} {
		var text string
		if err := db.QueryRow("SELECT json_group_array(json_object('row', CAST(x AS TEXT))) FROM (SELECT " +
			map[string]string{"session": "token || data", "token": "name || sha256 || created_by"}[table] + " AS x FROM " + table +
			")").Scan(&text); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(text, secret) || len(text) < 64 {
			t.Errorf("table %s: %s", table, text)
		}
	}
	if err := sessions.Delete(secret); err != nil {
		t.Fatal(err)
	}
	if _, found, _ := sessions.Find(secret); found {
		t.Error("one that was ended is found")
	}
}

func TestTokensHoldUntilTheyExpireOrAreRevoked(t *testing.T) {
	s, _ := accounts(t, "warden")
	add := func(name, secret string, expires time.Time) {
		t.Helper()
		if err := s.AddToken(ctx, store.Token{Name: name, Role: "crew", CreatedBy: "warden", Expires: expires}, secret); err != nil {
			t.Fatal(err)
		}
	}
	add("plotter", "one", time.Now().Add(time.Hour))
	add("old", "two", time.Now().Add(-time.Second))
	add("lost", "three", time.Now().Add(time.Hour))
	if err := s.RevokeToken(ctx, "LOST"); err != nil {
		t.Fatal(err)
	}
	if err := s.RevokeToken(ctx, "lost"); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("revoked again: %v", err)
	}
	for secret, want := range map[string]bool{"one": true, "two": false, "three": false, "": false, "four": false} {
		if k, err := s.TokenOf(ctx, secret); (err == nil) != want || !want && !errors.Is(err, geo.ErrNotFound) ||
			want && k.Name != "plotter" {
			t.Errorf("%q: %v %+v", secret, err, k)
		}
	}
	add("lost", "five", time.Now().Add(time.Hour)) // a name that was revoked is free
	all, err := s.Tokens(ctx)
	if err != nil || len(all) != 4 || all[0].Name != "lost" || !all[0].Used.IsZero() || all[1].Revoked.IsZero() {
		t.Fatalf("%v: %+v", err, all)
	}
	if used := all[3]; used.Name != "plotter" || time.Since(used.Used) > time.Minute || used.CreatedBy != "warden" {
		t.Errorf("%+v", used)
	}
}

func TestFailedSignInsAreKeptCutAndNotForEver(t *testing.T) {
	s, path := accounts(t, "warden")
	if err := s.AddAttempt(ctx, strings.Repeat("é", 5000), "192.0.2.7"); err != nil {
		t.Fatal(err)
	}
	if err := s.AddAttempt(ctx, "\x1b[2Jwarden\n\xff", "2001:db8::1"); err != nil {
		t.Fatal(err)
	}
	all, err := s.Attempts(ctx, 10)
	if err != nil || len(all) != 2 || time.Since(all[0].At) > time.Minute {
		t.Fatalf("%v: %+v", err, all)
	}
	if got := all[0]; got.Name != "\ufffd[2Jwarden\ufffd\ufffd" || got.Address != "2001:db8::1" {
		t.Errorf("%+q", got)
	}
	if got := []rune(all[1].Name); len(got) != 64 || got[63] != '…' {
		t.Errorf("%d characters: %q", len(got), string(got))
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 6000) INSERT INTO attempt (at_ms, " +
		"name, address) SELECT i, 'x', 'y' FROM n"); err != nil {
		t.Fatal(err)
	}
	if err := s.AddAttempt(ctx, "last", "192.0.2.7"); err != nil {
		t.Fatal(err)
	}
	if all, err := s.Attempts(ctx, 100000); err != nil || len(all) != 5000 || all[0].Name != "last" {
		t.Errorf("%v: %d are kept", err, len(all))
	}
}

func TestSmallWritesAndSavesDoNotGetInEachOthersWay(t *testing.T) {
	s, _ := accounts(t, "warden")
	save(t, s, 0, rich())
	var wait sync.WaitGroup
	for i := range 20 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			if err := s.AddAttempt(ctx, fmt.Sprint(i), "192.0.2.7"); err != nil {
				t.Error(err)
			}
		}()
	}
	h := rich()
	h.Name = "Renamed"
	save(t, s, 1, h)
	wait.Wait()
	if all, err := s.Attempts(ctx, 100); err != nil || len(all) != 20 {
		t.Errorf("%v: %d", err, len(all))
	}
}
