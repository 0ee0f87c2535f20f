package room

import (
	"container/heap"
	"context"
	"math"

	"swingroom/geo"
)

// found is a place with the clearance that it has and the one that no place not found before it can beat.
type found struct {
	at         geo.Offset
	clearanceM float64
	boundM     float64
}

// cell is a square of water under search.
type cell struct {
	middle geo.Offset
	halfM  float64
	mostM  float64 // no place in it has more clearance
	items  []item
	sides  [mostZones]side
}

// cells are a heap, the one with the most in it first.
type cells []*cell

func (h cells) Len() int           { return len(h) }
func (h cells) Less(i, j int) bool { return h[i].mostM > h[j].mostM }
func (h cells) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *cells) Push(x any)        { *h = append(*h, x.(*cell)) }
func (h *cells) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// search is a branch and bound for the places with the greatest least clearance. The squares of the plan's box are divided, those with the
// most in them first, until what the best place found has is within closeM of what any place can have.
type search struct {
	plan   *plan
	closeM float64
	apartM float64 // places that are found keep this distance from each other
	open   cells
	tried  []found // places looked at that are not yet given, by no order
	given  []found
	distM  []float64
	w      weighed
	// steps is how many cells were looked at.
	steps int
}

// stepsToCheck is how many cells are looked at before it is asked again whether the search is stopped: some tenth of a millisecond.
const stepsToCheck = 256

func newSearch(p *plan, closeM, apartM float64) *search {
	s := &search{plan: p, closeM: closeM, apartM: apartM}
	items := p.items()
	s.distM = make([]float64, len(items))
	width, height := p.high.EastM-p.low.EastM, p.high.NorthM-p.low.NorthM
	if !(width >= 0 && height >= 0) {
		return s
	}
	sideM := max(width, height, 1e-3)
	s.push(&cell{middle: geo.Offset{EastM: (p.low.EastM + p.high.EastM) / 2, NorthM: (p.low.NorthM + p.high.NorthM) / 2}, halfM: sideM / 2,
		items: items})
	return s
}

// push weighs a cell at its middle and keeps it unless nothing in it can count.
func (s *search) push(c *cell) {
	s.steps++
	reachM := c.halfM * math.Sqrt2
	s.plan.weigh(c.middle, c.items, &c.sides, s.distM, &s.w)
	least := s.plan.radius.leastM(c.middle, reachM)
	c.mostM = min(s.w.ownM-least, s.w.bareM) + reachM
	here := min(s.w.ownM-s.plan.radius.at(c.middle), s.w.bareM)
	if here > math.Inf(-1) && s.within(c.middle) {
		s.tried = append(s.tried, found{at: c.middle, clearanceM: here})
	}
	c.items = s.plan.keep(c.items, s.distM, &s.w, reachM, &c.sides)
	heap.Push(&s.open, c)
}

// within reports whether a place is in the box: the root square may be larger.
func (s *search) within(p geo.Offset) bool {
	return p.EastM >= s.plan.low.EastM && p.EastM <= s.plan.high.EastM && p.NorthM >= s.plan.low.NorthM && p.NorthM <= s.plan.high.NorthM
}

// next gives the best place that keeps apart from those given before; false when there is none. Where it is stopped, the bound tells how
// far it had come.
func (s *search) next(ctx context.Context) (found, bool) {
	best := s.bestTried()
	for len(s.open) > 0 {
		top := s.open[0]
		if best.clearanceM+s.closeM >= top.mostM || s.steps%stepsToCheck == 0 && ctx.Err() != nil {
			break
		}
		heap.Pop(&s.open)
		if s.covered(top) || !s.touchesBox(top) {
			continue
		}
		if top.halfM < s.closeM/8 { // it straddles the distance to a place that was given: its own middle, or nothing in it, counts
			continue
		}
		n := len(s.tried)
		quarter := top.halfM / 2
		for _, d := range [4]geo.Offset{{EastM: -quarter, NorthM: -quarter}, {EastM: quarter, NorthM: -quarter},
			{EastM: -quarter, NorthM: quarter}, {EastM: quarter, NorthM: quarter}} {
			s.push(&cell{middle: top.middle.Plus(d), halfM: quarter, items: top.items, sides: top.sides})
		}
		for _, t := range s.tried[n:] {
			if t.clearanceM > best.clearanceM && !s.near(t.at) {
				best = t
			}
		}
		s.trim(best)
	}
	if math.IsInf(best.clearanceM, -1) {
		return found{}, false
	}
	best.boundM = best.clearanceM
	if len(s.open) > 0 {
		best.boundM = max(best.boundM, s.open[0].mostM)
	}
	s.given = append(s.given, best)
	return best, true
}

func (s *search) bestTried() found {
	best := found{clearanceM: math.Inf(-1)}
	for _, t := range s.tried {
		if t.clearanceM > best.clearanceM && !s.near(t.at) {
			best = t
		}
	}
	return best
}

// trim forgets tried places when they are many: the better half stays.
func (s *search) trim(best found) {
	const many = 1 << 16
	if len(s.tried) < many {
		return
	}
	kept := s.tried[:0]
	for _, t := range s.tried {
		if t.clearanceM > best.clearanceM-20 {
			kept = append(kept, t)
		}
	}
	s.tried = kept
}

// near reports whether a place is too near to one that was given.
func (s *search) near(p geo.Offset) bool {
	for _, g := range s.given {
		if float64(g.at.Sub(p).Length()) < s.apartM {
			return true
		}
	}
	return false
}

// covered reports whether all of a cell is too near to a place that was given.
func (s *search) covered(c *cell) bool {
	for _, g := range s.given {
		if float64(g.at.Sub(c.middle).Length())+c.halfM*math.Sqrt2 < s.apartM {
			return true
		}
	}
	return false
}

func (s *search) touchesBox(c *cell) bool {
	return c.middle.EastM+c.halfM >= s.plan.low.EastM && c.middle.EastM-c.halfM <= s.plan.high.EastM &&
		c.middle.NorthM+c.halfM >= s.plan.low.NorthM && c.middle.NorthM-c.halfM <= s.plan.high.NorthM
}
