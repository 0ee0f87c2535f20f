package exchange

import (
	"slices"
	"strings"
)

// form is what a table of records R may hold.
type form[R any] struct {
	texts   []string             // columns of words by their whole names
	figures map[string]figure[R] // columns of figures by their names without the unit
	needed  []string             // those of words that have to be there
	holds   string               // ends the message that one of them is missing: what they hold; may be empty
}

// figureColumn is a column of figures as it stands in a file.
type figureColumn[R any] struct {
	figure[R]
	heading string // in lower case, with the unit
	unit    unit
	at      int // its place
}

// open opens a table and finds its columns.
func (f form[R]) open(r *reader, text []byte) (t *table, figures []figureColumn[R], good bool) {
	if t, good = r.openTable(text); !good {
		return nil, nil, false
	}
	good = true
	for at, heading := range t.names {
		column, isFigure := f.column(heading, at)
		switch {
		case heading == "":
		case isFigure:
			figures = append(figures, column)
		case slices.Contains(f.texts, heading):
			t.texts[heading] = at
		case f.figures[heading].set != nil:
			t.report(1, heading, "", "the column has to say its unit: "+strings.Join(withUnits(heading, f.figures[heading].units), " or "))
			good = false
		default:
			t.notice(t.file, 1, "column %q is not known and left alone", heading)
		}
	}
	return t, figures, f.complete(t) && good
}

// column is the column of figures that a heading names.
func (f form[R]) column(heading string, at int) (c figureColumn[R], ok bool) {
	i := strings.LastIndexByte(heading, '_')
	if i < 0 {
		return c, false
	}
	known := f.figures[heading[:i]]
	n := slices.IndexFunc(known.units, func(u unit) bool { return u.name == heading[i+1:] })
	if n < 0 {
		return c, false
	}
	return figureColumn[R]{known, heading, known.units[n], at}, true
}

// complete reports the needed columns that are missing.
func (f form[R]) complete(t *table) (good bool) {
	good = true
	for _, column := range f.needed {
		if _, ok := t.texts[column]; !ok {
			t.report(1, column, "", "a column of that name is expected"+f.holds)
			good = false
		}
	}
	return good
}

// withUnits are the names under which a figure may stand, a unit each.
func withUnits(name string, units []unit) (all []string) {
	for _, u := range units {
		all = append(all, strings.TrimPrefix(name+"_"+u.name, "_"))
	}
	return all
}
