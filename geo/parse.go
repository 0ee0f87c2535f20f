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

// withDecimalComma decides about commas between two digits: they separate the halves, or are decimal commas. p and err are the reading in
// which they separate; where only one of the two makes sense it is that.
func withDecimalComma(text string, p Position, err *PositionError, near *Vicinity) (Position, *PositionError) {
	q, decimalErr := parse(text, true, near)
	switch {
	case err == nil && oneComma.MatchString(text):
		return p, ambiguous("is the comma a decimal comma? Then only one half of a position is there", Reading{p, "comma between the two"})
	case err == nil && decimalErr == nil && p != q:
		return p, ambiguous("do the commas part latitude and longitude, or are they decimal commas?",
			Reading{p, "commas between the two"}, Reading{q, "decimal commas"})
	case err == nil:
		return p, nil
	case decimalErr == nil:
		return q, nil
	}
	if m := onlyCommas.FindStringSubmatch(text); m != nil {
		if q, halvesErr := parse(m[1]+";"+m[2], true, near); halvesErr == nil {
			return p, ambiguous("nothing but commas stands between four numbers", Reading{q, "decimal commas"})
		}
	}
	if len(decimalErr.Readings) > len(err.Readings) {
		return q, decimalErr
	}
	return p, err
}

func ambiguous(reason string, readings ...Reading) *PositionError {
	return &PositionError{Reason: reason, Readings: readings, Kind: ErrAmbiguous}
}

func invalid(reason string) *PositionError { return &PositionError{Reason: reason, Kind: ErrInvalid} }

// parse reads a text with commas between digits taken one way.
func parse(text string, decimalComma bool, near *Vicinity) (Position, *PositionError) {
	tokens, err := tokenize(text, decimalComma)
	if err != nil {
		return Position{}, invalid(err.Error())
	}
	one, two, err := halves(tokens)
	if err != nil {
		return Position{}, invalid(err.Error())
	}
	first, second := axisOf(one), axisOf(two)
	if first.reason == "" && second.reason == "" {
		return place(first.readings[0], second.readings[0], near)
	}
	worse := first
	if first.reason == "" || first.kind == ErrAmbiguous && second.kind == ErrInvalid {
		worse = second
	}
	return Position{}, &PositionError{Reason: worse.reason, Readings: combined(first, second, near), Kind: worse.kind}
}

// combined are the positions that any readings of two halves make, each once.
func combined(first, second half, near *Vicinity) (readings []Reading) {
	for _, a := range first.readings {
		for _, b := range second.readings {
			p, err := place(a, b, near)
			known := slices.ContainsFunc(readings, func(r Reading) bool { return r.Position == p })
			if err == nil && !known {
				readings = append(readings, Reading{p, strings.Trim(a.how+", "+b.how, ", ")})
			}
		}
	}
	return readings
}

// Reasons that more than one step of the reading may give.
const (
	onlyOneHalf = "only one half of a position is there; expected latitude and longitude"
	sameKind    = "both halves are of the same kind; expected one latitude and one longitude"
)

// halves cuts a text in two: at its one comma or other part, at its letters or words, at its second degree mark or sign, or in the middle
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
		return nil, nil, errors.New("expected latitude and longitude")
	case parts > 1:
		return nil, nil, errors.New("there are more than two parts")
	case parts == 1:
		return one, two, nil
	}
	if at := secondHalf(tokens, numbers); at > 0 {
		return tokens[:at], tokens[at:], nil
	}
	if numbers <= 3 {
		return nil, nil, errors.New(onlyOneHalf)
	}
	return nil, nil, fmt.Errorf("it is not clear where the longitude begins among the %d numbers; put a comma between the two", numbers)
}

// secondHalf finds where the second half begins when nothing stands between the two; 0 when that is not clear.
func secondHalf(tokens []token, numbers int) int {
	if len(tokens) > 0 && tokens[0].isName() {
		// Then the other half has a name too, or a sign.
		if at := secondName(tokens); at > 0 {
			return at
		}
	}
	last := len(tokens) - 1
	count, begins, degrees := 0, 0, 0
	for i, t := range tokens {
		switch {
		case t.isName() && i == 0:
		case t.kind == letterToken && i < last: // a letter ends the first half
			return i + 1
		case t.kind == wordToken && count > 0 && i < last:
			return i
		case t.kind == signToken && count > 0:
			return i
		case t.kind == markToken && t.text == "°":
			if degrees++; degrees == 2 {
				return i - 1
			}
		case t.kind == numberToken:
			if count++; count == numbers/2+1 && numbers%2 == 0 && !tokens[0].isName() {
				begins = i
			}
		}
	}
	return begins
}

