package clearance

import (
	"strings"
)

// fieldWords are names of fields in words; what is not among them is its name without its unit.
var fieldWords = map[string]string{
	"loa_m": "boat's length", "length_all_m": "boat's length", "beam_m": "beam", "draft_m": "draft", "bow_height_m": "bow height",
	"boat_kind":     "kind of boat",
	"largest_loa_m": "longest boat set for the place", "largest_draft_m": "deepest boat set for the place", "depth_m": "depth",
	"rode_m": "length of the rode", "radius_m": "stated radius",
	"levels.low_m": "low tide level", "levels.high_m": "high tide level", "soundings.csv": "soundings", "shoreline.geojson": "shoreline",
	"permit_expires": "last day of the permit",
	"tackle":         "tackle", "anchor": "anchor", "anchor_kg": "anchor's weight", "area": "area", "position": "position",
}

// FieldWords names a field of the record in words.
func FieldWords(field string) string {
	if words, ok := fieldWords[field]; ok {
		return words
	}
	return strings.ReplaceAll(endingInWords(field), "_", " ")
}

// endingInWords puts words in place of the ending that tells the unit of a field.
func endingInWords(field string) string {
	for _, x := range fieldEndings {
		if base, is := strings.CutSuffix(field, x.ending); is {
			return base + x.words
		}
	}
	return field
}

// fieldEndings are what names of fields end in, the longer before the shorter that it ends in.
var fieldEndings = [...]struct{ ending, words string }{
	{"_size_m", " size"}, {"_size", " size"}, {"_material", " material"}, {"_kg", " weight"}, {"_left", " wear"}, {"_m", " length"},
}

// fieldsWords names fields in one line, each once.
func fieldsWords(fields []string) string {
	var names []string
	seen := map[string]bool{}
	for _, f := range fields {
		all := []string{f}
		if f == "levels" { // both of them
			all = []string{"levels.low_m", "levels.high_m"}
		}
		for _, f := range all {
			if w := FieldWords(f); !seen[w] {
				seen[w] = true
				names = append(names, w)
			}
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
