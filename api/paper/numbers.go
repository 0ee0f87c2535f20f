package paper

import (
	"fmt"
	"math"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// numbers writes the number of every mooring in the window beside its anchor; those of first come first.
func (c *chart) numbers(style func(i int) (look, bool), first ...int) {
	done := map[int]bool{}
	for _, i := range first {
		c.number(i, style)
		done[i] = true
	}
	for i := range c.field.Harbor().Moorings {
		if !done[i] {
			c.number(i, style)
		}
	}
}

func (c *chart) number(i int, style func(i int) (look, bool)) {
	m := &c.field.Harbor().Moorings[i]
	how, show := style(i)
	at := c.frame.Project(m.Position)
	if !show || how.sizePt == 0 || far(c.field, m.Position) || !c.sees(at, 0) {
		return
	}
	c.font(how.style, how.sizePt)
	x, y := c.at(at)
	gapMM := openMM + 0.3
	if how.cross {
		gapMM = crossMM + 0.2
	}
	b, alone := c.labels.best(around(x, y, c.width(m.Number)+0.5, how.sizePt*mmPerPoint*0.92, gapMM))
	c.put(b, alone, m.Number, how.grey)
}

// put writes a label on white, or where that would hide another one without it.
func (c *chart) put(b box, alone bool, text string, grey int) {
	if alone {
		c.label(b, text, grey)
		return
	}
	c.ink(grey)
	c.writeMiddle(b.xMM+b.wMM/2, b.bottom()-b.hMM*0.16, text)
}

// clearances draws the gap between the circle of mooring i and those of its neighbours that are in the window, with its length.
func (c *chart) clearances(i int, neighbours []clearance.Neighbour) {
	h := c.field.Harbor()
	from := c.frame.Project(h.Moorings[i].Position)
	radiusM := float64(c.field.Swing(i).Radius.Or(0))
	c.font(regular, 6.5)
	for _, n := range neighbours {
		k, _ := c.field.Index(n.Number)
		gapM, known := n.GapM.Get()
		to := c.frame.Project(h.Moorings[k].Position)
		if n.Lying == geo.InUnison {
			c.hulls(to, n)
			continue
		}
		if !known || n.DistanceM == 0 || far(c.field, h.Moorings[k].Position) {
			continue
		}
		along := to.Sub(from).Times(1 / float64(to.Sub(from).Length()))
		a, b := from.Plus(along.Times(radiusM)), from.Plus(along.Times(radiusM+gapM))
		middle := a.Plus(b.Sub(a).Times(0.5))
		if !c.sees(middle, 0) {
			continue
		}
		text, lineMM := c.units.length(gapM), 0.2
		if gapM < 0 {
			text, lineMM = "overlap "+c.units.length(-gapM), 0.6
		}
		ax, ay := c.at(a)
		bx, by := c.at(b)
		c.pen(lineMM, black)
		c.Line(ax, ay, bx, by)
		c.clearance(middle, along, text)
	}
}

// hulls writes the gap of the hulls beside a neighbour that is judged by it: the circles overlap there by rights.
func (c *chart) hulls(at geo.Offset, n clearance.Neighbour) {
	if !c.sees(at, 0) {
		return
	}
	x, y := c.at(at)
	text := "hulls " + hullGap(c.units, n)
	b, alone := c.labels.best(around(x, y, c.width(text)+0.5, c.sizePt*mmPerPoint, openMM+0.3))
	c.put(b, alone, text, black)
}

// clearance writes the length of a gap at its middle or to one side of it.
func (c *chart) clearance(middle, along geo.Offset, text string) {
	x, y := c.at(middle)
	w, h := c.width(text)+0.8, c.sizePt*mmPerPoint
	// On paper the axis to the side of the gap points along -north, east of it.
	sideX, sideY := along.NorthM, along.EastM
	reach := 0.5 + math.Abs(sideX)*w/2 + math.Abs(sideY)*h/2
	var candidates []box
	for _, times := range []float64{1, -1, 1.8, -1.8, 3, -3} {
		for _, shiftMM := range []float64{0, 3, -3} {
			cx := x + sideX*reach*times + along.EastM*shiftMM
			cy := y + sideY*reach*times - along.NorthM*shiftMM
			candidates = append(candidates, box{cx - w/2, cy - h/2, w, h})
		}
	}
	b, alone := c.labels.best(candidates)
	c.put(b, alone, text, black)
}

// stateWords tells how near two moorings come.
func stateWords(n clearance.Neighbour) string {
	state, known := n.State.Get()
	if !known {
		return "unknown"
	}
	text := map[clearance.State]string{
		clearance.Clear: "clear", clearance.Tight: "inside the margin", clearance.MayTouch: "may touch", clearance.Touching: "touching",
	}[state]
	if n.Lying == geo.InUnison {
		text += ", by the hulls"
	}
	return text
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
