package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"

	"swingroom/geo"
)

// length is a flag that says its unit: 9.2m, 30ft, 27'6".
type length struct{ value geo.Maybe[geo.Metres] }

// Decode reads the flag. The error says what is wanted.
func (l *length) Decode(ctx *kong.DecodeContext) error {
	var text string
	if err := ctx.Scan.PopValueInto("length", &text); err != nil {
		return err
	}
	if text == "" {
		return nil
	}
	bad := fmt.Errorf("%q; a length with its unit is wanted, as 9.2m, 30ft or 27'6\"", text)
	clean := strings.TrimSuffix(strings.ReplaceAll(text, " ", ""), `"`)
	if feet, inches, ok := strings.Cut(clean, "'"); ok {
		ft, err := strconv.ParseFloat(feet, 64)
		in := 0.0
		if inches != "" && err == nil {
			in, err = strconv.ParseFloat(inches, 64)
		}
		if err != nil || !(ft >= 0 && in >= 0 && in < 12) || math.IsInf(ft, 0) {
			return bad
		}
		l.value = geo.Known(geo.Feet(ft + in/12))
		return nil
	}
	unit, number := geo.Metres(0), ""
	for suffix, one := range map[string]geo.Metres{"ft": geo.MetresPerFoot, "m": 1} {
		if n, ok := strings.CutSuffix(clean, suffix); ok {
			unit, number = one, n
		}
	}
	v, err := strconv.ParseFloat(number, 64)
	if unit == 0 || err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return bad
	}
	l.value = geo.Known(geo.Metres(v) * unit)
	return nil
}
