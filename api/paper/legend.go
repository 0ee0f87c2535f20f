package paper

import "swingroom/geo"

// symbol is a row of the legend: what is drawn, and what it means.
type symbol struct {
	text string
	draw func(c *chart, xMM, yMM float64)
}

// symbols are those of the legend, in two columns.
var symbols = [2][]symbol{{
	{"mooring, boat assigned", func(c *chart, x, y float64) { c.circleSymbol(x, y, false) }},
	{"vacant mooring", func(c *chart, x, y float64) { c.circleSymbol(x, y, true, vacantDashes...) }},
	{"radius an upper bound", func(c *chart, x, y float64) { c.circleSymbol(x, y, false, boundDashes...) }},
	{"depth line", func(c *chart, x, y float64) { c.lineSymbol(x, y, 0.1, mid) }},
}, {
	{"shore, land", (*chart).shoreSymbol},
	{"fairway", func(c *chart, x, y float64) { c.waterSymbol(x, y, geo.Fairway) }},
	{"closed water", func(c *chart, x, y float64) { c.waterSymbol(x, y, geo.ClosedWater) }},
	{"edge of an area", func(c *chart, x, y float64) { c.lineSymbol(x, y, 0.2, dark, edgeDashes...) }},
}}

// Sizes of the legend: of a symbol, and from one row to the next.
const symbolMM, symbolHighMM, legendRowMM = 8, 3.2, 4.4

// legend explains the symbols.
func (c *chart) legend(xMM, yMM, wMM float64) {
	for column, rows := range symbols {
		x, y := xMM+float64(column)*wMM*0.56, yMM+2.2
		for _, s := range rows {
			s.draw(c, x, y)
			c.font(regular, 6)
			c.ink(black)
			c.write(x+symbolMM+1, y+0.8, s.text)
			y += legendRowMM
		}
	}
	c.font(regular, 6)
	c.write(xMM, yMM+2.2+4*legendRowMM+0.8, "A circle is how far the boat's farthest point can lie from its anchor.")
}

func (c *chart) circleSymbol(xMM, yMM float64, vacant bool, dashesMM ...float64) {
	c.pen(0.25, black, dashesMM...)
	c.Circle(xMM+symbolMM/2, yMM, 1.7, "D")
	c.dot(xMM+symbolMM/2, yMM, vacant, black)
}

func (c *chart) lineSymbol(xMM, yMM, widthMM float64, grey int, dashesMM ...float64) {
	c.pen(widthMM, grey, dashesMM...)
	c.Line(xMM, yMM, xMM+symbolMM, yMM)
}

func (c *chart) shoreSymbol(xMM, yMM float64) {
	top := yMM - symbolHighMM/2
	c.fill(light)
	c.Rect(xMM, top, symbolMM, symbolHighMM, "F")
	c.pen(0.4, black)
	c.Line(xMM, top, xMM+symbolMM, top)
}

// waterSymbol is a fairway or closed water, with its hatch and its edge.
func (c *chart) waterSymbol(xMM, yMM float64, kind geo.KeepOutKind) {
	const half = symbolHighMM / 2
	how := hatchOf(kind)
	c.pen(0.1, mid)
	c.ClipRect(xMM, yMM-half, symbolMM, symbolHighMM, false)
	for s := -float64(symbolMM); s < 2*symbolMM; s += how.everyMM {
		c.Line(xMM+s, yMM+how.slope*half, xMM+s+symbolHighMM, yMM-how.slope*half)
	}
	c.ClipEnd()
	c.edgePen(kind)
	c.Rect(xMM, yMM-half, symbolMM, symbolHighMM, "D")
}
