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

// entries are the records that are kept as JSON by noun and name.
func entries(h *geo.Harbor, each func(noun, name string, v any) error) error {
	for i := range h.Owners {
		if err := each(NounOwner, h.Owners[i].Name, &h.Owners[i]); err != nil {
			return err
		}
	}
	for i := range h.Notes {
		if err := each(NounNote, h.Notes[i].ID, &h.Notes[i]); err != nil {
			return err
		}
	}
	seen := map[string]int{}
	for i := range h.Waiting {
		if err := each(NounWaiting, nth(seen, h.Waiting[i].Name), &h.Waiting[i]); err != nil {
			return err
		}
	}
	return nil
}

// nth tells several of one name apart.
func nth(seen map[string]int, name string) string {
	if seen[name]++; seen[name] > 1 {
		return fmt.Sprintf("%s (%d)", name, seen[name])
	}
	return name
}

// takeEntry puts one such record into a harbor; other nouns are left alone.
func takeEntry(h *geo.Harbor, noun string, body []byte) (err error) {
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
	slices.SortStableFunc(h.Owners, func(a, b geo.Owner) int { return cmp.Compare(a.Name, b.Name) })
	slices.SortStableFunc(h.Notes, func(a, b geo.Note) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) })
	slices.SortStableFunc(h.Waiting, func(a, b geo.Waiting) int {
		return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Name, b.Name))
	})
}

func readEntries(ctx context.Context, tx *sql.Tx, harborID int64, h *geo.Harbor) error {
	rows, err := tx.QueryContext(ctx, "SELECT noun, body FROM entry WHERE harbor_id = ?", harborID)
	if err != nil {
		return err
	}
	_, err = collect(rows, func(rows *sql.Rows) (none struct{}, err error) {
		var noun string
		var body []byte
		if err = rows.Scan(&noun, &body); err == nil {
			err = takeEntry(h, noun, body)
		}
		return none, err
	})
	sortEntries(h)
	return err
}

const (
	insertEntrySQL = "INSERT OR REPLACE INTO entry (harbor_id, noun, name, body) VALUES (?, ?, ?, ?)"
	removeEntrySQL = "DELETE FROM entry WHERE harbor_id = ? AND noun = ? AND name = ?"
)

// putEntry keeps what a record is after a change, or takes it away.
func (w *writer) putEntry(harborID int64, c Change) error {
	if c.After == nil {
		return w.exec(removeEntrySQL, harborID, c.Noun, c.Name)
	}
	return w.exec(insertEntrySQL, harborID, c.Noun, c.Name, string(c.After))
}

func isEntry(noun string) bool { return noun == NounOwner || noun == NounNote || noun == NounWaiting }
