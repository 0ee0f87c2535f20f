package api

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/api/office"
	"swingroom/api/photo"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/room"
)

// Kinds of error of the service itself.
var (
	errNoSuchPath = errors.New("there is nothing at this address")
	errMethod     = errors.New("this address does not take that method")
	errQuery      = errors.New("the query is not understood")
	errBody       = errors.New("the body is not understood")
	errMedia      = errors.New("a body of application/json is expected")
)

// statuses is the one table from kind of error to status.
var statuses = []struct {
	kind   error
	status int
	title  string
}{
	{errNoSuchPath, http.StatusNotFound, "Not found"},
	{errMethod, http.StatusMethodNotAllowed, "Method not allowed"},
	{geo.ErrNotFound, http.StatusNotFound, "Not found"},
	{store.ErrNoHarbor, http.StatusNotFound, "No harbor yet"},
	{store.ErrWhichHarbor, http.StatusBadRequest, "Several harbors"},
	{geo.ErrAmbiguous, http.StatusBadRequest, "Ambiguous"},
	{geo.ErrInvalid, http.StatusBadRequest, "Not valid"},
	{errQuery, http.StatusBadRequest, "Bad query"},
	{errBody, http.StatusBadRequest, "Bad body"},
	{office.ErrIncomplete, http.StatusBadRequest, "Not complete"},
	{errMedia, http.StatusUnsupportedMediaType, "JSON is expected"},
	{office.ErrNotUndone, http.StatusConflict, "Not undone"},
	{office.ErrNotYours, http.StatusForbidden, "For another role"},
	{office.ErrPast, http.StatusForbidden, "Past"},
	{errOnlyShown, http.StatusForbidden, "Only shown"},
	{errForeign, http.StatusForbidden, "Not from here"},
	{office.ErrDoesNotFit, http.StatusConflict, "Does not fit"},
	{errSignIn, http.StatusUnauthorized, "Not signed in"},
	{errNoKey, http.StatusUnauthorized, "Not signed in"},
	{account.ErrCredentials, http.StatusUnauthorized, "Not signed in"},
	{account.ErrToken, http.StatusUnauthorized, "Not signed in"},
	{errMayNot, http.StatusForbidden, "Not for this role"},
	{errOld, http.StatusUnprocessableEntity, "Not changed"},
	{account.ErrTooManyTries, http.StatusTooManyRequests, "Too many tries"},
	{account.ErrName, http.StatusBadRequest, "Not valid"},
	{account.ErrRole, http.StatusBadRequest, "Not valid"},
	{account.ErrPassword, http.StatusBadRequest, "Not valid"},
	{account.ErrExpiry, http.StatusBadRequest, "Not valid"},
	{store.ErrTaken, http.StatusConflict, "Taken"},
	{store.ErrLastHarbormaster, http.StatusConflict, "The last harbormaster"},
	{store.ErrStale, http.StatusPreconditionFailed, "Changed meanwhile"},
	{errUnconditional, http.StatusPreconditionRequired, "If-Match is expected"},
	{store.ErrFull, http.StatusInsufficientStorage, "The disk is full"},
	{store.ErrReadOnly, http.StatusServiceUnavailable, "Read-only"},
	{photo.ErrTooLarge, http.StatusRequestEntityTooLarge, "Picture too large"},
	{photo.ErrNoPicture, http.StatusUnsupportedMediaType, "A picture is expected"},
	{photo.ErrBroken, http.StatusUnprocessableEntity, "Broken picture"},
	{room.ErrStopped, http.StatusServiceUnavailable, "Ended early"},
	{context.Canceled, http.StatusServiceUnavailable, "Ended early"},
	{room.ErrRefused, http.StatusUnprocessableEntity, "Open water not followed"},
	{geo.ErrUnknown, http.StatusUnprocessableEntity, "Not on record"},
	{geo.ErrShortRode, http.StatusUnprocessableEntity, "Rode too short"},
}

// Problem is the body of every answer that is an error: RFC 9457.
type Problem struct {
	Type     string      `json:"type"`
	Title    string      `json:"title"`
	Status   int         `json:"status"`
	Detail   string      `json:"detail"`
	Words    geo.Words   `json:"words"` // the detail in the reader's units
	Instance string      `json:"instance"`
	Readings []Reading   `json:"readings,omitempty"` // ways to read a position that was refused
	Reasons  []geo.Words `json:"reasons,omitempty"`  // why a boat does not fit
	// Revision is that which holds now, and Changed what others have changed since, where an act was refused for that.
	Revision int64                 `json:"revision,omitempty"`
	Changed  []office.ChangedThing `json:"changed,omitempty"`
}

// Reading is one way to read a position.
type Reading struct {
	office.Understood
	Words string `json:"words"` // what was assumed
}

