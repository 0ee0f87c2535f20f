package paper

import (
	"fmt"

	"swingroom/geo"
)

// stripMM is the height of the strip below a chart.
const stripMM = 24

// strip draws what is needed to read and to check a chart: its scale with the bar to measure, a bar of lengths on the water, north, datums
// and signs.
func (c *chart) strip(xMM, yMM, wMM float64) {
	third := wMM / 3
	c.checkBar(xMM, yMM)
	c.lengthBar(xMM+third, yMM, third-4)
	c.legend(xMM+2*third, yMM, third)
}

// checkBar is a bar of a stated length on the paper: a copy that has changed its size shows.
func (c *chart) checkBar(xMM, yMM float64) {
	lengthMM, text := 50.0, "50 mm"
	if geo.Units(c.units) == geo.UnitsFeet {
		lengthMM, text = 2*mmPerInch, "2 in"
	}
	c.ink(black)
	c.font(bold, 12)
	c.write(xMM, yMM+4.2, "Scale "+scaleText(c.scale))
	c.fill(black)
	c.Rect(xMM, yMM+7, lengthMM, 1.5, "F")
	c.font(regular, 6.5)
	c.paragraph(xMM, yMM+9.6, 58, fmt.Sprintf("Measure this bar: it has to be %s long, which is %s on the water. If it is not, the "+
		"chart is out of scale: print at actual size, not fitted to the page.",
		text, c.units.length(metres(lengthMM, c.scale))))
}

// lengthBar shows round lengths on the water, and tells north and the datums.
func (c *chart) lengthBar(xMM, yMM, wMM float64) {
	const parts, barMM = 4, 50
	stepM := c.units.round(metres(barMM/parts, c.scale))
	_, unit := c.units.tenth(0)
	stepMM := mm(stepM, c.scale)
	c.font(regular, 6)
	c.ink(black)
	c.pen(0.2, black)
	c.fill(black)
	for i := range parts {
		x := xMM + 1 + float64(i)*stepMM
		c.Rect(x, yMM+7, stepMM, 1.5, map[bool]string{true: "FD", false: "D"}[i%2 == 0])
		c.writeMiddle(x, yMM+6, fmt.Sprintf("%.6g", c.units.value(stepM)*float64(i)))
	}
	last := fmt.Sprintf("%.6g", c.units.value(stepM)*parts)
	c.write(xMM+1+parts*stepMM-c.width(last)/2, yMM+6, last+" "+unit)
	c.font(regular, 6.5)
	vertical := "not on record"
	if levels, known := c.field.Harbor().Levels.Get(); known {
		vertical = levels.Datum
		if vertical == "" {
			vertical = "chart datum, not named on record"
		}
	}
	c.paragraph(xMM, yMM+9.6, wMM, fmt.Sprintf("Up is true north. Horizontal datum: WGS 84. Vertical datum: %s. Depths in %s below it; "+
		"heights that dry are negative. Lengths in %s.",
		vertical, c.units.name(), c.units.name()))
}

// legend explains the signs.
func (c *chart) legend(xMM, yMM, wMM float64) {
	const rowMM = 4.4
	sign := func(column, row int, text string, draw func(x, y float64)) {
		x, y := xMM+float64(column)*wMM*0.56, yMM+2.2+float64(row)*rowMM
		draw(x, y)
		c.font(regular, 6)
		c.ink(black)
		c.write(x+9, y+0.8, text)
	}
	circle := func(vacant bool, dashesMM ...float64) func(x, y float64) {
		return func(x, y float64) {
			c.pen(0.25, black, dashesMM...)
			c.Circle(x+4, y, 1.7, "D")
			c.dot(x+4, y, vacant, black)
		}
	}
	line := func(set func()) func(x, y float64) {
		return func(x, y float64) {
			set()
			c.Line(x, y, x+8, y)
		}
	}
	water := func(kind geo.KeepOutKind) func(x, y float64) {
		return func(x, y float64) {
			everyMM, slope := fairwayHatch()
			if kind == geo.ClosedWater {
				everyMM, slope = closedHatch()
			}
			c.pen(0.1, mid)
			c.ClipRect(x, y-1.6, 8, 3.2, false)
			for s := -8.0; s < 16; s += everyMM {
				c.Line(x+s, y+slope*1.6, x+s+3.2, y-slope*1.6)
			}
			c.ClipEnd()
			c.edgePen(kind)
			c.Rect(x, y-1.6, 8, 3.2, "D")
		}
	}
	sign(0, 0, "mooring, boat assigned", circle(false))
	sign(0, 1, "vacant mooring", circle(true, vacantDashes()...))
	sign(0, 2, "radius an upper bound", circle(false, boundDashes()...))
	sign(0, 3, "depth line", line(func() { c.pen(0.1, mid) }))
	sign(1, 0, "shore, land", func(x, y float64) {
		c.fill(light)
		c.Rect(x, y-1.6, 8, 3.2, "F")
		c.pen(0.4, black)
		c.Line(x, y-1.6, x+8, y-1.6)
	})
	sign(1, 1, "fairway", water(geo.Fairway))
	sign(1, 2, "closed water", water(geo.ClosedWater))
	sign(1, 3, "edge of an area", line(func() { c.pen(0.2, dark, edgeDashes()...) }))
	c.font(regular, 6)
	c.write(xMM, yMM+2.2+4*rowMM+0.8, "A circle is how far the boat's farthest point can lie from her anchor.")
}
