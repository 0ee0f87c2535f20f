package paper

import (
	"math"
	"slices"
)

// labels keeps what is written on a chart from overlapping. It is written here because labels have to keep off the lines of circles as well
// as off boxes, and takes no more than trying some places in turn.
type labels struct {
	frame box   // labels stay within
	taken []box // by marks and labels
	rings []ring
}

// ring is a circle on the paper, which a label had better not lie on.
type ring struct{ xMM, yMM, radiusMM float64 }

// Weights of what a label may come in the way of: another label or mark by the area that they share in mm², a line by the number of
// circles.
const (
	perSharedMM2 = 4.0
	perRing      = 1.0
	perOutside   = 1000.0
)

func (l *labels) take(b box) { l.taken = append(l.taken, b) }

// cost of a place, 0 where nothing is in the way.
func (l *labels) cost(b box) float64 {
	total := 0.0
	if !b.within(l.frame) {
		total += perOutside
	}
	for _, t := range l.taken {
		total += perSharedMM2 * b.shared(t)
	}
	for _, r := range l.rings {
		if r.crosses(b) {
			total += perRing
		}
	}
	return total
}

// free reports that no label, mark or circle is in the way.
func (l *labels) free(b box) bool {
	return b.within(l.frame) && l.alone(b) && !slices.ContainsFunc(l.rings, func(r ring) bool { return r.crosses(b) })
}

// alone reports that no label or mark is under a box.
func (l *labels) alone(b box) bool {
	return !slices.ContainsFunc(l.taken, func(t box) bool { return b.shared(t) > 0 })
}

// best takes the candidate with least in its way; alone tells that no label or mark is under it.
func (l *labels) best(candidates []box) (found box, alone bool) {
	const perRank = 0.15 // of two as good the earlier, which is nearer
	minCost := math.Inf(1)
	for i, b := range candidates {
		if c := l.cost(b) + perRank*float64(i); c < minCost {
			minCost, found = c, b
		}
	}
	alone = l.alone(found)
	l.take(found)
	return found, alone
}

// firstFree takes the first candidate with nothing in its way, if there is one.
func (l *labels) firstFree(candidates []box) (box, bool) {
	for _, b := range candidates {
		if l.free(b) {
			l.take(b)
			return b, true
		}
	}
	return box{}, false
}

// crosses reports whether the circle's line runs through a box.
func (r ring) crosses(b box) bool {
	dx := max(b.xMM-r.xMM, 0, r.xMM-b.right())
	dy := max(b.yMM-r.yMM, 0, r.yMM-b.bottom())
	farX := max(math.Abs(b.xMM-r.xMM), math.Abs(b.right()-r.xMM))
	farY := max(math.Abs(b.yMM-r.yMM), math.Abs(b.bottom()-r.yMM))
	return math.Hypot(dx, dy) <= r.radiusMM && math.Hypot(farX, farY) >= r.radiusMM
}

// compass are the eight directions on the paper, the four that read best first.
var compass = [][2]float64{{0, -1}, {0, 1}, {1, 0}, {-1, 0}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}}

// around are places for a label of a size round a mark: above, below, beside, then farther off.
func around(xMM, yMM, wMM, hMM, gapMM float64) []box {
	var all []box
	for _, times := range []float64{1, 2.2, 4} {
		g := gapMM * times
		for _, to := range compass {
			all = append(all, centred(xMM+to[0]*(g+wMM/2), yMM+to[1]*(g+hMM/2), wMM, hMM))
		}
	}
	return all
}

// label writes a text in its box with the font set, on white.
func (c *chart) label(b box, text string, grey int) {
	c.fill(255)
	c.Rect(b.xMM, b.yMM, b.wMM, b.hMM, "F")
	c.writeIn(b, text, grey)
}

func (c *chart) writeIn(b box, text string, grey int) {
	c.ink(grey)
	c.writeMiddle(b.xMM+b.wMM/2, b.bottom()-b.hMM*0.16, text)
}

// numbers writes the number of every mooring in the window beside its anchor; those of first come first.
func (c *chart) numbers(style func(i int) (mooringStyle, bool), first ...int) {
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

func (c *chart) number(i int, style func(i int) (mooringStyle, bool)) {
	m := &c.field.Harbor().Moorings[i]
	how, show := style(i)
	at := c.frame.Project(m.Position)
	if !show || how.sizePt == 0 || far(c.field, m.Position) || !c.sees(at, 0) {
		return
	}
	c.font(how.font, how.sizePt)
	x, y := c.at(at)
	gapMM := openMM + 0.3
	if how.cross {
		gapMM = crossMM + 0.2
	}
	c.labelAround(x, y, how.sizePt*mmPerPoint*0.92, gapMM, m.Number, how.grey)
}

// labelAround writes a label of a height beside a mark.
func (c *chart) labelAround(xMM, yMM, hMM, gapMM float64, text string, grey int) {
	c.labelBest(around(xMM, yMM, c.width(text)+0.5, hMM, gapMM), text, grey)
}

// labelBest writes a label in the best of some places: on white, or where that would hide another one without it.
func (c *chart) labelBest(places []box, text string, grey int) {
	b, alone := c.labels.best(places)
	if alone {
		c.label(b, text, grey)
		return
	}
	c.writeIn(b, text, grey)
}
