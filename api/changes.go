package api

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/api/store"
)

// Change is one act as those are told who have the map open.
type Change struct {
	Revision int64       `json:"revision"`
	At       time.Time   `json:"at"`
	Who      string      `json:"who"` // empty for the public, and so is Why
	Why      string      `json:"why"`
	Changed  []NamedNoun `json:"changed"`
}

// NamedNoun names one thing.
type NamedNoun struct {
	Noun string `json:"noun"`
	Name string `json:"name"`
}

// mostNamed is how many things of one act are named; an import may change them all.
const mostNamed = 200

// stillHereEvery is how often an open stream says that it is still there, so that nothing between takes it for dead.
const stillHereEvery = 20 * time.Second

// changesOf puts rows of history together by act. The public is told of moorings and areas alone, and neither who nor why.
func changesOf(rows []store.Change, public bool) []Change {
	all := []Change{}
	for _, c := range rows {
		if len(all) == 0 || all[len(all)-1].Revision != c.Revision {
			all = append(all, Change{Revision: c.Revision, At: c.At, Who: c.Who, Why: c.Why, Changed: []NamedNoun{}})
		}
		last := &all[len(all)-1]
		if public {
			last.Who, last.Why = "", ""
		}
		if len(last.Changed) < mostNamed && !(public && c.Noun != store.NounMooring && c.Noun != store.NounArea) {
			last.Changed = append(last.Changed, NamedNoun{c.Noun, c.Name})
		}
	}
	return all
}

// changes tells of every change from now on, or from the one whose id the browser has seen last.
func (q *request) changes() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	if !s.asOf.IsZero() {
		return fmt.Errorf("%w: what stood at %s does not change", errQuery, s.asOf.Format(time.RFC3339))
	}
	seen := s.info.Revision
	if last, err := strconv.ParseInt(q.r.Header.Get("Last-Event-ID"), 10, 64); err == nil && last >= 0 && last < seen {
		seen = last
	}
	h := q.w.Header()
	h.Set("Content-Type", eventStream)
	h.Set("Cache-Control", "no-store")
	if q.r.Method == http.MethodHead { // it would never end
		return nil
	}
	e := events{w: q.w, to: http.NewResponseController(q.w)}
	if e.remark("listening") != nil {
		return nil
	}
	ctx, tick := q.r.Context(), time.NewTicker(stillHereEvery)
	defer tick.Stop()
	for {
		bell := q.service.bells.next() // before looking: what comes meanwhile rings it
		if seen, err = q.tell(ctx, &e, s.info.Slug, seen); err != nil {
			return nil // the asker has gone, or is signed in no more
		}
		select {
		case <-ctx.Done():
			return nil
		case <-q.service.ending:
			return nil
		case <-bell:
			if q.signedOut() {
				return nil
			}
		case <-tick.C:
			if e.remark("still here") != nil || q.signedOut() {
				return nil
			}
		}
	}
}

// tell sends what has been changed after a revision, and gives the newest that it has told.
func (q *request) tell(ctx context.Context, e *events, slug string, seen int64) (int64, error) {
	now := q.service.snapshot(slug)
	if now == nil || now.info.Revision <= seen {
		return seen, nil
	}
	rows, err := q.service.store.AllSince(ctx, slug, seen)
	if err != nil {
		return seen, err
	}
	for _, change := range changesOf(rows, q.person().Role == account.Public) {
		if change.Revision > now.info.Revision {
			break // the map does not show it yet: the bell rings when it does
		}
		if err := e.sendAs(strconv.FormatInt(change.Revision, 10), "changed", change); err != nil {
			return seen, err
		}
		seen = change.Revision
	}
	return seen, nil
}

// signedOut reports that the session or token with which a stream was begun does not hold any more.
func (q *request) signedOut() bool {
	p, err := q.findPerson()
	return err != nil || p.Role != q.person().Role || !strings.EqualFold(p.Name, q.person().Name)
}
