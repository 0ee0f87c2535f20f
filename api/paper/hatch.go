package paper

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swingroom/geo"
)

// hatch is a pattern of parallel lines: how far apart, and whether they rise to the east (1) or fall (-1).
type hatch struct{ everyMM, slope float64 }

var (
	fairwayHatch = hatch{4.5, 1}
	closedHatch  = hatch{2.2, -1}
)

func hatchOf(kind geo.KeepOutKind) hatch {
	if kind == geo.ClosedWater {
		return closedHatch
	}
	return fairwayHatch
}

// planeHatch is a hatch on the plane at a scale: the lines are north = slope·east + n·stepM.
type planeHatch struct{ slope, stepM float64 }

// level is the n of the line through a point.
func (h planeHatch) level(pt orb.Point) float64 { return (pt.Y() - h.slope*pt.X()) / h.stepM }

// point is the point of line n at an east.
func (h planeHatch) point(n, eastM float64) orb.Point {
	return orb.Point{eastM, h.slope*eastM + n*h.stepM}
}

// hatch draws parallel lines through a polygon on the plane, its holes left free, with the pen set. The lines are those of the plane, so
// that they go on from one tile to the next; the PDF library has no patterns.
func (c *chart) hatch(polygon orb.Polygon, how hatch) {
	h := planeHatch{how.slope, metres(how.everyMM, c.scale) * math.Sqrt2} // between two lines, along the north axis
	lo, hi := h.levels(polygon)
	for n := math.Ceil(lo); n <= hi; n++ {
		eastsM := h.crossings(polygon, n)
		for i := 0; i+1 < len(eastsM); i += 2 {
			x1, y1 := c.at(offsetOf(h.point(n, eastsM[i])))
			x2, y2 := c.at(offsetOf(h.point(n, eastsM[i+1])))
			c.Line(x1, y1, x2, y2)
		}
	}
}

// levels are those of the first and the last line through a polygon.
func (h planeHatch) levels(polygon orb.Polygon) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, ring := range polygon {
		for _, pt := range ring {
			lo, hi = min(lo, h.level(pt)), max(hi, h.level(pt))
		}
	}
	return lo, hi
}

// crossings are the easts at which line n crosses the sides of a polygon, sorted: it is inside from each odd one to the next.
func (h planeHatch) crossings(polygon orb.Polygon, n float64) (eastsM []float64) {
	for _, ring := range polygon {
		for i := 1; i < len(ring); i++ {
			a, b := h.level(ring[i-1])-n, h.level(ring[i])-n
			if (a < 0) != (b < 0) {
				eastsM = append(eastsM, ring[i-1].X()+(ring[i].X()-ring[i-1].X())*a/(a-b))
			}
		}
	}
	slices.Sort(eastsM)
	return eastsM
}
