package office

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"swingroom/api/account"
	"swingroom/api/patch"
	"swingroom/api/store"
	"swingroom/geo"
)

// kind is how a noun is found in a harbor, set and taken away.
type kind struct {
	noun string
	// may are the fields that each role may set besides those of the roles before it.
	may map[account.Role][]string
	// find gives the record of a name, nil where there is none.
	find func(h *geo.Harbor, name string) any
	// set gives a copy of a record with fields set, and puts it into the harbor.
	set func(h *geo.Harbor, name string, fields map[string]json.RawMessage) error
	// remove takes a record out of the harbor; nil: that is no matter of an edit.
	remove func(h *geo.Harbor, name string)
}

// areaRecord is an area without its shape, which is drawn and not typed.
type areaRecord struct {
	Name  string    `json:"name"`
	Rules geo.Rules `json:"rules"`
}

// groundRecord is what a harbor is besides what lies in it.
type groundRecord struct {
	Name     string                `json:"name"`
	Units    geo.Units             `json:"units"`
	Levels   geo.Maybe[geo.Levels] `json:"levels"`
	Public   []geo.Shown           `json:"public"`
	Accuracy geo.Maybe[geo.Metres] `json:"accuracy_m"`
}

// everything of a record is the harbormaster's.
var everything = map[account.Role][]string{account.Harbormaster: {""}}

// mooringFields are the fields of a mooring that each role may set besides those of the roles before it.
var mooringFields = map[account.Role][]string{
	account.Crew:         {"position", "accuracy_m", "depth_m", "note", "tackle[].left", "tackle[].inspected"},
	account.Yard:         {"tackle"},
	account.Harbormaster: {"boat.", "area", "radius_m", "largest_loa_m", "largest_draft_m", "smallest_loa_m", "permit"},
}

// kinds are the nouns that can be changed field by field.
var kinds = []kind{
	{noun: store.NounMooring, may: mooringFields, find: findIn(moorings, mooringNumber), set: setIn(moorings, mooringNumber, nil)},
	{noun: store.NounOwner, may: everything,
		find: findIn(owners, ownerName), set: setIn(owners, ownerName, renameOwner), remove: removeIn(owners, ownerName)},
	{noun: store.NounWaiting, may: everything,
		find: findIn(waiting, waitingName), set: setIn(waiting, waitingName, nil), remove: removeIn(waiting, waitingName)},
	{noun: store.NounNote, may: map[account.Role][]string{account.Harbormaster: {"text", "photos"}},
		find: findIn(notes, noteID), set: setIn(notes, noteID, nil), remove: removeIn(notes, noteID)},
	{noun: store.NounArea, may: map[account.Role][]string{account.Harbormaster: {"rules"}}, find: findArea, set: setArea},
	{noun: store.NounHarbor, may: everything, find: findGround, set: setGround},
}

func moorings(h *geo.Harbor) *[]geo.Mooring { return &h.Moorings }
func mooringNumber(m *geo.Mooring) string   { return m.Number }
func owners(h *geo.Harbor) *[]geo.Owner     { return &h.Owners }
func ownerName(o *geo.Owner) string         { return o.Name }
func waiting(h *geo.Harbor) *[]geo.Waiting  { return &h.Waiting }
func waitingName(w *geo.Waiting) string     { return w.Name }
func notes(h *geo.Harbor) *[]geo.Note       { return &h.Notes }
func noteID(n *geo.Note) string             { return n.ID }

func findIn[T any](list func(*geo.Harbor) *[]T, name func(*T) string) func(*geo.Harbor, string) any {
	return func(h *geo.Harbor, called string) any {
		if i := slices.IndexFunc(*list(h), func(v T) bool { return name(&v) == called }); i >= 0 {
			return (*list(h))[i]
		}
		return nil
	}
}

