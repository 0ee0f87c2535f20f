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
	*object
	polygons orb.MultiPolygon
	lines    orb.MultiLineString
}

// geojsonMember is any object of a GeoJSON file. The features are read one by one, so that each is reported by its place and name.
type geojsonMember struct {
	Type       string                     `json:"type"`
	Features   []json.RawMessage          `json:"features"`
	Geometry   json.RawMessage            `json:"geometry"`
	Properties map[string]json.RawMessage `json:"properties"`
	CRS        json.RawMessage            `json:"crs"`
}

// features reads a FeatureCollection, a Feature or a bare geometry. ok is false when something in it cannot be taken.
func (r *reader) features(text []byte) (all []feature, ok bool) {
	before := len(r.im.Problems)
	for i, raw := range r.rawFeatures(text) {
		if f, ok := r.feature(fmt.Sprintf("feature %d", i+1), raw); ok {
			f.repair()
			all = append(all, f)
		}
	}
	return all, len(r.im.Problems) == before
}

// rawFeatures are the features of a file, none where it cannot be taken.
func (r *reader) rawFeatures(text []byte) []json.RawMessage {
	var whole geojsonMember
	if err := json.Unmarshal(text, &whole); err != nil {
		r.problem(r.file, lineOf(text, err), "", "", "it is no GeoJSON: "+err.Error())
		return nil
	}
	if crs := string(whole.CRS); !isWGS84(crs) {
		r.problem(r.file, 0, "crs", shorten(crs), "positions in longitude and latitude on WGS 84 are expected")
		return nil
	}
	switch whole.Type {
	case "FeatureCollection":
		return whole.Features
	case "Feature":
		return []json.RawMessage{text}
	}
	return []json.RawMessage{slices.Concat([]byte(`{"type":"Feature","geometry":`), text, []byte("}"))}
}

// isWGS84 reports a member crs that says nothing, or names WGS 84 as older GeoJSON does.
func isWGS84(crs string) bool {
	return crs == "" || crs == "null" || strings.Contains(crs, "CRS84") || strings.Contains(crs, "4326")
}

// feature reads one feature; ok is false for one that is refused, or left alone.
func (r *reader) feature(of string, raw json.RawMessage) (f feature, ok bool) {
	var m geojsonMember
	if err := json.Unmarshal(raw, &m); err != nil {
		r.problem(r.file, 0, of, "", err.Error())
		return f, false
	}
	if name, ok := m.Properties["name"]; ok {
		of += " " + strings.Trim(string(name), `"`)
	}
	f.object = r.object(of, m.Properties)
	var g geojson.Geometry
	if err := json.Unmarshal(m.Geometry, &g); err != nil || g.Geometry() == nil {
		f.refuse("geometry", shorten(string(m.Geometry)), "a geometry with coordinates [longitude, latitude] is expected")
		return f, false
	}
	return f, f.takeShape(g.Geometry())
}

// takeShape takes polygons and lines.
func (f *feature) takeShape(shape orb.Geometry) bool {
	switch shape := shape.(type) {
	case orb.Polygon:
		f.polygons = orb.MultiPolygon{shape}
	case orb.MultiPolygon:
		f.polygons = shape
	case orb.LineString:
		f.lines = orb.MultiLineString{shape}
	case orb.MultiLineString:
		f.lines = shape
	case orb.Point, orb.MultiPoint:
		f.r.notice(f.r.file, 0, "%s is a point and left alone", f.of)
		return false
	default:
		f.refuse("geometry", shape.GeoJSONType(), "a polygon (or for the shoreline a line) is expected")
		return false
	}
	return true
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
