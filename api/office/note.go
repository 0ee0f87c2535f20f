package office

import (
	"cmp"
	"context"
	"crypto/rand"
	"fmt"
	"strings"
	"time"

	"swingroom/api/photo"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Note is what somebody writes down.
type Note struct {
	Mooring string `json:"mooring"` // its number; empty: it is about the harbor at large
	Text    string `json:"text"`
	Photos  List   `json:"photos"` // that have been kept before, by their SHA-256
}

// Note writes a note down; without a reason of its own it stands in the history as a note. Errors: geo.ErrNotFound for the mooring,
// ErrIncomplete for a photo that has not been kept, and those of an act.
func (h *Harbor) Note(ctx context.Context, by Author, n Note) (Result, error) {
	by.Why, by.Despite = cmp.Or(strings.TrimSpace(by.Why), "note"), ""
	note := newNote(strings.TrimSpace(n.Mooring), by.Name, strings.TrimSpace(n.Text))
	note.Photos = n.Photos
	if err := h.photosAreKept(n.Photos); err != nil {
		return Result{}, err
	}
	return h.act(ctx, by, func(next *geo.Harbor, _ *clearance.Field) (Result, error) {
		if note.Mooring != "" {
			if _, err := mooringOf(next, note.Mooring); err != nil {
				return Result{}, err
			}
		}
		next.Notes = append(next.Notes, note)
		return Result{Number: note.Mooring, Words: geo.Plain("it is noted")}, nil
	})
}

// newNote is a note of now, under an id of its own.
func newNote(mooring, by, text string) geo.Note {
	return geo.Note{ID: strings.ToLower(rand.Text()), Mooring: mooring, At: time.Now().UTC().Truncate(time.Millisecond), By: by, Text: text}
}

// photosAreKept refuses a note with photos that have not been kept.
func (h *Harbor) photosAreKept(photos []string) error {
	folder := h.office.Photos()
	for _, sum := range photos {
		f, err := folder.Open(sum)
		if err != nil {
			return fmt.Errorf("%w: there is no picture %.80q; send it first", ErrIncomplete, sum)
		}
		_ = f.Close() // it was only looked for
	}
	return nil
}

// Photos is the folder in which the photos of notes are kept.
func (o *Office) Photos() photo.Folder { return photo.FolderOf(o.store.Path()) }
