package api_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swingroom/api"
	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// private lists every name, phone number and address of a harbor, and other texts that are kept from the public.
func private(h *geo.Harbor) map[string]string {
	all := map[string]string{}
	add := func(what, text string) {
		if text = strings.TrimSpace(text); len(text) > 2 {
			all[text] = what
		}
	}
	boat := func(b geo.Boat) { add("boat", b.Name); add("owner", b.Owner) }
	for _, m := range h.Moorings {
		if m.Boat != nil {
			boat(*m.Boat)
		}
		add("note of a mooring", m.Note)
	}
	for _, o := range h.Owners {
		add("owner", o.Name)
		add("phone", o.Phone)
		add("email", o.Email)
		add("address", o.Address)
		add("note of an owner", o.Note)
	}
	for _, w := range h.Waiting {
		boat(w.Boat)
		add("one who waits", w.Name)
		add("note of one who waits", w.Note)
	}
	for _, n := range h.Notes {
		add("note", n.Text)
	}
	for _, a := range h.Areas { // a boat may be named after a place
		delete(all, a.Name)
	}
	return all
}

// publicPaths are all that the description of the service lists as read by GET, filled in for some moorings.
func publicPaths(t testing.TB, s *api.Service) (paths []string) {
	t.Helper()
	var doc struct {
		Paths map[string]map[string]json.RawMessage
	}
	if err := json.Unmarshal(body(t, get(t, s, "/openapi.json")), &doc); err != nil {
		t.Fatal(err)
	}
	for path, methods := range doc.Paths {
		if methods["get"] == nil || strings.HasSuffix(path, "/changes") {
			continue
		}
		for _, number := range []string{"101", "001", "217"} {
			filled := strings.NewReplacer("{harbor}", "tarrowick-harbor", "{number}", number, "{noun}", "owner", "{name}",
				"Dov%20Orrinvale", "{photo}", strings.Repeat("ab", 32)).Replace(path)
			filled += exampleQuery(path)
			if strings.HasSuffix(path, "/trial") {
				filled = strings.Replace(filled, "number=001", "loa_m=30&number="+number, 1)
			}
			if !slices.Contains(paths, filled) {
				paths = append(paths, filled)
			}
		}
	}
	slices.Sort(paths)
	return paths
}

// plain makes a text of an answer: sheets and charts by pdftotext, workbooks unpacked.
func plain(t testing.TB, answer []byte) string {
	t.Helper()
	switch {
	case bytes.HasPrefix(answer, []byte("%PDF-")):
		path := filepath.Join(t.TempDir(), "a.pdf")
		if err := os.WriteFile(path, answer, 0o600); err != nil {
			t.Fatal(err)
		}
		text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	case bytes.HasPrefix(answer, []byte("PK")):
		book, err := zip.NewReader(bytes.NewReader(answer), int64(len(answer)))
		if err != nil {
			t.Fatal(err)
		}
		var all strings.Builder
		for _, f := range book.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := io.Copy(&all, r); err != nil {
				t.Fatal(err)
			}
			r.Close()
		}
		return all.String()
	}
	return string(answer)
}

func TestThePublicFindsNoNameInAnyAnswer(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	outside.Program(t, "pdftotext", "poppler-utils")
	h := demo(t)
	public, err := api.New(api.Options{Store: onFile(t, h)})
	if err != nil {
		t.Fatal(err)
	}
	known := service(t, h) // the same on this machine's own address: whoever asks is the harbormaster
	secrets := private(h)
	if len(secrets) < 400 {
		t.Fatalf("only %d texts are looked for", len(secrets))
	}
	found, read := 0, 0
	for _, path := range publicPaths(t, public) {
		answer := get(t, public, path)
		text := plain(t, body(t, answer))
		for secret, what := range secrets {
			if strings.Contains(path, strings.ReplaceAll(secret, " ", "%20")) {
				continue // who asks by a name has it
			}
			if strings.Contains(text, secret) || strings.Contains(text, jsonText(secret)) {
				t.Errorf("%s (%s) tells the %s %q", path, answer.Status, what, secret)
			}
		}
		if answer.StatusCode == 200 {
			read++
			full := plain(t, body(t, get(t, known, path)))
			for secret := range secrets {
				if strings.Contains(full, secret) {
					found++
					break
				}
			}
		}
	}
	if read < 40 || found < 5 {
		t.Errorf("%d answers were read, in %d of them the harbormaster finds names: too few for a test", read, found)
	}
}

func jsonText(text string) string {
	b, _ := json.Marshal(text)
	return strings.Trim(string(b), `"`)
}

func TestAHarborMayShowSomeOfItToThePublic(t *testing.T) {
	h := demo(t)
	h.Public = []geo.Shown{geo.ShownBoatName, geo.ShownWaitingNames}
	public, err := api.New(api.Options{Store: onFile(t, h)})
	if err != nil {
		t.Fatal(err)
	}
	moorings := string(body(t, get(t, public, "/api/moorings")))
	waiting := string(body(t, get(t, public, "/api/lists/waiting.csv")))
	if !strings.Contains(moorings, "Grey Sixpence") || !strings.Contains(waiting, "Ines Dunmarrow") {
		t.Error("boats and those who wait are shown by the harbor's own setting")
	}
	for _, path := range []string{"/api/moorings/101", "/api/lists/owners.csv", "/api/lists/moorings.csv"} {
		if strings.Contains(string(body(t, get(t, public, path))), "Dov Orrinvale") {
			t.Errorf("%s tells an owner", path)
		}
	}
}

func TestThePublicIsRefusedWhatIsForTheCrew(t *testing.T) {
	public, err := api.New(api.Options{Store: onFile(t, demo(t))})
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/api/history", "/api/records/mooring/101", "/api/search?q=grey", "/api/lists/history.csv",
		"/api/capacity?" + forASloop} {
		if r := get(t, public, path); r.StatusCode != 401 && r.StatusCode != 403 {
			t.Errorf("%s: %s", path, r.Status)
		}
	}
}
