package paper

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// basemap is everything fixed in a harbor, on its plane: made once for all the tiles of a chart.
type basemap struct {
	field    *clearance.Field
	units    units
	land     orb.MultiPolygon
	shore    orb.MultiLineString // edges of land, and shore known as a line
	edges    orb.MultiLineString // of areas
	keepOuts []keepOut
	depths   []depthLine
}

// keepOut is a fairway or closed water.
type keepOut struct {
	geo.KeepOut
	inside  orb.MultiPolygon
	borders orb.MultiLineString
}

// depthLine is a depth line with its depth as it is written.
type depthLine struct {
	text string
	line orb.LineString
}

func newBasemap(f *clearance.Field, u units) *basemap {
	h := f.Harbor()
	g := &basemap{field: f, units: u}
	g.land, g.shore = g.plane(h.Shoreline.Land), g.borders(h.Shoreline.Land)
	for _, line := range h.Shoreline.Lines {
		g.shore = append(g.shore, g.line(line))
	}
	for _, a := range h.Areas {
		g.edges = append(g.edges, g.borders(a.Shape)...)
	}
	for _, k := range h.KeepOuts {
		g.keepOuts = append(g.keepOuts, keepOut{k, g.plane(k.Shape), g.borders(k.Shape)})
	}
	g.addDepths()
	return g
}

// addDepths adds the depth lines.
func (g *basemap) addDepths() {
	for _, l := range g.field.Bed().Lines(g.units.depths()) {
		line := make(orb.LineString, len(l.Points))
		for i, at := range l.Points {
			line[i] = planePoint(at)
		}
		g.depths = append(g.depths, depthLine{g.units.depth(l.Depth), line})
	}
}

// planePoint and offsetOf are where the order east, north of the plane meets orb's points.
func planePoint(o geo.Offset) orb.Point { return orb.Point{o.EastM, o.NorthM} }
func offsetOf(pt orb.Point) geo.Offset  { return geo.Offset{EastM: pt.X(), NorthM: pt.Y()} }

// far reports a position that is beyond the harbor's plane.
func far(f *clearance.Field, p geo.Position) bool {
	return !(geo.Distance(f.Frame().Origin(), p) <= geo.FrameReach)
}

func (g *basemap) line(points []orb.Point) orb.LineString {
	line := make(orb.LineString, len(points))
	for i, pt := range points {
		line[i] = planePoint(g.field.Frame().ProjectPoint(pt))
	}
	return line
}

// plane projects the polygons of a shape that are on the plane.
func (g *basemap) plane(shape orb.MultiPolygon) orb.MultiPolygon {
	var all orb.MultiPolygon
	for _, polygon := range shape {
		if g.isOn(polygon) {
			all = append(all, g.polygon(polygon))
		}
	}
	return all
}

// isOn reports a polygon that is on the plane, by its first corner.
func (g *basemap) isOn(polygon orb.Polygon) bool {
	return len(polygon) > 0 && len(polygon[0]) > 0 && !far(g.field, geo.PositionOf(polygon[0][0]))
}

func (g *basemap) polygon(polygon orb.Polygon) orb.Polygon {
	on := make(orb.Polygon, len(polygon))
	for i, ring := range polygon {
		on[i] = orb.Ring(g.line(ring))
	}
	return on
}

// borders are the rings of a shape as lines on the plane.
func (g *basemap) borders(shape orb.MultiPolygon) orb.MultiLineString {
	var all orb.MultiLineString
	for _, polygon := range shape {
		for _, ring := range polygon {
			all = append(all, g.border(ring)...)
		}
	}
	return all
}

// border is a ring without the sides along which a shape is cut in two at the antimeridian (RFC 7946, section 3.1.9): there the water goes
// on.
func (g *basemap) border(ring orb.Ring) (lines orb.MultiLineString) {
	line := g.line(ring)
	from := 0
	for i := 1; i < len(ring); i++ {
		if math.Abs(ring[i].Lon()) == 180 && math.Abs(ring[i-1].Lon()) == 180 {
			lines, from = append(lines, line[from:i]), i
		}
	}
	return append(lines, line[from:])
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

// drawBasemap draws everything fixed: depth lines, fairways and closed water, land, edges of areas, the shore.
func (c *chart) drawBasemap() {
	c.pen(0.1, mid)
	for _, d := range c.base.depths {
		c.lines(orb.MultiLineString{d.line})
	}
	for _, k := range c.base.keepOuts {
		c.keepOut(k)
	}
	c.fill(light)
	for _, polygon := range clipped(c.water(), c.base.land) {
		c.path(polygon, "F*")
	}
	c.pen(0.2, dark, edgeDashes...)
	c.lines(c.base.edges)
	c.pen(0.4, black)
	c.lines(c.base.shore)
}

// keepOut hatches a fairway or closed water and draws its edge.
func (c *chart) keepOut(k keepOut) {
	c.pen(0.1, mid)
	how := hatchOf(k.Kind)
	for _, polygon := range clipped(c.water(), k.inside) {
		c.hatch(polygon, how)
	}
	c.edgePen(k.Kind)
	c.lines(k.borders)
}

// edgePen draws the edge of a fairway or of closed water.
func (d *document) edgePen(kind geo.KeepOutKind) {
	if kind == geo.ClosedWater {
		d.pen(0.25, black, 0.5, 0.8)
		return
	}
	d.pen(0.25, black, 2.5, 1)
}
