package api

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/api/exchange"
	"swingroom/api/store"
	"swingroom/geo"
)

var listParams = []param{{name: "units", doc: "feet or metres; the harbor's own unless given."}}

// listRoutes are the lists as files, one a list and format. The history tells of everything that was ever on record, and is for the crew.
func listRoutes() (all []route) {
	for _, list := range exchange.Lists() {
		for _, format := range exchange.Formats() {
			r := route{path: "/lists/" + list.Name + "." + string(format), scoped: true, name: list.Name + "_" + string(format),
				media: format.MediaType(), params: listParams,
				summary: "The list of " + list.Name + " as " + strings.ToUpper(string(format)) + ": " + list.Words + ".",
				do: func(q *request) error {
					return q.list(list.Name, format)
				}}
			if list.Name == exchange.HistoryList {
				r.role, r.params = account.Crew, nil
			}
			all = append(all, r)
		}
	}
	return all
}

// list sends a list as a file, as far as the asker may see it.
func (q *request) list(name string, format exchange.Format) error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	var body bytes.Buffer
	if name == exchange.HistoryList {
		err = q.historyList(&body, s, format)
	} else {
		err = exchange.Write(&body, name, s.field.Harbor(), geo.Units(lower(q.query.Get("units"))), format)
	}
	if err != nil {
		return err
	}
	q.named("attachment", fmt.Sprintf("%s-%s.%s", s.slug(), name, format))
	q.write(newAnswer(format.MediaType(), body.Bytes()))
	return nil
}

func (q *request) historyList(w io.Writer, s *snapshot, format exchange.Format) error {
	changes, err := q.service.store.History(q.r.Context(), s.slug(), "", "")
	if err != nil {
		return err
	}
	return exchange.WriteHistory(w, Events(changes, s.asOf), format)
}

// Events tells changes field by field, a row each; what was added or removed is one row. Of a harbor as it stood they are what had happened
// until then; a zero until is now.
func Events(changes []store.Change, until time.Time) (events []exchange.Event) {
	for _, c := range changes {
		if !until.IsZero() && c.At.After(until) {
			continue
		}
		e := exchange.Event{Revision: c.Revision, At: c.At, Who: c.Who, Why: c.Why, Noun: c.Noun, Name: c.Name}
		switch {
		case c.Before == nil:
			e.What = "added"
		case c.After == nil:
			e.What = "removed"
		default:
			e.What = "changed"
			for _, f := range c.Fields() {
				e.Field, e.Before, e.After = f.Field, f.Before, f.After
				events = append(events, e)
			}
			continue
		}
		events = append(events, e)
	}
	return events
}
