package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
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
	errOnlyShown = errors.New("this service only shows: others can reach its address, and there are no accounts yet. Serve on this machine's own address to write")
	errDoesNot   = errors.New("she does not fit")
	errBody      = errors.New("the body is not understood")
	errMedia     = errors.New("a body of application/json is wanted")
	errForeign   = errors.New("this came from another page or to another name than this machine's")
)

// Acted is what an act has done.
type Acted struct {
	Number   string           `json:"number"`
	Revision int64            `json:"revision"`
	Words    string           `json:"words"`
	Report   clearance.Report `json:"report"`
}

// mostTries is how often an act is tried again that met another's.
const mostTries = 20

// act changes a harbor in one transaction: do gets the harbor as it is on file, and its field, and gives what is to be on file. Where somebody else has written meanwhile all of it is done again, with the check.
func (q *request) act(why string, do func(h *geo.Harbor, f *clearance.Field) (clearance.Report, error)) (revision int64, report clearance.Report, err error) {
	if !q.service.writes {
		return 0, report, errOnlyShown
	}
	s, err := q.harbor()
	if err != nil {
		return 0, report, err
	}
	who := strings.TrimSpace(q.query.Get("who"))
	if who == "" || strings.TrimSpace(why) == "" {
		return 0, report, fmt.Errorf("%w: who and why are wanted, for the record", errBody)
	}
	service, ctx, slug := q.service, q.r.Context(), s.info.Slug
	service.acts.Lock() // of this process one after another: those of another are met by the revision
	defer service.acts.Unlock()
	for range mostTries {
		harbor, info, err := service.store.Harbor(ctx, slug)
		if err != nil {
			return 0, report, err
		}
		if wanted := q.query.Get("revision"); wanted != "" && wanted != fmt.Sprint(info.Revision) {
			return 0, report, fmt.Errorf("%w: the harbor is at revision %d, this was made from %s; look at it again", store.ErrStale, info.Revision, wanted)
		}
		field := s.field
		if s.info.Revision != info.Revision {
			if field, err = clearance.NewField(harbor); err != nil {
				return 0, report, err
			}
		}
		next := *harbor
		next.Moorings, next.Waiting = slices.Clone(harbor.Moorings), slices.Clone(harbor.Waiting)
		if report, err = do(&next, field); err != nil {
			return 0, report, err
		}
		changes, err := service.store.Save(ctx, slug, info.Revision, &next, store.Act{Who: who, Why: why, At: time.Now()})
		if errors.Is(err, store.ErrStale) {
			continue
		}
		if err != nil {
			return 0, report, err
		}
		return changes.Revision, report, service.Refresh(context.WithoutCancel(ctx))
	}
	return 0, report, fmt.Errorf("%w: others keep writing", store.ErrStale)
}

// unfit says in words why a boat does not fit, or cannot be said to; nil where she does.
func unfit(m *geo.Mooring, rules geo.Rules, report *clearance.Report, fits geo.Maybe[bool]) []string {
	reasons := []string{}
	if m.Boat != nil {
		reasons = append(reasons, beyondLimits(m, rules)...)
	}
	for i := range report.Conflicts {
		k := &report.Conflicts[i]
		other := k.A
		if other == m.Number {
			other = k.B
		}
		reasons = append(reasons, fmt.Sprintf("she keeps %.1f m less than she should from %s (%s)", k.OverlapM+k.MarginM, other, k.Certainty))
	}
	for _, z := range report.Hazards {
		reasons = append(reasons, fmt.Sprintf("%s: %.1f m short (%s)", strings.ReplaceAll(string(z.Kind), "_", " "), z.ByM, z.Certainty))
	}
	for _, u := range report.Unknown {
		if u.Mooring == m.Number {
			reasons = append(reasons, "it cannot be said: "+u.Words)
		}
	}
	if ok, known := fits.Get(); len(reasons) == 0 && !(known && ok) {
		reasons = append(reasons, "her swing radius is not known")
	}
	return reasons
}

// beyondLimits tells what is set for the place or its area and smaller than the boat.
func beyondLimits(m *geo.Mooring, rules geo.Rules) (reasons []string) {
	length, _ := m.Boat.SwingLength()
	for _, x := range []struct {
		what       string
		limit, got geo.Maybe[geo.Metres]
	}{
		{"long, and the place is for boats up to", m.LargestLOA, length}, {"long, and the area is for boats up to", rules.LargestLOA, length},
		{"deep, and the place is for boats up to", m.LargestDraft, m.Boat.Draft}, {"deep, and the area is for boats up to", rules.LargestDraft, m.Boat.Draft},
	} {
		if l, known := x.limit.Get(); known && x.got.Or(0) > l {
			reasons = append(reasons, fmt.Sprintf("she is %.2f m %s %.2f m", float64(x.got.Or(0)), x.what, float64(l)))
		}
	}
	return reasons
}

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
		if !slices.ContainsFunc(params, func(p param) bool { return p.name == name && !p.inPath }) {
			return fmt.Errorf("%w: there is no %q here", errBody, name)
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

// guarded lets an act through that comes from this service's own page or from a program on this machine.
func (s *Service) guarded(next http.HandlerFunc) http.HandlerFunc {
	var cross http.CrossOriginProtection
	return s.handle(func(q *request) error {
		if err := cross.Check(q.r); err != nil {
			return errForeign
		}
		// A foreign name that is made to lead here would pass for the page's own origin.
		host := q.r.Host
		if name, _, err := net.SplitHostPort(host); err == nil {
			host = name
		}
		if ip := net.ParseIP(strings.Trim(host, "[]")); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
			return errForeign
		}
		next(q.w, q.r)
		return nil
	})
}
