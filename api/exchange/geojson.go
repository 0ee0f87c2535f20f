package exchange

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"swingroom/geo"
)

// feature is one feature of a GeoJSON file: its shape made valid, and its properties.
type feature struct {
	*fields
	polygons orb.MultiPolygon
	lines    orb.MultiLineString
}

// features reads a FeatureCollection, a Feature or a bare geometry. ok is false when something in it cannot be taken.
func (r *reader) features(text []byte) (all []feature, ok bool) {
	before := len(r.im.Problems)
	type member struct {
		Type       string                     `json:"type"`
		Features   []json.RawMessage          `json:"features"`
		Geometry   json.RawMessage            `json:"geometry"`
		Properties map[string]json.RawMessage `json:"properties"`
		CRS        json.RawMessage            `json:"crs"`
	}
	var whole member
	if err := json.Unmarshal(text, &whole); err != nil {
		r.problem(r.file, lineOf(text, err), "", "", "it is no GeoJSON: "+err.Error())
		return nil, false
	}
	if crs := string(whole.CRS); crs != "" && crs != "null" && !strings.Contains(crs, "CRS84") && !strings.Contains(crs, "4326") {
		r.problem(r.file, 0, "crs", shorten(crs), "positions in longitude and latitude on WGS 84 are expected")
		return nil, false
	}
	switch whole.Type {
	case "FeatureCollection":
	case "Feature":
		whole.Features = []json.RawMessage{text}
	default:
		whole.Features = []json.RawMessage{slices.Concat([]byte(`{"type":"Feature","geometry":`), text, []byte("}"))}
	}
	for i, raw := range whole.Features {
		var m member
		if err := json.Unmarshal(raw, &m); err != nil {
			r.problem(r.file, 0, fmt.Sprintf("feature %d", i+1), "", err.Error())
			continue
		}
		of := fmt.Sprintf("feature %d", i+1)
		if name, ok := m.Properties["name"]; ok {
			of += " " + strings.Trim(string(name), `"`)
		}
		f := feature{fields: r.fields(of, m.Properties)}
		var g geojson.Geometry
		if err := json.Unmarshal(m.Geometry, &g); err != nil || g.Geometry() == nil {
			f.wrong("geometry", shorten(string(m.Geometry)), "a geometry with coordinates [longitude, latitude] is expected")
			continue
		}
		switch shape := g.Geometry().(type) {
		case orb.Polygon:
			f.polygons = orb.MultiPolygon{shape}
		case orb.MultiPolygon:
			f.polygons = shape
		case orb.LineString:
			f.lines = orb.MultiLineString{shape}
		case orb.MultiLineString:
			f.lines = shape
		case orb.Point, orb.MultiPoint:
			r.notice(r.file, 0, "%s is a point and left alone", of)
			continue
		default:
			f.wrong("geometry", shape.GeoJSONType(), "a polygon (or for the shoreline a line) is expected")
			continue
		}
		f.mend()
		all = append(all, f)
	}
	return all, len(r.im.Problems) == before
}

// areas reads areas.geojson. An area of the file takes the place of the one of its name; the others stay as they are on file.
func (r *reader) areas(text []byte) {
	features, _ := r.features(text)
	seen := map[string]bool{}
	for _, f := range features {
		name, _ := f.text("name")
		a := geo.Area{Name: name, Shape: f.polygons, Rules: r.h.Defaults.Rules}
		place := slices.IndexFunc(r.h.Areas, func(b geo.Area) bool { return b.Name == name })
		if place >= 0 {
			a.Rules = r.h.Areas[place].Rules
		}
		f.rules(&a.Rules)
		f.left()
		switch {
		case name == "":
			f.wrong("name", "", "an area needs a name")
		case seen[name]:
			f.wrong("name", name, "another area has that name already")
		case len(f.polygons) == 0:
			f.wrong("geometry", "", "an area is a polygon")
		}
		seen[name] = true
		if !f.good {
			continue
		}
		if place >= 0 {
			r.h.Areas[place] = a
		} else {
			r.h.Areas = append(r.h.Areas, a)
		}
	}
}

// shoreline reads shoreline.geojson: polygons are land, lines are shore of which it is not known on which side the land lies.
func (r *reader) shoreline(text []byte) {
	features, ok := r.features(text)
	if !ok {
		return
	}
	var s geo.Shoreline
	for _, f := range features {
		s.Land = append(s.Land, f.polygons...)
		s.Lines = append(s.Lines, f.lines...)
	}
	r.h.Shoreline = s
}

// fairways reads fairways.geojson: fairways and closed water. Those of the file take the place of those on file as a whole.
func (r *reader) fairways(text []byte) {
	features, ok := r.features(text)
	var all []geo.KeepOut
	for i, f := range features {
		k := geo.KeepOut{Kind: geo.Fairway, Shape: f.polygons}
		if kind, given := f.text("kind"); given {
			k.Kind = geo.KeepOutKind(strings.ReplaceAll(strings.ToLower(kind), " ", "_"))
		}
		k.Name, _ = f.text("name")
		k.Reason, _ = f.text("reason")
		k.Setback = f.metres("setback").Or(0)
		if k.Name == "" {
			k.Name = fmt.Sprint(i + 1)
		}
		f.left()
		if len(f.polygons) == 0 && f.good {
			f.wrong("geometry", "", "a fairway or closed water is a polygon")
		}
		ok = ok && f.good
		all = append(all, k)
	}
	if ok {
		r.h.KeepOuts = all
	}
}
