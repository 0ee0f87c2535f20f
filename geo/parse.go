package geo

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

// Vicinity is where a harbor lies: enough to tell a position that was written the wrong way round.
type Vicinity struct {
	Centre Position
	Reach  Metres
}

// FieldReach is how far from the middle of its field a mooring, or a position that somebody types, is still taken to be meant in it: no
// harbor is larger. Common practice, no source.
const FieldReach Metres = 20000

func (v *Vicinity) holds(p Position) bool {
	return v != nil && p.Validate() == nil && Distance(v.Centre, p) <= v.Reach
}

// Reading is one way to understand a text.
type Reading struct {
	Position Position
	How      string // what was taken how: "seconds", "latitude and longitude swapped"
}

// PositionError says why a text is refused as a position, and which readings were seen.
type PositionError struct {
	Text     string
	Reason   string
	Readings []Reading
	Kind     error // ErrAmbiguous or ErrInvalid
}

func (e *PositionError) Error() string {
	return fmt.Sprintf("position %q: %s", e.Text, e.Reason)
}

// Unwrap gives the kind.
func (e *PositionError) Unwrap() error { return e.Kind }

// maxPositionText is the longest text that is looked at.
const maxPositionText = 200

// ParsePosition reads a position as people paste it: degrees, degrees and minutes or degrees, minutes and seconds, each with decimals in
// its last part; hemisphere letters before or after, signs, the words latitude and longitude; any of the usual marks, or spaces and colons;
// a comma, semicolon, slash, tab or bar between the two; a decimal comma where it can be nothing else. Without letters latitude comes
// first. near, where it is not nil, is the harbor's vicinity: a position that lies there only with the two swapped, or with another sign,
// is refused. The error is a *PositionError, with the reason and the readings that were seen.
func ParsePosition(text string, near *Vicinity) (Position, error) {
	if len(text) > maxPositionText {
		return Position{}, &PositionError{Text: text[:maxPositionText], Reason: "a position is not that long", Kind: ErrInvalid}
	}
	p, err := parse(text, false, near)
	if tightComma.MatchString(text) {
		p, err = withDecimalComma(text, p, err, near)
	}
	if err != nil {
		err.Text = text
		return Position{}, err
	}
	return p, nil
}

var (
	tightComma = regexp.MustCompile(`[0-9],[0-9]`)
	onlyCommas = regexp.MustCompile(`^\s*([-+]?[0-9]+,[0-9]+),([-+]?[0-9]+,[0-9]+)\s*$`)
	oneComma   = regexp.MustCompile(`^\s*[0-9]+,[0-9]+\s*$`)
)

// withDecimalComma decides about commas between two digits: they part the halves, or are decimal commas. p and err are the
// reading in which they part; where only one of the two makes sense it is that.
func withDecimalComma(text string, p Position, err *PositionError, near *Vicinity) (Position, *PositionError) {
	q, decimalErr := parse(text, true, near)
	switch {
	case err == nil && oneComma.MatchString(text):
		return p, &PositionError{Reason: "is the comma a decimal comma? Then only one half of a position is there",
			Readings: []Reading{{p, "comma between the two"}}, Kind: ErrAmbiguous}
	case err == nil && decimalErr == nil && p != q:
		return p, &PositionError{Reason: "do the commas part latitude and longitude, or are they decimal commas?",
			Readings: []Reading{{p, "commas between the two"}, {q, "decimal commas"}}, Kind: ErrAmbiguous}
	case err == nil:
		return p, nil
	case decimalErr == nil:
		return q, nil
	}
	if m := onlyCommas.FindStringSubmatch(text); m != nil {
		if q, halvesErr := parse(m[1]+";"+m[2], true, near); halvesErr == nil {
			return p,
				&PositionError{Reason: "nothing but commas stands between four numbers", Readings: []Reading{{q, "decimal commas"}},
					Kind: ErrAmbiguous}
		}
	}
	if len(decimalErr.Readings) > len(err.Readings) {
		return q, decimalErr
	}
	return p, err
}

// parse reads a text with commas between digits taken one way.
func parse(text string, decimalComma bool, near *Vicinity) (Position, *PositionError) {
	tokens, err := tokenize(text, decimalComma)
	if err != nil {
		return Position{}, &PositionError{Reason: err.Error(), Kind: ErrInvalid}
	}
	one, two, err := halves(tokens)
	if err != nil {
		return Position{}, &PositionError{Reason: err.Error(), Kind: ErrInvalid}
	}
	first, second := axisOf(one), axisOf(two)
	if first.reason == "" && second.reason == "" {
		return place(first.readings[0], second.readings[0], near)
	}
	refusal := &PositionError{Reason: first.reason, Kind: first.kind}
	if first.reason == "" || first.kind == ErrAmbiguous && second.kind == ErrInvalid {
		refusal = &PositionError{Reason: second.reason, Kind: second.kind}
	}
	for _, a := range first.readings {
		for _, b := range second.readings {
			p, err := place(a, b, near)
			seen := slices.ContainsFunc(refusal.Readings, func(r Reading) bool { return r.Position == p })
			if err == nil && !seen {
				refusal.Readings = append(refusal.Readings, Reading{p, strings.Trim(a.how+", "+b.how, ", ")})
			}
		}
	}
	return Position{}, refusal
}

