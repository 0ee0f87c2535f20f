package clearance

import (
	"math"

	"swingroom/geo"
)

// AreaAt names the area in which a position lies; empty when it lies in none, or in more than one.
func (f *Field) AreaAt(p geo.Position) string {
	if _, far := f.far(p); far {
		return ""
	}
	name, at := "", f.frame.Project(p)
	for _, a := range f.harbor.Areas {
		if f.fixed.areas.Inside(at, f.fixed.area[a.Name]) {
			if name != "" {
				return ""
			}
			name = a.Name
		}
	}
	return name
}

// LeastGap is the least clearance, in metres, between a circle of radiusM round m and any other mooring's circle, under 0 where they overlap; unknown when no
// circle is near. The mooring on file with m's number is passed over.
func (f *Field) LeastGap(m geo.Mooring, radiusM float64) geo.Maybe[float64] {
	const near = 24 // moorings that are looked at
	least := math.Inf(1)
	for _, x := range f.index.Nearest(m.Position, near, nil) {
		if other := &f.index.at[x.Index]; other.RadiusM > 0 && f.harbor.Moorings[x.Index].Number != m.Number {
			least = min(least, x.DistanceM-radiusM-other.RadiusM)
		}
	}
	if math.IsInf(least, 1) {
		return geo.Maybe[float64]{}
	}
	return geo.Known(least)
}
