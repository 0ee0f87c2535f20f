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

// jsonRecord is one thing of a harbor as history keeps it: JSON under a noun and a name.
type jsonRecord struct {
	noun, name string
	body       []byte
}

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

type areaRecord struct {
	Ordinal int `json:"ordinal"`
	geo.Area
	Shape *geojson.Geometry `json:"shape"`
}

type keepOutRecord struct {
	Ordinal int `json:"ordinal"`
	geo.KeepOut
	Shape *geojson.Geometry `json:"shape"`
}

// snapshot is a harbor taken apart.
type snapshot struct {
	records   []jsonRecord
	index     map[[2]string]int
	shoreline document
	soundings document
}

func (s *snapshot) add(noun, name string, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("%s %s: %w", noun, name, err)
	}
	s.index[[2]string{noun, name}] = len(s.records)
	s.records = append(s.records, jsonRecord{noun, name, body})
	return nil
}

// takeApart makes the records of a harbor.
func takeApart(h *geo.Harbor) (*snapshot, error) {
	shoreline, err := shorelineDocument(h.Shoreline)
	if err != nil {
		return nil, err
	}
	soundings, err := soundingsDocument(h.Soundings)
	if err != nil {
		return nil, err
	}
	return newSnapshot(h, shoreline, soundings)
}

// onFile makes the records of what is on file. Of large things the hash is enough: a survey of a million soundings is not
// unpacked to find out that it is the same.
func onFile(ctx context.Context, tx *sql.Tx, id int64) (*snapshot, error) {
	h, shoreSHA, soundingsSHA, err := readTables(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	return newSnapshot(h, document{sha: shoreSHA}, document{sha: soundingsSHA})
}

// newSnapshot lists the records in an order that does not depend on chance.
func newSnapshot(h *geo.Harbor, shoreline, soundings document) (*snapshot, error) {
	s := &snapshot{index: map[[2]string]int{}, shoreline: shoreline, soundings: soundings}
	err := s.add(NounHarbor, "", harborRecord{
		Name: h.Name, Units: h.Units, Levels: h.Levels, Defaults: h.Defaults, Background: h.Background, Tide: h.Tide, Public: h.Public,
		Shoreline: s.shoreline.sha, Soundings: s.soundings.sha})
	for i, a := range h.Areas {
		if err == nil {
			err = s.add(NounArea, a.Name, areaRecord{i, a, geojson.NewGeometry(a.Shape)})
		}
	}
	for i, k := range h.KeepOuts {
		if err == nil {
			err = s.add(NounKeepOut, s.keepOutName(k), keepOutRecord{i, k, geojson.NewGeometry(k.Shape)})
		}
	}
	if err == nil {
		err = s.addThings(h)
	}
	return s, err
}

// addThings adds the records of moorings, owners, notes and those who wait.
func (s *snapshot) addThings(h *geo.Harbor) error {
	for i := range h.Moorings {
		m := h.Moorings[i]
		if len(m.Tackle) == 0 {
			m.Tackle = nil // none is none, however it was made
		}
		if err := s.add(NounMooring, m.Number, &m); err != nil {
			return err
		}
	}
	return entries(h, s.add)
}

// keepOutName tells fairways and closed water of one name, or of none, apart.
func (s *snapshot) keepOutName(k geo.KeepOut) string {
	name := string(k.Kind)
	if k.Name != "" {
		name += " " + k.Name
	}
	unique := name
	for n := 2; ; n++ {
		if _, taken := s.index[[2]string{NounKeepOut, unique}]; !taken {
			return unique
		}
		unique = fmt.Sprintf("%s (%d)", name, n)
	}
}

// difference lists what leads from one snapshot to another; nil is the snapshot of nothing.
func difference(from, to *snapshot) (c Changes) {
	if from == nil {
		from = &snapshot{}
	}
	for _, r := range to.records {
		i, known := from.index[[2]string{r.noun, r.name}]
		switch {
		case !known:
			c.Added = append(c.Added, Change{Noun: r.noun, Name: r.name, After: r.body})
		case !sameFigures(from.records[i].body, r.body):
			c.Changed = append(c.Changed, Change{Noun: r.noun, Name: r.name, Before: from.records[i].body, After: r.body})
		}
	}
	for _, r := range from.records {
		if _, kept := to.index[[2]string{r.noun, r.name}]; !kept {
			c.Removed = append(c.Removed, Change{Noun: r.noun, Name: r.name, Before: r.body})
		}
	}
	return c
}

// zeroBelowZero reports a figure that is spelled -0 in JSON; a date has those signs in it too, and is none.
func zeroBelowZero(body []byte) bool {
	for {
		at := bytes.Index(body, []byte("-0"))
		if at < 0 {
			return false
		}
		body = body[at+2:]
		if len(body) > 0 && bytes.IndexByte([]byte(",}]"), body[0]) >= 0 {
			return true
		}
	}
}

// sameFigures compares JSON of the same noun. A zero below zero (longitude 0° W) is a zero: in JSON it keeps its sign and in a column
// of SQLite it does not.
func sameFigures(a, b []byte) bool {
	if bytes.Equal(a, b) {
		return true
	}
	if !zeroBelowZero(a) && !zeroBelowZero(b) {
		return false
	}
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && reflect.DeepEqual(x, y)
}

func multiPolygon(g *geojson.Geometry) orb.MultiPolygon {
	if g == nil {
		return nil
	}
	m, _ := g.Geometry().(orb.MultiPolygon)
	return m
}
