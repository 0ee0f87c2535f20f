package paper

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// graticule draws the frame of a chart with its latitudes and longitudes.
func (c *chart) graticule() {
	c.pen(0.35, black)
	c.Rect(c.box.xMM, c.box.yMM, c.box.wMM, c.box.hMM, "D")
	c.font(regular, 5.5)
	c.ink(dark)
	c.pen(0.2, black)
	c.latitudes()
	c.longitudes()
}

// corner positions of the window.
func (c *chart) corner(xMM, yMM float64) geo.Position { return c.frame.Position(c.offset(xMM, yMM)) }

const tickMM = 1.3

// step is the smallest round number of minutes that leaves room for the figures: minutes of perMinM metres each.
func (c *chart) step(perMinM float64) float64 {
	const minMM = 30 // twice as wide as the figures
	for _, minutes := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5} {
		if mm(minutes*perMinM, c.scale) >= minMM {
			return minutes
		}
	}
	return 10
}

// minuteM is a minute of latitude, roughly; only how close the ticks stand depends on it.
const minuteM = 1852.0

// latitudes draws the ticks and figures of latitude at both sides; the figures stand upright at the left.
func (c *chart) latitudes() {
	west, east := c.corner(c.box.xMM, c.box.bottom()), c.corner(c.box.right(), c.box.bottom())
	north := c.corner(c.box.xMM, c.box.yMM).LatDeg
	step := c.step(minuteM)
	for n := math.Ceil(west.LatDeg * 60 / step); n*step/60 <= north; n++ {
		lat := n * step / 60
		left, right := c.latitudeAt(lat, west.LonDeg), c.latitudeAt(lat, east.LonDeg)
		c.Line(c.box.xMM-tickMM, left, c.box.xMM, left)
		c.Line(c.box.right(), right, c.box.right()+tickMM, right)
		c.latitudeText(left, minutes(lat, 2, "N", "S"))
	}
}

// latitudeAt is the height on the paper of a latitude at a longitude.
func (c *chart) latitudeAt(latDeg, lonDeg float64) (yMM float64) {
	_, yMM = c.at(c.frame.Project(geo.Position{LatDeg: latDeg, LonDeg: lonDeg}))
	return yMM
}

// latitudeText writes a latitude along the frame, unless it would reach beyond the frame.
func (c *chart) latitudeText(yMM float64, text string) {
	if half := c.width(text) / 2; yMM-half < c.box.yMM || yMM+half > c.box.bottom() {
		return
	}
	x := c.box.xMM - tickMM - 0.6
	c.TransformBegin()
	c.TransformRotate(90, x, yMM)
	c.writeMiddle(x, yMM, text)
	c.TransformEnd()
}

// longitudes draws the ticks and figures of longitude below and above; the figures stand below.
func (c *chart) longitudes() {
	southWest, southEast := c.corner(c.box.xMM, c.box.bottom()), c.corner(c.box.right(), c.box.bottom())
	north := c.corner(c.box.xMM, c.box.yMM).LatDeg
	step := c.step(minuteM * math.Cos(southWest.LatDeg*math.Pi/180))
	eastDeg := southEast.LonDeg
	if eastDeg < southWest.LonDeg { // across the antimeridian
		eastDeg += 360
	}
	for n := math.Ceil(southWest.LonDeg * 60 / step); n*step/60 <= eastDeg; n++ {
		lon := n * step / 60
		if lon > 180 {
			lon -= 360
		}
		below, above := c.longitudeAt(southWest.LatDeg, lon), c.longitudeAt(north, lon)
		c.Line(below, c.box.bottom(), below, c.box.bottom()+tickMM)
		c.Line(above, c.box.yMM-tickMM, above, c.box.yMM)
		c.longitudeText(below, minutes(lon, 3, "E", "W"))
	}
}

// longitudeAt is how far to the right on the paper a longitude is at a latitude.
func (c *chart) longitudeAt(latDeg, lonDeg float64) (xMM float64) {
	xMM, _ = c.at(c.frame.Project(geo.Position{LatDeg: latDeg, LonDeg: lonDeg}))
	return xMM
}

// longitudeText writes a longitude below the frame, unless it would reach beyond the frame.
func (c *chart) longitudeText(xMM float64, text string) {
	if half := c.width(text) / 2; xMM-half >= c.box.xMM && xMM+half <= c.box.right() {
		c.writeMiddle(xMM, c.box.bottom()+tickMM+2, text)
	}
}

// minutes writes a latitude or longitude on a frame, to a hundredth of a minute.
func minutes(deg float64, width int, pos, neg string) string {
	letter := pos
	if deg < 0 {
		letter = neg
	}
	hundredths := int(math.Round(math.Abs(deg) * 6000))
	return fmt.Sprintf("%0*d° %02d.%02d' %s", width, hundredths/6000, hundredths%6000/100, hundredths%100, letter)
}

// northArrow draws the north arrow in the upper right corner. It is drawn before labels are placed, which keep clear of it.
func (c *chart) northArrow() {
	b := box{c.box.right() - 14, c.box.yMM + 2.5, 11.5, 19}
	c.fill(255)
	c.Rect(b.xMM, b.yMM, b.wMM, b.hMM, "F")
	c.labels.take(b)
	x := b.xMM + b.wMM/2
	c.ink(black)
	c.font(bold, 9)
	c.writeMiddle(x, b.yMM+3.4, "N")
	c.pen(0.2, black)
	c.fill(black)
	c.halfArrow(x, b.yMM, -2, "D")
	c.halfArrow(x, b.yMM, 2, "FD")
	c.font(regular, 5.5)
	c.writeMiddle(x, b.bottom()-1.2, "true north")
}

// halfArrow draws the half of the arrow on one side of its axis.
func (c *chart) halfArrow(xMM, topMM, toMM float64, how string) {
	c.MoveTo(xMM, topMM+4.2)
	c.LineTo(xMM+toMM, topMM+15)
	c.LineTo(xMM, topMM+15-2.4)
	c.ClosePath()
	c.DrawPath(how)
}
