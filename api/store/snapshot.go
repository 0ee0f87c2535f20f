package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"swingroom/geo"
)

// Nouns of history.
const (
	NounHarbor  = "harbor"
	NounArea    = "area"
	NounKeepOut = "keep_out"
	NounMooring = "mooring"
	NounOwner   = "owner"
	NounNote    = "note"
	NounWaiting = "waiting"
)

// harborRecord is what a harbor is besides what lies in it. Shoreline and soundings are named by their hash.
type harborRecord struct {
	Name       string                `json:"name"`
	Units      geo.Units             `json:"units"`
	Levels     geo.Maybe[geo.Levels] `json:"levels"`
	Defaults   geo.Defaults          `json:"defaults"`
	Background *geo.Background       `json:"background"`
	Tide       *geo.Tide             `json:"tide"`
	Waiting    []geo.Waiting         `json:"waiting,omitempty"` // in histories from before each who waits was kept by name
	Public     []geo.Shown           `json:"public,omitempty"`
	Shoreline  string                `json:"shoreline_sha256"`
	Soundings  string                `json:"soundings_sha256"`
}

func harborRecordOf(h *geo.Harbor, shoreline, soundings string) harborRecord {
	return harborRecord{Name: h.Name, Units: h.Units, Levels: h.Levels, Defaults: h.Defaults, Background: h.Background, Tide: h.Tide,
		Public: h.Public, Shoreline: shoreline, Soundings: soundings}
}

// into gives a harbor what its own record says.
func (r harborRecord) into(h *geo.Harbor) {
	h.Name, h.Units, h.Levels, h.Defaults, h.Background, h.Tide, h.Public = r.Name, r.Units, r.Levels, r.Defaults, r.Background, r.Tide,
		r.Public
}

type areaRecord struct {
	Ordinal int `json:"ordinal"`
	geo.Area
	Shape *geojson.Geometry `json:"shape"`
}

func (r areaRecord) area() geo.Area {
	r.Area.Shape = multiPolygon(r.Shape)
	return r.Area
}

type keepOutRecord struct {
	Ordinal int `json:"ordinal"`
	geo.KeepOut
	Shape *geojson.Geometry `json:"shape"`
}

func (r keepOutRecord) keepOut() geo.KeepOut {
	r.KeepOut.Shape = multiPolygon(r.Shape)
	return r.KeepOut
}

func multiPolygon(g *geojson.Geometry) orb.MultiPolygon {
	if g == nil {
		return nil
	}
	m, _ := g.Geometry().(orb.MultiPolygon)
	return m
}

// jsonRecord is one record of a harbor as history keeps it: JSON under a noun and a name.
type jsonRecord struct {
	Key
	body []byte
}

// snapshot is a harbor as its records.
type snapshot struct {
	records   []jsonRecord
	index     map[Key]int
	shoreline document
	soundings document
}

func newSnapshot() *snapshot { return &snapshot{index: map[Key]int{}} }

func (s *snapshot) add(noun, name string, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("%s %s: %w", noun, name, err)
	}
	key := Key{noun, name}
	s.index[key] = len(s.records)
	s.records = append(s.records, jsonRecord{key, body})
	return nil
}

func (s *snapshot) has(noun, name string) bool {
	_, has := s.index[Key{noun, name}]
	return has
}

// snapshotOf makes the records of a harbor.
func snapshotOf(h *geo.Harbor) (s *snapshot, err error) {
	s = newSnapshot()
	if s.shoreline, err = shorelineDocument(h.Shoreline); err != nil {
		return nil, err
	}
	if s.soundings, err = soundingsDocument(h.Soundings); err != nil {
		return nil, err
	}
	return s, s.addAll(h)
}

// snapshotOnFile makes the records of what is on file. Of documents the hash is enough: a survey of a million soundings is not unpacked to
// find out that it is the same.
func snapshotOnFile(ctx context.Context, tx *sql.Tx, id int64) (*snapshot, error) {
	r, err := readTables(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	s := newSnapshot()
	s.shoreline, s.soundings = document{sha: r.shoreline}, document{sha: r.soundings}
	return s, s.addAll(r.Harbor)
}

// addAll adds the records of a harbor whose documents are there, in an order that does not depend on chance.
func (s *snapshot) addAll(h *geo.Harbor) error {
	if err := s.add(NounHarbor, "", harborRecordOf(h, s.shoreline.sha, s.soundings.sha)); err != nil {
		return err
	}
	for i, a := range h.Areas {
		if err := s.add(NounArea, a.Name, areaRecord{i, a, geojson.NewGeometry(a.Shape)}); err != nil {
			return err
		}
	}
	for i, k := range h.KeepOuts {
		if err := s.add(NounKeepOut, s.keepOutName(k), keepOutRecord{i, k, geojson.NewGeometry(k.Shape)}); err != nil {
			return err
		}
	}
	return s.addMooringsAndEntries(h)
}

func (s *snapshot) addMooringsAndEntries(h *geo.Harbor) error {
	for i := range h.Moorings {
		m := h.Moorings[i]
		if len(m.Tackle) == 0 {
			m.Tackle = nil // none is none, however it was made
		}
		if err := s.add(NounMooring, m.Number, &m); err != nil {
			return err
		}
	}
	return eachEntry(h, s.add)
}

// keepOutName tells fairways and closed water of one name, or of none, apart.
func (s *snapshot) keepOutName(k geo.KeepOut) string {
	name := string(k.Kind)
	if k.Name != "" {
		name += " " + k.Name
	}
	unique := name
	for n := 2; s.has(NounKeepOut, unique); n++ {
		unique = fmt.Sprintf("%s (%d)", name, n)
	}
	return unique
}

// changesBetween lists what leads from one snapshot to another; nil is the snapshot of nothing.
func changesBetween(from, to *snapshot) (c Changes) {
	if from == nil {
		from = &snapshot{}
	}
	for _, r := range to.records {
		change := Change{Noun: r.Noun, Name: r.Name, After: r.body}
		i, known := from.index[r.Key]
		if !known {
			c.Added = append(c.Added, change)
			continue
		}
		if change.Before = from.records[i].body; !sameJSON(change.Before, r.body) {
			c.Changed = append(c.Changed, change)
		}
	}
	for _, r := range from.records {
		if !to.has(r.Noun, r.Name) {
			c.Removed = append(c.Removed, Change{Noun: r.Noun, Name: r.Name, Before: r.body})
		}
	}
	return c
}

// sameJSON compares JSON of the same noun. A zero below zero (longitude 0° W) is a zero: in JSON it keeps its sign and in a column of
// SQLite it does not.
func sameJSON(a, b []byte) bool {
	if bytes.Equal(a, b) {
		return true
	}
	if !hasMinusZero(a) && !hasMinusZero(b) {
		return false
	}
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && reflect.DeepEqual(x, y)
}

// hasMinusZero reports a figure that is spelled -0 in JSON; a date has these characters in it too, and is none.
func hasMinusZero(body []byte) bool {
	for {
		_, after, found := bytes.Cut(body, []byte("-0"))
		if !found {
			return false
		}
		if body = after; len(body) > 0 && bytes.IndexByte([]byte(",}]"), body[0]) >= 0 {
			return true
		}
	}
}
