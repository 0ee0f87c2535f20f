package clearance

import (
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
)

// Figure writes a figure of a verdict for a reader: m, mm, N, kg and deg, in feet, inches, pounds-force and pounds where those are shown.
func Figure(v float64, unit string, u geo.Units) string {
	feet := u == geo.UnitsFeet
	switch {
	case unit == "m" && feet:
		return round(geo.Metres(v).Feet()) + " ft"
	case unit == "m":
		return round(v) + " m"
	case unit == "N" && feet:
		return fmt.Sprintf("%.0f lbf", v/float64(geo.PoundsForce(1)))
	case unit == "N":
		return fmt.Sprintf("%.0f N", v)
	case unit == "kg" && feet:
		return fmt.Sprintf("%.0f lb", geo.Kilograms(v).Pounds())
	case unit == "kg":
		return fmt.Sprintf("%.0f kg", v)
	case unit == "mm" && feet:
		return fmt.Sprintf("%.3g in", geo.Metres(v/1000).Feet()*12)
	case unit == "deg":
		return fmt.Sprintf("%.0f°", v)
	case unit == "":
		return fmt.Sprintf("%.3g", v)
	}
	return fmt.Sprintf("%.3g %s", v, unit)
}

// round keeps two decimals below 1, one below 100 and none above, and writes no nought behind the point.
func round(v float64) string {
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

// fieldWords are names of fields in words; what is not among them is its name without its unit.
var fieldWords = map[string]string{
	"loa_m": "boat's length", "length_all_m": "boat's length", "beam_m": "beam", "draft_m": "draft", "bow_height_m": "bow height", "boat_kind": "kind of boat",
	"largest_loa_m": "longest boat set for the place", "largest_draft_m": "deepest boat set for the place", "depth_m": "depth", "rode_m": "length of the rode", "radius_m": "stated radius",
	"levels.low_m": "low tide level", "levels.high_m": "high tide level", "soundings.csv": "soundings", "shoreline.geojson": "shoreline", "permit_expires": "last day of the permit",
	"tackle": "tackle", "anchor": "anchor", "anchor_kg": "anchor's weight", "area": "area", "position": "position",
}

// FieldWords names a field of the record in words.
func FieldWords(field string) string {
	if words, ok := fieldWords[field]; ok {
		return words
	}
	words := field
	for suffix, name := range map[string]string{"_size_m": " size", "_size": " size", "_material": " material", "_kg": " weight", "_left": " wear", "_m": " length"} {
		if base, is := strings.CutSuffix(field, suffix); is {
			words = base + name
			break
		}
	}
	return strings.ReplaceAll(words, "_", " ")
}

// fieldsWords names fields in one line, each once.
func fieldsWords(fields []string) string {
	var names []string
	seen := map[string]bool{}
	for _, f := range fields {
		if w := FieldWords(f); !seen[w] {
			seen[w] = true
			names = append(names, w)
		}
	}
	return joined(names)
}

// joined writes a list with an 'and' before its last.
func joined(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}