// setIn sets fields of a member of a list, or makes a new one of them. What its name becomes, where that changes too, is told to renamed.
func setIn[T any](list func(*geo.Harbor) *[]T, name func(*T) string, renamed func(h *geo.Harbor, from, to string)) func(*geo.Harbor, string,
	map[string]json.RawMessage) error {
	return func(h *geo.Harbor, called string, fields map[string]json.RawMessage) error {
		all := list(h)
		i := slices.IndexFunc(*all, func(v T) bool { return name(&v) == called })
		var old T
		if i >= 0 {
			old = (*all)[i]
		}
		next, err := patch.Set(old, fields)
		if err != nil {
			return err
		}
		switch {
		case i < 0:
			*all = append(*all, next)
		case name(&next) != called && renamed == nil:
			return fmt.Errorf("%w: the name of %s stays", geo.ErrInvalid, called)
		default:
			if (*all)[i] = next; name(&next) != called {
				renamed(h, called, name(&next))
			}
		}
		return nil
	}
}

func removeIn[T any](list func(*geo.Harbor) *[]T, name func(*T) string) func(*geo.Harbor, string) {
	return func(h *geo.Harbor, called string) {
		*list(h) = slices.DeleteFunc(*list(h), func(v T) bool { return name(&v) == called })
	}
}

// renameOwner lets boats and the waiting list follow when an owner's name changes.
func renameOwner(h *geo.Harbor, from, to string) {
	for i := range h.Moorings {
		if m := &h.Moorings[i]; m.Boat != nil && m.Boat.Owner == from {
			boat := *m.Boat
			boat.Owner = to
			m.Boat = &boat
		}
	}
	for i := range h.Waiting {
		if w := &h.Waiting[i]; w.Name == from {
			w.Name, w.Boat.Owner = to, to
		}
	}
}

func findArea(h *geo.Harbor, name string) any {
	if a, ok := h.Area(name); ok {
		return areaRecord{a.Name, a.Rules}
	}
	return nil
}

func setArea(h *geo.Harbor, name string, fields map[string]json.RawMessage) error {
	h.Areas = slices.Clone(h.Areas)
	a, ok := h.Area(name)
	if !ok {
		return fmt.Errorf("area %s: %w", name, geo.ErrNotFound)
	}
	next, err := patch.Set(areaRecord{a.Name, a.Rules}, fields)
	a.Rules = next.Rules
	return err
}

func groundOf(h *geo.Harbor) groundRecord {
	return groundRecord{h.Name, h.Units, h.Levels, append([]geo.Shown{}, h.Public...), h.Defaults.Accuracy}
}

func findGround(h *geo.Harbor, name string) any {
	if name != "" {
		return nil
	}
	return groundOf(h)
}

func setGround(h *geo.Harbor, _ string, fields map[string]json.RawMessage) error {
	next, err := patch.Set(groundOf(h), fields)
	h.Name, h.Units, h.Levels, h.Public, h.Defaults.Accuracy = next.Name, next.Units, next.Levels, next.Public, next.Accuracy
	if len(h.Public) == 0 {
		h.Public = nil
	}
	return err
}

// kindOf finds a noun. The error is geo.ErrNotFound.
func kindOf(noun string) (kind, error) {
	names := []string{}
	for _, k := range kinds {
		if k.noun == noun {
			return k, nil
		}
		names = append(names, k.noun)
	}
	return kind{}, fmt.Errorf("records of %q: %w; there are those of %s", noun, geo.ErrNotFound, strings.Join(names, ", "))
}

// mayBy are the beginnings of the fields that a role may set.
func (k kind) mayBy(role account.Role) []string {
	may := []string{}
	for _, r := range account.AssignableRoles() {
		if role.Has(r) {
			may = append(may, k.may[r]...)
		}
	}
	return may
}

// allows reports whether a field begins as one of those that may be set. "[]" in it stands for any place of a list.
func allows(may []string, field string) bool {
	return slices.ContainsFunc(may, func(begin string) bool {
		before, after, listed := strings.Cut(begin, "[]")
		rest, ok := strings.CutPrefix(field, before)
		if !ok {
			return false
		}
		if !listed {
			return begin == "" || strings.HasSuffix(begin, ".") || rest == "" || rest[0] == '.' || rest[0] == '['
		}
		_, tail, ok := strings.Cut(rest, "]")
		return ok && strings.HasPrefix(rest, "[") && tail == after
	})
}
