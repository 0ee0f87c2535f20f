package store

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// Key names one record of a harbor.
type Key struct{ Noun, Name string }

// Change is one row of history. Before is nil for what is new, After for what was removed.
type Change struct {
	ID       int64           `json:"id"`
	Revision int64           `json:"revision"`
	At       time.Time       `json:"at"`
	Who      string          `json:"who"`
	Why      string          `json:"why"`
	Noun     string          `json:"noun"`
	Name     string          `json:"name"`
	Before   json.RawMessage `json:"before"`
	After    json.RawMessage `json:"after"`
}

// Changes are what one act did. Revision is that of the harbor after it.
type Changes struct {
	Revision int64
	Added    []Change
	Changed  []Change
	Removed  []Change
}

// Count is the number of records that differ.
func (c *Changes) Count() int { return len(c.Added) + len(c.Changed) + len(c.Removed) }

// all goes through every change, to be read or stamped.
func (c *Changes) all(yield func(*Change) bool) {
	_ = eachIn(c.Added, yield) && eachIn(c.Changed, yield) && eachIn(c.Removed, yield)
}

// removedFirst goes through every change in the order in which tables are written: what was removed makes room.
func (c *Changes) removedFirst(yield func(*Change) bool) {
	_ = eachIn(c.Removed, yield) && eachIn(c.Changed, yield) && eachIn(c.Added, yield)
}

func eachIn(group []Change, yield func(*Change) bool) (more bool) {
	for i := range group {
		if !yield(&group[i]) {
			return false
		}
	}
	return true
}

// unstamped is a copy without what a transaction stamps.
func (c *Changes) unstamped() Changes {
	return Changes{Added: slices.Clone(c.Added), Changed: slices.Clone(c.Changed), Removed: slices.Clone(c.Removed)}
}

const historyColumns = "id, revision, at_ms, who, why, noun, name, before, after"

func scanChange(rows *sql.Rows) (c Change, err error) {
	var atMS int64
	var before, after sql.NullString
	err = rows.Scan(&c.ID, &c.Revision, &atMS, &c.Who, &c.Why, &c.Noun, &c.Name, &before, &after)
	c.At = timeOf(atMS)
	c.Before, c.After = rawOrNil(before), rawOrNil(after)
	return c, err
}

func rawOrNil(text sql.NullString) json.RawMessage {
	if !text.Valid {
		return nil
	}
	return json.RawMessage(text.String)
}

func timeOf(unixMS int64) time.Time { return time.UnixMilli(unixMS).UTC() }

// FieldChange is one field before and after, as JSON text; empty where it was not there.
type FieldChange struct {
	Field  string `json:"field"` // as it is spelled in JSON: "boat.loa_m"
	Before string `json:"before"`
	After  string `json:"after"`
}

// Fields lists every field that differs, by name.
func (c Change) Fields() (fields []FieldChange) {
	before, after := flatten(c.Before), flatten(c.After)
	either := maps.Clone(before)
	maps.Copy(either, after)
	for _, name := range slices.Sorted(maps.Keys(either)) {
		if before[name] != after[name] {
			fields = append(fields, FieldChange{name, before[name], after[name]})
		}
	}
	return fields
}

// leaves are the values of a JSON object that are neither objects nor lists, by their paths.
type leaves map[string]string

// flatten names every leaf of a JSON object by its path.
func flatten(body json.RawMessage) leaves {
	l := leaves{}
	if len(body) > 0 {
		l.add("", body)
	}
	return l
}

func (l leaves) add(path string, raw json.RawMessage) {
	switch {
	case raw[0] == '{' && l.addMembers(path, raw):
	case raw[0] == '[' && !strings.HasSuffix(path, "coordinates") && l.addPlaces(path, raw):
	case string(raw) != "null":
		l[path] = unescaped(raw)
	}
}

func (l leaves) addMembers(path string, raw json.RawMessage) bool {
	var object map[string]json.RawMessage
	if json.Unmarshal(raw, &object) != nil {
		return false
	}
	for key, value := range object {
		l.add(strings.TrimPrefix(path+"."+key, "."), value)
	}
	return true
}

func (l leaves) addPlaces(path string, raw json.RawMessage) bool {
	var list []json.RawMessage
	if json.Unmarshal(raw, &list) != nil {
		return false
	}
	for i, value := range list {
		l.add(fmt.Sprintf("%s[%d]", path, i+1), value)
	}
	return true
}

// unescaped writes &, < and > as themselves: they are kept as \u0026 and the like, for pages, and this is for people.
func unescaped(raw json.RawMessage) string {
	var text string
	if !bytes.ContainsRune(raw, '\\') || json.Unmarshal(raw, &text) != nil {
		return string(raw)
	}
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if enc.Encode(text) != nil {
		return string(raw)
	}
	return strings.TrimSuffix(b.String(), "\n")
}
