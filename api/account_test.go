package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/account"
)

// as asks the service who it thinks somebody is.
func as(t testing.TB, s *api.Service, cookie string) (me api.Me) {
	t.Helper()
	if err := json.Unmarshal(sent(s, asked("GET", "/api/me", "", "Cookie", cookie)).Body.Bytes(), &me); err != nil {
		t.Fatal(err)
	}
	return me
}

func tries(name, password string) string {
	body, _ := json.Marshal(map[string]string{"name": name, "password": password}) // a map of texts is always JSON
	return string(body)
}

func TestSigningInTellsWhoOneIsAndWhatOneMay(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	for role, may := range map[account.Role][]account.Permission{account.Crew: {account.Notes, account.Positions},
		account.Yard:         {account.Tackle},
		account.Harbormaster: {account.Accounts, account.Moorings}} {
		w := sent(s, asked("POST", "/api/sign-in", tries(strings.ToUpper(names[role]), passwords[role])))
		var me api.Me
		if err := json.Unmarshal(w.Body.Bytes(), &me); err != nil || me.Name != names[role] || me.Role != role || !me.Accounts {
			t.Errorf("%v: %+v", err, me)
		}
		for _, do := range may {
			if !slices.Contains(me.May, do) {
				t.Errorf("%s may not: %v", role, me.May)
			}
		}
		if again := as(t, s, signedIn(t, s, role)); again.Name != me.Name || len(again.May) != len(me.May) {
			t.Errorf("%+v", again)
		}
	}
	if me := as(t, s, ""); me.Role != account.Public || len(me.May) > 0 || !me.Accounts {
		t.Errorf("nobody: %+v", me)
	}
}

func TestTheCookieIsForThisServiceAlone(t *testing.T) {
	for _, c := range []struct {
		name   string
		opt    api.Options
		cookie string
		secure bool
	}{
		{"by TLS", api.Options{Secure: true}, "__Host-swingroom", true},
		{"behind a proxy", api.Options{BehindProxy: true}, "__Host-swingroom", true},
		{"on this machine", api.Options{Local: true}, "swingroom", false},
	} {
		s, _ := peopled(t, c.opt)
		w := sent(s, asked("POST", "/api/sign-in", tries(names[account.Crew], passwords[account.Crew]), "Host", "127.0.0.1:7464"))
		cookies := w.Result().Cookies()
		if len(cookies) != 1 {
			t.Fatalf("%s: %d %s: %d cookies", c.name, w.Code, w.Body, len(cookies))
		}
		// RFC 6265bis, section 4.1.3.2: __Host- wants Secure, the path / and no domain. Without MaxAge it goes with the browser.
		got := cookies[0]
		if got.Name != c.cookie || got.Secure != c.secure || !got.HttpOnly || got.SameSite != http.SameSiteStrictMode || got.Path != "/" ||
			got.Domain != "" || got.MaxAge != 0 {
			t.Errorf("%s: %s", c.name, got)
		}
		if len(got.Value) < 43 { // 32 bytes of chance in base64
			t.Errorf("%s: a token of %d signs", c.name, len(got.Value))
		}
		if cache := w.Header().Get("Cache-Control"); !strings.Contains(cache, "no-store") {
			t.Errorf("%s: Cache-Control %q", c.name, cache)
		}
	}
}

func TestASessionIsNotThatWhichTheBrowserCameWith(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	const planted = "swingroom=AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
	w := sent(s, asked("POST", "/api/sign-in", tries(names[account.Crew], passwords[account.Crew]), "Cookie", planted))
	got := w.Result().Cookies()[0]
	if w.Code != 200 || got.Name+"="+got.Value == planted {
		t.Errorf("%d %v", w.Code, got)
	}
	if me := as(t, s, planted); me.Role != account.Public {
		t.Errorf("who knows the planted token is %+v", me)
	}
	first := got.Name + "=" + got.Value
	w = sent(s, asked("POST", "/api/sign-in", tries(names[account.Yard], passwords[account.Yard]), "Cookie", first))
	if me := as(t, s, first); w.Code != 200 || me.Role != account.Public {
		t.Errorf("%d: after another has signed in, the first token is of %+v", w.Code, me)
	}
}

