package exchange

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"swingroom/geo"
)

// What is wrong with a cell of figures.
var (
	errNotANumber = errors.New("a number is expected")
	errThousands  = errors.New("is that a thousands mark or a decimal mark? Write it without thousands marks")
)

// parse reads a figure as a person writes it: 12.5, 12,5 where that can be nothing else, 12.5 ft with the column's own unit behind it, and
// in columns of feet 27'6".
func (d dialect) parse(cell, unit string) (float64, error) {
	text := strings.TrimSpace(cell)
	if unit == "ft" {
		if v, ok := feetAndInches(text); ok {
			return v, nil
		}
	}
	text = strings.TrimSpace(strings.TrimSuffix(strings.ToLower(text), unit))
	text, err := d.decimalPoint(text)
	if err != nil {
		return 0, err
	}
	if strings.ContainsAny(text, "xXpPiInN_") { // hexadecimal, infinity and nan are no figures of a mooring
		return 0, errNotANumber
	}
	v, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
	if err != nil {
		return 0, errNotANumber
	}
	return v, nil
}

// decimalPoint puts a point for a decimal comma, and refuses a comma that may stand between thousands.
func (d dialect) decimalPoint(text string) (string, error) {
	whole, after, found := strings.Cut(text, ",")
	switch {
	case !found:
		return text, nil
	case strings.ContainsAny(after, ",.") || strings.Contains(whole, "."), !d.decimalComma && len(after) == 3:
		return "", errThousands
	}
	return whole + "." + after, nil
}

// inchMarks turns what people and spreadsheets write for feet and inches into ' and ".
var inchMarks = strings.NewReplacer("′", "'", "’", "'", "″", `"`, "”", `"`, "''", `"`, " ", "")

// feetAndInches reads 27'6" and 27'.
func feetAndInches(text string) (float64, bool) {
	feet, inches, ok := strings.Cut(inchMarks.Replace(text), "'")
	if !ok {
		return 0, false
	}
	f, err := strconv.ParseUint(feet, 10, 16)
	if err != nil {
		return 0, false
	}
	if inches == "" {
		return float64(f), true
	}
	i, err := strconv.ParseFloat(strings.TrimSuffix(inches, `"`), 64)
	if err != nil || i < 0 || i >= 12 {
		return 0, false
	}
	return float64(f) + i/12, true
}

// formatFigure writes a figure in a unit of which one is so many of the core's: as the shortest decimal that the reader takes for the very
// same number. Where no decimal does (0.3048 times one number may skip over another) it is the nearest number, which keepSame takes for the
// same.
func formatFigure(v, one float64) string {
	x := v / one
	for _, near := range []float64{x, math.Nextafter(x, math.Inf(1)), math.Nextafter(x, math.Inf(-1))} {
		for digits := 1; digits <= 17; digits++ {
			y, err := strconv.ParseFloat(strconv.FormatFloat(near, 'e', digits-1, 64), 64)
			if err == nil && y*one == v {
				return strconv.FormatFloat(y, 'f', -1, 64)
			}
		}
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// sameRatio is by how much of itself a figure of a file may differ from the one on file and still be the same: beyond the 15 digits
// that a spreadsheet keeps, and far below anything that is measured (a tenth of a millionth of a millimetre in a kilometre).
const sameRatio = 1e-13

// keepSame keeps the figure on file where that of the file is the same but for rounding.
func keepSame(read, onFile geo.Maybe[float64]) geo.Maybe[float64] {
	a, known := read.Get()
	b, recorded := onFile.Get()
	if known && recorded && math.Abs(a-b) <= sameRatio*math.Abs(b) {
		return onFile
	}
	return read
}

// sameDeg is how far apart two latitudes or longitudes may be and still be the same, degrees: a hundredth of a millimetre.
const sameDeg = 1e-10

func samePlace(a, b geo.Position) bool {
	return math.Abs(a.LatDeg-b.LatDeg) <= sameDeg && math.Abs(a.LonDeg-b.LonDeg) <= sameDeg
}
