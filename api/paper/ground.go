package paper

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
	"github.com/paulmach/orb/planar"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// ground is everything fixed in a harbor, on its plane: made once for all the tiles of a chart.
type ground struct {
	field    *clearance.Field
	units    units
	land     orb.MultiPolygon
	shore    orb.MultiLineString // edges of land, and shore known as a line
	edges    orb.MultiLineString // of areas
	keepOuts []kept
	depths   []depthLine
}

// kept is a fairway or closed water.
type kept struct {
	geo.KeepOut
	inside  orb.MultiPolygon
	borders orb.MultiLineString
}

// depthLine is a depth line with its depth as it is written.
type depthLine struct {
	text string
	line orb.LineString
}

func newGround(f *clearance.Field, u units) *ground {
	h := f.Harbor()
	g := &ground{field: f, units: u}
	g.land, g.shore = g.plane(h.Shoreline.Land), g.borders(h.Shoreline.Land)
	for _, line := range h.Shoreline.Lines {
		g.shore = append(g.shore, g.line(line))
	}
	for _, a := range h.Areas {
		g.edges = append(g.edges, g.borders(a.Shape)...)
	}
	for _, k := range h.KeepOuts {
		g.keepOuts = append(g.keepOuts, kept{k, g.plane(k.Shape), g.borders(k.Shape)})
	}
	for _, l := range f.Bed().Lines(u.depths()) {
		line := make(orb.LineString, len(l.Points))
		for i, at := range l.Points {
			line[i] = planePoint(at)
		}
		g.depths = append(g.depths, depthLine{u.depth(l.Depth), line})
	}
	return g
}

// planePoint and offsetOf are where the order east, north of the plane meets orb's points.
func planePoint(o geo.Offset) orb.Point { return orb.Point{o.EastM, o.NorthM} }
func offsetOf(pt orb.Point) geo.Offset  { return geo.Offset{EastM: pt.X(), NorthM: pt.Y()} }

// far reports a position that is beyond the harbor's plane.
func far(f *clearance.Field, p geo.Position) bool {
	return !(geo.Distance(f.Frame().Origin(), p) <= geo.FrameReach)
}

func (g *ground) line(points []orb.Point) orb.LineString {
	line := make(orb.LineString, len(points))
	for i, pt := range points {
		line[i] = planePoint(g.field.Frame().ProjectPoint(pt))
	}
	return line
}

// plane projects the polygons of a shape that are on the plane.
func (g *ground) plane(shape orb.MultiPolygon) orb.MultiPolygon {
	var all orb.MultiPolygon
	for _, polygon := range shape {
		if len(polygon) == 0 || len(polygon[0]) == 0 || far(g.field, geo.PositionOf(polygon[0][0])) {
			continue
		}
		var on orb.Polygon
		for _, ring := range polygon {
			on = append(on, orb.Ring(g.line(ring)))
		}
		all = append(all, on)
	}
	return all
}

// borders are the rings of a shape as lines on the plane, without the sides along which a shape is cut in two at the antimeridian (RFC
// 7946, section 3.1.9): there the water goes on.
func (g *ground) borders(shape orb.MultiPolygon) orb.MultiLineString {
	var all orb.MultiLineString
	for _, polygon := range shape {
		for _, ring := range polygon {
			line := g.line(ring)
			from := 0
			for i := 1; i < len(ring); i++ {
				if math.Abs(ring[i].Lon()) == 180 && math.Abs(ring[i-1].Lon()) == 180 {
					all, from = append(all, line[from:i]), i
				}
			}
			all = append(all, line[from:])
		}
	}
	return all
}

// clipped are the polygons as far as they are in a window, their rings closed; clip.MultiPolygon writes over what it is given.
func clipped(water orb.Bound, shape orb.MultiPolygon) orb.MultiPolygon {
	cut := clip.MultiPolygon(water, shape.Clone())
	for _, polygon := range cut {
		for i, ring := range polygon {
			if !ring.Closed() {
				polygon[i] = append(ring, ring[0])
			}
		}
	}
	return cut
}

