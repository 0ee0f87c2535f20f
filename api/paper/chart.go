package paper

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// chart is a window on the harbor's plane, drawn true to scale in a box on the paper.
type chart struct {
	*document
	field  *clearance.Field
	units  units
	base   *basemap
	frame  geo.Frame
	box    box
	middle geo.Offset // in the middle of the box
	scale  int
	labels labels
}

func newChart(d *document, g *basemap, b box, middle geo.Offset, scale int) *chart {
	return &chart{document: d, field: g.field, units: g.units, base: g, frame: g.field.Frame(), box: b, middle: middle, scale: scale,
		labels: labels{frame: b}}
}

// mm is a length on the water as it is on the paper.
func mm(lengthM float64, scale int) float64 { return lengthM * 1000 / float64(scale) }

// metres is a length on the paper as it is on the water.
func metres(lengthMM float64, scale int) float64 { return lengthMM * float64(scale) / 1000 }

// at is a place on the paper.
func (c *chart) at(o geo.Offset) (xMM, yMM float64) {
	d := o.Sub(c.middle)
	return c.box.xMM + c.box.wMM/2 + mm(d.EastM, c.scale), c.box.yMM + c.box.hMM/2 - mm(d.NorthM, c.scale)
}

// offset is the place on the plane of a place on the paper.
func (c *chart) offset(xMM, yMM float64) geo.Offset {
	return c.middle.Plus(geo.Offset{EastM: metres(xMM-c.box.xMM-c.box.wMM/2, c.scale), NorthM: -metres(yMM-c.box.yMM-c.box.hMM/2, c.scale)})
}

// water is the window in metres on the plane, with a rim so wide that the lines along it are cut off on the paper.
func (c *chart) water() orb.Bound {
	const rimMM = 3
	w, h := metres(c.box.wMM/2+rimMM, c.scale), metres(c.box.hMM/2+rimMM, c.scale)
	return orb.Bound{Min: orb.Point{c.middle.EastM - w, c.middle.NorthM - h}, Max: orb.Point{c.middle.EastM + w, c.middle.NorthM + h}}
}

// sees reports whether something of a size shows in the window.
func (c *chart) sees(o geo.Offset, radiusM float64) bool {
	d := o.Sub(c.middle)
	return math.Abs(d.EastM)-radiusM < metres(c.box.wMM/2, c.scale) && math.Abs(d.NorthM)-radiusM < metres(c.box.hMM/2, c.scale)
}

// draw draws everything in the frame of the chart, moorings in their style, and then what the labels are; and the frame itself.
func (c *chart) draw(style func(i int) (mooringStyle, bool), labels func()) {
	c.ClipRect(c.box.xMM, c.box.yMM, c.box.wMM, c.box.hMM, false)
	c.drawBasemap()
	c.northArrow()
	c.moorings(style)
	labels()
	c.ClipEnd()
	c.graticule()
}

// trace goes along points with the pen.
func (c *chart) trace(points []orb.Point) {
	for i, pt := range points {
		x, y := c.at(offsetOf(pt))
		if i == 0 {
			c.MoveTo(x, y)
		} else {
			c.LineTo(x, y)
		}
	}
}

// path draws rings, the inside by the even-odd rule.
func (c *chart) path(rings []orb.Ring, how string) {
	for _, r := range rings {
		c.trace(r)
		c.ClosePath()
	}
	if len(rings) > 0 {
		c.DrawPath(how)
	}
}

// lines draws lines, as far as they are in the window, with the pen set.
func (c *chart) lines(lines orb.MultiLineString) {
	for _, line := range clip.MultiLineString(c.water(), lines) {
		c.trace(line)
		c.DrawPath("D")
	}
}

// moorings draws the swing circles and marks of all moorings in the window; the marks last, so that no circle runs over one.
func (c *chart) moorings(style func(i int) (mooringStyle, bool)) {
	for i := range c.field.Harbor().Moorings {
		if how, show := style(i); show {
			c.swingCircle(i, how)
		}
	}
	for i, m := range c.field.Harbor().Moorings {
		if how, show := style(i); show && !far(c.field, m.Position) {
			c.mark(m, how)
		}
	}
}

// Dashes by which lines are distinguished, in millimetres.
var (
	vacantDashes = []float64{1.6, 1.1}
	boundDashes  = []float64{0.4, 0.7}
	edgeDashes   = []float64{3.2, 0.9, 0.3, 0.9}
)

// mooringStyle is how a mooring is drawn.
type mooringStyle struct {
	lineMM float64
	grey   int
	sizePt float64 // of its number; 0: none
	font   string
	cross  bool // crosshairs through the anchor
}

// swingCircle draws a swing circle, if it shows: dashed where the mooring is vacant, dotted where the radius is only an upper bound.
func (c *chart) swingCircle(i int, how mooringStyle) {
	m, answer := &c.field.Harbor().Moorings[i], c.field.Swing(i)
	radiusM := float64(answer.Radius.Or(0))
	if radiusM <= 0 || far(c.field, m.Position) || !c.sees(c.frame.Project(m.Position), radiusM) {
		return
	}
	switch {
	case m.Status == geo.Vacant:
		c.pen(how.lineMM, how.grey, vacantDashes...)
	case answer.Bound:
		c.pen(how.lineMM, how.grey, boundDashes...)
	default:
		c.pen(how.lineMM, how.grey)
	}
	x, y := c.at(c.frame.Project(m.Position))
	c.Circle(x, y, mm(radiusM, c.scale), "D")
	c.labels.rings = append(c.labels.rings, ring{x, y, mm(radiusM, c.scale)})
}

// crossMM is how far the crosshairs through an anchor reach.
const crossMM = 3.0

// Radii of the mark of an anchor: a full dot, or an open one where the mooring is vacant.
const dotMM, openMM = 0.55, 0.8

// mark draws the mark of an anchor, and keeps labels off it.
func (c *chart) mark(m geo.Mooring, how mooringStyle) {
	at := c.frame.Project(m.Position)
	if !c.sees(at, 0) {
		return
	}
	x, y := c.at(at)
	c.dot(x, y, m.Status == geo.Vacant, how.grey)
	reachMM := openMM
	if how.cross {
		reachMM = crossMM
		c.crosshairs(x, y, how.grey)
	}
	c.labels.take(box{x - reachMM, y - reachMM, 2 * reachMM, 2 * reachMM})
}

func (c *chart) crosshairs(xMM, yMM float64, grey int) {
	const innerMM = 1.2 // clear of the dot
	c.pen(0.15, grey)
	for _, side := range []float64{-1, 1} {
		c.Line(xMM+side*innerMM, yMM, xMM+side*crossMM, yMM)
		c.Line(xMM, yMM+side*innerMM, xMM, yMM+side*crossMM)
	}
}

func (c *chart) dot(xMM, yMM float64, vacant bool, grey int) {
	if vacant {
		c.pen(0.25, grey)
		c.fill(255)
		c.Circle(xMM, yMM, openMM, "FD")
		return
	}
	c.fill(grey)
	c.Circle(xMM, yMM, dotMM, "F")
}
