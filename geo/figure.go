package geo

import (
	"fmt"
	"math"
	"strings"
)

// Figure writes a figure with its unit for a reader: m, m², mm, N, kg and deg, in feet, square feet, inches, pounds-force and pounds
// where those are shown.
func Figure(v float64, unit string, u Units) string {
	if u == UnitsFeet {
		if text, ok := inFeet(v, unit); ok {
			return text
		}
	}
	switch unit {
	case "m":
		return rounded(v) + " m"
	case "m²", "N", "kg":
		return fmt.Sprintf("%.0f %s", v, unit)
	case "deg":
		return fmt.Sprintf("%.0f°", v)
	case "":
		return fmt.Sprintf("%.3g", v)
	}
	return fmt.Sprintf("%.3g %s", v, unit)
}

// inFeet writes a figure in feet, inches, pounds-force and pounds; ok is false for units that are the same for all readers.
func inFeet(v float64, unit string) (text string, ok bool) {
	switch unit {
	case "m":
		return rounded(Metres(v).Feet()) + " ft", true
	case "m²":
		return fmt.Sprintf("%.0f ft²", v/(MetresPerFoot*MetresPerFoot)), true
	case "N":
		return fmt.Sprintf("%.0f lbf", v/newtonsPerPoundForce), true
	case "kg":
		return fmt.Sprintf("%.0f lb", Kilograms(v).Pounds()), true
	case "mm":
		return fmt.Sprintf("%.3g in", Metres(v/1000).Feet()*12), true
	}
	return "", false
}

// rounded keeps two decimals below 1, one below 100 and none above, and writes no trailing zeros.
func rounded(v float64) string {
	size, decimals := math.Abs(v), 0
	switch {
	case size < 0.995:
		decimals = 2
	case size < 99.95:
		decimals = 1
	}
	text := fmt.Sprintf("%.*f", decimals, v)
	if decimals > 0 {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// Tell makes a sentence in both units by a format of fmt: Metres, Newtons and Kilograms among the args are written as figures with their
// unit, Words and errors in the reader's units. All of these are a %s or a %v.
func Tell(format string, args ...any) Words {
	return WordsOf(func(u Units) string { return TellIn(u, format, args...) })
}

// TellIn is Tell in one reader's units.
func TellIn(u Units, format string, args ...any) string {
	told := make([]any, len(args))
	for i, arg := range args {
		switch v := arg.(type) {
		case Metres:
			told[i] = Figure(float64(v), "m", u)
		case Newtons:
			told[i] = Figure(float64(v), "N", u)
		case Kilograms:
			told[i] = Figure(float64(v), "kg", u)
		case Words:
			told[i] = v.In(u)
		case error:
			told[i] = ErrorIn(v, u)
		default:
			told[i] = arg
		}
	}
	return fmt.Sprintf(format, told...)
}