// fixed draws everything fixed: depth lines, fairways and closed water, land, edges of areas, the shore.
func (c *chart) fixed() {
	c.pen(0.1, mid)
	for _, d := range c.ground.depths {
		c.lines(orb.MultiLineString{d.line})
	}
	for _, k := range c.ground.keepOuts {
		c.keepOut(k)
	}
	c.fill(light)
	for _, polygon := range clipped(c.water(), c.ground.land) {
		c.path(polygon, "F*")
	}
	c.pen(0.2, dark, edgeDashes()...)
	c.lines(c.ground.edges)
	c.pen(0.4, black)
	c.lines(c.ground.shore)
}

// keepOut hatches a fairway or closed water and draws its edge.
func (c *chart) keepOut(k kept) {
	c.pen(0.1, mid)
	everyMM, slope := fairwayHatch()
	if k.Kind == geo.ClosedWater {
		everyMM, slope = closedHatch()
	}
	for _, polygon := range clipped(c.water(), k.inside) {
		c.hatch(polygon, everyMM, slope)
	}
	c.edgePen(k.Kind)
	c.lines(k.borders)
}

// Hatches, as the distance of the lines and their slope.
func fairwayHatch() (everyMM, slope float64) { return 4.5, 1 }
func closedHatch() (everyMM, slope float64)  { return 2.2, -1 }

// edgePen draws the edge of a fairway or of closed water.
func (d *document) edgePen(kind geo.KeepOutKind) {
	if kind == geo.ClosedWater {
		d.pen(0.25, black, 0.5, 0.8)
		return
	}
	d.pen(0.25, black, 2.5, 1)
}

// names writes what is left to write once the moorings have their numbers, each where there is room: names of water and areas, depths on
// their lines.
func (c *chart) names() {
	c.font(italic, 7)
	for _, k := range c.ground.keepOuts {
		text := map[geo.KeepOutKind]string{geo.Fairway: "Fairway", geo.ClosedWater: "Closed water"}[k.Kind]
		if k.Name != "" {
			text = k.Name
		}
		if k.Reason != "" {
			text += " (" + k.Reason + ")"
		}
		c.name(text, k.inside)
	}
	for _, a := range c.field.Harbor().Areas {
		c.name(a.Name, c.ground.plane(a.Shape))
	}
	c.depthLabels()
}

// name writes the name of a shape somewhere in the part of it that shows.
func (c *chart) name(text string, shape orb.MultiPolygon) {
	const steps = 10
	w, h := c.width(text)+1, lineHeight(c.sizePt)
	for _, polygon := range clipped(c.water(), shape) {
		var candidates []box
		for n := range steps * steps {
			x := c.box.xMM + c.box.wMM*(float64(n%steps)+0.5)/steps
			y := c.box.yMM + c.box.hMM*(float64(n/steps)+0.5)/steps
			b := box{x - w/2, y - h/2, w, h}
			if c.holds(polygon, b) {
				candidates = append(candidates, b)
			}
		}
		if b, ok := c.labels.firstFree(candidates); ok {
			c.label(b, text, dark)
			return
		}
	}
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

// depthLabels writes the depth on each line that is long enough, where there is room.
func (c *chart) depthLabels() {
	const longMM, sizePt = 25, 5.5
	c.font(italic, sizePt)
	for _, d := range c.ground.depths {
		for _, piece := range clip.LineString(c.water(), d.line) {
			if mm(planar.Length(piece), c.scale) < longMM {
				continue
			}
			w, h := c.width(d.text)+0.6, sizePt*mmPerPoint
			var candidates []box
			for _, percent := range []int{50, 30, 70, 15, 85} {
				x, y := c.at(offsetOf(piece[(len(piece)-1)*percent/100]))
				candidates = append(candidates, box{x - w/2, y - h/2, w, h})
			}
			if b, ok := c.labels.firstFree(candidates); ok {
				c.label(b, d.text, dark)
			}
		}
	}
}

// label writes a text in its box with the font set, on white.
func (c *chart) label(b box, text string, grey int) {
	c.fill(255)
	c.Rect(b.xMM, b.yMM, b.wMM, b.hMM, "F")
	c.ink(grey)
	c.writeMiddle(b.xMM+b.wMM/2, b.bottom()-b.hMM*0.16, text)
}
