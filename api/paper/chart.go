package paper

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// chart is a window on the harbor's plane, drawn true to scale in a box on the paper.
type chart struct {
	*document
	field  *clearance.Field
	units  units
	ground *ground
	frame  geo.Frame
	box    box
	middle geo.Offset // in the middle of the box
	scale  int
	labels labels
}

func newChart(d *document, g *ground, b box, middle geo.Offset, scale int) *chart {
	return &chart{document: d, field: g.field, units: g.units, ground: g, frame: g.field.Frame(), box: b, middle: middle, scale: scale,
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

// path draws rings, the inside by the even-odd rule.
func (c *chart) path(rings []orb.Ring, how string) {
	for _, r := range rings {
		for i, pt := range r {
			x, y := c.at(offsetOf(pt))
			if i == 0 {
				c.MoveTo(x, y)
			} else {
				c.LineTo(x, y)
			}
		}
		c.ClosePath()
	}
	if len(rings) > 0 {
		c.DrawPath(how)
	}
}

// lines draws lines, as far as they are in the window, with the pen set.
func (c *chart) lines(lines orb.MultiLineString) {
	for _, line := range clip.MultiLineString(c.water(), lines) {
		for i, pt := range line {
			x, y := c.at(offsetOf(pt))
			if i == 0 {
				c.MoveTo(x, y)
			} else {
				c.LineTo(x, y)
			}
		}
		c.DrawPath("D")
	}
}

// moorings draws the swing circles and marks of all moorings in the window.
func (c *chart) moorings(style func(i int) (look, bool)) {
	h := c.field.Harbor()
	for i := range h.Moorings {
		how, show := style(i)
		m, answer := &h.Moorings[i], c.field.Swing(i)
		radiusM := float64(answer.Radius.Or(0))
		if !show || far(c.field, m.Position) || !c.sees(c.frame.Project(m.Position), radiusM) {
			continue
		}
		x, y := c.at(c.frame.Project(m.Position))
		c.circle(x, y, mm(radiusM, c.scale), how, m.Status == geo.Vacant, answer)
	}
	for i := range h.Moorings {
		if how, show := style(i); show && !far(c.field, h.Moorings[i].Position) {
			c.mark(h.Moorings[i], how)
		}
	}
}

// Dashes by which lines are told apart, in millimetres.
func vacantDashes() []float64 { return []float64{1.6, 1.1} }
func boundDashes() []float64  { return []float64{0.4, 0.7} }
func edgeDashes() []float64   { return []float64{3.2, 0.9, 0.3, 0.9} }

// look is how a mooring is drawn.
type look struct {
	lineMM float64
	grey   int
	sizePt float64 // of its number; 0: none
	style  string
	cross  bool // hair lines through the anchor
}

// circle draws a swing circle: dashed where the mooring is vacant, dotted where the radius is only an upper bound.
func (c *chart) circle(xMM, yMM, radiusMM float64, how look, vacant bool, answer swing.Answer) {
	if radiusMM <= 0 {
		return
	}
	switch {
	case vacant:
		c.pen(how.lineMM, how.grey, vacantDashes()...)
	case answer.Bound:
		c.pen(how.lineMM, how.grey, boundDashes()...)
	default:
		c.pen(how.lineMM, how.grey)
	}
	c.Circle(xMM, yMM, radiusMM, "D")
	c.labels.rings = append(c.labels.rings, ring{xMM, yMM, radiusMM})
}

// crossMM is how far the hair lines through an anchor reach.
const crossMM = 3.0

// Radii of the mark of an anchor: a full dot, or an open one where the mooring is vacant.
const dotMM, openMM = 0.55, 0.8

func (c *chart) mark(m geo.Mooring, how look) {
	at := c.frame.Project(m.Position)
	if !c.sees(at, 0) {
		return
	}
	x, y := c.at(at)
	c.dot(x, y, m.Status == geo.Vacant, how.grey)
	reachMM := openMM
	if how.cross {
		reachMM = crossMM
		c.pen(0.15, how.grey)
		for _, side := range []float64{-1, 1} {
			c.Line(x+side*1.2, y, x+side*reachMM, y)
			c.Line(x, y+side*1.2, x, y+side*reachMM)
		}
	}
	c.labels.take(box{x - reachMM, y - reachMM, 2 * reachMM, 2 * reachMM})
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
