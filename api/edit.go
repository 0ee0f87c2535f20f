package api

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/api/patch"
	"swingroom/api/photo"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

var editParams = append([]param{
	{name: "noun", doc: "mooring, owner, waiting, note, area or harbor."},
	{name: "name", doc: "Number or name; that of a note is its id, and a harbor's is empty."},
	{name: "set", doc: "Fields by their paths, each with its new value: {\"boat.name\": \"Wren\", \"tackle[2].inspected\": " +
		"\"2026-05-01\"}. null makes a field unknown, and takes a member out of a list.", object: true},
	{name: "new", doc: "true: it is made, and must not be there yet."}, {name: "remove", doc: "true: it is taken away; its history stays."},
}, actParams...)

// errNotYours: a field that the asker's role may not set.
var errNotYours = errors.New("that is for another role")

// edit changes fields of one thing on record.
func (q *request) edit() error {
	k, err := kindOf(q.query.Get("noun"))
	if err != nil {
		return err
	}
	name := q.query.Get("name")
	var fields map[string]json.RawMessage
	if text := q.query.Get("set"); text != "" {
		if err := json.Unmarshal([]byte(text), &fields); err != nil {
			return fmt.Errorf("%w: set: %v", errBody, err)
		}
	}
	remove, made := lower(q.query.Get("remove")) == "true", lower(q.query.Get("new")) == "true"
	s, err := q.harbor()
	if err != nil {
		return err
	}
	may, own := q.mayOf(k, k.find(s.field.Harbor(), name))
	if err := q.mayEdit(k, may, slices.Sorted(maps.Keys(fields)), made || remove && !own); err != nil {
		return err
	}
	if made && len(fields) > 0 && fields["name"] == nil {
		if fields["name"], err = json.Marshal(name); err != nil {
			return err
		}
	}
	if len(fields) == 0 && !remove {
		return fmt.Errorf("%w: set is wanted, with the fields that change", errBody)
	}
	if err := inThePast(fields, time.Now()); err != nil {
		return err
	}
	done := Acted{Fits: []clearance.Fit{}}
	why, despite := q.reasonOf()
	done.Revision, err = q.act(why, func(h *geo.Harbor, f *clearance.Field) error {
		there := k.find(h, name) != nil
		switch {
		case made && there:
			return fmt.Errorf("%w: there is a %s %s already", geo.ErrInvalid, k.noun, name)
		case !made && !there:
			return fmt.Errorf("%s %s: %w", k.noun, name, geo.ErrNotFound)
		case remove && k.remove == nil:
			return fmt.Errorf("%w: a %s is not taken away by this act", errBody, k.noun)
		case remove:
			done.Words = geo.Tell("%s %s is taken off the record", k.noun, name)
			k.remove(h, name)
			return nil
		case made && (k.remove == nil || k.noun == store.NounNote):
			return fmt.Errorf("%w: a %s is not made by this act", errBody, k.noun)
		}
		if err := k.set(h, name, fields); err != nil {
			return pathError(err)
		}
		done.Words = geo.Plain(strings.TrimSpace(fmt.Sprintf("%s %s: %s", k.noun, name, fieldCount(len(fields)))))
		if k.noun != store.NounMooring {
			return nil
		}
		done.Number = name
		done.Fits, err = q.fitsStill(h, f, name, despite)
		return err
	}, store.Key{Noun: k.noun, Name: name})
	if err != nil {
		return err
	}
	return q.writeJSON(done)
}

// mayOf are the beginnings of the fields of a record that the asker may set. Who has written a note may put it right, or take it back: then
// it is her own.
func (q *request) mayOf(k kind, record any) (may []string, own bool) {
	may = k.mayBy(q.person().Role)
	if n, ok := record.(geo.Note); ok && q.person().SignedIn() && n.By == q.person().Name {
		return append(may, "text", "photos"), true
	}
	return may, false
}

func fieldCount(n int) string {
	if n == 1 {
		return "one field is changed"
	}
	return fmt.Sprintf("%d fields are changed", n)
}