// isName reports a letter or word that says which axis it is.
func (t token) isName() bool { return t.kind == letterToken || t.kind == wordToken }

// secondName is where the second group of letters or words begins in a text that begins with one; 0 where there is none before the end.
func secondName(tokens []token) int {
	for i := 1; i < len(tokens)-1; i++ {
		if tokens[i].isName() && !tokens[i-1].isName() {
			return i
		}
	}
	return 0
}

// place makes a position of two halves and holds it against the vicinity.
func place(first, second axis, near *Vicinity) (Position, *PositionError) {
	lat, lon := first, second
	if first.kind == lonAxis || second.kind == latAxis {
		lat, lon = second, first
	}
	if lat.kind == lonAxis || lon.kind == latAxis {
		return Position{}, invalid(sameKind)
	}
	p := Position{LatDeg: lat.deg, LonDeg: lon.deg}
	named := lat.kind != anyAxis || lon.kind != anyAxis
	if err := onEarth(p, named); err != nil {
		return Position{}, err
	}
	if near == nil || near.holds(p) {
		return p, nil
	}
	if readings := near.otherwise(p, lat.told, lon.told, named); len(readings) > 0 {
		reason := fmt.Sprintf("as it stands it lies %.0f km from the harbor; with %s it lies in it", float64(Distance(near.Centre, p))/1000,
			readings[0].How)
		return Position{}, ambiguous(reason, append(readings, Reading{p, "as it stands"})...)
	}
	return p, nil
}

// onEarth refuses what is no position; where no letter names the halves, the two swapped are offered if they are one.
func onEarth(p Position, named bool) *PositionError {
	if math.Abs(p.LatDeg) > MaxLatDeg {
		refusal := invalid(fmt.Sprintf("%s was read; %s", trimDeg(p.LatDeg), wantLat))
		if swapped := (Position{p.LonDeg, p.LatDeg}); !named && swapped.Validate() == nil {
			refusal.Readings = []Reading{{swapped, "longitude first"}}
		}
		return refusal
	}
	if math.Abs(p.LonDeg) > 180 {
		return invalid(fmt.Sprintf("a longitude goes up to 180°, %s was read", trimDeg(p.LonDeg)))
	}
	return nil
}

// otherwise lists the readings of a position that lie in the vicinity: the halves swapped where no letter names them, and another sign
// where none is written.
func (v *Vicinity) otherwise(p Position, latTold, lonTold, named bool) []Reading {
	var readings []Reading
	for _, swap := range []bool{false, true} {
		if swap && named {
			continue
		}
		for _, latSign := range signs(latTold) {
			for _, lonSign := range signs(lonTold) {
				if r := readingOf(Position{latSign * p.LatDeg, lonSign * p.LonDeg}, p, swap); v.holds(r.Position) {
					readings = append(readings, r)
				}
			}
		}
	}
	return readings
}

// signs are those that a half may have been meant with.
func signs(told bool) []float64 {
	if told {
		return []float64{1}
	}
	return []float64{1, -1}
}

// readingOf tells in which way q is another reading of the position p as it was written, with other signs and then perhaps swapped.
func readingOf(q, p Position, swap bool) Reading {
	var how []string
	if swap {
		q, p = Position{q.LonDeg, q.LatDeg}, Position{p.LonDeg, p.LatDeg}
		how = append(how, "longitude first")
	}
	if q.LatDeg*p.LatDeg < 0 {
		how = append(how, "the latitude's sign turned")
	}
	if q.LonDeg*p.LonDeg < 0 {
		how = append(how, "the longitude's sign turned")
	}
	return Reading{q, strings.Join(how, " and ")}
}

// trimDeg writes degrees to four decimals, without trailing zeros.
func trimDeg(deg float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", deg), "0"), ".") + "°"
}
