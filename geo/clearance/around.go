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

// LeastGap is the least clearance, in metres, between m with a circle of radiusM and any other mooring, under 0 where they overlap: between the circles, or between the hulls where the
// two lie in unison. Unknown when no circle is near. The mooring on file with m's number is passed over.
func (f *Field) LeastGap(m geo.Mooring, radiusM float64) geo.Maybe[float64] {
	const near = 24 // moorings that are looked at
	answer, depth := f.swing(&m)
	circle := f.circle(&m, &answer)
	circle.RadiusM = radiusM
	least := math.Inf(1)
	for _, x := range f.index.Nearest(m.Position, near, nil) {
		other := &f.index.at[x.Index]
		if other.RadiusM <= 0 || f.harbor.Moorings[x.Index].Number == m.Number {
			continue
		}
		gap := x.DistanceM - radiusM - other.RadiusM
		if gap < 0 {
			k, _ := f.judge(Pair{-1, x.Index, x.DistanceM, -gap}, berth{&m, &depth, &circle, -1, f.harbor.Rules(&m)}, f.berth(int(x.Index)))
			gap = -k.OverlapM
		}
		least = min(least, gap)
	}
	if math.IsInf(least, 1) {
		return geo.Maybe[float64]{}
	}
	return geo.Known(least)
}
