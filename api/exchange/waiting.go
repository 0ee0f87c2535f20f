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
			r.problem(r.file, 1, column, "", "a column of that name is wanted: who waits, and since when (as 2024-03-15)")
			return
		}
	}
	list := []geo.Waiting{}
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
		slices.SortStableFunc(list, func(a, b geo.Waiting) int { return cmp.Compare(a.Since, b.Since) })
		r.h.Waiting = list
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
			return strings.TrimSpace(row[at])
		}
		return ""
	}
	w := geo.Waiting{Name: cell("name"), Since: geo.Date(cell("since")), Note: cell("note"), Areas: []string{}}
	for _, area := range strings.FieldsFunc(cell("areas"), func(r rune) bool { return r == ';' || r == '/' }) {
		w.Areas = append(w.Areas, strings.TrimSpace(area))
	}
	m := geo.Mooring{Boat: &geo.Boat{Name: cell("boat"), Kind: cell("boat_kind"), Owner: w.Name}}
	for _, c := range measures {
		text := strings.TrimSpace(row[c.at])
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