func problemOf(err error, path string) Problem {
	p := Problem{Type: "about:blank", Title: "Internal error", Status: http.StatusInternalServerError,
		Detail: "something went wrong here; the log of the service says what", Instance: path}
	for _, row := range statuses {
		if errors.Is(err, row.kind) {
			p.Title, p.Status, p.Detail, p.Words = row.title, row.status, err.Error(), geo.ErrorWords(err)
			break
		}
	}
	if p.Words == (geo.Words{}) {
		p.Words = geo.Plain(p.Detail)
	}
	p.add(err)
	return p
}

// add takes from an error what only some kinds of it tell.
func (p *Problem) add(err error) {
	var unfit *office.UnfitError
	if errors.As(err, &unfit) {
		p.Reasons = unfit.Reasons
	}
	var changed *office.ChangedError
	if errors.As(err, &changed) {
		p.Revision, p.Changed = changed.Revision, changed.Changed
	}
	var refused *geo.PositionError
	if errors.As(err, &refused) {
		p.Detail, p.Words = refused.Reason, geo.Plain(refused.Reason)
		for _, r := range refused.Readings {
			p.Readings = append(p.Readings, Reading{office.UnderstoodAs(r.Position), r.How})
		}
	}
}

// handle makes an HTTP handler of one that returns its error: the one place that writes errors.
func (s *Service) handle(serve func(*request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		q := &request{service: s, w: w, r: r}
		err := serve(q)
		if err == nil || errors.Is(err, context.Canceled) && r.Context().Err() != nil {
			return // done, or the asker has gone: there is nobody to tell, and nothing is wrong here
		}
		p := q.problem(err)
		if p.Status == http.StatusUnauthorized {
			q.challenge()
		}
		writeProblem(w, p)
	}
}

// problem is what is told of an error; one of the service itself is logged.
func (q *request) problem(err error) Problem {
	p := problemOf(err, q.r.URL.Path)
	if p.Status >= http.StatusInternalServerError {
		q.service.log.Error("request failed", "path", q.r.URL.Path, "error", err)
	}
	return p
}

func writeProblem(w http.ResponseWriter, p Problem) {
	body, err := json.Marshal(p)
	if err != nil {
		body = []byte(`{"type":"about:blank","title":"Internal error","status":500}`)
	}
	h := w.Header()
	h.Set("Content-Type", "application/problem+json")
	h.Set("Cache-Control", "no-store")
	h.Del("Content-Encoding")
	w.WriteHeader(p.Status)
	_, _ = w.Write(body) // the reader may be gone; there is nobody to tell
}

// contentPolicy lets the page load nothing from elsewhere but background tiles, and run no script inside HTML.
const contentPolicy = "default-src 'self'; img-src 'self' data: https: http:; style-src 'self'; object-src 'none'; base-uri 'none'; " +
	"frame-ancestors 'none'; form-action 'self'"

var fixedHeaders = map[string][]string{
	"Content-Security-Policy": {contentPolicy},
	"X-Content-Type-Options":  {"nosniff"},
	"Referrer-Policy":         {"no-referrer"},
}

// strictTransport keeps a browser to TLS for a year (RFC 6797).
var strictTransport = []string{"max-age=31536000"}

// outermost sets the headers that every answer has, keeps a handler's panic from the user, refuses queries beyond reason, and logs.
func (s *Service) outermost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		for name, value := range fixedHeaders {
			h[name] = value
		}
		if s.secure {
			h["Strict-Transport-Security"] = strictTransport
		}
		if s.log.Enabled(r.Context(), slog.LevelDebug) {
			start := time.Now()
			defer func() { s.log.Debug("request", "path", r.URL.Path, "took", time.Since(start)) }()
		}
		if len(r.URL.RawQuery) > maxQueryBytes {
			writeProblem(w, problemOf(errors.Join(errQuery, errors.New("it is too long")), r.URL.Path))
			return
		}
		tracked := &trackedWriter{ResponseWriter: w}
		defer s.recover(tracked, r)
		next.ServeHTTP(tracked, r)
	})
}

// trackedWriter knows whether an answer has begun.
type trackedWriter struct {
	http.ResponseWriter
	begun bool
}

// WriteHeader sends the status.
func (w *trackedWriter) WriteHeader(status int) {
	w.begun = true
	w.ResponseWriter.WriteHeader(status)
}

// Write sends a part of the body.
func (w *trackedWriter) Write(b []byte) (int, error) {
	w.begun = true
	return w.ResponseWriter.Write(b)
}

// Unwrap is for http.ResponseController.
func (w *trackedWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// recover tells of a panic where that can still be told. An answer that has begun is cut off instead: a reader must not take it for whole.
func (s *Service) recover(w *trackedWriter, r *http.Request) {
	p := recover()
	if p == nil {
		return
	}
	if p == http.ErrAbortHandler {
		panic(p)
	}
	s.log.Error("panic", "path", r.URL.Path, "panic", p, "stack", string(debug.Stack()))
	if w.begun {
		panic(http.ErrAbortHandler)
	}
	writeProblem(w, problemOf(errors.New("panic"), r.URL.Path))
}

func lower(text string) string { return strings.ToLower(strings.TrimSpace(text)) }
