package paper

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// ChartOptions say how an area's chart is made.
type ChartOptions struct {
	Paper    Paper     // empty: by the units
	Scale    int       // one of ChartScales; 0: the largest at which the area fits on one page, or the smallest of all
	Units    geo.Units // empty: the harbor's own
	At       time.Time // when it is printed
	Revision int64     // of the harbor on file; 0: it has none
}

// areaChart is an area's chart while it is drawn.
type areaChart struct {
	*document
	field   *clearance.Field
	ground  *ground
	options ChartOptions
	area    string
	extent  orb.Bound // of the area and its swing circles, on the plane
	some    bool      // there is anything in it
	strays  []string  // numbers of moorings that are beyond the plane
	count   int       // moorings of the area
	vacant  int
}

// AreaChart writes the chart of an area with every swing circle and number, true to scale. Where the area does not fit on one page it is
// laid out in tiles over several, and the first page shows which tile is which. The empty area is that of the moorings that are in none.
//
// The error is geo.ErrNotFound for the area, and geo.ErrInvalid for a paper or a scale that there is not, or a chart of too many pages.
func AreaChart(w io.Writer, f *clearance.Field, area string, o ChartOptions) error {
	if o.Units == "" {
		o.Units = f.Harbor().Units
	}
	o.Paper = o.Paper.or(o.Units)
	if err := check("chart", o.Paper, ChartPapers(), o.Scale, ChartScales()); err != nil {
		return err
	}
	c := areaChart{field: f, ground: newGround(f, units(o.Units)), options: o, area: area}
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
	if len(l.tiles) > 1 {
		c.overview(l)
	}
	for _, t := range l.tiles {
		c.tile(l, t)
	}
	c.footers(o.At, o.Revision, f.Harbor().Name+", "+c.name())
	return c.end(w)
}

func (c *areaChart) name() string { return orText(c.area, "moorings in no area") }

// measure finds what the chart has to hold.
func (c *areaChart) measure() error {
	h := c.field.Harbor()
	shape, ok := h.Area(c.area)
	if ok {
		for _, polygon := range c.ground.plane(shape.Shape) {
			c.widen(polygon.Bound())
		}
	}
	for i := range h.Moorings {
		m := &h.Moorings[i]
		switch {
		case m.Area != c.area:
			continue
		case far(c.field, m.Position):
			c.strays = append(c.strays, m.Number)
			continue
		}
		c.count++
		if m.Status == geo.Vacant {
			c.vacant++
		}
		c.widen(planePoint(c.field.Frame().Project(m.Position)).Bound().Pad(float64(c.field.Swing(i).Radius.Or(0))))
	}
	names := make([]string, len(h.Areas))
	for i, a := range h.Areas {
		names[i] = a.Name
	}
	switch {
	case c.area == "" && c.count == 0:
		return invalid("chart", "area", `""`, "the name of an area is expected: "+strings.Join(names, ", "))
	case c.area != "" && !ok:
		return fmt.Errorf("area %q: %w; there is %s", c.area, geo.ErrNotFound, orText(strings.Join(names, ", "), "none"))
	case !c.some:
		return invalid("chart", "area", strconv.Quote(c.area), "it has nothing near enough to the middle of the field to be drawn")
	}
	return nil
}

func (c *areaChart) widen(b orb.Bound) {
	if !c.some {
		c.extent, c.some = b, true
		return
	}
	c.extent = c.extent.Union(b)
}

// look tells the moorings of the area from others.
func (c *areaChart) look(i int) (look, bool) {
	if c.field.Harbor().Moorings[i].Area != c.area {
		return look{lineMM: 0.12, grey: dark, sizePt: 5, style: regular}, true
	}
	sizePt := map[int]float64{1000: 7.5, 2500: 6.5, 5000: 5.5}[c.options.Scale]
	return look{lineMM: 0.25, grey: black, sizePt: sizePt, style: bold}, true
}

// tile draws one page of the chart.
func (c *areaChart) tile(l layout, t tile) {
	title, note := c.name(), ""
	if len(l.tiles) > 1 {
		title += ", tile " + t.name
		note = l.beside(t)
	}
	b := l.box()
	k := newChart(c.document, c.ground, b, t.middle, l.scale)
	c.begin(title, note)
	k.ClipRect(b.xMM, b.yMM, b.wMM, b.hMM, false)
	k.fixed()
	k.north()
	k.moorings(c.look)
	k.numbers(c.look)
	k.names()
	k.ClipEnd()
	k.surround()
	k.strip(marginMM, b.bottom()+ticksMM+0.5, l.wMM-2*marginMM)
}

// overview draws the first page: the whole area with the tiles.
func (c *areaChart) overview(l layout) {
	b := l.box()
	c.begin(c.name()+", overview", fmt.Sprintf("%d tiles at %s follow, north row first. Each overlaps the next by %g mm.", len(l.tiles),
		scaleText(l.scale), overlapMM))
	k := newChart(c.document, c.ground, b, l.middle, l.overviewScale())
	k.ClipRect(b.xMM, b.yMM, b.wMM, b.hMM, false)
	k.fixed()
	k.north()
	k.moorings(func(i int) (look, bool) {
		how, _ := c.look(i)
		how.sizePt, how.lineMM = 0, 0.12
		return how, c.field.Harbor().Moorings[i].Area == c.area
	})
	wMM, hMM := mm(metres(b.wMM, l.scale), k.scale), mm(metres(b.hMM, l.scale), k.scale)
	for _, t := range l.tiles {
		x, y := k.at(t.middle)
		k.pen(0.35, black)
		k.Rect(x-wMM/2, y-hMM/2, wMM, hMM, "D")
		k.font(bold, 12)
		k.label(box{x - wMM/2 + 3, y - hMM/2 + 3, k.width(t.name) + 2, 6}, t.name, black)
	}
	k.ClipEnd()
	k.surround()
	k.strip(marginMM, b.bottom()+ticksMM+0.5, l.wMM-2*marginMM)
}

// begin starts a page with its head.
func (c *areaChart) begin(title, note string) {
	c.page()
	wMM := c.wMM - 2*marginMM
	c.ink(black)
	c.font(bold, 16)
	c.write(marginMM, marginMM+5.5, c.fit(title, wMM*0.62))
	c.font(regular, 8)
	right := marginMM + wMM
	c.writeRight(right, marginMM+2.6, c.fit(c.field.Harbor().Name+" · chart of moorings", wMM*0.36))
	c.writeRight(right, marginMM+6.4, fmt.Sprintf("%d moorings, %d of them vacant", c.count, c.vacant))
	text := note
	if len(c.strays) > 0 {
		text += " Not drawn, for they lie too far from the field: " + strings.Join(c.strays, ", ") + "."
	}
	c.font(regular, 7)
	c.write(marginMM, marginMM+10, c.fit(strings.TrimSpace(text), wMM))
}
