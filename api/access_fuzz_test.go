package api_test

import (
	"net/http"
	"strings"
	"testing"

	"swingroom/api"
)

// Whatever stands in the Authorization header, nobody gets in by it, and nothing breaks.
func FuzzAuthorization(f *testing.F) {
	for _, seed := range []string{"", "Bearer", "Bearer ", "bearer swingroom_x", "Basic", "Basic Og==", "Basic \xff",
		"Basic OnN3aW5ncm9vbV94", "Digest username=\"a\"", "Bearer a b c", " Bearer x", "Bearer " + strings.Repeat("x", 8000)} {
		f.Add(seed)
	}
	s, _ := peopled(f, api.Options{})
	f.Fuzz(func(t *testing.T, header string) {
		r := asked("GET", "/api/accounts", "")
		r.Header["Authorization"] = []string{header}
		w := sent(s, r)
		if w.Code != http.StatusUnauthorized || !strings.HasPrefix(w.Body.String(), "{") {
			t.Errorf("%q: %d %s", header, w.Code, w.Body)
		}
		if len(header) > 20 && strings.Contains(w.Body.String(), header) {
			t.Errorf("the answer repeats %q", header)
		}
	})
}

// Whatever is posted to sign in, nobody gets in by it, and it is the sender's mistake.
func FuzzSignIn(f *testing.F) {
	for _, seed := range []string{"", "{}", `{"name":"Zoë","password":"x"}`, `{"name":null,"password":null}`,
		`{"name":["a"],"password":{}}`, `{"name":"a","name":"b"}`, `{"name":"\u0000\ud800","password":1e999}`, "[]", "null",
		`{"name":"a","password":"b"}{}`, `{"password":"` + strings.Repeat("x", 70000) + `"}`, "\xef\xbb\xbf{}", `{"who":"a"}`} {
		f.Add(seed)
	}
	s, _ := peopled(f, api.Options{})
	f.Fuzz(func(t *testing.T, body string) {
		w := sent(s, asked("POST", "/api/sign-in", body))
		switch w.Code {
		case http.StatusBadRequest, http.StatusUnauthorized, http.StatusTooManyRequests:
		default:
			t.Errorf("%q: %d %s", body, w.Code, w.Body)
		}
		if len(w.Result().Cookies()) > 0 {
			t.Errorf("%q begins a session", body)
		}
	})
}
