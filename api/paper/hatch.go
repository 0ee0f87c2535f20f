package paper

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// hatch draws parallel lines through a polygon on the plane, its holes left free, with the pen set. slope is 1 for lines that rise to the
// east and -1 for lines that fall. The lines are those of the plane, so that they go on from one tile to the next.
func (c *chart) hatch(polygon orb.Polygon, everyMM, slope float64) {
	stepM := metres(everyMM, c.scale) * math.Sqrt2 // between two lines, along the north axis
	// A line is north = slope·east + n·step; level is that n of a corner.
	level := func(pt orb.Point) float64 { return (pt.Y() - slope*pt.X()) / stepM }
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, ring := range polygon {
		for _, pt := range ring {
			lo, hi = min(lo, level(pt)), max(hi, level(pt))
		}
	}
	for n := math.Ceil(lo); n <= hi; n++ {
		var eastsM []float64
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				a, b := level(ring[i-1])-n, level(ring[i])-n
				if (a < 0) != (b < 0) {
					eastsM = append(eastsM, ring[i-1].X()+(ring[i].X()-ring[i-1].X())*a/(a-b))
				}
			}
		}
		slices.Sort(eastsM)
		for i := 0; i+1 < len(eastsM); i += 2 {
			x1, y1 := c.at(offsetOf(orb.Point{eastsM[i], slope*eastsM[i] + n*stepM}))
			x2, y2 := c.at(offsetOf(orb.Point{eastsM[i+1], slope*eastsM[i+1] + n*stepM}))
			c.Line(x1, y1, x2, y2)
		}
	}
}
