package exchange

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"swingroom/geo"
)

// notes reads notes.csv: one note a row, laid over the one of that id. Notes that it does not name stay. A row without an id makes a
// note whose id is made of what it says, so that importing it again makes no second one.
func (r *reader) notes(text []byte) {
	t, words, good := r.wordTable(text, []string{"id", "mooring", "at", "by", "text", "photos"})
	if !good {
		return
	}
	list, place := r.h.Notes, map[string]int{}
	for i := range list {
		place[list[i].ID] = i
	}
	seen := map[string]int{}
	r.each(t, func(row []string, line int) {
		w := entryRow{reader: r, words: words, row: row, line: line}
		id, _ := w.cell("id")
		n := geo.Note{ID: id, Photos: []string{}}
		i, onFile := place[id]
		if onFile {
			n = list[i]
		}
		w.note(&n)
		if n.ID == "" {
			n.ID = noteID(n)
			i, onFile = place[n.ID]
		}
		if first, twice := seen[n.ID]; twice {
			if onFile && reflect.DeepEqual(list[i], n) {
				w.notice(w.file, line, "it is the note of line %d once more, and kept once", first)
				return
			}
			w.wrong("id", n.ID, fmt.Sprintf("the same id stands in line %d", first))
			return
		}
		seen[n.ID] = line
		w.validate(n.Validate())
		if w.bad {
			return
		}
		if onFile {
			list[i] = n
			return
		}
		if !r.hasMooring(n.Mooring) {
			w.notice(w.file, line, "there is no mooring %s; the note is kept under that number", n.Mooring)
		}
		place[n.ID] = len(list)
		list = append(list, n)
	})
	slices.SortStableFunc(list, func(a, b geo.Note) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) })
	r.h.Notes = list
}

func (r *reader) hasMooring(number string) bool {
	return number == "" || slices.ContainsFunc(r.h.Moorings, func(m geo.Mooring) bool { return m.Number == number })
}

// note reads the cells of a row over a note.
func (w *entryRow) note(n *geo.Note) {
	for column, to := range map[string]*string{"mooring": &n.Mooring, "by": &n.By, "text": &n.Text} {
		if text, has := w.cell(column); has {
			*to = text
		}
	}
	if text, has := w.cell("photos"); has {
		photos := strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' || r == ' ' || r == '\n' })
		if !slices.Equal(photos, n.Photos) {
			n.Photos = photos
		}
	}
	text, has := w.cell("at")
	if !has && !n.At.IsZero() {
		return
	}
	at, err := noteTime(text)
	if err != nil {
		w.wrong(
			"at", text, "a day is expected, such as 2024-03-15, or a time such as 2024-03-15 10:20 or 2024-03-15T10:20:30Z; without a zone it is UTC")
		n.At = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // told once
		return
	}
	if !at.Equal(n.At) {
		n.At = at
	}
}

// noteTime reads a day or a time.
func noteTime(text string) (time.Time, error) {
	var err error
	for _, layout := range []string{time.RFC3339Nano, time.DateOnly, "2006-01-02 15:04", time.DateTime, "2006-01-02T15:04",
		"2006-01-02T15:04:05"} {
		var at time.Time
		if at, err = time.Parse(layout, text); err == nil {
			return at, nil
		}
	}
	return time.Time{}, err
}

// noteID names a note by what it says: the first half of the SHA-256 of its fields.
func noteID(n geo.Note) string {
	h := sha256.New()
	for _, text := range append([]string{n.Mooring, n.At.UTC().Format(time.RFC3339Nano), n.By, n.Text}, n.Photos...) {
		fmt.Fprintf(h, "%d %s\n", len(text), text)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}
