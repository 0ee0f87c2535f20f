package api_test

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"swingroom/api"
)

// The tag of an act's answer and that of a sheet name a revision: both are taken as If-Match of the next act, and refused when something
// that it touches has been changed since.
func TestTheTagOfAnActAndOfASheetCanBeUsedForTheNextAct(t *testing.T) {
	s, _ := writing(t, demo(t))
	number := emptyMooring(t)
	note := func(tag string) *httptest.ResponseRecorder {
		return post(s, "/api/acts/edit", `{"noun":"mooring","name":"`+number+`","set":{"note":"looked at with `+strings.Trim(tag, `"`)+
			`"},"who":"crew","why":"test"}`, "If-Match", tag)
	}
	sheet := get(t, s, "/api/moorings/"+number).Header.Get("Etag")
	if !strings.HasPrefix(sheet, `"r1-`) {
		t.Fatalf("the sheet's tag is %s", sheet)
	}
	first := note(sheet)
	if first.Code != http.StatusOK || first.Header().Get("Etag") != `"r2"` {
		t.Fatalf("with the sheet's tag: %d, tag %s, %s", first.Code, first.Header().Get("Etag"), first.Body)
	}
	if again := note(sheet); again.Code != http.StatusPreconditionFailed {
		t.Errorf("with the old sheet's tag: %d %s", again.Code, again.Body)
	}
	if next := note(first.Header().Get("Etag")); next.Code != http.StatusOK || next.Header().Get("Etag") != `"r3"` {
		t.Errorf("with the act's tag: %d %s", next.Code, next.Body)
	}
	packed := get(t, s, "/api/moorings/"+number, "Accept-Encoding", "gzip").Header.Get("Etag")
	if w := note(packed); w.Code != http.StatusOK {
		t.Errorf("with the tag of a packed sheet, %s: %d %s", packed, w.Code, w.Body)
	}
}

// Who goes away before the answer is no error of the service.
func TestAnAskerWhoGoesAwayIsNoErrorInTheLog(t *testing.T) {
	var log bytes.Buffer
	s, err := api.New(api.Options{Store: onFile(t, demo(t)), Local: true, Log: slog.New(slog.NewTextHandler(&log, nil))})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, path := range []string{"/api/moorings/001/fit?loa_m=9&beam_m=3&draft_m=1&bow_height_m=1", "/api/largest",
		"/api/records/mooring/001",
		"/api/history", "/api/spots?" + forASloop, "/api/open_water?" + forASloop} {
		r := httptest.NewRequestWithContext(ctx, "GET", path, nil)
		r.Host = "127.0.0.1:7464"
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		if w.Code >= 500 {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
	if strings.Contains(log.String(), "level=ERROR") {
		t.Errorf("logged:\n%s", &log)
	}
}

// panicking breaks off when the answer is written.
type panicking struct {
	http.ResponseWriter
	after int // writes that go through before
	with  any
}

func (p *panicking) Write(b []byte) (int, error) {
	if p.after--; p.after < 0 {
		panic(p.with)
	}
	return p.ResponseWriter.Write(b)
}

// A panic is told where nothing has been sent yet. Else the answer is cut off, so that nobody takes it for whole; and what the server uses
// to cut an answer off passes.
func TestAnAnswerThatBreaksOffIsCutAndNotEnded(t *testing.T) {
	s, _ := writing(t, demo(t))
	cut := func(with any) (got any, w *httptest.ResponseRecorder) {
		w = httptest.NewRecorder()
		defer func() { got = recover() }()
		r := httptest.NewRequest("GET", "/api/harbors", nil)
		s.Handler().ServeHTTP(&panicking{w, 0, with}, r)
		return nil, w
	}
	for name, with := range map[string]any{"a fault": errors.New("fault"), "the server's own": http.ErrAbortHandler} {
		got, w := cut(with)
		if err, _ := got.(error); !errors.Is(err, http.ErrAbortHandler) {
			t.Errorf("%s: the connection is not cut, but %v", name, got)
		}
		if w != nil && strings.Contains(w.Body.String(), "Internal error") {
			t.Errorf("%s: a problem stands in a begun answer: %s", name, w.Body)
		}
	}
}
