package exchange

import (
	"math"
	"strconv"

	"swingroom/geo"
)

// figure writes a figure in a unit of which one is so many of the core's: as the shortest decimal that the reader takes for the very same
// number. Where no decimal does (0.3048 times one number may skip over another) it is the nearest number, which agrees takes for the same.
func figure(v, one float64) string {
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

// agrees keeps the figure on file where that of the file is the same but for rounding.
func agrees[T ~float64](read, onFile geo.Maybe[T]) geo.Maybe[T] {
	a, known := read.Get()
	b, recorded := onFile.Get()
	if known && recorded && math.Abs(float64(a-b)) <= sameRatio*math.Abs(float64(b)) {
		return onFile
	}
	return read
}

// sameDeg is how far apart two latitudes or longitudes may be and still be the same, degrees: a hundredth of a millimetre.
const sameDeg = 1e-10

func samePlace(a, b geo.Position) bool {
	return math.Abs(a.LatDeg-b.LatDeg) <= sameDeg && math.Abs(a.LonDeg-b.LonDeg) <= sameDeg
}
