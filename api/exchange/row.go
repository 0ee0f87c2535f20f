package exchange

import (
	"errors"
	"io"
	"slices"
	"strings"

	"swingroom/geo"
)

// wordTable opens a table whose columns are all known by their whole names; needed ones have to be there.
func (r *reader) wordTable(text []byte, known []string, needed ...string) (t *table, words map[string]int, good bool) {
	if t, good = r.openTable(text); !good {
		return nil, nil, false
	}
	words = map[string]int{}
	for column, at := range t.columns {
		if slices.Contains(known, column) {
			words[column] = at
		} else {
			r.notice(r.file, 1, "column %q is not known and left alone", column)
		}
	}
	for _, column := range needed {
		if _, ok := words[column]; !ok {
			r.problem(r.file, 1, column, "", "a column of that name is expected")
			good = false
		}
	}
	return t, words, good
}

// each reads the rows of a table to its end.
func (r *reader) each(t *table, do func(row []string, line int)) {
	for {
		row, line, ok, err := r.next(t)
		if errors.Is(err, io.EOF) || err != nil {
			return
		}
		if ok {
			do(row, line)
		}
	}
}

// entryRow is one row of a table of words.
type entryRow struct {
	*reader
	words map[string]int
	row   []string
	line  int
	bad   bool
}

func (w *entryRow) cell(column string) (text string, has bool) {
	at, has := w.words[column]
	if !has {
		return "", false
	}
	return w.row[at], true
}

func (w *entryRow) wrong(column, got, want string) {
	w.problem(w.file, w.line, column, got, want)
	w.bad = true
}

// validate tells what the core finds wrong, by the columns of the file.
func (w *entryRow) validate(err error) {
	for _, fe := range geo.FieldErrors(err) {
		got := fe.Got
		if text, has := w.cell(fe.Field); has && text != "" {
			got = text
		}
		w.wrong(strings.ReplaceAll(fe.Field, ".", "_"), got, fe.Want)
	}
}
