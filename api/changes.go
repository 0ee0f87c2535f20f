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

// maxNamed is how many things of one act are named; an import may change them all.
const maxNamed = 200

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
		if len(last.Changed) < maxNamed && !(public && c.Noun != store.NounMooring && c.Noun != store.NounArea) {
			last.Changed = append(last.Changed, NamedNoun{c.Noun, c.Name})
		}
	}
	return all
}

// streamChanges tells of every change from now on, or from the one whose id the browser has seen last.
func streamChanges(q *request) error {
	harbor, err := q.harbor()
	if err != nil {
		return err
	}
	if !harbor.AsOf.IsZero() {
		return fmt.Errorf("%w: what stood at %s does not change", errQuery, harbor.AsOf.Format(time.RFC3339))
	}
	told := harbor.Info.Revision
	if last, err := strconv.ParseInt(q.r.Header.Get("Last-Event-ID"), 10, 64); err == nil && last >= 0 && last < told {
		told = last
	}
	h := q.w.Header()
	h.Set("Content-Type", eventStream)
	h.Set("Cache-Control", "no-store")
	if q.r.Method == http.MethodHead { // it would never end
		return nil
	}
	e := events{w: q.w, to: http.NewResponseController(q.w)}
	if e.remark("listening") == nil {
		q.follow(&e, harbor.Slug(), told)
	}
	return nil
}

// follow tells of changes after a revision until the asker goes, or is signed in no more, or the service ends.
func (q *request) follow(e *events, slug string, told int64) {
	ctx, tick := q.r.Context(), time.NewTicker(stillHereEvery)
	defer tick.Stop()
	for {
		next := q.service.office.NextChange() // before looking: what comes meanwhile is told by it
		var err error
		if told, err = q.tell(ctx, e, slug, told); err != nil {
			return
		}
		select {
		case <-ctx.Done():
			return
		case <-q.service.ending:
			return
		case <-next:
		case <-tick.C:
			if e.remark("still here") != nil {
				return
			}
		}
		if q.signedOut() {
			return
		}
	}
}

// tell sends what has been changed after a revision, and gives the newest that it has told.
func (q *request) tell(ctx context.Context, e *events, slug string, told int64) (int64, error) {
	shown, ok := q.service.office.Revision(slug)
	if !ok || shown <= told {
		return told, nil
	}
	rows, err := q.service.store.AllSince(ctx, slug, told)
	if err != nil {
		return told, err
	}
	for _, change := range changesOf(rows, q.person.Role == account.Public) {
		if change.Revision > shown {
			break // the map does not show it yet: the next change is told when it does
		}
		if err := e.sendAs(strconv.FormatInt(change.Revision, 10), "changed", change); err != nil {
			return told, err
		}
		told = change.Revision
	}
	return told, nil
}

// signedOut reports that the session or token with which a stream was begun does not hold any more.
func (q *request) signedOut() bool {
	p, err := q.findPerson()
	return err != nil || p.Role != q.person.Role || !strings.EqualFold(p.Name, q.person.Name)
}
