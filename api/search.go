package api

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"time"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/room"
)

// searches are those that can be stopped from outside, by their names.
type searches struct {
	mu   sync.Mutex
	live map[string]context.CancelFunc
}

func (s *searches) begin(cancel context.CancelFunc) (name string) {
	name = rand.Text()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.live == nil {
		s.live = map[string]context.CancelFunc{}
	}
	s.live[name] = cancel
	return name
}

func (s *searches) end(name string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.live, name)
}

func (s *searches) stop(name string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	cancel, ok := s.live[name]
	if ok {
		cancel()
	}
	return ok
}

// eventStream is the type of an answer that is told while it is worked out: server-sent events, as in the HTML standard.
const eventStream = "text/event-stream"

// search is the handler of a question that takes seconds, and ends when its asker has gone. Where events are asked for, the answer is a
// stream of them: begun with the search's name, by which it can be stopped; progress with done and total; and then found with the answer,
// which is the best so far where it was stopped, or failed with a problem.
func search[I, A any](do func(*office.Harbor, context.Context, I, room.Progress) (A, error)) handler {
	h := takes(func(q *request, in I) error {
		harbor, err := q.harbor()
		if err != nil {
			return err
		}
		work := func(ctx context.Context, report room.Progress) (any, error) { return do(harbor, ctx, in, report) }
		if strings.Contains(q.r.Header.Get("Accept"), eventStream) {
			q.stream(work)
			return nil
		}
		found, err := work(q.r.Context(), nil)
		if err != nil && !room.Partial(err) {
			return err
		}
		return q.writeJSON(found)
	})
	h.out = answerOf[A]()
	return h
}

// stream tells of work while it goes on.
func (q *request) stream(work func(context.Context, room.Progress) (any, error)) {
	h := q.w.Header()
	h.Set("Content-Type", eventStream)
	h.Set("Cache-Control", "no-store")
	ctx, cancel := context.WithCancel(q.r.Context())
	defer cancel()
	name := q.service.searches.begin(cancel)
	defer q.service.searches.end(name)
	e := events{w: q.w, to: http.NewResponseController(q.w)}
	e.send("begun", map[string]string{"search": name})
	found, err := work(ctx, e.progress)
	if err != nil && !room.Partial(err) {
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