func TestSigningOutEndsTheSession(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	cookie, other := signedIn(t, s, account.Crew), signedIn(t, s, account.Crew)
	w := sent(s, asked("POST", "/api/sign-out", "{}", "Cookie", cookie))
	if w.Code != http.StatusNoContent || w.Result().Cookies()[0].MaxAge >= 0 || w.Header().Get("Clear-Site-Data") != `"cache"` {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if as(t, s, cookie).Role != account.Public || as(t, s, other).Role != account.Crew {
		t.Error("it goes on, or that on another machine has ended")
	}
}

func TestASessionEndsInTime(t *testing.T) {
	s, db := peopled(t, api.Options{})
	cookie := signedIn(t, s, account.Crew)
	_, token, _ := strings.Cut(cookie, "=")
	data, found, err := db.Sessions().Find(token)
	if err != nil || !found {
		t.Fatal(err, found)
	}
	if err := db.Sessions().Commit(token, data, time.Now().Add(20*time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	for range 3 { // more than once: looking must not bring it back
		time.Sleep(30 * time.Millisecond)
		if w := sent(s, asked("GET", "/api/waiting?zz=1", "", "Cookie", cookie)); w.Code != 401 ||
			w.Header().Get("WWW-Authenticate") != "" {
			t.Errorf("%d %s", w.Code, w.Body)
		}
	}
}

func TestWrongPasswordsAreRefusedThenSlowed(t *testing.T) {
	s, _ := peopled(t, api.Options{BehindProxy: true})
	try := func(name, password, from string) (int, string, string) {
		w := sent(s, asked("POST", "/api/sign-in", tries(name, password), "X-Forwarded-For", "203.0.113.66, "+from))
		return w.Code, w.Header().Get("Retry-After"), w.Body.String()
	}
	var of [2]string
	for i, name := range []string{names[account.Crew], "nobody of that name"} {
		slowed := false
		for n := range 10 {
			code, after, text := try(name, "not the password", fmt.Sprintf("198.51.100.%d", 10*i+n))
			of[i] += fmt.Sprint(code, " ")
			switch code {
			case http.StatusUnauthorized:
				if slowed && n < 6 || strings.Contains(text, name) || !strings.Contains(text, "do not belong together") {
					t.Errorf("try %d: %s", n, text)
				}
			case http.StatusTooManyRequests:
				slowed = true
				if wait, err := strconv.Atoi(after); err != nil || wait < 1 || wait > 90 {
					t.Errorf("Retry-After %q", after)
				}
			default:
				t.Fatalf("%d %s", code, text)
			}
		}
		if !slowed {
			t.Errorf("%s was tried ten times", name)
		}
	}
	if of[0][:20] != of[1][:20] {
		t.Errorf("a name on file and an unknown one differ: %s and %s", of[0], of[1])
	}
	// An address that tries many names is slowed by itself; what it writes into the header before the proxy does changes nothing.
	let := 0
	for let < 100 {
		code, _, _ := try(fmt.Sprint("name ", let), "x", "192.0.2.50")
		if code == http.StatusTooManyRequests {
			break
		}
		let++
	}
	if let < 20 || let == 100 { // 20 at once, and one more every two seconds that this takes
		t.Errorf("one address tries %d names", let)
	}
	var list api.FailedSignIns
	cookie := ""
	w := sent(s, asked("POST", "/api/sign-in", tries(names[account.Harbormaster], passwords[account.Harbormaster]), "X-Forwarded-For",
		"192.0.2.99"))
	for _, c := range w.Result().Cookies() {
		cookie = c.Name + "=" + c.Value
	}
	if err := json.Unmarshal(sent(s, asked("GET", "/api/sign-ins/failed", "", "Cookie", cookie)).Body.Bytes(), &list); err != nil ||
		len(list.Failed) < 20 || list.Failed[0].From != "192.0.2.50" || !strings.HasPrefix(list.Failed[0].Name, "name ") {
		t.Errorf("%v: %d, the newest %+v", err, len(list.Failed), list.Failed[:min(1, len(list.Failed))])
	}
}

func TestSomebodyChangesTheirPassword(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	here, elsewhere, others := signedIn(t, s, account.Crew), signedIn(t, s, account.Crew), signedIn(t, s, account.Yard)
	change := func(old, next string) (int, string, string) {
		body, _ := json.Marshal(map[string]string{"old": old, "new": next})
		w := sent(s, asked("POST", "/api/password", string(body), "Cookie", here))
		cookie := ""
		for _, c := range w.Result().Cookies() {
			cookie = c.Name + "=" + c.Value
		}
		return w.Code, w.Body.String(), cookie
	}
	for _, c := range []struct {
		old, next, want string
		status          int
	}{
		{"not the old one", "a heron of another sort", "old password is not right", 422},
		{passwords[account.Crew], "short", "5 characters", 400},
		{passwords[account.Crew], "password1234", "first that anybody", 400},
		{passwords[account.Crew], "zoe's own boat yard", "name is in it", 400},
	} {
		if code, text, _ := change(c.old, c.next); code != c.status || !strings.Contains(text, c.want) || strings.Contains(text, c.next) {
			t.Errorf("%s: %d %s", c.next, code, text)
		}
	}
	code, text, next := change(passwords[account.Crew], "a heron of another sort")
	if code != http.StatusNoContent || next == "" || next == here {
		t.Fatalf("%d %s", code, text)
	}
	for cookie, want := range map[string]account.Role{here: account.Public, elsewhere: account.Public, others: account.Yard,
		next: account.Crew} {
		if got := as(t, s, cookie).Role; got != want {
			t.Errorf("a session is of %s, want %s", got, want)
		}
	}
	if w := sent(s, asked("POST", "/api/sign-in", tries(names[account.Crew], passwords[account.Crew]))); w.Code != 401 {
		t.Errorf("the old password: %d", w.Code)
	}
	if w := sent(s, asked("POST", "/api/sign-in", tries(names[account.Crew], "a heron of another sort"))); w.Code != 200 {
		t.Errorf("the new password: %d %s", w.Code, w.Body)
	}
}

func TestTheHarbormasterLooksAfterTheAccounts(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	cookie := signedIn(t, s, account.Harbormaster)
	crew := signedIn(t, s, account.Crew)
	for _, c := range []struct {
		name, body string
		status     int
		want       string
	}{
		{"made", `{"name":"<b>山本</b> \"O'Hara\"","role":"crew","password":"eight bells and all"}`, 204, ""},
		{"made again", `{"name":"zoë","role":"crew","password":"eight bells and all","disabled":"maybe"}`, 400, "true or false"},
		{"no password", `{"name":"Newcomer","role":"crew"}`, 404, "Newcomer"},
		{"a short one", `{"name":"Newcomer","role":"crew","password":"short"}`, 400, "5 characters"},
		{"no such role", `{"name":"Newcomer","role":"admiral","password":"eight bells and all"}`, 400, "harbormaster"},
		{"nothing to change", `{"name":"Zoë"}`, 400, "is expected"},
		{"another role", `{"name":"ZOE","role":"yard"}`, 204, ""},
		{"the last harbormaster off", `{"name":"quay warden","disabled":true}`, 409, "has to be a harbormaster"},
		{"the last harbormaster made crew", `{"name":"quay warden","role":"crew"}`, 409, "has to be a harbormaster"},
		{"off", `{"name":"Slip & Sons","disabled":true}`, 204, ""},
	} {
		if w := sent(s, asked("POST", "/api/accounts", c.body, "Cookie", cookie)); w.Code != c.status ||
			!strings.Contains(w.Body.String(), c.want) {
			t.Errorf("%s: %d %s", c.name, w.Code, w.Body)
		}
	}
	if got := as(t, s, crew).Role; got != account.Public {
		t.Errorf("after another role the session goes on as %s", got)
	}
	if w := sent(s, asked("POST", "/api/sign-in", tries(names[account.Yard], passwords[account.Yard]))); w.Code != 401 {
		t.Errorf("who is off: %d", w.Code)
	}
	w := sent(s, asked("GET", "/api/accounts", "", "Cookie", cookie))
	var list api.AccountList
	if err := json.Unmarshal(w.Body.Bytes(), &list); err != nil || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("%v: %v", err, w.Header())
	}
	got := map[string]string{}
	for _, a := range list.Accounts {
		got[a.Name] = fmt.Sprint(a.Role, " ", a.Disabled, " ", a.SignedIn != nil)
	}
	want := map[string]string{"Quay Warden": "harbormaster false true", "Slip & Sons": "yard true false", "Zoë": "yard false true",
		`<b>山本</b> "O'Hara"`: "crew false false"}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%v", got)
	}
	for _, secret := range append([]string{"argon2", "hash"}, passwords[account.Crew]) {
		if strings.Contains(w.Body.String(), secret) {
			t.Errorf("the list tells %q", secret)
		}
	}
}

func TestAnswersToThoseSignedInAreNotKept(t *testing.T) {
	s, _ := peopled(t, api.Options{Secure: true})
	cookie := signedIn(t, s, account.Crew)
	for _, path := range []string{"/api/moorings", "/api/moorings/101", "/api/me", "/api/lists/moorings.csv"} {
		if w := sent(s, asked("GET", path, "", "Cookie", cookie)); w.Code != 200 || w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s: %d, Cache-Control %q", path, w.Code, w.Header().Get("Cache-Control"))
		}
		w := sent(s, asked("GET", path, ""))
		if w.Code != 200 || w.Header().Get("Cache-Control") != "no-cache" {
			t.Errorf("%s for the public: %d, Cache-Control %q", path, w.Code, w.Header().Get("Cache-Control"))
		}
		if w.Header().Get("Strict-Transport-Security") == "" {
			t.Errorf("%s: no Strict-Transport-Security by TLS", path)
		}
	}
	plain, _ := peopled(t, api.Options{})
	if w := sent(plain, asked("GET", "/", "")); w.Code != 200 || w.Header().Get("Strict-Transport-Security") != "" {
		t.Errorf("%d: without TLS %v", w.Code, w.Header())
	}
}