// halves parts a text in two: at its one comma or other part, at its letters or words, at its second degree mark or sign, or in the middle
// of an even row of numbers.
func halves(tokens []token) (one, two []token, err error) {
	parts, numbers := 0, 0
	for i, t := range tokens {
		switch t.kind {
		case partToken:
			parts++
			one, two = tokens[:i], tokens[i+1:]
		case numberToken:
			numbers++
		}
	}
	switch {
	case numbers == 0:
		return nil, nil, errors.New("latitude and longitude are wanted")
	case parts > 1:
		return nil, nil, errors.New("there are more than two parts")
	case parts == 1:
		return one, two, nil
	}
	if at := secondHalf(tokens, numbers); at > 0 {
		return tokens[:at], tokens[at:], nil
	}
	if numbers <= 3 {
		return nil, nil, errors.New("only one half of a position is there; latitude and longitude are wanted")
	}
	return nil, nil, fmt.Errorf("it is not clear where the longitude begins among the %d numbers; put a comma between the two", numbers)
}

// secondHalf finds where the second half begins when nothing stands between the two; 0 when that is not clear.
func secondHalf(tokens []token, numbers int) int {
	count, begins, degrees := 0, 0, 0
	// then the other half has a name too, or a sign
	led := len(tokens) > 0 && (tokens[0].kind == letterToken || tokens[0].kind == wordToken)
	for i, t := range tokens {
		named := t.kind == letterToken || t.kind == wordToken
		switch {
		case named && count == 0 && i == 0: // letters stand before the numbers
			for j := i + 1; j < len(tokens); j++ {
				before := tokens[j-1].kind
				if k := tokens[j].kind; (k == wordToken || k == letterToken) && before != wordToken && before != letterToken {
					if j < len(tokens)-1 {
						return j
					}
				}
			}
		case t.kind == letterToken && i < len(tokens)-1: // a letter ends the first half
			return i + 1
		case t.kind == wordToken && count > 0:
			if i < len(tokens)-1 {
				return i
			}
		case t.kind == signToken && count > 0:
			return i
		case t.kind == markToken && t.text == "°":
			if degrees++; degrees == 2 {
				return i - 1
			}
		case t.kind == numberToken:
			if count++; count == numbers/2+1 && numbers%2 == 0 && !led {
				begins = i
			}
		}
	}
	return begins
}

// place makes a position of two halves and holds it against the vicinity.
func place(first, second axis, near *Vicinity) (Position, *PositionError) {
	refuse := func(kind error, readings []Reading, reason string, args ...any) (Position, *PositionError) {
		return Position{}, &PositionError{Reason: fmt.Sprintf(reason, args...), Readings: readings, Kind: kind}
	}
	lat, lon := first, second
	if first.kind == lonAxis || second.kind == latAxis {
		lat, lon = second, first
	}
	if lat.kind == lonAxis || lon.kind == latAxis {
		return refuse(ErrInvalid, nil, "both halves are of the same kind; one latitude and one longitude are wanted")
	}
	p := Position{LatDeg: lat.deg, LonDeg: lon.deg}
	named := lat.kind != anyAxis || lon.kind != anyAxis
	if math.Abs(p.LatDeg) > MaxLatDeg {
		var readings []Reading
		if swapped := (Position{p.LonDeg, p.LatDeg}); !named && swapped.Validate() == nil {
			readings = []Reading{{swapped, "longitude first"}}
		}
		return refuse(ErrInvalid, readings, "%s was read; %s", trimDeg(p.LatDeg), wantLat)
	}
	if math.Abs(p.LonDeg) > 180 {
		return refuse(ErrInvalid, nil, "a longitude goes up to 180°, %s was read", trimDeg(p.LonDeg))
	}
	if near == nil || near.holds(p) {
		return p, nil
	}
	if readings := near.otherwise(p, lat.told, lon.told, named); len(readings) > 0 {
		return refuse(ErrAmbiguous, append(readings, Reading{p, "as it stands"}),
			"as it stands it lies %.0f km from the harbor; with %s it lies in it",
			float64(Distance(near.Centre, p))/1000, readings[0].How)
	}
	return p, nil
}

// otherwise lists the readings of a position that lie in the vicinity: the halves swapped where no letter names them, and another sign
// where none is written.
func (v *Vicinity) otherwise(p Position, latTold, lonTold, named bool) []Reading {
	var readings []Reading
	for _, swap := range []bool{false, true} {
		if swap && named {
			continue
		}
		for _, lat := range []float64{1, -1} {
			for _, lon := range []float64{1, -1} {
				if lat < 0 && latTold || lon < 0 && lonTold {
					continue
				}
				q, how := Position{lat * p.LatDeg, lon * p.LonDeg}, []string{}
				if swap {
					q = Position{q.LonDeg, q.LatDeg}
					how = append(how, "longitude first")
				}
				if q.LatDeg*p.LatDeg < 0 && !swap || swap && q.LatDeg*p.LonDeg < 0 {
					how = append(how, "the latitude's sign turned")
				}
				if q.LonDeg*p.LonDeg < 0 && !swap || swap && q.LonDeg*p.LatDeg < 0 {
					how = append(how, "the longitude's sign turned")
				}
				if v.holds(q) {
					readings = append(readings, Reading{q, strings.Join(how, " and ")})
				}
			}
		}
	}
	return readings
}

func trimDeg(deg float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", deg), "0"), ".") + "°"
}
