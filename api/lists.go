package api

import (
	"bytes"
	"fmt"
	"strings"

	"swingroom/api/account"
	"swingroom/api/exchange"
	"swingroom/api/office"
	"swingroom/geo"
)

// listRoutes are the lists as files, one a list and format. The history tells of everything that was ever on record, and is for the crew.
func listRoutes() (all []route) {
	for _, each := range exchange.Lists() {
		name := each.Name
		for _, format := range exchange.Formats() {
			r := route{path: "/lists/" + name + "." + string(format), scoped: true, name: name + "_" + string(format),
				media: format.MediaType(), params: listParams, handler: list(name, format),
				summary: "The list of " + name + " as " + strings.ToUpper(string(format)) + ": " + each.Words + "."}
			if name == exchange.HistoryList {
				r.role, r.params, r.handler = account.Crew, nil, historyList(format)
			}
			all = append(all, r)
		}
	}
	return all
}

// listQuestion is in which units a list is written.
type listQuestion struct {
	Units string `json:"units"` // feet or metres; the harbor's own unless given
}

// list is the handler of a list as a file, as far as the asker may see it.
func list(name string, format exchange.Format) handler {
	return takes(func(q *request, in listQuestion) error {
		h, err := q.harbor()
		if err != nil {
			return err
		}
		var body bytes.Buffer
		if err := exchange.Write(&body, name, h.Field.Harbor(), geo.Units(lower(in.Units)), format); err != nil {
			return err
		}
		q.sendList(h, name, format, body.Bytes())
		return nil
	})
}

// historyList is the handler of the whole history as a file.
func historyList(format exchange.Format) handler {
	return plain(func(q *request) error {
		h, err := q.harbor()
		if err != nil {
			return err
		}
		events, err := h.Events(q.r.Context())
		if err != nil {
			return err
		}
		var body bytes.Buffer
		if err := exchange.WriteHistory(&body, events, format); err != nil {
			return err
		}
		q.sendList(h, exchange.HistoryList, format, body.Bytes())
		return nil
	})
}

func (q *request) sendList(h *office.Harbor, name string, format exchange.Format, body []byte) {
	q.named("attachment", fmt.Sprintf("%s-%s.%s", h.Slug(), name, format))
	q.write(newAnswer(format.MediaType(), body))
}
