package paper

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// surround draws the frame of a chart with its latitudes and longitudes, and the north arrow in its corner.
func (c *chart) surround() {
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

// step is the least round number of minutes that leaves room for the figures: minutes of perMinM metres each.
func (c *chart) step(perMinM float64) float64 {
	const apartMM = 30
	for _, minutes := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5} {
		if mm(minutes*perMinM, c.scale) >= apartMM {
			return minutes
		}
	}
	return 10
}

// minuteM is a minute of latitude, roughly; only how close the ticks stand depends on it.
const minuteM = 1852.0

func (c *chart) latitudes() {
	south, north := c.corner(c.box.xMM, c.box.bottom()), c.corner(c.box.xMM, c.box.yMM)
	step := c.step(minuteM)
	for n := math.Ceil(south.LatDeg * 60 / step); n*step/60 <= north.LatDeg; n++ {
		lat := n * step / 60
		_, y := c.at(c.frame.Project(geo.Position{LatDeg: lat, LonDeg: south.LonDeg}))
		c.Line(c.box.xMM-tickMM, y, c.box.xMM, y)
		_, east := c.at(c.frame.Project(geo.Position{LatDeg: lat, LonDeg: c.corner(c.box.right(), c.box.bottom()).LonDeg}))
		c.Line(c.box.right(), east, c.box.right()+tickMM, east)
		text := minutes(lat, 2, "N", "S")
		if y-c.width(text)/2 < c.box.yMM || y+c.width(text)/2 > c.box.bottom() {
			continue
		}
		c.TransformBegin()
		c.TransformRotate(90, c.box.xMM-tickMM-0.6, y)
		c.writeMiddle(c.box.xMM-tickMM-0.6, y, text)
		c.TransformEnd()
	}
}

func (c *chart) longitudes() {
	west, east := c.corner(c.box.xMM, c.box.bottom()), c.corner(c.box.right(), c.box.bottom())
	step := c.step(minuteM * math.Cos(west.LatDeg*math.Pi/180))
	eastDeg := east.LonDeg
	if eastDeg < west.LonDeg { // across the antimeridian
		eastDeg += 360
	}
	north := c.corner(c.box.xMM, c.box.yMM).LatDeg
	for n := math.Ceil(west.LonDeg * 60 / step); n*step/60 <= eastDeg; n++ {
		lon := n * step / 60
		if lon > 180 {
			lon -= 360
		}
		x, _ := c.at(c.frame.Project(geo.Position{LatDeg: west.LatDeg, LonDeg: lon}))
		c.Line(x, c.box.bottom(), x, c.box.bottom()+tickMM)
		up, _ := c.at(c.frame.Project(geo.Position{LatDeg: north, LonDeg: lon}))
		c.Line(up, c.box.yMM-tickMM, up, c.box.yMM)
		text := minutes(lon, 3, "E", "W")
		if x-c.width(text)/2 >= c.box.xMM && x+c.width(text)/2 <= c.box.right() {
			c.writeMiddle(x, c.box.bottom()+tickMM+2, text)
		}
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

// north draws the north arrow in the upper right corner. It is drawn before labels are placed, which keep clear of it.
func (c *chart) north() {
	b := box{c.box.right() - 14, c.box.yMM + 2.5, 11.5, 19}
	c.fill(255)
	c.Rect(b.xMM, b.yMM, b.wMM, b.hMM, "F")
	c.labels.take(b)
	x, top, foot := b.xMM+b.wMM/2, b.yMM+4.2, b.yMM+15
	c.ink(black)
	c.font(bold, 9)
	c.writeMiddle(x, b.yMM+3.4, "N")
	c.pen(0.2, black)
	c.fill(black)
	for _, side := range []struct {
		toMM float64
		how  string
	}{{-2, "D"}, {2, "FD"}} {
		c.MoveTo(x, top)
		c.LineTo(x+side.toMM, foot)
		c.LineTo(x, foot-2.4)
		c.ClosePath()
		c.DrawPath(side.how)
	}
	c.font(regular, 5.5)
	c.writeMiddle(x, b.bottom()-1.2, "true north")
}
