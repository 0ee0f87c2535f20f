// Package paper draws a harbor's sheets as PDF: the sheet of one mooring, to be put in the file and signed, and the chart of an area.
// Charts are true to a stated scale, with a bar on the paper to hold that against.
package paper

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swingroom/geo"
)

// Paper is a size of paper.
type Paper string

// The sizes that a sheet comes in.
const (
	A4      Paper = "a4"
	Letter  Paper = "letter"
	A3      Paper = "a3"
	Tabloid Paper = "tabloid"
)

// Caution stands on every page.
const Caution = "A planning aid, not for navigation. The harbormaster's permit and local codes govern. Setting, hauling and diving are " +
	"work for licensed practice. " +
	"Depths and positions are as entered, and not a survey."

// SheetPapers are the sizes of a mooring's sheet.
func SheetPapers() []Paper { return []Paper{A4, Letter} }

// ChartPapers are the sizes of an area's chart.
func ChartPapers() []Paper { return []Paper{A4, Letter, A3, Tabloid} }

// SheetScales are the scales 1:N of the extract on a mooring's sheet.
func SheetScales() []int { return []int{250, 500, 1000, 2500, 5000} }

// ChartScales are the scales 1:N of an area's chart.
func ChartScales() []int { return []int{1000, 2500, 5000} }

const mmPerInch = 25.4

// upright is the size of the paper in portrait: ISO 216, and inches of the North American sizes.
func (p Paper) upright() (wMM, hMM float64) {
	switch p {
	case A4:
		return 210, 297
	case A3:
		return 297, 420
	case Tabloid:
		return 11 * mmPerInch, 17 * mmPerInch
	}
	return 8.5 * mmPerInch, 11 * mmPerInch
}

// or takes the paper of the harbor's country where none is asked for.
func (p Paper) or(units geo.Units) Paper {
	switch {
	case p != "":
		return p
	case units == geo.UnitsFeet:
		return Letter
	}
	return A4
}

// invalid is the error of an option, with what is expected.
func invalid(noun, field, got, want string) error {
	return &geo.FieldError{Noun: noun, Field: field, Got: got, Want: want, Kind: geo.ErrInvalid}
}

// check refuses a paper or a scale that is not one of those offered; scale 0 is left to be chosen.
func check(noun string, p Paper, papers []Paper, scale int, scales []int) error {
	if !slices.Contains(papers, p) {
		names := make([]string, len(papers))
		for i, p := range papers {
			names[i] = string(p)
		}
		return invalid(noun, "paper", strconv.Quote(string(p)), strings.Join(names, ", ")+" is expected")
	}
	if scale != 0 && !slices.Contains(scales, scale) {
		return invalid(noun, "scale", scaleText(scale), scalesWanted(scales))
	}
	return nil
}

func scalesWanted(scales []int) string {
	texts := make([]string, len(scales))
	for i, s := range scales {
		texts[i] = scaleText(s)
	}
	return "one of " + strings.Join(texts, ", ") + " is expected, or none and it is chosen"
}

// scaleText writes a scale as people do: 1:2,500.
func scaleText(scale int) string {
	text := strconv.Itoa(scale)
	for at := len(text) - 3; at > 0; at -= 3 {
		text = text[:at] + "," + text[at:]
	}
	return "1:" + text
}

// ParseScale reads a scale as 2500, 2,500 or 1:2,500; an empty text is 0, which lets the scale be chosen.
func ParseScale(text string) (int, error) {
	clean := strings.ReplaceAll(strings.TrimPrefix(strings.ReplaceAll(text, " ", ""), "1:"), ",", "")
	if clean == "" && strings.TrimSpace(text) == "" {
		return 0, nil
	}
	scale, err := strconv.Atoi(clean)
	if err != nil || scale < 1 {
		return 0, invalid("paper", "scale", strconv.Quote(text), "a scale is expected, such as 2500 or 1:2,500")
	}
	return scale, nil
}

// units shows lengths as the reader counts them.
type units geo.Units

// length is a length to a tenth.
func (u units) length(lengthM float64) string {
	value, unit := u.tenth(lengthM)
	return value + " " + unit
}

func (u units) tenth(lengthM float64) (value, unit string) {
	unit = "m"
	if geo.Units(u) == geo.UnitsFeet {
		unit = "ft"
	}
	v := u.value(lengthM)
	if math.Abs(v) < 0.05 {
		v = 0 // never -0.0
	}
	return fmt.Sprintf("%.1f", v), unit
}

// value is a length in the reader's unit.
func (u units) value(lengthM float64) float64 {
	if geo.Units(u) == geo.UnitsFeet {
		return geo.Metres(lengthM).Feet()
	}
	return lengthM
}

// maybe is a length that may not be known.
func (u units) maybe(m geo.Maybe[geo.Metres]) string {
	if v, known := m.Get(); known {
		return u.length(float64(v))
	}
	return "unknown"
}

// round is a round length of no more than so many metres: 1, 2 or 5 times a power of ten of the unit.
func (u units) round(mostM float64) (lengthM float64) {
	unitM := mostM / u.value(mostM)
	power := math.Pow(10, math.Floor(math.Log10(mostM/unitM)))
	best := power
	for _, times := range []float64{2, 5} {
		if times*power*unitM <= mostM {
			best = times * power
		}
	}
	return best * unitM
}

// depths are the depths below chart datum at which a chart has lines.
func (u units) depths() []geo.Metres {
	if geo.Units(u) == geo.UnitsFeet {
		return []geo.Metres{0, geo.Feet(3), geo.Feet(6), geo.Feet(9), geo.Feet(12), geo.Feet(18), geo.Feet(30), geo.Feet(60)}
	}
	return []geo.Metres{0, 1, 2, 3, 4, 6, 10, 20}
}

// depth is a depth as a chart writes it, the unit left to the legend.
func (u units) depth(d geo.Metres) string {
	return fmt.Sprintf("%.3g", u.value(float64(d)))
}

func (u units) name() string {
	if geo.Units(u) == geo.UnitsFeet {
		return "feet"
	}
	return "metres"
}
