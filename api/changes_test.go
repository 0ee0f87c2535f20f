package api_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/store"
)

// listening serves until the test ends, and gives the address.
func listening(t *testing.T, s *api.Service) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, listener) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return "http://" + listener.Addr().String()
}

// heardChange is one of a stream.
type heardChange struct {
	id     string
	change api.Change
}

// listen listens to the changes of a service; the first line has come when it returns.
func listen(t *testing.T, base string, headers ...string) <-chan heardChange {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(stop)
	r, err := http.NewRequestWithContext(ctx, "GET", base+"/api/changes", nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w, err := http.DefaultClient.Do(r)
	if err != nil || w.StatusCode != 200 || w.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatal(err, w)
	}
	lines := bufio.NewScanner(w.Body)
	lines.Scan()
	found := make(chan heardChange, 16)
	go func() {
		defer w.Body.Close()
		var e heardChange
		for lines.Scan() {
			line := lines.Text()
			if text, ok := strings.CutPrefix(line, "id: "); ok {
				e.id = text
			}
			if text, ok := strings.CutPrefix(line, "data: "); ok && json.Unmarshal([]byte(text), &e.change) == nil {
				found <- e
			}
		}
	}()
	return found
}

func next(t *testing.T, from <-chan heardChange) heardChange {
	t.Helper()
	select {
	case e := <-from:
		return e
	case <-time.After(time.Minute): // two seconds are promised; a busy machine is no fault, nor is the race detector
		t.Fatal("nothing came")
	}
	return heardChange{}
}

func TestChangesAreToldAsTheyAreMade(t *testing.T) {
	s, db := writing(t, demo(t))
	base := listening(t, s)
	heard := listen(t, base)
	if code, text := edit(s, "*", `{"noun":"mooring","name":"101","set":{"note":"x"},"who":"Ann","why":"spring"}`); code != 200 {
		t.Fatal(code, text)
	}
	e := next(t, heard)
	if e.id != "2" || e.change.Revision != 2 || e.change.Who != "Ann" || e.change.Why != "spring" ||
		fmt.Sprint(e.change.Changed) != "[{mooring 101}]" {
		t.Errorf("%+v", e)
	}
	// Another program writes to the file.
	h, info, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	other, err := store.Open(t.Context(), db.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	h.Moorings[5].Note = "by hand"
	if _, err := other.Save(t.Context(), info.Slug, info.Revision, h, store.Act{Who: "import", Why: "cards"}); err != nil {
		t.Fatal(err)
	}
	if e := next(t, heard); e.id != "3" || e.change.Who != "import" || e.change.Changed[0].Name != h.Moorings[5].Number {
		t.Errorf("%+v", e)
	}
	// One who has lost the stream is told what has been missed.
	again := listen(t, base, "Last-Event-ID", "1")
	if a, b := next(t, again), next(t, again); a.id != "2" || b.id != "3" {
		t.Errorf("%s, %s", a.id, b.id)
	}
}

func TestThePublicIsToldOfChangesWithoutNames(t *testing.T) {
	db := onFile(t, demo(t))
	public, err := api.New(api.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	heard := listen(t, listening(t, public))
	h, info, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	h.Owners[0].Phone, h.Moorings[3].Note = "+00 555 0199", "sold to somebody"
	if _, err := db.Save(t.Context(), info.Slug, info.Revision, h, store.Act{Who: "A. Clerk", Why: "sold to somebody"}); err != nil {
		t.Fatal(err)
	}
	e := next(t, heard)
	if e.change.Who != "" || e.change.Why != "" || len(e.change.Changed) != 1 || e.change.Changed[0].Name != h.Moorings[3].Number {
		t.Errorf("%+v", e)
	}
}

func TestTheHeadOfTheStreamEnds(t *testing.T) {
	s, _ := writing(t, demo(t))
	answer, err := (&http.Client{Timeout: 10 * time.Second}).Head(listening(t, s) + "/api/changes")
	if err != nil || answer.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatal(err, answer)
	}
}
