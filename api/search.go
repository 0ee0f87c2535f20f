package api

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/room"
)

// searches are those that can be stopped from outside, by their names.
type searches struct {
	mu   sync.Mutex
	live map[string]*atomic.Bool
}

func (s *searches) begin() (name string, stopped *atomic.Bool) {
	name, stopped = rand.Text(), &atomic.Bool{}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.live == nil {
		s.live = map[string]*atomic.Bool{}
	}
	s.live[name] = stopped
	return name, stopped
}

func (s *searches) end(name string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.live, name)
}

func (s *searches) stop(name string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	stopped, ok := s.live[name]
	if ok {
		stopped.Store(true)
	}
	return ok
}

// eventStream is the type of an answer that is told while it is worked out: server-sent events, as in the HTML standard.
const eventStream = "text/event-stream"

// search is the handler of a question that takes seconds, and ends when its asker has gone. Where events are asked for, the answer is a
// stream of them: begun with the search's name, by which it can be stopped; progress with done and total; and then found with the answer, or
// failed with a problem.
func search[I, A any](do func(*office.Harbor, I, room.Control) (A, error)) handler {
	h := takes(func(q *request, in I) error {
		harbor, err := q.harbor()
		if err != nil {
			return err
		}
		work := func(ctl room.Control) (any, error) { return do(harbor, in, ctl) }
		if strings.Contains(q.r.Header.Get("Accept"), eventStream) {
			q.stream(work)
			return nil
		}
		found, err := work(room.Control{Stop: q.gone})
		if err != nil {
			return err
		}
		return q.writeJSON(found)
	})
	h.out = reflect.TypeFor[A]()
	return h
}

// gone tells that nobody waits for the answer any more.
func (q *request) gone() bool { return q.r.Context().Err() != nil }

// stream tells of work while it goes on.
func (q *request) stream(work func(room.Control) (any, error)) {
	h := q.w.Header()
	h.Set("Content-Type", eventStream)
	h.Set("Cache-Control", "no-store")
	name, stopped := q.service.searches.begin()
	defer q.service.searches.end(name)
	e := events{w: q.w, to: http.NewResponseController(q.w)}
	e.send("begun", map[string]string{"search": name})
	found, err := work(room.Control{Stop: func() bool { return stopped.Load() || q.gone() }, Progress: e.progress})
	if err != nil {
		e.send("failed", q.problem(err))
		return
	}
	e.send("found", found)
}

// events writes a stream of them.
type events struct {
	w    http.ResponseWriter
	to   *http.ResponseController
	last time.Time
}

// progressEvery is how often a search tells how far it has come.
const progressEvery = 100 * time.Millisecond

func (e *events) progress(done, total int) {
	if now := time.Now(); now.Sub(e.last) >= progressEvery || done == total {
		e.last = now
		e.send("progress", map[string]int{"done": done, "total": total})
	}
}

func (e *events) send(event string, data any) {
	_ = e.sendAs("", event, data) // what cannot be written has no reader any more, and the search ends by that
}

// sendAs sends an event with an id, by which a browser that has lost the stream tells what it has seen.
func (e *events) sendAs(id, event string, data any) error {
	body, err := json.Marshal(data)
	if err != nil {
		event, body = "failed", []byte(`{"type":"about:blank","title":"Internal error","status":500}`)
	}
	if id != "" {
		id = "id: " + id + "\n"
	}
	return e.write(fmt.Sprintf("%sevent: %s\ndata: %s\n\n", id, event, body))
}

// remark sends a line that is no event.
func (e *events) remark(words string) error { return e.write(": " + words + "\n\n") }

// write sends at once. A search may take longer than any other answer, so each event has its own time to get through.
func (e *events) write(text string) error {
	_ = e.to.SetWriteDeadline(time.Now().Add(writeTimeout)) // not every writer has one
	if _, err := io.WriteString(e.w, text); err != nil {
		return err
	}
	return e.to.Flush()
}

// stopSearch ends a search; it answers with the best so far.
func stopSearch(q *request) error {
	name := q.pathText("search")
	if !q.service.searches.stop(name) {
		return fmt.Errorf("search %q: %w; it may have ended", name, geo.ErrNotFound)
	}
	return q.done(nil)
}
