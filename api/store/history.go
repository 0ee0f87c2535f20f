package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"swingroom/geo"
)

// Act says whose change it is and why. Both are wanted; At is the store's clock where it is zero.
type Act struct {
	Who string
	Why string
	At  time.Time
}

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

// Count is the number of things that differ.
func (c *Changes) Count() int { return len(c.Added) + len(c.Changed) + len(c.Removed) }

// FieldChange is one field before and after, as JSON text; empty where it was not there.
type FieldChange struct {
	Field  string `json:"field"` // as it is spelled in JSON: "boat.loa_m"
	Before string `json:"before"`
	After  string `json:"after"`
}

// Fields lists every field that differs, by name.
func (c Change) Fields() []FieldChange {
	before, after := flatten(c.Before), flatten(c.After)
	names := make([]string, 0, len(after))
	for name := range after {
		names = append(names, name)
	}
	for name := range before {
		if _, both := after[name]; !both {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	var fields []FieldChange
	for _, name := range names {
		if before[name] != after[name] {
			fields = append(fields, FieldChange{name, before[name], after[name]})
		}
	}
	return fields
}

// flatten names every leaf of a JSON object by its path.
func flatten(body json.RawMessage) map[string]string {
	leaves := map[string]string{}
	var walk func(path string, raw json.RawMessage)
	walk = func(path string, raw json.RawMessage) {
		var object map[string]json.RawMessage
		var list []json.RawMessage
		switch {
		case len(raw) > 0 && raw[0] == '{' && json.Unmarshal(raw, &object) == nil:
			for key, value := range object {
				walk(strings.TrimPrefix(path+"."+key, "."), value)
			}
		case len(raw) > 0 && raw[0] == '[' && json.Unmarshal(raw, &list) == nil && !strings.HasSuffix(path, "coordinates"):
			for i, value := range list {
				walk(fmt.Sprintf("%s[%d]", path, i+1), value)
			}
		case string(raw) != "null":
			leaves[path] = unescaped(raw)
		}
	}
	if len(body) > 0 {
		walk("", body)
	}
	return leaves
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

func timeOf(unixMS int64) time.Time { return time.UnixMilli(unixMS).UTC() }

const historyColumns = "id, revision, at_ms, who, why, noun, name, before, after"

func scanChange(rows *sql.Rows) (c Change, err error) {
	var atMS int64
	var before, after sql.NullString
	err = rows.Scan(&c.ID, &c.Revision, &atMS, &c.Who, &c.Why, &c.Noun, &c.Name, &before, &after)
	c.At = timeOf(atMS)
	if before.Valid {
		c.Before = json.RawMessage(before.String)
	}
	if after.Valid {
		c.After = json.RawMessage(after.String)
	}
	return c, err
}

// History lists changes, newest first. An empty noun is all nouns; an empty name is all names.
func (s *Store) History(ctx context.Context, slug, noun, name string) ([]Change, error) {
	var all []Change
	err := s.reading(ctx, func(tx *sql.Tx) error {
		info, err := which(ctx, tx, slug)
		if err != nil {
			return err
		}
		// What is not asked for is not in the query either: with "OR" in it SQLite would walk through the whole history.
		query, args := "SELECT "+historyColumns+" FROM history WHERE harbor_id = ?", []any{info.id}
		for _, by := range []struct{ column, value string }{{"noun", noun}, {"name", name}} {
			if by.value != "" {
				query, args = query+" AND "+by.column+" = ?", append(args, by.value)
			}
		}
		rows, err := tx.QueryContext(ctx, query+" ORDER BY id DESC", args...)
		if err != nil {
			return err
		}
		all, err = collect(rows, scanChange)
		return err
	})
	return all, err
}

// HarborAsOf rebuilds a harbor as it stood at a time, from its history. geo.ErrNotFound before its first change.
func (s *Store) HarborAsOf(ctx context.Context, slug string, at time.Time) (*geo.Harbor, error) {
	return s.rebuilt(ctx, slug, "at_ms <= ?", at.UnixMilli())
}

// putTogether makes a harbor of its last records.
func putTogether(ctx context.Context, tx *sql.Tx, last []Change) (*geo.Harbor, error) {
	h := &geo.Harbor{}
	var areas []areaRecord
	var keepOuts []keepOutRecord
	var errs []error
	var listed []geo.Waiting // by the harbor's own record, where no history of each was kept yet
	for _, c := range last {
		if c.After == nil {
			continue
		}
		switch c.Noun {
		case NounHarbor:
			var r harborRecord
			errs = append(errs, json.Unmarshal(c.After, &r))
			h.Name, h.Units, h.Levels, h.Defaults, h.Background, h.Tide, h.Public = r.Name, r.Units, r.Levels, r.Defaults, r.Background,
				r.Tide, r.Public
			listed = r.Waiting
			errs = append(errs, attach(ctx, tx, h, r.Shoreline, r.Soundings))
		case NounArea:
			var r areaRecord
			errs = append(errs, json.Unmarshal(c.After, &r))
			r.Area.Shape = multiPolygon(r.Shape)
			areas = append(areas, r)
		case NounKeepOut:
			var r keepOutRecord
			errs = append(errs, json.Unmarshal(c.After, &r))
			r.KeepOut.Shape = multiPolygon(r.Shape)
			keepOuts = append(keepOuts, r)
		case NounMooring:
			var m geo.Mooring
			errs = append(errs, json.Unmarshal(c.After, &m))
			h.Moorings = append(h.Moorings, m)
		default:
			errs = append(errs, takeEntry(h, c.Noun, c.After))
		}
	}
	if !slices.ContainsFunc(last, func(c Change) bool { return c.Noun == NounWaiting }) {
		h.Waiting = listed
	}
	sortEntries(h)
	slices.SortFunc(areas, func(a, b areaRecord) int { return a.Ordinal - b.Ordinal })
	slices.SortFunc(keepOuts, func(a, b keepOutRecord) int { return a.Ordinal - b.Ordinal })
	for _, r := range areas {
		h.Areas = append(h.Areas, r.Area)
	}
	for _, r := range keepOuts {
		h.KeepOuts = append(h.KeepOuts, r.KeepOut)
	}
	sortMoorings(h.Moorings)
	return h, errors.Join(errs...)
}

// collect reads all rows.
func collect[T any](rows *sql.Rows, scan func(*sql.Rows) (T, error)) ([]T, error) {
	defer rows.Close()
	var all []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, v)
	}
	return all, rows.Err()
}
