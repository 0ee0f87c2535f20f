package paper

import (
	"fmt"
	"math"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// gapSizePt is the size of the lengths of gaps.
const gapSizePt = 6.5

// clearances draws the gap between the circle of mooring i and those of its neighbours that are in the window, with its length. Of a
// neighbour that lies to the same wind and stream it is the gap of the hulls: the circles overlap there by rights.
func (c *chart) clearances(i int, neighbours []clearance.Neighbour) {
	c.font(regular, gapSizePt)
	for _, n := range neighbours {
		if n.Lying == geo.InUnison {
			c.hulls(n)
			continue
		}
		if g, ok := c.gap(i, n); ok && c.sees(g.middle, 0) {
			c.drawGap(g)
		}
	}
}

// hulls writes the gap of the hulls beside a neighbour.
func (c *chart) hulls(n clearance.Neighbour) {
	at := c.anchorOf(n)
	if !c.sees(at, 0) {
		return
	}
	x, y := c.at(at)
	c.labelAround(x, y, c.sizePt*mmPerPoint, openMM+0.3, "hulls "+hullGap(c.units, n), black)
}

// anchorOf is where the anchor of a neighbour stands.
func (c *chart) anchorOf(n clearance.Neighbour) geo.Offset {
	k, _ := c.field.Index(n.Number)
	return c.frame.Project(c.field.Harbor().Moorings[k].Position)
}

// gap is the line between two circles, on the plane: from one to the other; less than 0 long where they overlap.
type gap struct {
	from, to, middle geo.Offset
	along            geo.Offset // of length 1
	lengthM          float64
}

// gap finds the gap to a neighbour; ok is false where it is not known, or the neighbour stands on the same place or far off.
func (c *chart) gap(i int, n clearance.Neighbour) (g gap, ok bool) {
	k, _ := c.field.Index(n.Number)
	lengthM, known := n.GapM.Get()
	if !known || n.DistanceM == 0 || far(c.field, c.field.Harbor().Moorings[k].Position) {
		return gap{}, false
	}
	here := c.frame.Project(c.field.Harbor().Moorings[i].Position)
	there := c.anchorOf(n).Sub(here)
	radiusM := float64(c.field.Swing(i).Radius.Or(0))
	g = gap{along: there.Times(1 / float64(there.Length())), lengthM: lengthM}
	g.from, g.to = here.Plus(g.along.Times(radiusM)), here.Plus(g.along.Times(radiusM+lengthM))
	g.middle = g.from.Plus(g.to.Sub(g.from).Times(0.5))
	return g, true
}

// drawGap draws a gap, and in bold an overlap.
func (c *chart) drawGap(g gap) {
	text, lineMM := c.units.length(g.lengthM), 0.2
	if g.lengthM < 0 {
		text, lineMM = "overlap "+c.units.length(-g.lengthM), 0.6
	}
	ax, ay := c.at(g.from)
	bx, by := c.at(g.to)
	c.pen(lineMM, black)
	c.Line(ax, ay, bx, by)
	c.labelBest(c.placesBeside(g, c.width(text)+0.8, c.sizePt*mmPerPoint), text, black)
}

// placesBeside are places for the length of a gap: to one side of its middle or the other, and a little along it.
func (c *chart) placesBeside(g gap, wMM, hMM float64) (places []box) {
	x, y := c.at(g.middle)
	// On paper the axis to the side of the gap points along -north, east of it.
	sideX, sideY := g.along.NorthM, g.along.EastM
	reach := 0.5 + math.Abs(sideX)*wMM/2 + math.Abs(sideY)*hMM/2
	for _, times := range []float64{1, -1, 1.8, -1.8, 3, -3} {
		for _, shiftMM := range []float64{0, 3, -3} {
			places = append(places, centred(x+sideX*reach*times+g.along.EastM*shiftMM, y+sideY*reach*times-g.along.NorthM*shiftMM, wMM,
				hMM))
		}
	}
	return places
}

// states are how near two moorings come, in words.
var states = map[clearance.State]string{
	clearance.Clear:    "clear",
	clearance.Tight:    "inside the margin",
	clearance.MayTouch: "may touch",
	clearance.Touching: "touching",
}

// stateWords tells how near two moorings come.
func stateWords(n clearance.Neighbour) string {
	state, known := n.State.Get()
	if !known {
		return "unknown"
	}
	if n.Lying == geo.InUnison {
		return states[state] + ", by the hulls"
	}
	return states[state]
}

// circleGap is the gap of the swing circles.
func circleGap(u units, n clearance.Neighbour) string {
	if gapM, known := n.GapM.Get(); known {
		return u.length(gapM)
	}
	return "unknown"
}

// hullGap is the gap of the hulls where both boats lie to the same wind and stream.
func hullGap(u units, n clearance.Neighbour) string {
	if n.Unison == nil {
		return "–"
	}
	if gap, known := n.Unison.GapM.Get(); known {
		return u.length(gap)
	}
	return "unknown"
}

// distance writes how far and in which direction a neighbour's anchor stands.
func distance(u units, n clearance.Neighbour) string {
	return fmt.Sprintf("%s at %s", u.length(n.DistanceM), bearing(n.BearingTrueDeg))
}
