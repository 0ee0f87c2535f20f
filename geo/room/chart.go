package room

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"

	"swingroom/geo"
)

// chart answers in a microsecond how a place does: the plan's items sorted into squares, in each only those that can be the least there.
// Squares are divided when they are first asked for, and many may ask at once: two who divide the same square find the same.
type chart struct {
	plan  *plan
	leafM float64 // squares of no more than this are not divided
	root  square
}

// square is a part of a chart.
type square struct {
	middle geo.Offset
	halfM  float64
	items  []item
	sides  [maxZones]side
	minM   float64 // no place in it has less clearance
	maxM   float64 // or more
	parts  atomic.Pointer[[4]square]
}

// fewItems are so few that a square is not worth dividing: weighing them takes no longer than going a level deeper.
const fewItems = 5

// newChart is not divided yet. It is half as wide again as the plan's box, for anchors are pushed about.
func newChart(p *plan, leafM float64) *chart {
	c := &chart{plan: p, leafM: leafM}
	c.root = square{middle: p.middle(), halfM: p.squareM() * 0.75}
	c.root.weigh(p, p.items())
	return c
}

// weigh finds a square's bounds and its items among those of the square that it is part of.
func (s *square) weigh(p *plan, items []item) {
	var w weighed
	distM := make([]float64, len(items))
	reachM := s.halfM * math.Sqrt2
	p.weigh(s.middle, items, &s.sides, distM, &w)
	minM, maxM := p.radius.boundsM(s.middle, reachM)
	s.minM, s.maxM = w.clearanceM(maxM)-reachM, w.clearanceM(minM)+reachM
	s.items = p.keep(items, distM, &w, reachM, &s.sides)
}

// at is the smallest square around a place.
func (c *chart) at(p geo.Offset) *square {
	s := &c.root
	for s.halfM*2 > c.leafM && len(s.items) > fewItems && s.minM < 0 {
		parts := s.parts.Load()
		if parts == nil {
			parts = s.divide(c.plan)
		}
		s = &parts[s.quarter(p)]
	}
	return s
}

// quarter is in which of a square's quarters a place lies.
func (s *square) quarter(p geo.Offset) (i int) {
	if p.EastM >= s.middle.EastM {
		i = 1
	}
	if p.NorthM >= s.middle.NorthM {
		i += 2
	}
	return i
}

func (s *square) divide(p *plan) *[4]square {
	parts := new([4]square)
	for i, middle := range quarters(s.middle, s.halfM) {
		parts[i].middle, parts[i].halfM, parts[i].sides = middle, s.halfM/2, s.sides
		parts[i].weigh(p, s.items)
	}
	s.parts.CompareAndSwap(nil, parts)
	return s.parts.Load()
}

// holds reports whether a place lies in the square.
func (s *square) holds(p geo.Offset) bool {
	return math.Abs(p.EastM-s.middle.EastM) <= s.halfM && math.Abs(p.NorthM-s.middle.NorthM) <= s.halfM
}

// clamp brings a place into the chart.
func (c *chart) clamp(p geo.Offset) geo.Offset {
	m, h := c.root.middle, c.root.halfM
	return geo.Offset{EastM: max(m.EastM-h, min(m.EastM+h, p.EastM)), NorthM: max(m.NorthM-h, min(m.NorthM+h, p.NorthM))}
}

// chartReader is one who asks charts, with the memory to work in. It serves one goroutine.
type chartReader struct {
	distM  []float64
	w      weighed
	thrust []thrust
	chart  *chart // asked last
	last   *square
}

// square is the smallest about a place; mostly it is the one of the place before.
func (l *chartReader) square(c *chart, p geo.Offset) *square {
	if l.chart != c || !l.last.holds(p) {
		l.chart, l.last = c, c.at(p)
	}
	return l.last
}

// weigh finds the clearances at a place of a square.
func (l *chartReader) weigh(c *chart, s *square, p geo.Offset) {
	if len(l.distM) < len(s.items) {
		l.distM = make([]float64, 2*len(s.items))
	}
	c.plan.weigh(p, s.items, &s.sides, l.distM, &l.w)
}

