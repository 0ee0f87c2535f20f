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
	var r axisReader
	for i, t := range tokens {
		if reason := r.take(t, i+1 < len(tokens) && tokens[i+1].kind == numberToken); reason != "" {
			return refused(ErrInvalid, nil, "%s", reason)
		}
	}
	if r.letters > 0 && r.negative {
		return refused(ErrInvalid, nil, "a minus sign and a hemisphere letter stand together; one of them is enough")
	}
	h := valueOf(r.numbers, r.marks)
	for i := range h.readings {
		a := &h.readings[i]
		a.kind, a.told = r.kind, r.signed || r.letters > 0
		if r.negative || r.south {
			a.deg = -a.deg
		}
	}
	return h
}

// axisReader is one half of a text as far as it has been read.
type axisReader struct {
	numbers, marks []string // the mark behind each number; empty: none
	kind           axisKind
	signed         bool
	negative       bool
	letters        int  // N, S, E or W
	south          bool // S or W
}

// take reads the next token; a reason says why it cannot stand there.
func (r *axisReader) take(t token, numberFollows bool) (reason string) {
	switch t.kind {
	case numberToken:
		r.numbers, r.marks = append(r.numbers, t.text), append(r.marks, "")
	case markToken:
		if len(r.marks) == 0 || r.marks[len(r.marks)-1] != "" {
			return fmt.Sprintf("the mark %s stands behind no number", t.text)
		}
		r.marks[len(r.marks)-1] = t.text
	case signToken:
		if len(r.numbers) > 0 || r.signed {
			return "a sign stands in the middle"
		}
		r.signed, r.negative = true, t.text == "-"
	case letterToken, wordToken:
		return r.name(t, numberFollows)
	}
	return ""
}

// name reads a letter or word that says which axis it is.
func (r *axisReader) name(t token, numberFollows bool) (reason string) {
	kind := latAxis
	if strings.ContainsAny(t.text, "EW") || t.text == "lon" {
		kind = lonAxis
	}
	if r.kind != anyAxis && r.kind != kind {
		return "letters of latitude and longitude stand on one half"
	}
	if r.kind = kind; t.kind == wordToken {
		return ""
	}
	if r.letters++; r.letters > 1 {
		return "two letters stand on one half"
	}
	if len(r.numbers) > 0 && numberFollows {
		return "a letter stands in the middle"
	}
	r.south = t.text == "S" || t.text == "W"
	return ""
}

// angleParts are the parts of an angle with the marks that stand behind them.
var angleParts = [...]struct{ name, mark string }{{"degrees", "°"}, {"minutes", "'"}, {"seconds", `"`}}

// valueOf reads degrees, minutes and seconds.
func valueOf(numbers, marks []string) half {
	if len(numbers) == 0 {
		return refused(ErrInvalid, nil, onlyOneHalf)
	}
	if len(numbers) > len(angleParts) {
		return refused(ErrInvalid, nil, "%d numbers on one half: degrees, minutes and seconds are three at most", len(numbers))
	}
	for i, n := range numbers[:len(numbers)-1] {
		if strings.Contains(n, ".") {
			return refused(ErrInvalid, nil, "a number of %s follows %s, which has decimals already", angleParts[i+1].name, n)
		}
	}
	if len(numbers) == 1 && marks[0] == "" {
		if h, compact := compactOf(numbers[0]); compact {
			return h
		}
	}
	var v [len(angleParts)]float64
	for i, n := range numbers {
		var reason string
		if v[i], reason = anglePart(i, n, marks[i]); reason != "" {
			return refused(ErrInvalid, nil, "%s", reason)
		}
	}
	a := axis{deg: v[0] + v[1]/60 + v[2]/3600}
	if len(numbers) == 3 && marks[2] == "'" {
		a.how = "the last number as seconds"
		return refused(ErrAmbiguous, []axis{a}, "a single prime stands where the double prime of seconds is meant")
	}
	return half{readings: []axis{a}}
}

// anglePart reads the number of degrees, minutes or seconds (i is 0, 1 or 2) with the mark behind it; a reason says why it is none.
func anglePart(i int, n, mark string) (v float64, reason string) {
	const beyond = 1e6 // far beyond any degree: told as no number, and not with all of its digits
	part := angleParts[i]
	v, err := strconv.ParseFloat(n, 64)
	switch {
	case err != nil || v > beyond:
		return 0, fmt.Sprintf("%s is no number of %s", shortNumber(n), part.name)
	case mark != "" && mark != part.mark && !(i == 2 && mark == "'"):
		return 0, fmt.Sprintf("the mark %s stands where %s are expected", mark, part.name)
	case i > 0 && v >= 60:
		return 0, fmt.Sprintf("%s go up to 59, %s was read", part.name, shortNumber(n))
	}
	return v, ""
}

// compactForms are the ways in which degrees and minutes, or these and seconds, are run together: how many digits are degrees, and how many
// stand behind them.
var compactForms = [...]struct {
	degrees, rest int
	how           string
}{{2, 2, "degrees and minutes run together"}, {3, 2, "degrees and minutes run together"},
	{2, 4, "degrees, minutes and seconds run together"}, {3, 4, "degrees, minutes and seconds run together"}}

// compactOf refuses figures without any mark that run degrees, minutes and seconds together, and offers what they can be.
func compactOf(n string) (half, bool) {
	whole, _, decimals := strings.Cut(n, ".")
	if len(strings.TrimLeft(whole, "0")) < 4 {
		return half{}, false
	}
	var readings []axis
	offer := func(a axis, ok bool, how string) {
		if a.how = how; ok {
			readings = append(readings, a)
		}
	}
	for _, form := range compactForms {
		if !decimals && len(whole) > form.degrees+form.rest && form.rest == 2 {
			// Minutes whose decimal point was lost.
			a, ok := runTogether(whole[:form.degrees+2]+"."+whole[form.degrees+2:], form.degrees, 2)
			offer(a, ok, "minutes with decimals")
		}
		if len(whole) == form.degrees+form.rest {
			a, ok := runTogether(n, form.degrees, form.rest)
			offer(a, ok, form.how)
		}
	}
	return refused(ErrAmbiguous, readings, "%s runs degrees and minutes together and can be read in more than one way; put marks or "+
		"spaces between them", shortNumber(n)), true
}

// runTogether reads a compact form: so many digits of degrees, then two of minutes with decimals, or four of minutes and seconds; ok is
// false where these are none.
func runTogether(n string, degrees, rest int) (a axis, ok bool) {
	parts := []string{n[:degrees], n[degrees:]}
	if rest == 4 {
		parts = []string{n[:degrees], n[degrees : degrees+2], n[degrees+2:]}
	}
	var v [len(angleParts)]float64
	for i, part := range parts {
		var err error
		if v[i], err = strconv.ParseFloat(part, 64); err != nil || i > 0 && v[i] >= 60 {
			return axis{}, false
		}
	}
	return axis{deg: v[0] + v[1]/60 + v[2]/3600}, v[0] <= 180
}

// shortNumber keeps a number of hundreds of digits out of a message.
func shortNumber(n string) string {
	if len(n) > 20 {
		return n[:17] + "..."
	}
	return n
}
