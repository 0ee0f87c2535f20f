package exchange

import (
	"cmp"
	"errors"
	"io"
	"slices"
	"strings"

	"swingroom/geo"
)

// waiting reads waiting.csv: one who waits for a place a row. The list takes the place of that on file as a whole.
func (r *reader) waiting(text []byte) {
	t, good := r.openTable(text)
	if !good {
		return
	}
	measures, words := r.waitingColumns(t)
	for _, column := range []string{"name", "since"} {
		if _, ok := words[column]; !ok {
			r.problem(r.file, 1, column, "", "a column of that name is expected: who waits, and since when (such as 2024-03-15)")
			return
		}
	}
	var list []geo.Waiting
	before := len(r.im.Problems)
	for {
		row, line, ok, err := r.next(t)
		if errors.Is(err, io.EOF) || err != nil {
			break
		}
		if ok {
			list = append(list, r.waitingRow(t, row, line, measures, words))
		}
	}
	if len(r.im.Problems) == before {
		r.sameWaiting(list)
		slices.SortStableFunc(list, func(a, b geo.Waiting) int {
			return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Name, b.Name))
		})
		r.h.Waiting = list
	}
}

// sameWaiting holds a list against the one on file: the same name with the same date is the same entry, several of them in their order.
func (r *reader) sameWaiting(list []geo.Waiting) {
	type key struct {
		name  string
		since geo.Date
	}
	onFile := map[key][]*geo.Waiting{}
	for i := range r.h.Waiting {
		w := &r.h.Waiting[i]
		k := key{w.Name, w.Since}
		onFile[k] = append(onFile[k], w)
	}
	for i := range list {
		k := key{list[i].Name, list[i].Since}
		if same := onFile[k]; len(same) > 0 {
			asOnFile(&list[i], same[0])
			onFile[k] = same[1:]
		}
	}
}

// waitingColumns are those of moorings.csv that tell of a boat, and the list's own words.
func (r *reader) waitingColumns(t *table) (measures []measured, words map[string]int) {
	q := quantities()
	words = map[string]int{}
	for column, at := range t.columns {
		name, unit, _ := cutLast(column, "_")
		known, isMeasure := q[name]
		switch {
		case isMeasure && known.boat && contains(known.units, unit):
			measures = append(measures, measured{column, at, name, unit, known})
		case slices.Contains([]string{"name", "since", "areas", "boat", "boat_kind", "note"}, column):
			words[column] = at
		default:
			r.notice(r.file, 1, "column %q is not known and left alone", column)
		}
	}
	sortMeasures(measures)
	return measures, words
}

func (r *reader) waitingRow(t *table, row []string, line int, measures []measured, words map[string]int) geo.Waiting {
	cell := func(column string) string {
		if at, ok := words[column]; ok {
			return row[at]
		}
		return ""
	}
	known := func(column string) string {
		if at, ok := words[column]; ok {
			return t.word(row, at)
		}
		return ""
	}
	w := geo.Waiting{Name: cell("name"), Since: geo.Date(cell("since")), Note: cell("note"), Areas: areasOf(cell("areas"))}
	m := geo.Mooring{Boat: &geo.Boat{Name: known("boat"), Kind: known("boat_kind"), Owner: w.Name}}
	for _, c := range measures {
		text := row[c.at]
		if blank(text) {
			continue
		}
		v, err := t.number(text, c.unit)
		if err != nil {
			r.problem(r.file, line, c.column, text, err.Error())
			continue
		}
		c.set(&m, geo.Known(geo.Metres(v*unitMetres[c.unit])))
	}
	w.Boat = *m.Boat
	for _, fe := range geo.FieldErrors(w.Validate()) {
		r.problem(r.file, line, fe.Field, fe.Got, fe.Want)
	}
	for _, area := range w.Areas {
		if _, ok := r.h.Area(area); !ok {
			r.problem(r.file, line, "areas", area, "there is no area of that name; several are parted by semicolons")
		}
	}
	return w
}

// asOnFile keeps of one who waits what is but for rounding on file: figures, and whose the boat is said to be.
func asOnFile(w *geo.Waiting, onFile *geo.Waiting) {
	w.Boat.Owner = onFile.Boat.Owner
	if slices.Equal(w.Areas, onFile.Areas) {
		w.Areas = onFile.Areas
	}
	read, kept := geo.Mooring{Boat: &w.Boat}, geo.Mooring{Boat: &onFile.Boat}
	for _, q := range quantities() {
		if q.boat {
			q.set(&read, agrees(q.get(&read), q.get(&kept)))
		}
	}
}

// areasOf parts the names of areas at semicolons or slashes. A name with one of these in it stands in double quotes, as areaNames writes
// it.
func areasOf(cell string) []string {
	names := []string{}
	var b strings.Builder
	quoted, was := false, false
	end := func() {
		name := b.String()
		if !was {
			name = strings.TrimSpace(name)
		}
		if name != "" {
			names = append(names, name)
		}
		b.Reset()
		was = false
	}
	for i := 0; i < len(cell); i++ {
		switch c := cell[i]; {
		case quoted && c == '"' && i+1 < len(cell) && cell[i+1] == '"':
			b.WriteByte(c)
			i++
		case quoted && c == '"':
			quoted = false
		case !quoted && c == '"' && strings.TrimSpace(b.String()) == "" && !was:
			b.Reset()
			quoted, was = true, true
		case !quoted && (c == ';' || c == '/'):
			end()
		case !quoted && was && c == ' ': // between the closing quotes and what parts
		default:
			b.WriteByte(c)
		}
	}
	end()
	return names
}

// areaNames writes a list of areas for one cell.
func areaNames(areas []string) string {
	written := make([]string, len(areas))
	for i, name := range areas {
		if strings.ContainsAny(name, `;/"`) || name != strings.TrimSpace(name) {
			name = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
		}
		written[i] = name
	}
	return strings.Join(written, "; ")
}