// Also when every request is logged, neither passwords nor tokens nor what was typed as a name are in it; and a secret in an address lets
// nobody in.
func TestNoSecretIsLoggedOrTakenFromAnAddress(t *testing.T) {
	var log bytes.Buffer
	s, _ := peopled(t, api.Options{Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	cookie := signedIn(t, s, account.Harbormaster)
	w := sent(s, asked("POST", "/api/tokens", fmt.Sprintf(`{"name":"plotter","role":"crew","expires":%q}`,
		time.Now().UTC().AddDate(0, 1, 0).Format(time.DateOnly)), "Cookie", cookie))
	var made api.Secret
	if err := json.Unmarshal(w.Body.Bytes(), &made); err != nil {
		t.Fatal(err)
	}
	_, token, _ := strings.Cut(cookie, "=")
	sent(s, asked("GET", "/api/what_if", "", "Authorization", "Bearer "+made.Secret))
	sent(s, asked("POST", "/api/sign-in", tries("my password in the wrong place", "a wrong guess of mine")))
	for _, name := range []string{"access_token", "token", "session", "swingroom"} {
		for _, secret := range []string{made.Secret, token} {
			if w := sent(s, asked("GET", "/api/waiting?"+name+"="+secret, "")); w.Code != http.StatusUnauthorized {
				t.Errorf("%s in the address: %d", name, w.Code)
			}
		}
	}
	for _, secret := range []string{made.Secret, token, "my password", "a wrong guess", passwords[account.Harbormaster]} {
		if strings.Contains(log.String(), secret) {
			t.Errorf("the log has %q", secret)
		}
	}
	if !strings.Contains(log.String(), "a sign-in failed") || !strings.Contains(log.String(), "/api/sign-in") {
		t.Errorf("nothing was logged: %s", &log)
	}
}
