package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Kinds of error of an act.
var (
	errOnlyShown = errors.New("there are no accounts here, so others only see the map as the public may; the one who looks after this " +
		"service makes accounts with: swingroom account add NAME --role harbormaster")
	errDoesNot = errors.New("the boat does not fit")
	errBody    = errors.New("the body is not understood")
	errMedia   = errors.New("a body of application/json is wanted")
	errForeign = errors.New("this came from another page or to another name than this machine's")
)

// Acted is what an act has done.
type Acted struct {
	Number   string    `json:"number"`
	Revision int64     `json:"revision"`
	Words    geo.Words `json:"words"`
	// Fits are the fit checks of the boats that have another place than before.
	Fits []clearance.Fit `json:"fits"`
}

// mostTries is how often an act is tried again that met another's.
const mostTries = 20

// act changes a harbor in one transaction: do gets the harbor as it will be when every act before this one is on disk, and its field, and
// makes of it what is to be on file.
func (q *request) act(why string, do func(h *geo.Harbor, f *clearance.Field) error, about ...store.Key) (revision int64, err error) {
	s, err := q.harbor()
	if err != nil {
		return 0, err
	}
	if !s.asOf.IsZero() {
		return 0, fmt.Errorf("%w: it is shown as it stood at %s", errPast, s.asOf.Format(time.RFC3339))
	}
	who := q.who()
	if who == "" || strings.TrimSpace(why) == "" {
		return 0, fmt.Errorf("%w: who and why are wanted, for the record", errBody)
	}
	seen, err := q.seen()
	if err != nil {
		return 0, err
	}
	changes, err := q.service.change(q.r.Context(), s.info.Slug, deed{seen: seen, about: about, act: store.Act{Who: who, Why: why}, do: do})
	if err == nil {
		q.w.Header()["Etag"] = []string{tagOf(changes.Revision)}
	}
	return changes.Revision, err
}

// who is whose act it is: the one who has signed in, or where there are no accounts who the body says.
func (q *request) who() string {
	if p := q.person(); p.SignedIn() {
		return p.Name
	}
	return strings.TrimSpace(q.query.Get("who"))
}

// reasonOf is why an act is done, with why it is done despite the check where that is said.
func (q *request) reasonOf() (why, despite string) {
	why, despite = strings.TrimSpace(q.query.Get("why")), strings.TrimSpace(q.query.Get("despite"))
	if despite != "" && why != "" {
		why += "; despite the check: " + despite
	}
	return why, despite
}

// fitting puts changed moorings in a field and checks each boat that has another place than before, with all of them there. Where one does
// not fit, or it cannot be said, that is refused unless a reason is given for doing it anyway.
func fitting(f *clearance.Field, despite string, changed ...geo.Mooring) (fits []clearance.Fit, err error) {
	for _, m := range changed {
		if f, err = f.With(m); err != nil {
			return nil, err
		}
	}
	fits = []clearance.Fit{}
	var reasons []geo.Words
	for _, m := range changed {
		if m.Boat == nil && !m.LargestLOA.IsKnown() {
			continue // it keeps no water
		}
		fit := f.Fit(m)
		fits = append(fits, fit)
		for _, v := range fit.Against() {
			if refuses(&v) {
				reasons = append(reasons, geo.Tell("%s: %s", m.Number, geo.WordsOf(v.Sentence)))
			}
		}
	}
	if len(reasons) > 0 && despite == "" {
		return nil, &unfitError{reasons}
	}
	return fits, nil
}

// refuses reports whether a verdict stands in the way of an act. A mooring gets its water before all of its tackle is on record, and a boat
// her place before her permit: the answer tells what is missing.
func refuses(v *clearance.Verdict) bool {
	switch v.Reason {
	case clearance.PermitOver, clearance.PermitUnknown:
		return false
	}
	return v.Fits.IsKnown() || v.Constraint.Kind() != clearance.KindTackle
}

// unfitError refuses an act for what the fit check does not let pass.
type unfitError struct{ reasons []geo.Words }

func (e *unfitError) Error() string { return e.In(geo.UnitsMetres) }

// In tells it in the reader's units.
func (e *unfitError) In(u geo.Units) string { return "the boat does not fit: " + e.reasonsIn(u) }

func (e *unfitError) reasonsIn(u geo.Units) string {
	told := make([]string, len(e.reasons))
	for i, reason := range e.reasons {
		told[i] = reason.In(u)
	}
	return strings.Join(told, "; ")
}

func (e *unfitError) Unwrap() error { return errDoesNot }

// maxBodyBytes is how long a body may be.
const maxBodyBytes = 64 << 10

// body reads the parameters of an act from a JSON object of plain values, and refuses what is not one of the route's.
func (q *request) body(params []param) error {
	if kind, _, err := mime.ParseMediaType(q.r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return errMedia
	}
	var values map[string]any
	d := json.NewDecoder(http.MaxBytesReader(q.w, q.r.Body, maxBodyBytes))
	d.UseNumber()
	if err := d.Decode(&values); err != nil {
		return fmt.Errorf("%w: %v", errBody, err)
	}
	if _, err := d.Token(); err != io.EOF {
		return fmt.Errorf("%w: more than one object", errBody)
	}
	q.query = url.Values{}
	for name, value := range values {
		at := slices.IndexFunc(params, func(p param) bool { return p.name == name && !p.inPath })
		if at < 0 {
			return fmt.Errorf("%w: there is no %q here", errBody, name)
		}
		if params[at].object && value != nil {
			text, err := json.Marshal(value)
			if _, is := value.(map[string]any); !is || err != nil {
				return fmt.Errorf("%w: %s has to be an object", errBody, name)
			}
			q.query.Set(name, string(text))
			continue
		}
		switch v := value.(type) {
		case nil:
		case string:
			q.query.Set(name, v)
		case json.Number:
			q.query.Set(name, v.String())
		case bool:
			q.query.Set(name, fmt.Sprint(v))
		default:
			return fmt.Errorf("%w: %s has to be a text, a number, true or false", errBody, name)
		}
	}
	return nil
}
