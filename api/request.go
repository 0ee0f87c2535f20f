package api

import (
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"swingroom/api/account"
	"swingroom/api/office"
)

// request is one request while it is answered.
type request struct {
	service *Service
	w       http.ResponseWriter
	r       *http.Request
	values  *values
	person  account.Person // zero: nobody has looked yet, and that is nobody who may do anything
}

// harbor is the one that the path names, or the only one, as the asker may see it. A name with @ and a time is a harbor as it stood then.
func (q *request) harbor() (*office.Harbor, error) {
	return q.service.office.Harbor(q.r.Context(), q.pathText("harbor"), q.person)
}

// pathText is a part of the path, unescaped.
func (q *request) pathText(name string) string {
	text := chi.URLParam(q.r, name)
	if plain, err := url.PathUnescape(text); err == nil {
		return plain
	}
	return text
}
