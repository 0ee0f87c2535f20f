package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"

	"swingroom/geo"
)

// isEntry reports a noun whose records are kept as JSON under their names, in one table: they are read whole or not at all.
func isEntry(noun string) bool { return noun == NounOwner || noun == NounNote || noun == NounWaiting }

// eachEntry goes through the records of a harbor that are kept so.
func eachEntry(h *geo.Harbor, do func(noun, name string, v any) error) error {
	if err := eachOf(h.Owners, func(o *geo.Owner) error { return do(NounOwner, o.Name, o) }); err != nil {
		return err
	}
	if err := eachOf(h.Notes, func(n *geo.Note) error { return do(NounNote, n.ID, n) }); err != nil {
		return err
	}
	seen := map[string]int{}
	return eachOf(h.Waiting, func(w *geo.Waiting) error { return do(NounWaiting, uniqueName(seen, w.Name), w) })
}

func eachOf[T any](list []T, do func(*T) error) error {
	for i := range list {
		if err := do(&list[i]); err != nil {
			return err
		}
	}
	return nil
}

// uniqueName tells several of one name apart, by their order.
func uniqueName(seen map[string]int, name string) string {
	if seen[name]++; seen[name] > 1 {
		return fmt.Sprintf("%s (%d)", name, seen[name])
	}
	return name
}

// addEntry puts one such record into a harbor; other nouns are left alone.
func addEntry(h *geo.Harbor, noun string, body []byte) (err error) {
	switch noun {
	case NounOwner:
		h.Owners, err = appendJSON(h.Owners, body)
	case NounNote:
		h.Notes, err = appendJSON(h.Notes, body)
	case NounWaiting:
		h.Waiting, err = appendJSON(h.Waiting, body)
	}
	return err
}

func appendJSON[T any](list []T, body []byte) ([]T, error) {
	var v T
	err := json.Unmarshal(body, &v)
	return append(list, v), err
}

// sortEntries puts these records into the order that a harbor has them in.
func sortEntries(h *geo.Harbor) {
	slices.SortStableFunc(h.Owners, compareOwners)
	slices.SortStableFunc(h.Notes, compareNotes)
	slices.SortStableFunc(h.Waiting, compareWaiting)
}

func compareOwners(a, b geo.Owner) int { return cmp.Compare(a.Name, b.Name) }

func compareNotes(a, b geo.Note) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) }

func compareWaiting(a, b geo.Waiting) int {
	return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Name, b.Name))
}

func readEntries(ctx context.Context, tx *sql.Tx, harborID int64, h *geo.Harbor) error {
	err := each(ctx, tx, func(rows *sql.Rows) error {
		var noun string
		var body []byte
		if err := rows.Scan(&noun, &body); err != nil {
			return err
		}
		return addEntry(h, noun, body)
	}, "SELECT noun, body FROM entry WHERE harbor_id = ?", harborID)
	sortEntries(h)
	return err
}

const (
	insertEntrySQL = "INSERT OR REPLACE INTO entry (harbor_id, noun, name, body) VALUES (?, ?, ?, ?)"
	removeEntrySQL = "DELETE FROM entry WHERE harbor_id = ? AND noun = ? AND name = ?"
)

// writeEntry keeps what a record is after a change, or removes it.
func (w *writer) writeEntry(harborID int64, c Change) error {
	if c.After == nil {
		return w.exec(removeEntrySQL, harborID, c.Noun, c.Name)
	}
	return w.exec(insertEntrySQL, harborID, c.Noun, c.Name, string(c.After))
}
