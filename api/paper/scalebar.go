package paper

import (
	"fmt"

	"swingroom/geo"
)

// stripMM is the height of the strip below a chart.
const stripMM = 24

// strip draws what is needed to read and to check a chart: its scale with the bar to measure, a bar of lengths on the water, north, datums
// and symbols.
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

// Parts of the bar of lengths, and how long it may be.
const barParts, barMM = 4, 50

// lengthBar shows round lengths on the water, and tells north and the datums.
func (c *chart) lengthBar(xMM, yMM, wMM float64) {
	stepM := c.units.round(metres(barMM/barParts, c.scale))
	_, unit := c.units.tenth(0)
	stepMM := mm(stepM, c.scale)
	c.font(regular, 6)
	c.ink(black)
	c.pen(0.2, black)
	c.fill(black)
	for i := range barParts {
		x := xMM + 1 + float64(i)*stepMM
		c.Rect(x, yMM+7, stepMM, 1.5, barFills[i%2])
		c.writeMiddle(x, yMM+6, c.barText(stepM, i))
	}
	last := c.barText(stepM, barParts)
	c.write(xMM+1+barParts*stepMM-c.width(last)/2, yMM+6, last+" "+unit)
	c.font(regular, 6.5)
	c.paragraph(xMM, yMM+9.6, wMM, fmt.Sprintf("Up is true north. Horizontal datum: WGS 84. Vertical datum: %s. Depths in %s below it; "+
		"heights that dry are negative. Lengths in %s.", c.verticalDatum(), c.units.name(), c.units.name()))
}

// barFills are how the parts of the bar are drawn in turn.
var barFills = [2]string{"FD", "D"}

// barText is the length at the end of so many steps.
func (c *chart) barText(stepM float64, steps int) string {
	return fmt.Sprintf("%.6g", c.units.value(stepM)*float64(steps))
}

func (c *chart) verticalDatum() string {
	levels, known := c.field.Harbor().Levels.Get()
	switch {
	case !known:
		return "not on record"
	case levels.Datum == "":
		return "chart datum, not named on record"
	}
	return levels.Datum
}
