package exchange

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
)

// row is one row of a table while its record is made.
type row struct {
	*table
	cells []string
	line  int
	bad   bool
}

// eachRow reads the rows of a table to its end, without those that are no rows of it.
func (t *table) eachRow(do func(*row)) {
	for {
		cells, line, ok, err := t.next()
		if err != nil {
			return
		}
		if ok {
			do(&row{table: t, cells: cells, line: line})
		}
	}
}

// text is the cell of a column of words; has is false where the file has no such column.
func (w *row) text(column string) (text string, has bool) {
	at, has := w.texts[column]
	if !has {
		return "", false
	}
	return w.cells[at], true
}

// known is the text of a column of words: empty where the cell says that it is not known.
func (w *row) known(column string) string {
	at, has := w.texts[column]
	if !has || w.unknown[at] {
		return ""
	}
	return w.cells[at]
}

// refuse reports a cell, and the row is not taken.
func (w *row) refuse(column, got, want string) {
	w.report(w.line, column, got, want)
	w.bad = true
}

// number reads the number painted on a buoy, which no mooring can be without.
func (w *row) number() string {
	number, _ := w.text("number")
	if err := geo.ValidNumber(number); err != nil {
		w.refuse("number", number, geo.FieldErrors(err)[0].Want)
	} else if w.unknown[w.texts["number"]] {
		w.refuse("number", number, "the number painted on the buoy is expected")
	}
	return number
}

// validate reports what the core finds wrong, by the columns of the file.
func (w *row) validate(err error) {
	for _, fe := range geo.FieldErrors(err) {
		text, _ := w.text(fe.Field)
		w.refuse(strings.ReplaceAll(fe.Field, ".", "_"), cmp.Or(text, fe.Got), fe.Want)
	}
}

// readFigures puts the figures of a row into its record. Two columns of one figure in two units have to agree; a figure that is but for
// rounding that of the record leaves it.
func readFigures[R any](w *row, columns []figureColumn[R], record *R) {
	read := make(map[string]geo.Maybe[float64], len(columns))
	for i := range columns {
		c := &columns[i]
		v, ok := w.figure(c.at, c.heading, c.unit)
		if !ok {
			continue
		}
		if before, twice := read[c.name]; twice && (!v.IsKnown() || !w.agree(c.heading, c.scale, before, v, c.at)) {
			continue
		}
		read[c.name] = v
		c.set(record, keepSame(v, c.get(record)))
	}
}

// figure reads a cell of a column of figures, in the unit of the core; ok is false where it is refused.
func (w *row) figure(at int, heading string, u unit) (v geo.Maybe[float64], ok bool) {
	cell := w.cells[at]
	if blank(cell) {
		return v, true
	}
	x, err := w.parse(cell, u.name)
	if err != nil {
		w.refuse(heading, cell, err.Error())
		return v, false
	}
	return geo.Known(x * u.one), true
}

// agree reports whether two columns of one figure say the same, as far as both are known.
func (w *row) agree(heading string, s scale, before, v geo.Maybe[float64], at int) bool {
	a, known := before.Get()
	b := v.Or(0)
	if !known || math.Abs(a-b) <= s.tolerance {
		return true
	}
	w.refuse(heading, w.cells[at], fmt.Sprintf("another column says %.2f %s, this one %.2f %s", a, s.core, b, s.core))
	return false
}
