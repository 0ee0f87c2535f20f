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

// noteTexts are the columns of notes.csv that hold words, besides the id.
var noteTexts = map[string]textColumn[geo.Note]{
	"mooring": func(n *geo.Note, s string) { n.Mooring = s },
	"by":      func(n *geo.Note, s string) { n.By = s },
	"text":    func(n *geo.Note, s string) { n.Text = s },
}

var noteForm = form[geo.Note]{texts: []string{"id", "mooring", "at", "by", "text", "photos"}}

// notes reads notes.csv: one note a row, laid over the one of that id. Notes that it does not name stay. A row without an id makes a
// note whose id is made of what it says, so that importing it again makes no second one.
func (r *reader) notes(text []byte) {
	t, _, good := noteForm.open(r, text)
	if !good {
		return
	}
	k := newKeyed(r.h.Notes, func(n *geo.Note) string { return n.ID })
	t.eachRow(func(w *row) {
		if n := w.note(k); !w.repeats(k, n) {
			w.putNote(k, n)
		}
	})
	slices.SortStableFunc(k.list, func(a, b geo.Note) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) })
	r.h.Notes = k.list
}

// note reads a note over the one on file.
func (w *row) note(k *keyed[geo.Note]) geo.Note {
	id, _ := w.text("id")
	n, onFile := k.onFile(id)
	if !onFile {
		n = geo.Note{ID: id, Photos: []string{}}
	}
	for column, set := range noteTexts {
		if text, has := w.text(column); has {
			set(&n, text)
		}
	}
	w.photos(&n)
	w.timeOfNote(&n)
	if n.ID == "" {
		n.ID = noteID(n)
	}
	return n
}

// repeats reports a row that says once more what an earlier one has said.
func (w *row) repeats(k *keyed[geo.Note], n geo.Note) bool {
	first, twice := k.lines[n.ID]
	if !twice {
		return false
	}
	if same, ok := k.onFile(n.ID); !ok || !reflect.DeepEqual(same, n) {
		return false
	}
	w.notice(w.file, w.line, "it is the note of line %d once more, and kept once", first)
	return true
}

// putNote takes a note in, unless it is refused.
func (w *row) putNote(k *keyed[geo.Note], n geo.Note) {
	k.claim(w, "id", n.ID)
	w.validate(n.Validate())
	if w.bad {
		return
	}
	if _, onFile := k.onFile(n.ID); !onFile {
		w.tellMissing(n.Mooring)
	}
	k.put(n.ID, n)
}

// tellMissing tells of a note whose mooring is not there; it is kept, since the mooring may have been given up.
func (w *row) tellMissing(number string) {
	if !w.hasMooring(number) {
		w.notice(w.file, w.line, "there is no mooring %s; the note is kept under that number", number)
	}
}

func (r *reader) hasMooring(number string) bool {
	return number == "" || slices.ContainsFunc(r.h.Moorings, func(m geo.Mooring) bool { return m.Number == number })
}

// photos reads the pictures of a note.
func (w *row) photos(n *geo.Note) {
	text, has := w.text("photos")
	photos := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(";, \n", r) })
	if has && !slices.Equal(photos, n.Photos) {
		n.Photos = photos
	}
}

// timeOfNote reads when a note was made. A time that is the one on file stays as it is, with its zone.
func (w *row) timeOfNote(n *geo.Note) {
	text, has := w.text("at")
	if !has && !n.At.IsZero() {
		return
	}
	at, err := geo.ParseTime(text)
	if err != nil {
		w.refuse("at", text, "expected a day such as 2026-03-15, or a time such as 2026-03-15 10:20 or 2026-03-15T10:20:30Z, "+
			"from 1900 to 2100; without a zone it is UTC")
		at = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // a time that the core does not refuse once more
	}
	if !at.Equal(n.At) {
		n.At = at
	}
}

// noteID names a note by what it says: the first half of the SHA-256 of its fields.
func noteID(n geo.Note) string {
	h := sha256.New()
	for _, text := range append([]string{n.Mooring, n.At.UTC().Format(time.RFC3339Nano), n.By, n.Text}, n.Photos...) {
		fmt.Fprintf(h, "%d %s\n", len(text), text)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}
