package paper

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// areaChart is an area's chart while it is drawn.
type areaChart struct {
	*document
	field    *clearance.Field
	base     *basemap
	options  Options
	area     string
	extent   orb.Bound // of the area and its swing circles, on the plane
	some     bool      // there is anything in it
	outliers []string  // numbers of moorings that are beyond the plane
	count    int       // moorings of the area
	vacant   int
}

// AreaChart writes the chart of an area with every swing circle and number, true to scale. Where the area does not fit on one page it is
// laid out in tiles over several, and the first page shows which tile is which. The empty area is that of the moorings that are in none.
//
// The error is geo.ErrNotFound for the area, and geo.ErrInvalid for options that there are not, or a chart of too many pages.
func AreaChart(w io.Writer, f *clearance.Field, area string, o Options) error {
	o, err := o.of(Chart, f.Harbor())
	if err != nil {
		return err
	}
	c := areaChart{field: f, base: newBasemap(f, units(o.Units)), options: o, area: area}
	if err := c.measure(); err != nil {
		return err
	}
	l, err := c.layout()
	if err != nil {
		return err
	}
	c.options.Scale = l.scale
	if c.document, err = newDocument(l.wMM, l.hMM, c.name()+", "+f.Harbor().Name, o.At); err != nil {
		return err
	}
	c.pages(l)
	c.footers(o.At, o.Revision, f.Harbor().Name+", "+c.name())
	return c.end(w)
}

// pages draws the tiles, and before more than one an overview.
func (c *areaChart) pages(l layout) {
	if len(l.tiles) > 1 {
		c.overview(l)
	}
	for _, t := range l.tiles {
		c.tile(l, t)
	}
}

func (c *areaChart) name() string { return orText(c.area, "moorings in no area") }

// measure finds what the chart has to hold.
func (c *areaChart) measure() error {
	h := c.field.Harbor()
	shape, ok := h.Area(c.area)
	if ok {
		for _, polygon := range c.base.plane(shape.Shape) {
			c.widen(polygon.Bound())
		}
	}
	for i := range h.Moorings {
		if h.Moorings[i].Area == c.area {
			c.measureMooring(i)
		}
	}
	return c.checkFound(ok)
}

// measureMooring counts a mooring of the area, and widens the chart by its swing circle.
func (c *areaChart) measureMooring(i int) {
	m := &c.field.Harbor().Moorings[i]
	if far(c.field, m.Position) {
		c.outliers = append(c.outliers, m.Number)
		return
	}
	c.count++
	if m.Status == geo.Vacant {
		c.vacant++
	}
	c.widen(planePoint(c.field.Frame().Project(m.Position)).Bound().Pad(float64(c.field.Swing(i).Radius.Or(0))))
}

// checkFound tells that there is no such area, or nothing of it that could be drawn.
func (c *areaChart) checkFound(isArea bool) error {
	switch {
	case c.area == "" && c.count == 0:
		return invalid("chart", "area", `""`, "the name of an area is expected: "+c.areaNames())
	case c.area != "" && !isArea:
		return fmt.Errorf("area %q: %w; there is %s", c.area, geo.ErrNotFound, orText(c.areaNames(), "none"))
	case !c.some:
		return invalid("chart", "area", strconv.Quote(c.area), "it has nothing near enough to the middle of the field to be drawn")
	}
	return nil
}

func (c *areaChart) areaNames() string {
	var names []string
	for _, a := range c.field.Harbor().Areas {
		names = append(names, a.Name)
	}
	return strings.Join(names, ", ")
}

func (c *areaChart) widen(b orb.Bound) {
	if !c.some {
		c.extent, c.some = b, true
		return
	}
	c.extent = c.extent.Union(b)
}

// outsideStyle is how the moorings of other areas are drawn.
var outsideStyle = mooringStyle{lineMM: 0.12, grey: dark, sizePt: 5, font: regular}

// numberSizes are the sizes of the numbers by the scale of the chart, in points.
var numberSizes = map[int]float64{1000: 7.5, 2500: 6.5, 5000: 5.5}

// styleOf tells the moorings of the area from others.
func (c *areaChart) styleOf(i int) (mooringStyle, bool) {
	if c.field.Harbor().Moorings[i].Area != c.area {
		return outsideStyle, true
	}
	return mooringStyle{lineMM: 0.25, grey: black, sizePt: numberSizes[c.options.Scale], font: bold}, true
}

// overviewStyle shows the moorings of the area alone, without numbers.
func (c *areaChart) overviewStyle(i int) (mooringStyle, bool) {
	return mooringStyle{lineMM: 0.12, grey: black}, c.field.Harbor().Moorings[i].Area == c.area
}

// tile draws one page of the chart.
func (c *areaChart) tile(l layout, t tile) {
	title, note := c.name(), ""
	if len(l.tiles) > 1 {
		title += ", tile " + t.name
		note = l.adjacent(t)
	}
	c.begin(title, note)
	k := newChart(c.document, c.base, l.box(), t.middle, l.scale)
	k.draw(c.styleOf, func() {
		k.numbers(c.styleOf)
		k.names()
	})
	k.strip(marginMM, k.box.bottom()+ticksMM+0.5, l.wMM-2*marginMM)
}

// overview draws the first page: the whole area with the tiles.
func (c *areaChart) overview(l layout) {
	c.begin(c.name()+", overview", fmt.Sprintf("%d tiles at %s follow, north row first. Each overlaps the next by %g mm.", len(l.tiles),
		scaleText(l.scale), overlapMM))
	k := newChart(c.document, c.base, l.box(), l.middle, l.overviewScale())
	k.draw(c.overviewStyle, func() { k.tileFrames(l) })
	k.strip(marginMM, k.box.bottom()+ticksMM+0.5, l.wMM-2*marginMM)
}

// tileFrames draws the tiles of a layout with their names.
func (c *chart) tileFrames(l layout) {
	b := l.box()
	wMM, hMM := mm(metres(b.wMM, l.scale), c.scale), mm(metres(b.hMM, l.scale), c.scale)
	for _, t := range l.tiles {
		x, y := c.at(t.middle)
		c.pen(0.35, black)
		c.Rect(x-wMM/2, y-hMM/2, wMM, hMM, "D")
		c.font(bold, 12)
		c.label(box{x - wMM/2 + 3, y - hMM/2 + 3, c.width(t.name) + 2, 6}, t.name, black)
	}
}

// begin starts a page with its head.
func (c *areaChart) begin(title, note string) {
	c.page()
	wMM := c.wMM - 2*marginMM
	right := marginMM + wMM
	c.ink(black)
	c.font(bold, 16)
	c.write(marginMM, marginMM+5.5, c.fit(title, wMM*0.62))
	c.font(regular, 8)
	c.writeRight(right, marginMM+2.6, c.fit(c.field.Harbor().Name+" · chart of moorings", wMM*0.36))
	c.writeRight(right, marginMM+6.4, fmt.Sprintf("%d moorings, %d of them vacant", c.count, c.vacant))
	if len(c.outliers) > 0 {
		note += " Not drawn, for they lie too far from the field: " + strings.Join(c.outliers, ", ") + "."
	}
	c.font(regular, 7)
	c.write(marginMM, marginMM+10, c.fit(strings.TrimSpace(note), wMM))
}
