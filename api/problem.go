package api

import (
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"swingroom/api/account"
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
	{errMedia, http.StatusUnsupportedMediaType, "JSON is wanted"},
	{errNotUndone, http.StatusConflict, "Not undone"},
	{errNotYours, http.StatusForbidden, "For another role"},
	{errPast, http.StatusForbidden, "Past"},
	{errOnlyShown, http.StatusForbidden, "Only shown"},
	{errForeign, http.StatusForbidden, "Not from here"},
	{errDoesNot, http.StatusConflict, "Does not fit"},
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
	{errUnconditional, http.StatusPreconditionRequired, "If-Match is wanted"},
	{store.ErrFull, http.StatusInsufficientStorage, "The disk is full"},
	{store.ErrReadOnly, http.StatusServiceUnavailable, "Only to be read"},
	{photo.ErrTooLarge, http.StatusRequestEntityTooLarge, "Picture too large"},
	{photo.ErrNoPicture, http.StatusUnsupportedMediaType, "A picture is wanted"},
	{photo.ErrBroken, http.StatusUnprocessableEntity, "Broken picture"},
	{room.ErrStopped, http.StatusServiceUnavailable, "Ended early"},
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
	Revision int64          `json:"revision,omitempty"`
	Changed  []ChangedThing `json:"changed,omitempty"`
}

// Reading is one way to read a position.
type Reading struct {
	Understood
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
	var unfit *unfitError
	if errors.As(err, &unfit) {
		p.Reasons = unfit.reasons
	}
	var changed *changedError
	if errors.As(err, &changed) {
		p.Revision, p.Changed = changed.revision, changed.changed
	}
	var refused *geo.PositionError
	if errors.As(err, &refused) {
		p.Detail, p.Words = refused.Reason, geo.Plain(refused.Reason)
		for _, r := range refused.Readings {
			p.Readings = append(p.Readings, Reading{understood(r.Position), r.How})
		}
	}
	return p
}

// handle makes an HTTP handler of one that returns its error: the one place that writes errors.
func (s *Service) handle(serve func(*request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		q := &request{service: s, w: w, r: r}
		if err := serve(q); err != nil {
			p := problemOf(err, r.URL.Path)
			if p.Status >= 500 {
				s.log.Error("request failed", "path", r.URL.Path, "error", err)
			}
			if p.Status == http.StatusUnauthorized {
				q.challenge()
			}
			writeProblem(w, p)
		}
	}
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
		start, debugging := time.Time{}, s.log.Enabled(r.Context(), slog.LevelDebug)
		if debugging {
			start = time.Now()
		}
		defer func() {
			if p := recover(); p != nil {
				s.log.Error("panic", "path", r.URL.Path, "panic", p, "stack", string(debug.Stack()))
				writeProblem(w, problemOf(errors.New("panic"), r.URL.Path))
			}
			if debugging {
				s.log.Debug("request", "path", r.URL.Path, "took", time.Since(start))
			}
		}()
		if len(r.URL.RawQuery) > maxQueryBytes {
			writeProblem(w, problemOf(errors.Join(errQuery, errors.New("it is too long")), r.URL.Path))
			return
		}
		next.ServeHTTP(w, r)
	})
}

func lower(text string) string { return strings.ToLower(strings.TrimSpace(text)) }
