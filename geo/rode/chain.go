package rode

import (
	"fmt"
	"slices"

	"swingroom/geo"
)

const (
	// gravityMS2 is the standard gravity in m/s².
	gravityMS2 = 9.80665
	// seaDensity of sea water, kg/m³. UFC 4-159-03 table 4-1, from memory.
	seaDensity = 1026.0
	// airDensity, kg/m³. UFC 4-159-03 table 4-1, from memory.
	airDensity = 1.221
	// steelDensity, kg/m³: carbon steel, as engineering tables have it.
	steelDensity = 7850.0
)

// ShortLink is DIN 766 short link chain, grade 30, as a maker's sheet prints it (Grade_30_Short_Link_Chain, MSCSL). Published tables differ
// by some parts in a hundred; a harbor's authority may have its own.
func ShortLink() []geo.ChainSize {
	table := []geo.ChainSize{}
	for _, row := range [][2]float64{{0.006, 0.8}, {0.008, 1.4}, {0.010, 2.3}, {0.013, 3.9}, {0.016, 5.8}} {
		table = append(table, geo.ChainSize{Size: geo.Metres(row[0]), MassKgPerM: row[1]})
	}
	return table
}

// ChainWeightNPerM is the weight of a metre of steel chain in sea water, newtons, from a table sorted by size: between two sizes by the
// square of the diameter, and beyond its ends as heavy for the square of the diameter as at the end. geo.ErrInvalid for a size that is not
// above 0 or a table that is empty or not sorted.
func ChainWeightNPerM(table []geo.ChainSize, size geo.Metres) (float64, error) {
	sorted := slices.IsSortedFunc(table, func(a, b geo.ChainSize) int {
		if a.Size < b.Size {
			return -1
		}
		return 1
	})
	if len(table) == 0 || !sorted || slices.ContainsFunc(table, func(c geo.ChainSize) bool { return !(c.Size > 0 && c.MassKgPerM > 0) }) {
		return 0, fmt.Errorf("%w: a table of chain needs sizes and masses above 0, from thin to thick", geo.ErrInvalid)
	}
	if !(size > 0) || !size.Finite() {
		return 0, fmt.Errorf("%w: chain of %g mm", geo.ErrInvalid, float64(size)*1000)
	}
	square := func(m geo.Metres) float64 { return float64(m * m) }
	first, last := table[0], table[len(table)-1]
	massKgPerM := first.MassKgPerM * square(size) / square(first.Size)
	if size > last.Size {
		massKgPerM = last.MassKgPerM * square(size) / square(last.Size)
	}
	for i := 1; i < len(table); i++ {
		if a, b := table[i-1], table[i]; size >= a.Size && size <= b.Size {
			share := (square(size) - square(a.Size)) / (square(b.Size) - square(a.Size))
			massKgPerM = a.MassKgPerM + share*(b.MassKgPerM-a.MassKgPerM)
		}
	}
	return massKgPerM * gravityMS2 * (1 - seaDensity/steelDensity), nil
}

// InAirNPerM is the weight in air of chain that weighs so much in sea water.
func InAirNPerM(inWaterNPerM float64) float64 { return inWaterNPerM / (1 - seaDensity/steelDensity) }
