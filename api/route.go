package api

import (
	"net/http"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"

	"swingroom/api/account"
	"swingroom/api/geojson"
)

// param is a parameter of a route.
type param struct {
	name   string
	doc    string
	inPath bool
	object bool // of an act: an object of values, and not a plain one
}

// route is one path with what it takes and gives: both the router and the description of the service are made from it.
type route struct {
	path    string // under the harbor when scoped
	scoped  bool   // it is about one harbor: /api/harbors/{harbor}/..., or /api/... for the only one
	name    string
	summary string
	params  []param
	media   string       // of an answer that is neither JSON nor GeoJSON
	acts    bool         // it is posted, with its parameters as a JSON object, and may change what is on file
	takes   string       // media type of what is posted, where that is no JSON
	role    account.Role // who at least may ask; unless given the harbormaster for acts, and the public for what is read
	handler
}

// routes are all paths that answer with data.
func routes() []route {
	all := slices.Concat(serviceRoutes, accountRoutes, harborRoutes, mooringRoutes, roomRoutes, recordRoutes, actRoutes, listRoutes())
	for _, c := range geojson.Collections() {
		all = append(all, route{path: "/" + c.Name, scoped: true, name: c.Name, summary: c.Summary, params: []param{bboxParam},
			handler: collection(c)})
	}
	return all
}

func (r route) serve(q *request) (err error) {
	if r.acts && r.takes == "" {
		q.values, err = bodyOf(q.w, q.r, r.params)
	} else {
		q.values, err = queryOf(q.r, r.params)
	}
	if err != nil {
		return err
	}
	return r.do(q)
}

// patterns are the paths of a route for the router.
func (r route) patterns() []string {
	if !r.scoped {
		return []string{r.path}
	}
	short := "/api" + r.path
	if r.path == "" {
		short = "/api/harbor"
	}
	return []string{"/api/harbors/{harbor}" + r.path, short}
}

// allParams are the parameters with those in the path.
func (r route) allParams() []param {
	inPath := []param{}
	for _, p := range pathParams {
		if strings.Contains(r.path, "{"+p.name+"}") {
			inPath = append(inPath, p)
		}
	}
	return append(inPath, r.params...)
}

// newRouter is every path of the service.
func (s *Service) newRouter() http.Handler {
	r := chi.NewRouter()
	r.Use(s.outermost)
	r.NotFound(s.handle(func(q *request) error { return errNoSuchPath }))
	r.MethodNotAllowed(s.handle(func(q *request) error {
		q.w.Header().Set("Allow", strings.Join(allowed(r, q.r.URL.Path), ", "))
		return errMethod
	}))
	for _, route := range routes() {
		h := s.admitted(route)
		for _, pattern := range route.patterns() {
			if route.acts {
				r.Post(pattern, h)
				continue
			}
			r.Get(pattern, h)
			r.Head(pattern, h)
		}
	}
	for _, pattern := range []string{"/", "/index.html", "/app/{file}", "/vendor/leaflet/LICENSE"} {
		h := s.handle(s.page)
		r.Get(pattern, h)
		r.Head(pattern, h)
	}
	return r
}

// allowed are the methods that a path takes.
func allowed(r chi.Router, path string) (methods []string) {
	for _, method := range []string{http.MethodGet, http.MethodHead, http.MethodPost} {
		if r.Match(chi.NewRouteContext(), method, path) {
			methods = append(methods, method)
		}
	}
	return methods
}
