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
	sides  [mostZones]side
	leastM float64 // no place in it has less clearance
	mostM  float64 // or more
	parts  atomic.Pointer[[4]square]
}

// fewItems are so few that a square is not worth dividing.
const fewItems = 5

func newChart(p *plan, leafM float64) *chart {
	c := &chart{plan: p, leafM: leafM}
	width, height := p.high.EastM-p.low.EastM, p.high.NorthM-p.low.NorthM
	// wider than the box: anchors are pushed about
	c.root = square{middle: p.low.Plus(p.high).Times(0.5), halfM: max(width, height, 1e-3) * 0.75}
	c.root.weigh(p, p.items())
	return c
}

// weigh finds a square's bounds and its items among those of the square that it is part of.
func (s *square) weigh(p *plan, items []item) {
	var w weighed
	distM := make([]float64, len(items))
	reachM := s.halfM * math.Sqrt2
	p.weigh(s.middle, items, &s.sides, distM, &w)
	least, most := p.radius.boundsM(s.middle, reachM)
	s.leastM, s.mostM = min(w.ownM-most, w.bareM)-reachM, min(w.ownM-least, w.bareM)+reachM
	s.items = p.keep(items, distM, &w, reachM, &s.sides)
}

// at is the smallest square around a place.
func (c *chart) at(p geo.Offset) *square {
	s := &c.root
	for s.halfM*2 > c.leafM && len(s.items) > fewItems && s.leastM < 0 {
		parts := s.parts.Load()
		if parts == nil {
			parts = s.divide(c.plan)
		}
		i := 0
		if p.EastM >= s.middle.EastM {
			i = 1
		}
		if p.NorthM >= s.middle.NorthM {
			i += 2
		}
		s = &parts[i]
	}
	return s
}

func (s *square) divide(p *plan) *[4]square {
	parts := new([4]square)
	quarter := s.halfM / 2
	for i, d := range [4]geo.Offset{{EastM: -quarter, NorthM: -quarter}, {EastM: quarter, NorthM: -quarter},
		{EastM: -quarter, NorthM: quarter}, {EastM: quarter, NorthM: quarter}} {
		parts[i].middle, parts[i].halfM, parts[i].sides = s.middle.Plus(d), quarter, s.sides
		parts[i].weigh(p, s.items)
	}
	s.parts.CompareAndSwap(nil, parts)
	return s.parts.Load()
}

// clamp brings a place into the chart.
func (c *chart) clamp(p geo.Offset) geo.Offset {
	m, h := c.root.middle, c.root.halfM
	return geo.Offset{EastM: max(m.EastM-h, min(m.EastM+h, p.EastM)), NorthM: max(m.NorthM-h, min(m.NorthM+h, p.NorthM))}
}

// looker is one who asks charts, with what he needs to write on.
type looker struct {
	distM  []float64
	w      weighed
	thrust []thrust
	chart  *chart // asked last
	last   *square
}

// square is the smallest about a place; mostly it is the one of the place before.
func (l *looker) square(c *chart, p geo.Offset) *square {
	if l.chart != c || math.Abs(p.EastM-l.last.middle.EastM) > l.last.halfM || math.Abs(p.NorthM-l.last.middle.NorthM) > l.last.halfM {
		l.chart, l.last = c, c.at(p)
	}
	return l.last
}

// thrust is what pushes an anchor from one thing.
type thrust struct {
	way   geo.Offset // of length 1
	lackM float64    // by how much she is too near
}

func (l *looker) look(c *chart, s *square, p geo.Offset) {
	if len(l.distM) < len(s.items) {
		l.distM = make([]float64, 2*len(s.items))
	}
	c.plan.weigh(p, s.items, &s.sides, l.distM, &l.w)
}

// fits reports whether the clearance at a place is at least extraM; a radius that is infinite never fits.
func (l *looker) fits(c *chart, p geo.Offset, radiusM, extraM float64) bool {
	s := l.square(c, p)
	if s.mostM < extraM || math.IsInf(radiusM, 1) {
		return false
	}
	if s.leastM >= extraM {
		return true
	}
	l.look(c, s, p)
	return min(l.w.ownM-radiusM, l.w.bareM) >= extraM
}

// push is what pushes an anchor out of everything fixed that it comes nearer to than extraM, and the worst of it. Of things that push in
// much the same way, as the many short edges of a shore do, only the one that pushes most counts.
func (l *looker) push(c *chart, p geo.Offset, radiusM, extraM float64) (sum geo.Offset, worstM float64) {
	s := l.square(c, p)
	if s.leastM >= extraM {
		return geo.Offset{}, 0
	}
	l.look(c, s, p)
	worstM = extraM - min(l.w.ownM-radiusM, l.w.bareM)
	if worstM <= 0 {
		return geo.Offset{}, 0
	}
	l.thrust = l.thrust[:0]
	for k, it := range s.items {
		l.one(c.plan, it, l.distM[k], p, radiusM, extraM)
	}
	slices.SortFunc(l.thrust, func(a, b thrust) int { return cmp.Compare(b.lackM, a.lackM) })
	const alike = 0.7 // cosine
	kept := l.thrust[:0]
	for _, t := range l.thrust {
		if !slices.ContainsFunc(kept, func(k thrust) bool { return k.way.EastM*t.way.EastM+k.way.NorthM*t.way.NorthM > alike }) {
			kept = append(kept, t)
			sum = sum.Plus(t.way.Times(t.lackM))
		}
	}
	return sum, worstM
}

// one adds the push of one item at a distance; for a disc the distance is less what it keeps.
func (l *looker) one(p *plan, it item, distM float64, at geo.Offset, radiusM, extraM float64) {
	if it.zone < 0 {
		d := &p.discs[it.n]
		m := extraM - distM
		if d.own {
			m += radiusM
		}
		if m > 0 {
			l.add(at.Sub(d.at), geo.Offset{EastM: 1}, m)
		}
		return
	}
	z := &p.zones[it.zone]
	keepM := z.keepM + extraM
	if z.own {
		keepM += radiusM
	}
	g := &z.edges[it.n]
	along := g.b.Sub(g.a)
	inward := geo.Offset{EastM: -along.NorthM, NorthM: along.EastM} // the inside is on the left
	if !z.in {
		inward = inward.Times(-1)
	}
	right := z.open || l.w.inside[it.zone] == z.in
	switch {
	case right && distM < keepM:
		l.add(at.Sub(g.nearest(at)), inward, keepM-distM)
	case !right && distM <= l.w.leastM[it.zone]: // on the wrong side: through the nearest edge
		l.add(g.nearest(at).Sub(at), inward, keepM+distM)
	}
}

func (l *looker) add(way, instead geo.Offset, lackM float64) {
	length := lengthM(way)
	if length < 1e-9 {
		way, length = instead, lengthM(instead)
	}
	l.thrust = append(l.thrust, thrust{way.Times(1 / length), lackM})
}

func (g *edge) nearest(p geo.Offset) geo.Offset {
	ab, ap := g.b.Sub(g.a), p.Sub(g.a)
	share := (ab.EastM*ap.EastM + ab.NorthM*ap.NorthM) / (ab.EastM*ab.EastM + ab.NorthM*ab.NorthM)
	if !(share > 0) { // also where both ends are one
		share = 0
	}
	return g.a.Plus(ab.Times(min(1, share)))
}

// lengthM is that of an offset of a harbor's size, which needs none of the care that math.Hypot takes.
func lengthM(o geo.Offset) float64 { return math.Sqrt(o.EastM*o.EastM + o.NorthM*o.NorthM) }
