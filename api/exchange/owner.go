package exchange

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"swingroom/geo"
)

// ownerTexts are the columns of owners.csv that hold words, besides the name.
var ownerTexts = map[string]textColumn[geo.Owner]{
	"phone":   func(o *geo.Owner, s string) { o.Phone = s },
	"email":   func(o *geo.Owner, s string) { o.Email = s },
	"address": func(o *geo.Owner, s string) { o.Address = s },
	"note":    func(o *geo.Owner, s string) { o.Note = s },
}

var ownerForm = form[geo.Owner]{texts: append(slices.Sorted(maps.Keys(ownerTexts)), "name", "resident"), needed: []string{"name"}}

// owners reads owners.csv: one owner a row, laid over the one of that name. Owners that it does not name stay.
func (r *reader) owners(text []byte) {
	t, _, good := ownerForm.open(r, text)
	if !good {
		return
	}
	k := newKeyed(r.h.Owners, func(o *geo.Owner) string { return o.Name })
	t.eachRow(func(w *row) {
		if o := w.owner(k); !w.bad {
			k.put(o.Name, o)
		}
	})
	slices.SortStableFunc(k.list, func(a, b geo.Owner) int { return cmp.Compare(a.Name, b.Name) })
	r.h.Owners = k.list
}

// owner reads an owner over the one on file.
func (w *row) owner(k *keyed[geo.Owner]) geo.Owner {
	name, _ := w.text("name")
	o, _ := k.onFile(name)
	o.Name = name
	for column, set := range ownerTexts {
		if text, has := w.text(column); has {
			set(&o, text)
		}
	}
	w.resident(&o)
	w.validate(o.Validate())
	k.claim(w, "name", name)
	return o
}

// yesOrNo are the words for either, in lower case.
var yesOrNo = map[string]bool{"yes": true, "y": true, "true": true, "1": true, "no": false, "n": false, "false": false, "0": false}

// resident reads whether an owner lives in the town.
func (w *row) resident(o *geo.Owner) {
	text, has := w.text("resident")
	if !has {
		return
	}
	o.Resident = geo.Maybe[bool]{}
	if yes, said := yesOrNo[strings.ToLower(text)]; said {
		o.Resident = geo.Known(yes)
	} else if !blank(text) {
		w.refuse("resident", text, "yes or no is expected, or nothing where it is not known")
	}
}
