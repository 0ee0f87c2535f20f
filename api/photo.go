package api

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"time"

	"swingroom/api/photo"
	"swingroom/api/store"
	"swingroom/geo"
)

// KeptPhoto is a picture that has been kept; a note may name it.
type KeptPhoto struct {
	Photo  string `json:"photo"` // SHA-256 of what is kept, in hexadecimal
	Width  int    `json:"width"` // pixels
	Height int    `json:"height"`
}

const photoType = "image/jpeg"

// addPhoto keeps a picture, sent as it is. When it is answered the picture is on disk; nothing on record changes until a note names it.
func addPhoto(q *request) error {
	if _, err := q.harbor(); err != nil {
		return err
	}
	if kind := q.r.Header.Get("Content-Type"); !strings.HasPrefix(lower(kind), "image/") {
		return fmt.Errorf("%w, sent as image/jpeg, image/png or image/webp", photo.ErrNoPicture)
	}
	if q.r.ContentLength > photo.MaxBytes {
		return fmt.Errorf("%w: at most %d MB are taken", photo.ErrTooLarge, photo.MaxBytes>>20)
	}
	until, line := time.Now().Add(photoPatience), http.NewResponseController(q.w)
	_ = errors.Join(line.SetReadDeadline(until), line.SetWriteDeadline(until)) // a line that has no deadlines needs no later ones
	taken, err := photo.Normalize(q.r.Context(), sent{q.r.Body})
	if err != nil {
		return err
	}
	if err := q.service.office.Photos().Put(taken); err != nil {
		return store.Classify(err)
	}
	return q.writeJSON(KeptPhoto{taken.SHA256, taken.Width, taken.Height})
}

// sent is a body whose end before its time is the sender's.
type sent struct{ io.Reader }

func (s sent) Read(b []byte) (int, error) {
	n, err := s.Reader.Read(b)
	if err != nil && err != io.EOF {
		err = fmt.Errorf("%w: the picture did not come whole (%v); send it again", errBody, err)
	}
	return n, err
}

// showPhoto sends a picture. Its name is the hash of its bytes, so that it never changes.
func showPhoto(q *request) error {
	if _, err := q.harbor(); err != nil {
		return err
	}
	name := q.pathText("photo")
	f, err := q.service.office.Photos().Open(name)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrInvalid) {
		return fmt.Errorf("photo %.80q: %w", name, geo.ErrNotFound)
	}
	if err != nil {
		return err
	}
	defer f.Close() // it was only read
	h := q.w.Header()
	h.Set("Content-Type", photoType)
	h.Set("Content-Disposition", "inline")
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("Etag", `"`+name+`"`)
	http.ServeContent(q.w, q.r, "", time.Time{}, f)
	return nil
}
