package exchange

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"swingroom/geo"
)

// ownerTexts are the columns of owners.csv that hold words.
var ownerTexts = map[string]func(*geo.Owner) *string{
	"phone": func(o *geo.Owner) *string { return &o.Phone }, "email": func(o *geo.Owner) *string { return &o.Email },
	"address": func(o *geo.Owner) *string { return &o.Address }, "note": func(o *geo.Owner) *string { return &o.Note },
}

// owners reads owners.csv: one owner a row, laid over the one of that name. Owners that it does not name stay.
func (r *reader) owners(text []byte) {
	t, words, good := r.wordTable(text, append(slices.Sorted(maps.Keys(ownerTexts)), "name", "resident"), "name")
	if !good {
		return
	}
	list, place := r.h.Owners, map[string]int{}
	for i := range list {
		place[list[i].Name] = i
	}
	seen := map[string]int{}
	r.each(t, func(row []string, line int) {
		w := entryRow{reader: r, words: words, row: row, line: line}
		name, _ := w.cell("name")
		o := geo.Owner{Name: name}
		i, onFile := place[name]
		if onFile {
			o = list[i]
		}
		for column, field := range ownerTexts {
			if text, has := w.cell(column); has {
				*field(&o) = text
			}
		}
		w.resident(&o)
		w.validate(o.Validate())
		if first, twice := seen[name]; twice {
			w.wrong("name", name, fmt.Sprintf("the same name stands in line %d", first))
		}
		seen[name] = line
		if w.bad {
			return
		}
		if onFile {
			list[i] = o
			return
		}
		place[name] = len(list)
		list = append(list, o)
	})
	slices.SortStableFunc(list, func(a, b geo.Owner) int { return cmp.Compare(a.Name, b.Name) })
	r.h.Owners = list
}

// resident reads whether an owner lives in the town.
func (w *entryRow) resident(o *geo.Owner) {
	text, has := w.cell("resident")
	switch strings.ToLower(text) {
	case "yes", "y", "true", "1":
		o.Resident = geo.Known(true)
	case "no", "n", "false", "0":
		o.Resident = geo.Known(false)
	default:
		if has && !blank(text) {
			w.wrong("resident", text, "yes or no is expected, or nothing where it is not known")
		}
		if has {
			o.Resident = geo.Maybe[bool]{}
		}
	}
}
