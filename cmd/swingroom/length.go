package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"

	"swingroom/geo"
)

// length is a flag that says its unit: 9.2m, 30ft, 27'6".
type length struct{ value geo.Maybe[geo.Metres] }

// Decode reads the flag. The error says what is expected.
func (l *length) Decode(ctx *kong.DecodeContext) error {
	var text string
	if err := ctx.Scan.PopValueInto("length", &text); err != nil || text == "" {
		return err
	}
	m, err := parseLength(text)
	if err != nil {
		return fmt.Errorf("%q; a length with its unit is expected, such as 9.2m, 30ft or 27'6\"", text)
	}
	l.value = geo.Known(m)
	return nil
}

// errNoLength: a text is no length with a unit.
var errNoLength = errors.New("no length with a unit")

// parseLength reads a length with its unit. The error is errNoLength.
func parseLength(text string) (geo.Metres, error) {
	clean := strings.ReplaceAll(text, " ", "")
	if feet, inches, ok := strings.Cut(clean, "'"); ok {
		return parseFeet(feet, strings.TrimSuffix(inches, `"`))
	}
	unit := geo.Metres(1)
	number, ok := strings.CutSuffix(clean, "m")
	if !ok {
		unit = geo.MetresPerFoot
		number, ok = strings.CutSuffix(clean, "ft")
	}
	v, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, errNoLength
	}
	return geo.Metres(v) * unit, nil
}

// parseFeet reads feet and inches; no inches are 0.
func parseFeet(feet, inches string) (geo.Metres, error) {
	ft, err := strconv.ParseFloat(feet, 64)
	in := 0.0
	if inches != "" && err == nil {
		in, err = strconv.ParseFloat(inches, 64)
	}
	if err != nil || !(ft >= 0 && in >= 0 && in < 12) || math.IsInf(ft, 0) {
		return 0, errNoLength
	}
	return geo.Feet(ft + in/12), nil
}
