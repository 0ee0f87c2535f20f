package rode

import (
	"fmt"
	"slices"

	"swingroom/geo"
)

const (
	// GravityMS2 is the standard gravity in m/s², exact by definition.
	GravityMS2 = 9.80665
	// seaDensity of sea water, kg/m³. UFC 4-159-03 table 4-1, from memory.
	seaDensity = 1026.0
	// airDensity, kg/m³. UFC 4-159-03 table 4-1, from memory.
	airDensity = 1.221
	// steelDensity, kg/m³: carbon steel, as engineering tables have it.
	steelDensity = 7850.0
)

// shortLink is DIN 766 short link chain, grade 30: sizes and masses as a maker's sheet prints them (Grade_30_Short_Link_Chain, MSCSL).
var shortLink = []geo.ChainSize{
	{Size: 0.006, MassKgPerM: 0.8},
	{Size: 0.008, MassKgPerM: 1.4},
	{Size: 0.010, MassKgPerM: 2.3},
	{Size: 0.013, MassKgPerM: 3.9},
	{Size: 0.016, MassKgPerM: 5.8},
}

// ShortLink is the table of DIN 766 short link chain, grade 30, from thin to thick. Published tables differ by some parts in a hundred; a
// harbor's authority may have its own.
func ShortLink() []geo.ChainSize { return slices.Clone(shortLink) }

// ChainWeightNPerM is the weight of a metre of steel chain in sea water, newtons, from a table sorted by size: between two sizes by the
// square of the diameter, and beyond its ends as heavy for the square of the diameter as at the end. geo.ErrInvalid for a size that is not
// above 0 or a table that is empty or not sorted.
func ChainWeightNPerM(table []geo.ChainSize, size geo.Metres) (float64, error) {
	if !validChain(table) {
		return 0, fmt.Errorf("%w: a table of chain needs sizes and masses above 0, from thin to thick", geo.ErrInvalid)
	}
	if !(size > 0) || !size.Finite() {
		return 0, fmt.Errorf("%w: chain of %g mm", geo.ErrInvalid, float64(size)*1000)
	}
	return chainMassKgPerM(table, size) * GravityMS2 * (1 - seaDensity/steelDensity), nil
}

// validChain reports a table that can be looked up: not empty, sorted by size, and without nothings.
func validChain(table []geo.ChainSize) bool {
	sorted := slices.IsSortedFunc(table, func(a, b geo.ChainSize) int {
		if a.Size < b.Size {
			return -1
		}
		return 1
	})
	return len(table) > 0 && sorted && !slices.ContainsFunc(table, func(c geo.ChainSize) bool { return !(c.Size > 0 && c.MassKgPerM > 0) })
}

// chainMassKgPerM looks a size up in a valid table.
func chainMassKgPerM(table []geo.ChainSize, size geo.Metres) float64 {
	for i := 1; i < len(table); i++ {
		if a, b := table[i-1], table[i]; size >= a.Size && size <= b.Size {
			return bySquare(a, b, size)
		}
	}
	end := table[0]
	if last := table[len(table)-1]; size > last.Size {
		end = last
	}
	return end.MassKgPerM * square(size) / square(end.Size)
}

// bySquare is the mass between two sizes, by the square of the diameter.
func bySquare(a, b geo.ChainSize, size geo.Metres) float64 {
	share := (square(size) - square(a.Size)) / (square(b.Size) - square(a.Size))
	return a.MassKgPerM + share*(b.MassKgPerM-a.MassKgPerM)
}

func square(m geo.Metres) float64 { return float64(m * m) }

// InAirNPerM is the weight in air of chain that weighs so much in sea water.
func InAirNPerM(inWaterNPerM float64) float64 { return inWaterNPerM / (1 - seaDensity/steelDensity) }
