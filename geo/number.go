package geo

import (
	"fmt"
	"strconv"
)

// NextNumber is the next free number by an area's own numbering: one more than the largest of the commonest form in the area, a prefix and
// digits of a width, that no mooring of the harbor has. An area without such numbers goes on with those of the whole harbor; a harbor
// without any begins at "1".
func (h *Harbor) NextNumber(area string) string {
	for _, of := range []func(m *Mooring) bool{func(m *Mooring) bool { return m.Area == area }, func(*Mooring) bool { return true }} {
		if number, ok := h.nextOf(of); ok {
			return number
		}
	}
	return "1"
}

// form is how a number is written: what stands before its digits, and how many digits there are.
type form struct {
	prefix string
	width  int
}

func (h *Harbor) nextOf(of func(m *Mooring) bool) (string, bool) {
	taken := make(map[string]bool, len(h.Moorings))
	count, largest := map[form]int{}, map[form]int{}
	var common form
	for i := range h.Moorings {
		m := &h.Moorings[i]
		taken[m.Number] = true
		f, n, ok := numbered(m.Number)
		if !ok || !of(m) {
			continue
		}
		count[f]++
		largest[f] = max(largest[f], n)
		if count[f] > count[common] {
			common = f
		}
	}
	if count[common] == 0 {
		return "", false
	}
	for n := largest[common] + 1; ; n++ {
		if number := fmt.Sprintf("%s%0*d", common.prefix, common.width, n); !taken[number] {
			return number, true
		}
	}
}

// numbered takes a number apart: "B012" is 12 written with the prefix B and three digits.
func numbered(number string) (f form, n int, ok bool) {
	at := len(number)
	for at > 0 && number[at-1] >= '0' && number[at-1] <= '9' {
		at--
	}
	n, err := strconv.Atoi(number[at:])
	return form{number[:at], len(number) - at}, n, err == nil
}
