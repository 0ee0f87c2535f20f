package paper

import (
	"fmt"
	"math"

	"swingroom/geo"
)

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
func (u units) round(maxM float64) (lengthM float64) {
	unitM := maxM / u.value(maxM)
	power := math.Pow(10, math.Floor(math.Log10(maxM/unitM)))
	best := power
	for _, times := range []float64{2, 5} {
		if times*power*unitM <= maxM {
			best = times * power
		}
	}
	return best * unitM
}

// The depths below chart datum at which a chart has lines.
var (
	depthsInMetres = []geo.Metres{0, 1, 2, 3, 4, 6, 10, 20}
	depthsInFeet   = []geo.Metres{0, geo.Feet(3), geo.Feet(6), geo.Feet(9), geo.Feet(12), geo.Feet(18), geo.Feet(30), geo.Feet(60)}
)

func (u units) depths() []geo.Metres {
	if geo.Units(u) == geo.UnitsFeet {
		return depthsInFeet
	}
	return depthsInMetres
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