// fits reports whether the clearance at a place is at least extraM; a radius that is infinite never fits.
func (l *chartReader) fits(c *chart, p geo.Offset, radiusM, extraM float64) bool {
	s := l.square(c, p)
	if s.maxM < extraM || math.IsInf(radiusM, 1) {
		return false
	}
	if s.minM >= extraM {
		return true
	}
	l.weigh(c, s, p)
	return l.w.clearanceM(radiusM) >= extraM
}

// thrust is what pushes an anchor from one thing.
type thrust struct {
	way   geo.Offset // of length 1
	lackM float64    // by how much the anchor is too near
}

// push is what pushes an anchor out of everything fixed that it comes nearer to than extraM, and the worst of it.
func (l *chartReader) push(c *chart, p geo.Offset, radiusM, extraM float64) (sum geo.Offset, worstM float64) {
	s := l.square(c, p)
	if s.minM >= extraM {
		return geo.Offset{}, 0
	}
	l.weigh(c, s, p)
	worstM = extraM - l.w.clearanceM(radiusM)
	if worstM <= 0 {
		return geo.Offset{}, 0
	}
	l.thrust = l.thrust[:0]
	for k, it := range s.items {
		ownM := 0.0
		if c.plan.own(it) {
			ownM = radiusM
		}
		if it.zone < 0 {
			l.pushByDisc(&c.plan.discs[it.n], extraM-l.distM[k]+ownM, p)
		} else {
			l.pushByEdge(c.plan, it, l.distM[k], c.plan.zones[it.zone].keepM+extraM+ownM, p)
		}
	}
	return l.sumOfThrusts(), worstM
}

// sumOfThrusts adds up what pushes. Of things that push in much the same way, as the many short edges of a shore do, only the one that
// pushes most counts.
func (l *chartReader) sumOfThrusts() (sum geo.Offset) {
	slices.SortFunc(l.thrust, func(a, b thrust) int { return cmp.Compare(b.lackM, a.lackM) })
	const alike = 0.7 // cosine of 45°: both walls of a right-angled corner push
	kept := l.thrust[:0]
	for _, t := range l.thrust {
		if !slices.ContainsFunc(kept, func(k thrust) bool { return dot(k.way, t.way) > alike }) {
			kept = append(kept, t)
			sum = sum.Plus(t.way.Times(t.lackM))
		}
	}
	return sum
}

// pushByDisc adds the push of a disc that lacks lackM.
func (l *chartReader) pushByDisc(d *disc, lackM float64, at geo.Offset) {
	if lackM > 0 {
		l.add(at.Sub(d.at), geo.Offset{EastM: 1}, lackM)
	}
}

// pushByEdge adds the push of an edge at a distance, where an anchor has to keep keepM.
func (l *chartReader) pushByEdge(p *plan, it item, distM, keepM float64, at geo.Offset) {
	z := &p.zones[it.zone]
	g := &z.edges[it.n]
	right := z.open || l.w.inside[it.zone] == z.in
	switch {
	case right && distM < keepM:
		l.add(at.Sub(g.nearest(at)), z.inward(g), keepM-distM)
	case !right && distM <= l.w.minM[it.zone]: // on the wrong side: through the nearest edge
		l.add(g.nearest(at).Sub(at), z.inward(g), keepM+distM)
	}
}

// inward leads from an edge to the side on which an anchor may lie: the inside of a zone is on the left of its edges.
func (z *zone) inward(g *edge) geo.Offset {
	if z.in {
		return leftOf(g.along())
	}
	return leftOf(g.along()).Times(-1)
}

// add notes a push in a direction, or in another where the place lies on the very thing.
func (l *chartReader) add(way, instead geo.Offset, lackM float64) {
	length := lengthM(way)
	if length < 1e-9 {
		way, length = instead, lengthM(instead)
	}
	l.thrust = append(l.thrust, thrust{way.Times(1 / length), lackM})
}