func pathError(err error) error {
	if errors.Is(err, patch.ErrPath) {
		return fmt.Errorf("%w: %w", errBody, err)
	}
	return err
}

// fitsStill holds a mooring whose record has changed against the field where the change bears on the water.
func (q *request) fitsStill(h *geo.Harbor, f *clearance.Field, number, despite string) ([]clearance.Fit, error) {
	m, err := at(h, number)
	if err != nil {
		return nil, err
	}
	if err := m.Validate(); err != nil {
		return nil, err
	}
	if i, ok := f.Index(number); ok && clearance.SameWater(&f.Harbor().Moorings[i], m) {
		return []clearance.Fit{}, nil
	}
	return fitting(f, despite, *m)
}

// mayEdit refuses what is not for the asker's role.
func (q *request) mayEdit(k kind, may, fields []string, whole bool) error {
	role := q.person().Role
	if whole && !role.Has(account.Harbormaster) {
		return fmt.Errorf("%w: the harbormaster makes and takes away records of %s", errNotYours, k.noun)
	}
	for _, field := range fields {
		if !allows(may, field) {
			if allows(k.mayBy(account.Harbormaster), field) {
				return fmt.Errorf("%w: %s of a %s is not set by the %s", errNotYours, field, k.noun, role)
			}
			return fmt.Errorf("%w: %s of a %s is not set by this act", errBody, field, k.noun)
		}
	}
	return nil
}

// inThePast refuses a date of work that has not been done yet, and what is no text or figure.
func inThePast(fields map[string]json.RawMessage, now time.Time) error {
	tomorrow := now.Add(24 * time.Hour).UTC().Format(time.DateOnly) // it may be tomorrow already where the work was done
	for field, value := range fields {
		var date string
		if (strings.HasSuffix(field, ".installed") || strings.HasSuffix(field, ".inspected")) && json.Unmarshal(value, &date) == nil &&
			date > tomorrow {
			return fmt.Errorf("%w: %s: %s has not come yet", geo.ErrInvalid, field, date)
		}
	}
	return nil
}

var noteParams = append([]param{
	{name: "mooring", doc: "Number of the mooring; without it the note is about the harbor at large."},
	{name: "text", doc: "What is noted."}, {name: "photos", doc: "Pictures that have been sent before, by their SHA-256, with commas."},
}, actParams...)

// note writes a note down.
func (q *request) note() error {
	n := newNote(strings.TrimSpace(q.query.Get("mooring")), q.who(), strings.TrimSpace(q.query.Get("text")))
	for photo := range strings.SplitSeq(q.query.Get("photos"), ",") {
		if photo = strings.TrimSpace(photo); photo != "" {
			n.Photos = append(n.Photos, photo)
		}
	}
	if err := q.photosAreThere(n.Photos); err != nil {
		return err
	}
	done := Acted{Number: n.Mooring, Words: geo.Plain("it is noted"), Fits: []clearance.Fit{}}
	why := strings.TrimSpace(q.query.Get("why"))
	if why == "" {
		why = "note"
	}
	var err error
	done.Revision, err = q.act(why, func(h *geo.Harbor, _ *clearance.Field) error {
		if n.Mooring != "" {
			if _, err := at(h, n.Mooring); err != nil {
				return err
			}
		}
		h.Notes = append(h.Notes, n)
		return nil
	})
	if err != nil {
		return err
	}
	return q.writeJSON(done)
}

// newNote is a note of now, under an id of its own.
func newNote(mooring, by, text string) geo.Note {
	return geo.Note{ID: strings.ToLower(rand.Text()), Mooring: mooring, At: time.Now().UTC().Truncate(time.Millisecond), By: by, Text: text}
}

// photosAreThere refuses a note with pictures that have not been sent.
func (q *request) photosAreThere(photos []string) error {
	folder := photo.FolderOf(q.service.store.Path())
	for _, sum := range photos {
		f, err := folder.Open(sum)
		if err != nil {
			return fmt.Errorf("%w: there is no picture %.80q; send it first", errBody, sum)
		}
		f.Close()
	}
	return nil
}
