package api_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swingroom/api"
)

// picture is a PNG of so many pixels.
func picture(t testing.TB, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, w, h))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// postPhoto sends bytes as they are.
func postPhoto(s *api.Service, kind string, body []byte) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "/api/photos", bytes.NewReader(body))
	r.Host = "127.0.0.1:7464"
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w
}

func TestAPhotoThatWasSentIsShown(t *testing.T) {
	s, db := writing(t, demo(t))
	w := postPhoto(s, "image/png", picture(t, 3000, 1500))
	var taken api.KeptPhoto
	if err := json.Unmarshal(w.Body.Bytes(), &taken); err != nil || w.Code != 200 || taken.Width != 2048 || taken.Height != 1024 ||
		len(taken.Photo) != 64 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if _, err := os.Stat(filepath.Join(db.Path()+".photos", taken.Photo[:2], taken.Photo+".jpg")); err != nil {
		t.Error(err)
	}
	shown := get(t, s, "/api/photos/"+taken.Photo)
	for name, want := range map[string]string{"Content-Type": "image/jpeg", "Content-Disposition": "inline",
		"X-Content-Type-Options": "nosniff", "Cache-Control": "private, max-age=31536000, immutable", "Etag": `"` + taken.Photo + `"`} {
		if got := shown.Header.Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if m, err := jpeg.Decode(shown.Body); err != nil || m.Bounds().Dx() != 2048 {
		t.Errorf("%v", err)
	}
	if again := get(t, s, "/api/photos/"+taken.Photo, "If-None-Match", `"`+taken.Photo+`"`); again.StatusCode != 304 {
		t.Errorf("asked again: %d", again.StatusCode)
	}
}

func TestPhotosThatAreRefusedSayWhy(t *testing.T) {
	s, db := writing(t, demo(t))
	for name, c := range map[string]struct {
		kind  string
		body  []byte
		code  int
		words string
	}{
		"JSON":               {"application/json", []byte("{}"), 415, "JPEG, PNG or WebP"},
		"a page":             {"image/jpeg", []byte("<html><script>alert(1)</script>"), 415, "JPEG, PNG or WebP"},
		"a drawing":          {"image/svg+xml", []byte("<svg onload='alert(1)'/>"), 415, "JPEG, PNG or WebP"},
		"cut off":            {"image/png", picture(t, 100, 100)[:60], 422, "broken"},
		"too many bytes":     {"image/png", make([]byte, 13<<20), 413, "12 MB"},
		"60 million pixels":  {"image/png", picture(t, 10000, 6000), 413, "50 million"},
		"nothing in the end": {"image/png", nil, 415, "JPEG, PNG or WebP"},
	} {
		w := postPhoto(s, c.kind, c.body)
		var p api.Problem
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != c.code || !strings.Contains(p.Detail, c.words) {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
	}
	if _, err := os.Stat(db.Path() + ".photos"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("something was kept: %v", err)
	}
	for _, name := range []string{strings.Repeat("ab", 32), "x", "..%2f..%2fh.db", strings.Repeat("AB", 32)} {
		if w := get(t, s, "/api/photos/"+name); w.StatusCode != 404 {
			t.Errorf("%s: %d", name, w.StatusCode)
		}
	}
}

func TestPhotosAreForThoseWhoMayWriteNotes(t *testing.T) {
	s, err := api.New(api.Options{Store: onFile(t, demo(t))}) // others reach it, and there are no accounts
	if err != nil {
		t.Fatal(err)
	}
	if w := postPhoto(s, "image/png", picture(t, 10, 10)); w.Code != 403 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if r := get(t, s, "/api/photos/"+strings.Repeat("ab", 32)); r.StatusCode != 403 {
		t.Error(r.Status)
	}
}

func TestWhatGoesWrongHereIsNotToldToTheAsker(t *testing.T) {
	s, db := writing(t, demo(t))
	if err := os.WriteFile(db.Path()+".photos", nil, 0o600); err != nil { // where the folder of photos would be made
		t.Fatal(err)
	}
	if w := postPhoto(s, "image/png", picture(t, 10, 10)); w.Code != 500 || strings.Contains(w.Body.String(), db.Path()) {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}
