package api

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swingroom/api/account"
	"swingroom/api/store"
	"swingroom/geo"
)

// request is one request while it is answered.
type request struct {
	service *Service
	w       http.ResponseWriter
	r       *http.Request
	query   url.Values
	asks    account.Person // zero: nobody has looked yet, and that is nobody who may do anything
}

// harbor is the snapshot that the path names, or the only one, as the asker may see it. A name with @ and a time is a harbor as it stood
// then.
func (q *request) harbor() (*snapshot, error) {
	name, at, isPast := split(q.pathText("harbor"))
	s, err := q.service.named(name)
	if err != nil {
		return nil, err
	}
	if isPast {
		if s, err = q.service.past(q.r.Context(), s, s.info.Slug, at); err != nil {
			return nil, err
		}
	}
	if !q.person().Role.Can(account.Names) {
		return s.public()
	}
	return s, nil
}

// named finds a harbor by its name; an empty one takes the only harbor.
func (s *Service) named(slug string) (*snapshot, error) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	if found, ok := s.snapshots[slug]; ok {
		return found, nil
	}
	var slugs []string
	for name, only := range s.snapshots {
		if slug == "" && len(s.snapshots) == 1 {
			return only, nil
		}
		slugs = append(slugs, name)
	}
	slices.Sort(slugs)
	switch {
	case len(slugs) == 0:
		return nil, store.ErrNoHarbor
	case slug == "":
		return nil, fmt.Errorf("%w of %s, as in /api/harbors/NAME/check", store.ErrWhichHarbor, strings.Join(slugs, ", "))
	}
	return nil, fmt.Errorf("harbor %s: %w; there is %s", slug, geo.ErrNotFound, strings.Join(slugs, ", "))
}

// allow parses the query and refuses any parameter that is not one of the route's, or stands twice.
func (q *request) allow(params []param) error {
	if q.r.URL.RawQuery == "" {
		return nil
	}
	var err error
	if q.query, err = url.ParseQuery(q.r.URL.RawQuery); err != nil {
		return fmt.Errorf("%w: %v", errQuery, err)
	}
	for name, values := range q.query {
		if !slices.ContainsFunc(params, func(p param) bool { return p.name == name && !p.inPath }) {
			names := []string{}
			for _, p := range params {
				if !p.inPath {
					names = append(names, p.name)
				}
			}
			known := "there are none here"
			if len(names) > 0 {
				known = "known here: " + strings.Join(names, ", ")
			}
			return fmt.Errorf("%w: there is no parameter %q; %s", errQuery, name, known)
		}
		if len(values) > 1 {
			return fmt.Errorf("%w: parameter %s stands %d times", errQuery, name, len(values))
		}
	}
	return nil
}

// metres reads a length in metres; a parameter that is not there is unknown.
func (q *request) metres(name string) (geo.Maybe[geo.Metres], error) {
	if strings.TrimSpace(q.query.Get(name)) == "" {
		return geo.Maybe[geo.Metres]{}, nil
	}
	v, err := q.ratio(name, 0)
	return geo.Known(geo.Metres(v)), err
}

// ratio reads a number; a parameter that is not there is the standard one.
func (q *request) ratio(name string, standard float64) (float64, error) {
	text := strings.TrimSpace(q.query.Get(name))
	if text == "" {
		return standard, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		want := "a number is wanted"
		if strings.HasSuffix(name, "_m") {
			want = "metres are wanted, as 8.5"
		}
		return 0, fmt.Errorf("%w: %s=%q; %s", errQuery, name, text, want)
	}
	return v, nil
}

// count reads a whole number from 1 to most.
func (q *request) count(name string, standard, most int) (int, error) {
	text := q.query.Get(name)
	if text == "" {
		return standard, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > most {
		return 0, fmt.Errorf("%w: %s=%q; a whole number from 1 to %d is wanted", errQuery, name, text, most)
	}
	return n, nil
}

// bbox is a box in degrees; west is greater than east when it crosses the antimeridian (RFC 7946, section 5.2).
type bbox struct{ west, south, east, north float64 }

// bbox reads the parameter; nil when it is not there.
func (q *request) bbox() (*bbox, error) {
	text := q.query.Get("bbox")
	if text == "" {
		return nil, nil
	}
	parts := strings.Split(text, ",")
	var v [4]float64
	bad := len(parts) != 4
	for i := 0; i < 4 && !bad; i++ {
		var err error
		v[i], err = strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		bad = err != nil || math.IsNaN(v[i]) || math.IsInf(v[i], 0)
	}
	b := bbox{v[0], v[1], v[2], v[3]}
	if bad || b.south > b.north || math.Abs(b.west) > 180 || math.Abs(b.east) > 180 || math.Abs(b.south) > 90 || math.Abs(b.north) > 90 {
		return nil, fmt.Errorf("%w: bbox=%q; west,south,east,north in degrees is wanted", errQuery, text)
	}
	return &b, nil
}

// holds reports whether a position lies in the box; a nil box holds everything.
func (b *bbox) holds(p geo.Position) bool {
	return b == nil || b.touches(p.Point().Bound())
}

// touches reports whether a shape's own box, which does not cross the antimeridian, touches this one.
func (b *bbox) touches(shape orb.Bound) bool {
	if shape.Max.Lat() < b.south || shape.Min.Lat() > b.north {
		return false
	}
	if b.west <= b.east {
		return shape.Max.Lon() >= b.west && shape.Min.Lon() <= b.east
	}
	return shape.Max.Lon() >= b.west || shape.Min.Lon() <= b.east
}
