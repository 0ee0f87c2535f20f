package office

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"swingroom/api/account"
	"swingroom/api/patch"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Record is one thing on record as it can be changed.
type Record struct {
	Noun     string `json:"noun"`
	Name     string `json:"name"`
	Revision int64  `json:"revision"` // at which it was last changed; the precondition of an edit
	Record   any    `json:"record"`
	// May are the beginnings of the fields that the asker may set; all of it is an empty text.
	May []string `json:"may"`
}

// Record gives one thing on record: a noun is mooring, owner, waiting, note, area or harbor; a name is its number or name, the id of a
// note, and of a harbor it does not count. The error is geo.ErrNotFound.
func (h *Harbor) Record(ctx context.Context, noun, name string) (Record, error) {
	k, err := kindOf(noun)
	if err != nil {
		return Record{}, err
	}
	if k.noun == store.NounHarbor {
		name = ""
	}
	found := k.find(h.Field.Harbor(), name)
	if found == nil {
		return Record{}, fmt.Errorf("%s %s: %w", k.noun, name, geo.ErrNotFound)
	}
	last, err := h.office.store.LastChanged(ctx, h.slug, store.Key{Noun: k.noun, Name: name})
	if err != nil {
		return Record{}, err
	}
	may, _ := mayOf(h.person, k, found)
	if !h.AsOf.IsZero() {
		may = []string{}
	}
	// What has been changed since this state of the harbor is not in the record that is shown, and must not be in its revision.
	return Record{k.noun, name, min(last, h.Info.Revision), found, may}, nil
}

// Edit sets fields of one thing on record, makes it, or takes it away.
type Edit struct {
	Noun string `json:"noun"`
	Name string `json:"name"` // number or name; that of a note is its id, and a harbor's is empty
	// Set are fields by their paths, each with its new value; null makes a field unknown, and takes a member out of a list.
	Set    Fields `json:"set"`
	New    bool   `json:"new"`    // it is made, and must not be there yet
	Remove bool   `json:"remove"` // it is taken away; its history stays
}

// Edit changes one thing on record. A mooring of which the water changes is held against the field. Errors: ErrNotYours for a field that
// is not for the author's role, geo.ErrNotFound, geo.ErrInvalid, ErrIncomplete, *UnfitError, and those of an act.
func (h *Harbor) Edit(ctx context.Context, by Author, e Edit) (Result, error) {
	k, err := kindOf(e.Noun)
	if err != nil {
		return Result{}, err
	}
	if err := e.allowed(h, by.Person, k); err != nil {
		return Result{}, err
	}
	if e.Set, err = e.fields(); err != nil {
		return Result{}, err
	}
	return h.act(ctx, by, func(next *geo.Harbor, f *clearance.Field) (Result, error) {
		return e.apply(next, f, k, by.Despite)
	}, store.Key{Noun: k.noun, Name: e.Name})
}

// allowed refuses what is not for the author's role.
func (e *Edit) allowed(h *Harbor, by account.Person, k kind) error {
	may, own := mayOf(by, k, k.find(h.Field.Harbor(), e.Name))
	if (e.New || e.Remove && !own) && !by.Role.Has(account.Harbormaster) {
		return fmt.Errorf("%w: the harbormaster makes and takes away records of %s", ErrNotYours, k.noun)
	}
	for _, field := range slices.Sorted(maps.Keys(e.Set)) {
		switch {
		case allows(may, field):
		case allows(k.mayBy(account.Harbormaster), field):
			return fmt.Errorf("%w: %s of the %s is not set by the %s", ErrNotYours, field, k.noun, by.Role)
		default:
			return fmt.Errorf("%w: %s of the %s is not set by this act", geo.ErrInvalid, field, k.noun)
		}
	}
	return nil
}

// fields are those that are set: of what is made the name too.
func (e *Edit) fields() (Fields, error) {
	if len(e.Set) == 0 && !e.Remove {
		return nil, fmt.Errorf("%w: set is expected, with the fields that change", ErrIncomplete)
	}
	if !e.New || e.Set["name"] != nil {
		return e.Set, nil
	}
	name, err := json.Marshal(e.Name)
	if err != nil {
		return nil, err
	}
	fields := maps.Clone(e.Set)
	fields["name"] = name
	return fields, nil
}

// apply makes the change on a harbor.
func (e *Edit) apply(h *geo.Harbor, f *clearance.Field, k kind, despite string) (Result, error) {
	if err := e.possible(k, k.find(h, e.Name) != nil); err != nil {
		return Result{}, err
	}
	if e.Remove {
		k.remove(h, e.Name)
		return Result{Words: geo.Tell("%s %s is taken off the record", k.noun, e.Name)}, nil
	}
	before := k.find(h, e.Name)
	if err := k.set(h, e.Name, e.Set); err != nil {
		return Result{}, pathError(err)
	}
	done := Result{Words: geo.Plain(strings.TrimSpace(k.noun+" "+e.Name) + ": " + fieldCount(len(e.Set)))}
	was, isMooring := before.(geo.Mooring)
	if !isMooring {
		return done, nil
	}
	done.Number = e.Name
	m, err := mooringOf(h, e.Name)
	if err != nil {
		return Result{}, err
	}
	done.Fits, err = fitChanged(f, &was, m, despite)
	return done, err
}

// possible refuses to make what is there, to change what is not, and what is not done by an edit.
func (e *Edit) possible(k kind, there bool) error {
	switch {
	case e.New && there:
		return fmt.Errorf("%w: %s is there already", geo.ErrInvalid, strings.TrimSpace(k.noun+" "+e.Name))
	case !e.New && !there:
		return fmt.Errorf("%s %s: %w", k.noun, e.Name, geo.ErrNotFound)
	case e.Remove && k.remove == nil:
		return fmt.Errorf("%w: the %s is not taken away by this act", geo.ErrInvalid, k.noun)
	case e.New && (k.remove == nil || k.noun == store.NounNote):
		return fmt.Errorf("%w: the %s is not made by this act", geo.ErrInvalid, k.noun)
	}
	return nil
}

// fitChanged holds a mooring whose record has changed against the field where the change bears on the water.
func fitChanged(f *clearance.Field, was, m *geo.Mooring, despite string) ([]clearance.Fit, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	if err := m.ValidateWork(was, geo.LatestDay(time.Now())); err != nil {
		return nil, err
	}
	if i, ok := f.Index(m.Number); ok && clearance.SameWater(&f.Harbor().Moorings[i], m) {
		return nil, nil
	}
	return fitAll(f, despite, *m)
}

// mayOf are the beginnings of the fields of a record that somebody may set. Who has written a note may put it right, or take it back: then
// it is their own.
func mayOf(p account.Person, k kind, record any) (may []string, own bool) {
	may = k.mayBy(p.Role)
	if n, ok := record.(geo.Note); ok && p.SignedIn() && n.By == p.Name {
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
		return fmt.Errorf("%w: %w", geo.ErrInvalid, err)
	}
	return err
}
