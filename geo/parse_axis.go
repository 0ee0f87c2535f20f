package geo

import (
	"fmt"
	"strconv"
	"strings"
)

// axisKind tells latitude from longitude where a letter or a word says so.
type axisKind int

const (
	anyAxis axisKind = iota
	latAxis
	lonAxis
)

// axis is one half of a position as it can be read.
type axis struct {
	deg  float64
	kind axisKind
	told bool   // a sign or a letter says which side of Greenwich or the equator
	how  string // what was assumed, when something was
}

// half is one half of a text: its readings, and why it cannot be taken as it stands.
type half struct {
	readings []axis
	reason   string
	kind     error
}

func refused(kind error, readings []axis, reason string, args ...any) half {
	return half{readings, fmt.Sprintf(reason, args...), kind}
}

// axisOf reads one half.
func axisOf(tokens []token) half {
	var numbers, marks []string
	var a axis
	negative, south, signed, letters := false, false, false, 0
	for i, t := range tokens {
		switch t.kind {
		case numberToken:
			numbers, marks = append(numbers, t.text), append(marks, "")
		case markToken:
			if len(marks) == 0 || marks[len(marks)-1] != "" {
				return refused(ErrInvalid, nil, "the mark %s stands behind no number", t.text)
			}
			marks[len(marks)-1] = t.text
		case signToken:
			if len(numbers) > 0 || signed {
				return refused(ErrInvalid, nil, "a sign stands in the middle")
			}
			signed, negative = true, t.text == "-"
		case letterToken, wordToken:
			kind := latAxis
			if strings.ContainsAny(t.text, "EW") || t.text == "lon" {
				kind = lonAxis
			}
			if a.kind != anyAxis && a.kind != kind {
				return refused(ErrInvalid, nil, "letters of latitude and longitude stand on one half")
			}
			a.kind = kind
			if t.kind == letterToken {
				if letters++; letters > 1 {
					return refused(ErrInvalid, nil, "two letters stand on one half")
				}
				if len(numbers) > 0 && i < len(tokens)-1 && tokens[i+1].kind == numberToken {
					return refused(ErrInvalid, nil, "a letter stands in the middle")
				}
				south = t.text == "S" || t.text == "W"
			}
		}
	}
	if letters > 0 && negative {
		return refused(ErrInvalid, nil, "a minus sign and a hemisphere letter stand together; one of them is enough")
	}
	a.told = signed || letters > 0
	h := valueOf(numbers, marks)
	for i := range h.readings {
		r := &h.readings[i]
		r.kind, r.told = a.kind, a.told
		if negative || south {
			r.deg = -r.deg
		}
	}
	return h
}

// valueOf reads degrees, minutes and seconds.
func valueOf(numbers, marks []string) half {
	if len(numbers) == 0 {
		return refused(ErrInvalid, nil, "only one half of a position is there; latitude and longitude are wanted")
	}
	if len(numbers) > 3 {
		return refused(ErrInvalid, nil, "%d numbers on one half: degrees, minutes and seconds are three at most", len(numbers))
	}
	for i, n := range numbers[:len(numbers)-1] {
		if strings.Contains(n, ".") {
			return refused(ErrInvalid, nil, "%s follows %s, which has decimals already",
				[]string{"a number of minutes", "a number of seconds"}[i], n)
		}
	}
	if len(numbers) == 1 && marks[0] == "" {
		if h, compact := compactOf(numbers[0]); compact {
			return h
		}
	}
	order := []string{"°", "'", `"`}
	names := []string{"degrees", "minutes", "seconds"}
	var v [3]float64
	for i, n := range numbers {
		x, err := strconv.ParseFloat(n, 64)
		if err != nil || x > 1e6 {
			return refused(ErrInvalid, nil, "%s is no number of %s", shortNumber(n), names[i])
		}
		v[i] = x
		if marks[i] != "" && marks[i] != order[i] && !(i == 2 && marks[i] == "'") {
			return refused(ErrInvalid, nil, "the mark %s stands where %s are expected", marks[i], names[i])
		}
		if i > 0 && x >= 60 {
			return refused(ErrInvalid, nil, "%s go up to 59, %s was read", names[i], shortNumber(n))
		}
	}
	a := axis{deg: v[0] + v[1]/60 + v[2]/3600}
	if len(numbers) == 3 && marks[2] == "'" {
		a.how = "the last number as seconds"
		return refused(ErrAmbiguous, []axis{a}, "a single prime stands where the double prime of seconds is meant")
	}
	return half{readings: []axis{a}}
}

// compactOf refuses figures without any mark that run degrees, minutes and seconds together, and offers what they can be.
func compactOf(n string) (half, bool) {
	whole, _, decimals := strings.Cut(n, ".")
	if len(strings.TrimLeft(whole, "0")) < 4 {
		return half{}, false
	}
	var readings []axis
	for _, r := range []struct {
		degrees, minutes int
		how              string
	}{{2, 2, "degrees and minutes run together"}, {3, 2, "degrees and minutes run together"},
		{2, 4, "degrees, minutes and seconds run together"}, {3, 4, "degrees, minutes and seconds run together"}} {
		if !decimals && len(whole) > r.degrees+r.minutes && r.minutes == 2 {
			n := whole[:r.degrees+2] + "." + whole[r.degrees+2:] // minutes whose decimal point was lost
			if a, ok := runTogether(n, r.degrees, 2); ok {
				a.how = "minutes with decimals"
				readings = append(readings, a)
			}
		}
		if len(whole) == r.degrees+r.minutes {
			if a, ok := runTogether(n, r.degrees, r.minutes); ok {
				a.how = r.how
				readings = append(readings, a)
			}
		}
	}
	return refused(ErrAmbiguous, readings, "%s runs degrees and minutes together and can be read in more than one way; put marks or "+
		"spaces between them", shortNumber(n)), true
}

func runTogether(n string, degrees, minutes int) (axis, bool) {
	d, err1 := strconv.ParseFloat(n[:degrees], 64)
	var m, s float64
	var err2, err3 error
	if minutes == 2 {
		m, err2 = strconv.ParseFloat(n[degrees:], 64)
	} else {
		m, err2 = strconv.ParseFloat(n[degrees:degrees+2], 64)
		s, err3 = strconv.ParseFloat(n[degrees+2:], 64)
	}
	if err1 != nil || err2 != nil || err3 != nil || d > 180 || m >= 60 || s >= 60 {
		return axis{}, false
	}
	return axis{deg: d + m/60 + s/3600}, true
}

func shortNumber(n string) string {
	if len(n) > 20 {
		return n[:17] + "..."
	}
	return n
}
