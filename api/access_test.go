package api_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/account"
	"swingroom/api/store"
)

// passwords of the invented accounts, by role.
var passwords = map[account.Role]string{account.Harbormaster: "kelp otter lantern", account.Yard: "rust on the swivel",
	account.Crew: "grey heron at dusk"}

// names of the invented accounts.
var names = map[account.Role]string{account.Harbormaster: "Quay Warden", account.Yard: "Slip & Sons", account.Crew: "Zoë"}

// peopled is a service that others reach, on the demo harbor, with an account of each role.
func peopled(t testing.TB, opt api.Options) (*api.Service, *store.Store) {
	t.Helper()
	db := onFile(t, demo(t))
	gate, err := account.NewAuthenticator(t.Context(), account.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	for _, role := range []account.Role{account.Harbormaster, account.Yard, account.Crew} {
		if _, err := gate.Add(t.Context(), names[role], string(role), passwords[role]); err != nil {
			t.Fatal(err)
		}
	}
	opt.Store = db
	s, err := api.New(opt)
	if err != nil {
		t.Fatal(err)
	}
	return s, db
}

// asked is a request on its way: its parts may be changed before it is sent.
func asked(method, path, body string, headers ...string) *http.Request {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "harbor.example"
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("If-Match", "*")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
			continue
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

func sent(s *api.Service, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w
}

// signedIn gives the session's cookie as a header.
func signedIn(t testing.TB, s *api.Service, role account.Role) string {
	t.Helper()
	w := sent(s, asked("POST", "/api/sign-in", fmt.Sprintf(`{"name":%q,"password":%q}`, names[role], passwords[role])))
	if w.Code != 200 {
		t.Fatalf("%s: %d %s", role, w.Code, w.Body)
	}
	c := w.Result().Cookies()[0]
	return c.Name + "=" + c.Value
}

// leastRoles says of every route who at least may ask; a route that is not here fails the test until somebody has thought about it.
var leastRoles = map[account.Role][]string{
	account.Public: {"health", "description", "harbors", "harbor", "check", "mooring", "find", "trial", "fit", "largest", "places", "reach",
		"sheet_pdf", "area_chart_pdf", "spots", "open_water", "spot", "weather", "swinging",
		"tide", "moorings", "circles", "areas", "fairways", "shoreline", "depth_lines", "depth_areas", "soundings", "conflicts", "hazards",
		"me", "sign_in", "sign_out", "changes",
		// as far as the harbor shows them
		"moorings_csv", "moorings_xlsx", "tackle_csv", "tackle_xlsx", "owners_csv", "owners_xlsx", "waiting_csv", "waiting_xlsx",
		"notes_csv", "notes_xlsx"},
	account.Crew: {"waiting", "capacity", "what_if", "what_if_moorings", "what_if_gained", "move_anchor", "stop_search", "set_password",
		"record", "search_records", "history", "history_pdf", "edit", "write_note", "undo",
		"history_csv", "history_xlsx", "photo", "add_photo"},
	account.Yard: {"propose"},
	account.Harbormaster: {"place", "assign", "vacate", "ring", "take_remedy", "retire", "accounts", "set_account", "failed_sign_ins",
		"tokens", "set_token"},
}

// operation is one method of one path.
type operation struct{ name, method, path string }

// operations are all that the service's own description lists.
func operations(t testing.TB, s *api.Service) (all []operation) {
	t.Helper()
	var d struct {
		Paths map[string]map[string]struct {
			OperationID string `json:"operationId"`
		}
	}
	if err := json.Unmarshal(sent(s, asked("GET", "/openapi.json", "")).Body.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	for _, path := range slices.Sorted(maps.Keys(d.Paths)) {
		for method, o := range d.Paths[path] {
			all = append(all, operation{o.OperationID, strings.ToUpper(method), path})
		}
	}
	return all
}

// Every route is asked by everybody, with a parameter that no route has: who is admitted gets told of that, and nothing is worked out or
// changed.
func TestEveryRouteByEveryRole(t *testing.T) {
	s, db := peopled(t, api.Options{})
	least := map[string]account.Role{}
	for role, list := range leastRoles {
		for _, name := range list {
			least[name] = role
		}
	}
	roles := append([]account.Role{account.Public}, account.AssignableRoles()...)
	cookies := map[account.Role]string{account.Public: ""}
	for _, role := range account.AssignableRoles() {
		cookies[role] = signedIn(t, s, role)
	}
	filled := strings.NewReplacer("{harbor}", "tarrowick-harbor", "{number}", "101", "{noun}", "mooring", "{name}", "101", "{search}",
		"none", "{list}", "owners.csv", "{photo}", strings.Repeat("ab", 32))
	ops, told := operations(t, s), 0
	for _, op := range ops {
		want, known := least[strings.TrimSuffix(op.name, "_of_the_only_harbor")]
		if !known {
			t.Errorf("%s %s (%s) has no role in this table", op.method, op.path, op.name)
			continue
		}
		for _, role := range roles {
			w := sent(s, asked(op.method, filled.Replace(op.path)+map[bool]string{true: "?no_such=1"}[op.method == "GET"], `{"no_such":1}`,
				"Cookie", cookies[role]))
			refused := map[bool]int{true: http.StatusUnauthorized, false: http.StatusForbidden}[role == account.Public]
			admitted := w.Code != http.StatusUnauthorized && w.Code != http.StatusForbidden
			if admitted != role.Has(want) || !admitted && (w.Code != refused || !strings.Contains(w.Body.String(), string(want))) {
				t.Errorf("%s %s by %s: %d %s; it is for %s", op.method, op.path, role, w.Code, w.Body, want)
			}
			if admitted && w.Code == http.StatusBadRequest {
				told++
			}
		}
	}
	if len(ops) < 60 || told < 2*len(ops) {
		t.Errorf("%d routes, %d times told of the parameter", len(ops), told)
	}
	if _, info, err := db.Harbor(t.Context(), ""); err != nil || info.Revision != 1 {
		t.Errorf("%v: revision %d", err, info.Revision)
	}
}

func TestTheHeadOfARouteIsAsCloseAsTheRoute(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	for path, want := range map[string]int{"/api/accounts": 401, "/api/waiting": 401, "/api/harbor": 200} {
		if w := sent(s, asked("HEAD", path, "")); w.Code != want {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
	w := sent(s, asked("PUT", "/api/accounts", ""))
	if allow := w.Header().Get("Allow"); w.Code != http.StatusMethodNotAllowed || allow != "GET, HEAD, POST" {
		t.Errorf("PUT: %d, Allow %q", w.Code, allow)
	}
}

func TestThePublicSeesNoNames(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	s, _ := peopled(t, api.Options{})
	secrets := []string{}
	h := demo(t)
	for _, m := range h.Moorings {
		if m.Boat != nil {
			secrets = append(secrets, m.Boat.Name, m.Boat.Owner)
		}
	}
	for _, w := range h.Waiting {
		secrets = append(secrets, w.Name)
	}
	secrets = slices.DeleteFunc(secrets, func(name string) bool { return len(name) < 4 })
	if len(secrets) < 50 {
		t.Fatalf("the demo harbor has %d names", len(secrets))
	}
	inside := 0
	for _, path := range []string{"/api/moorings", "/api/moorings/101", "/api/check", "/api/conflicts", "/api/hazards", "/api/harbor",
		"/api/circles", "/api/weather?wind_kn=20&wind_from_deg=200", "/api/find?q=" + strings.ReplaceAll(secrets[0], " ", "+"),
		"/api/moorings/101/fit",
		"/api/lists/moorings.csv", "/api/lists/owners.csv", "/api/lists/waiting.csv", "/api/lists/tackle.csv"} {
		w := sent(s, asked("GET", path, ""))
		text := w.Body.String()
		if w.Code != 200 {
			t.Errorf("%s: %d %s", path, w.Code, text)
		}
		for _, name := range secrets {
			if strings.Contains(text, name) {
				t.Errorf("%s shows %q to the public", path, name)
				break
			}
		}
		text = sent(s, asked("GET", path, "", "Cookie", signedIn(t, s, account.Crew))).Body.String()
		if slices.ContainsFunc(secrets, func(name string) bool { return strings.Contains(text, name) }) {
			inside++
		}
	}
	if inside < 3 {
		t.Errorf("only %d of the answers have names for the crew: nothing was looked for", inside)
	}
}

func TestWhoRetiredAMooringIsNotForThePublic(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	cookie := signedIn(t, s, account.Harbormaster)
	number := ""
	for _, m := range demo(t).Moorings {
		if m.Boat == nil {
			number = m.Number
		}
	}
	if w := sent(s, asked("POST", "/api/acts/retire", fmt.Sprintf(`{"number":%q,"why":"the chain has gone","who":"somebody else"}`, number),
		"Cookie", cookie)); w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	// In the history stands who is signed in, and not what the body says.
	if w := sent(s, asked("GET", "/api/moorings/"+number, "", "Cookie", cookie)); w.Code != 404 ||
		!strings.Contains(w.Body.String(), names[account.Harbormaster]) || strings.Contains(w.Body.String(), "somebody else") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := sent(s, asked("GET", "/api/moorings/"+number, "")); w.Code != 404 || strings.Contains(w.Body.String(), "Warden") ||
		strings.Contains(w.Body.String(), "chain") {
		t.Errorf("the public: %d %s", w.Code, w.Body)
	}
}

func TestWithoutAccountsWhoeverSitsHereIsTheHarbormaster(t *testing.T) {
	for _, c := range []struct {
		name    string
		opt     api.Options
		headers []string
		want    account.Role
	}{
		{"on this machine", api.Options{Local: true}, []string{"Host", "127.0.0.1:7464"}, account.Harbormaster},
		{"by the name localhost", api.Options{Local: true}, []string{"Host", "localhost:7464"}, account.Harbormaster},
		{"by IPv6", api.Options{Local: true}, []string{"Host", "[::1]:7464"}, account.Harbormaster},
		{"by a foreign name that leads here", api.Options{Local: true}, []string{"Host", "elsewhere.example:7464"}, account.Public},
		{"by a name that begins like an address", api.Options{Local: true}, []string{"Host", "127.0.0.1.elsewhere.example"},
			account.Public},
		{"through a proxy that was not told of", api.Options{Local: true},
			[]string{"Host", "127.0.0.1:7464", "X-Forwarded-For", "192.0.2.7"}, account.Public},
		{"through a proxy of RFC 7239", api.Options{Local: true}, []string{"Host", "127.0.0.1:7464", "Forwarded", "for=192.0.2.7"},
			account.Public},
		{"behind a proxy", api.Options{Local: true, BehindProxy: true}, []string{"Host", "127.0.0.1:7464"}, account.Public},
		{"from another machine", api.Options{}, []string{"Host", "127.0.0.1:7464"}, account.Public},
	} {
		c.opt.Store = onFile(t, onTheLine())
		s, err := api.New(c.opt)
		if err != nil {
			t.Fatal(err)
		}
		var me api.Me
		if err := json.Unmarshal(sent(s, asked("GET", "/api/me", "", c.headers...)).Body.Bytes(), &me); err != nil || me.Role != c.want ||
			me.Name != "" || me.Accounts {
			t.Errorf("%s: %v %+v", c.name, err, me)
		}
	}
}

// The first account closes the door behind it, also on this machine; another program may have made it.
func TestTheFirstAccountEndsTheOpenService(t *testing.T) {
	s, db := writing(t, onTheLine())
	role := func() account.Role {
		var me api.Me
		if err := json.Unmarshal(sent(s, asked("GET", "/api/me", "", "Host", "127.0.0.1:7464")).Body.Bytes(), &me); err != nil {
			t.Fatal(err)
		}
		return me.Role
	}
	if got := role(); got != account.Harbormaster {
		t.Fatalf("before: %s", got)
	}
	gate, err := account.NewAuthenticator(t.Context(), account.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := gate.Add(t.Context(), "Quay Warden", "harbormaster", "kelp otter lantern"); err != nil {
		t.Fatal(err)
	}
	if err := s.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := role(); got != account.Public {
		t.Errorf("after: %s", got)
	}
}

func TestTokensLetScriptsInUntilTheyEnd(t *testing.T) {
	s, db := peopled(t, api.Options{})
	cookie := signedIn(t, s, account.Harbormaster)
	day := time.Now().UTC().AddDate(0, 1, 0).Format(time.DateOnly)
	secret := func(name, role string) string {
		w := sent(s, asked("POST", "/api/tokens", fmt.Sprintf(`{"name":%q,"role":%q,"expires":%q}`, name, role, day), "Cookie", cookie))
		var made api.Secret
		if err := json.Unmarshal(w.Body.Bytes(), &made); err != nil || w.Code != 200 || made.Secret == "" {
			t.Fatalf("%v: %d %s", err, w.Code, w.Body)
		}
		return made.Secret
	}
	crew, master := secret("plotter", "crew"), secret("night job", "harbormaster")
	if err := db.AddToken(t.Context(), store.Token{Name: "last year", Role: "crew", Expires: time.Now().Add(-time.Second)},
		"expired"); err != nil {
		t.Fatal(err)
	}
	basic := func(user, password string) string {
		r := httptest.NewRequest("GET", "/", nil)
		r.SetBasicAuth(user, password)
		return r.Header.Get("Authorization")
	}
	for _, c := range []struct {
		name, path, header string
		status             int
		challenge          string // how WWW-Authenticate begins
	}{
		{"Bearer", "/api/what_if?zz=1", "Bearer " + crew, 400, ""},
		{"in small letters", "/api/what_if?zz=1", "bearer " + crew, 400, ""},
		{"Basic of any user", "/api/what_if?zz=1", basic("plotter", crew), 400, ""},
		{"Basic of nobody", "/api/what_if?zz=1", basic("", crew), 400, ""},
		{"a role that is not enough", "/api/accounts", "Bearer " + crew, 403, ""},
		{"a token of the harbormaster", "/api/waiting?zz=1", "Bearer " + master, 400, ""},
		{"accounts are for people", "/api/accounts", "Bearer " + master, 403, ""},
		{"tokens too", "/api/tokens", "Bearer " + master, 403, ""},
		{"expired", "/api/harbor", "Bearer expired", 401, "Bearer"},
		{"a guess", "/api/harbor", "Bearer swingroom_guess", 401, "Bearer"},
		{"Basic with a password of an account", "/api/harbor", basic(names[account.Crew], passwords[account.Crew]), 401, "Basic"},
		{"another scheme", "/api/harbor", "Digest x", 401, "Bearer"},
		{"no secret", "/api/harbor", "Bearer ", 401, "Bearer"},
		{"none is none", "/api/accounts", "", 401, ""},
	} {
		headers := []string{"Authorization", c.header}
		if c.header == "" {
			headers = nil
		}
		w := sent(s, asked("GET", c.path, "", headers...))
		if got := w.Header().Get("WWW-Authenticate"); w.Code != c.status || !strings.HasPrefix(got, c.challenge) ||
			(got == "") != (c.challenge == "") {
			t.Errorf("%s: %d %s, WWW-Authenticate %q", c.name, w.Code, w.Body, got)
		}
	}
	var me api.Me
	if err := json.Unmarshal(sent(s, asked("GET", "/api/me", "", "Authorization", "Bearer "+crew, "Cookie", cookie)).Body.Bytes(),
		&me); err != nil || me.Name != "plotter" || me.Role != account.Crew {
		t.Errorf("%v: beside a cookie the token counts: %+v", err, me)
	}
	if w := sent(s, asked("POST", "/api/tokens", `{"name":"Plotter","revoke":true}`, "Cookie", cookie)); w.Code != 204 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if w := sent(s, asked("GET", "/api/harbor", "", "Authorization", "Bearer "+crew)); w.Code != 401 {
		t.Errorf("revoked: %d", w.Code)
	}
	text := sent(s, asked("GET", "/api/tokens", "", "Cookie", cookie)).Body.String()
	if strings.Contains(text, master) || !strings.Contains(text, `"night job"`) || strings.Contains(text, `"plotter"`) {
		t.Errorf("%s", text)
	}
	if w := sent(s, asked("POST", "/api/password", `{"old":"x","new":"y"}`, "Authorization", "Bearer "+master)); w.Code != 401 {
		t.Errorf("a token has no password: %d %s", w.Code, w.Body)
	}
}

func TestWhatComesFromAnotherPageIsRefusedWithACookieToo(t *testing.T) {
	s, db := peopled(t, api.Options{})
	cookie := signedIn(t, s, account.Harbormaster)
	for name, c := range map[string]struct {
		headers []string
		status  int
	}{
		"another page":               {[]string{"Origin", "https://elsewhere.example"}, 403},
		"another page, as told":      {[]string{"Sec-Fetch-Site", "cross-site"}, 403},
		"a page beside it":           {[]string{"Sec-Fetch-Site", "same-site"}, 403},
		"a page without an origin":   {[]string{"Origin", "null"}, 403},
		"a form":                     {[]string{"Content-Type", "text/plain"}, 415},
		"its own page":               {[]string{"Origin", "https://harbor.example"}, 204},
		"its own page, as told":      {[]string{"Sec-Fetch-Site", "same-origin"}, 204},
		"a program":                  {nil, 204},
		"signing in by another page": {[]string{"Origin", "https://elsewhere.example", "Cookie", ""}, 403},
	} {
		headers := append([]string{"Cookie", cookie}, c.headers...)
		path, body := "/api/accounts", fmt.Sprintf(`{"name":%q,"disabled":false}`, names[account.Crew])
		if strings.HasPrefix(name, "signing in") {
			path, body = "/api/sign-in", fmt.Sprintf(`{"name":%q,"password":%q}`, names[account.Crew], passwords[account.Crew])
		}
		if w := sent(s, asked("POST", path, body, headers...)); w.Code != c.status || c.status == 403 && len(w.Result().Cookies()) > 0 {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
	}
	if _, info, err := db.Harbor(t.Context(), ""); err != nil || info.Revision != 1 {
		t.Errorf("%v: revision %d", err, info.Revision)
	}
}

// OWASP ASVS 4.0.3, items 14.3.3, 14.4.1 to 14.4.7, 14.5.3 and 4.3.2.
func TestEveryAnswerCarriesWhatKeepsABrowserSafe(t *testing.T) {
	s, _ := peopled(t, api.Options{Secure: true})
	for _, c := range []struct {
		method, path string
		status       int
	}{
		{"GET", "/", 200}, {"GET", "/vendor/leaflet/LICENSE", 200}, {"GET", "/api/me", 200}, {"GET", "/api/moorings/101/sheet.pdf", 200},
		{"GET", "/api/lists/moorings.csv", 200},
		{"GET", "/api/nothing", 404}, {"GET", "/api/accounts", 401}, {"POST", "/api/acts/place", 401}, {"DELETE", "/api/accounts", 405},
		{"OPTIONS", "/api/accounts", 405}, {"TRACE", "/", 405},
		{"GET", "/app/", 404}, {"GET", "/app", 404}, {"GET", "/.git/config", 404}, {"GET", "/app/../../go.mod", 404},
		{"GET", "/js/page/main.js", 404},
		{"GET", "/%2e%2e/go.mod", 404}, {"GET", "/h.db", 404},
	} {
		w := sent(s, asked(c.method, c.path, "{}", "Origin", "https://harbor.example"))
		h := w.Header()
		if w.Code != c.status {
			t.Errorf("%s %s: %d; want %d", c.method, c.path, w.Code, c.status)
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
			"Content-Security-Policy": "frame-ancestors 'none'", "Strict-Transport-Security": "max-age=31536000", "Content-Type": "/"} {
			if !strings.Contains(h.Get(name), want) {
				t.Errorf("%s %s: %s is %q", c.method, c.path, name, h.Get(name))
			}
		}
		if kind := h.Get("Content-Type"); strings.HasPrefix(kind, "text/") && !strings.Contains(kind, "charset=utf-8") {
			t.Errorf("%s %s: %s has no character set", c.method, c.path, kind)
		}
		for _, name := range []string{"Server", "X-Powered-By", "Access-Control-Allow-Origin", "Access-Control-Allow-Credentials"} {
			if h.Get(name) != "" {
				t.Errorf("%s %s: %s is sent", c.method, c.path, name)
			}
		}
	}
}
