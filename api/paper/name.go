package paper

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
	"github.com/paulmach/orb/planar"

	"swingroom/geo"
)

// names writes what is left to write once the moorings have their numbers, each where there is room: names of water and areas, depths on
// their lines.
func (c *chart) names() {
	c.font(italic, 7)
	for _, k := range c.base.keepOuts {
		c.name(k.text(), k.inside)
	}
	for _, a := range c.field.Harbor().Areas {
		c.name(a.Name, c.base.plane(a.Shape))
	}
	c.depthLabels()
}

// text is what a fairway or closed water is called on a chart.
func (k keepOut) text() string {
	text := "Fairway"
	if k.Kind == geo.ClosedWater {
		text = "Closed water"
	}
	if k.Name != "" {
		text = k.Name
	}
	if k.Reason != "" {
		text += " (" + k.Reason + ")"
	}
	return text
}

// name writes the name of a shape somewhere in the part of it that shows.
func (c *chart) name(text string, shape orb.MultiPolygon) {
	w, h := c.width(text)+1, lineHeight(c.sizePt)
	for _, polygon := range clipped(c.water(), shape) {
		if b, ok := c.labels.firstFree(c.placesIn(polygon, w, h)); ok {
			c.label(b, text, dark)
			return
		}
	}
}

// placesIn are the places for a box in a polygon, row by row over the window.
func (c *chart) placesIn(polygon orb.Polygon, wMM, hMM float64) (places []box) {
	const steps = 10 // a place every tenth of the window: a tenth is narrower than most names
	for n := range steps * steps {
		x := c.box.xMM + c.box.wMM*(float64(n%steps)+0.5)/steps
		y := c.box.yMM + c.box.hMM*(float64(n/steps)+0.5)/steps
		if b := centred(x, y, wMM, hMM); c.holds(polygon, b) {
			places = append(places, b)
		}
	}
	return places
}

// holds reports whether the middle and the corners of a box lie in a polygon, and in the water.
func (c *chart) holds(polygon orb.Polygon, b box) bool {
	for _, at := range [][2]float64{{0.5, 0.5}, {0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		o := c.offset(b.xMM+at[0]*b.wMM, b.yMM+at[1]*b.hMM)
		if !planar.PolygonContains(polygon, planePoint(o)) || c.field.Bed().OnLand(o) {
			return false
		}
	}
	return true
}

// depthSizePt is the size of the depths on their lines.
const depthSizePt = 5.5

// depthLabels writes the depth on each line that is long enough, where there is room.
func (c *chart) depthLabels() {
	const longMM = 25 // shorter lines are hidden by their own depth
	c.font(italic, depthSizePt)
	for _, d := range c.base.depths {
		for _, piece := range clip.LineString(c.water(), d.line) {
			if mm(planar.Length(piece), c.scale) >= longMM {
				c.depthLabel(piece, d.text)
			}
		}
	}
}

// depthLabel writes a depth on its line, as near to the middle as there is room.
func (c *chart) depthLabel(line orb.LineString, text string) {
	w, h := c.width(text)+0.6, depthSizePt*mmPerPoint
	var places []box
	for _, percent := range []int{50, 30, 70, 15, 85} {
		x, y := c.at(offsetOf(line[(len(line)-1)*percent/100]))
		places = append(places, centred(x, y, w, h))
	}
	if b, ok := c.labels.firstFree(places); ok {
		c.label(b, text, dark)
	}
}
