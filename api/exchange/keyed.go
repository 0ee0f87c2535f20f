package exchange

import (
	"fmt"

	"swingroom/geo"
)

// keyed is a list of records in which a row of a file takes the place of the record with the same key, or is added.
type keyed[R any] struct {
	list  []R
	place map[string]int
	lines map[string]int // key -> line of the file
}

func newKeyed[R any](list []R, key func(*R) string) *keyed[R] {
	return &keyed[R]{list: list, place: indexBy(list, key), lines: map[string]int{}}
}

// indexBy finds the places of records by their keys.
func indexBy[R any](list []R, key func(*R) string) map[string]int {
	place := make(map[string]int, len(list))
	for i := range list {
		place[key(&list[i])] = i
	}
	return place
}

func mooringNumber(m *geo.Mooring) string { return m.Number }

// onFile is the record on file with a key.
func (k *keyed[R]) onFile(key string) (record R, ok bool) {
	i, ok := k.place[key]
	if !ok {
		return record, false
	}
	return k.list[i], true
}

// put takes in a record.
func (k *keyed[R]) put(key string, record R) {
	if i, ok := k.place[key]; ok {
		k.list[i] = record
		return
	}
	k.place[key] = len(k.list)
	k.list = append(k.list, record)
}

// claim refuses a row whose key stands in an earlier line of the file.
func (k *keyed[R]) claim(w *row, column, key string) {
	if first, twice := k.lines[key]; twice {
		w.refuse(column, key, fmt.Sprintf("the same %s stands in line %d", column, first))
		return
	}
	k.lines[key] = w.line
}
