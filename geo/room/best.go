package room

import (
	"container/heap"
	"context"
	"math"
	"slices"

	"swingroom/geo"
)

// bestPlace is a place with the clearance that it has and the one that no place not found before it can beat.
type bestPlace struct {
	at         geo.Offset
	clearanceM float64
	boundM     float64
}

// noPlace is beaten by every other.
var noPlace = bestPlace{clearanceM: math.Inf(-1)}

// cell is a square of water under search.
type cell struct {
	middle geo.Offset
	halfM  float64
	maxM   float64 // no place in it has more clearance
	items  []item
	sides  [maxZones]side
}

// reachM is from its middle to a corner.
func (c *cell) reachM() float64 { return c.halfM * math.Sqrt2 }

// divided are its quarters, of which nothing is known yet but what is known of the cell.
func (c *cell) divided() (parts [4]*cell) {
	for i, middle := range quarters(c.middle, c.halfM) {
		parts[i] = &cell{middle: middle, halfM: c.halfM / 2, items: c.items, sides: c.sides}
	}
	return parts
}

// rootCell is a square about the box of a plan, with all its items.
func (p *plan) rootCell() *cell {
	return &cell{middle: p.middle(), halfM: p.squareM() / 2, items: p.items()}
}

// cells are a heap, the one with the most in it first.
type cells []*cell

func (h cells) Len() int           { return len(h) }
func (h cells) Less(i, j int) bool { return h[i].maxM > h[j].maxM }
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
	plan     *plan
	closeM   float64
	spacingM float64 // places that are found keep this distance from each other
	open     cells
	tried    []bestPlace // places looked at that are not yet given, by no order
	given    []bestPlace
	distM    []float64
	w        weighed
	// steps is how many cells were looked at.
	steps int
}

// stepsToCheck is how many cells are looked at before it is asked again whether the search is stopped: so seldom that asking costs nothing.
const stepsToCheck = 256

// newSearch has looked at the whole of the plan's box, and at nothing closer.
func newSearch(p *plan, closeM, spacingM float64) *search {
	s := &search{plan: p, closeM: closeM, spacingM: spacingM, distM: make([]float64, p.itemCount())}
	if !p.empty() {
		s.push(p.rootCell())
	}
	return s
}

// push weighs a cell at its middle and keeps it unless nothing in it can count.
func (s *search) push(c *cell) {
	s.steps++
	reachM := c.reachM()
	s.plan.weigh(c.middle, c.items, &c.sides, s.distM, &s.w)
	c.maxM = s.w.clearanceM(s.plan.radius.minM(c.middle, reachM)) + reachM
	here := s.w.clearanceM(s.plan.radius.at(c.middle))
	if here > math.Inf(-1) && s.plan.holds(c.middle) { // the root square may be larger than the box
		s.tried = append(s.tried, bestPlace{at: c.middle, clearanceM: here})
	}
	c.items = s.plan.keep(c.items, s.distM, &s.w, reachM, &c.sides)
	heap.Push(&s.open, c)
}

// next gives the best place that keeps its distance from those given before; false when there is none. Where it is stopped, the bound tells
// how far it had come.
func (s *search) next(ctx context.Context) (bestPlace, bool) {
	best := s.better(noPlace, s.tried)
	for len(s.open) > 0 && !s.proved(ctx, best) {
		top := heap.Pop(&s.open).(*cell)
		if s.covered(top) || !s.touchesBox(top) || s.straddles(top) {
			continue
		}
		n := len(s.tried)
		for _, part := range top.divided() {
			s.push(part)
		}
		best = s.better(best, s.tried[n:])
		s.trim(best)
	}
	if math.IsInf(best.clearanceM, -1) {
		return bestPlace{}, false
	}
	return s.give(best), true
}

// proved reports whether no cell that is left can beat the best place by more than closeM, or whether the search is stopped.
func (s *search) proved(ctx context.Context, best bestPlace) bool {
	return best.clearanceM+s.closeM >= s.open[0].maxM || s.steps%stepsToCheck == 0 && ctx.Err() != nil
}

// give notes a place as given, with the bound that the cells tell.
func (s *search) give(best bestPlace) bestPlace {
	best.boundM = best.clearanceM
	if len(s.open) > 0 {
		best.boundM = max(best.boundM, s.open[0].maxM)
	}
	s.given = append(s.given, best)
	return best
}

// better is the best of a place and some that were tried, of those that keep their distance.
func (s *search) better(best bestPlace, tried []bestPlace) bestPlace {
	for _, t := range tried {
		if t.clearanceM > best.clearanceM && !s.near(t.at, 0) {
			best = t
		}
	}
	return best
}

// trim forgets tried places when they are many: those that are so much worse than the best that a cell not yet divided will do as well.
func (s *search) trim(best bestPlace) {
	const (
		many      = 1 << 16 // 2 MB of them
		farBelowM = 20      // about the radius of a boat: no list of places goes on to where it lacks so much
	)
	if len(s.tried) >= many {
		s.tried = slices.DeleteFunc(s.tried, func(t bestPlace) bool { return t.clearanceM <= best.clearanceM-farBelowM })
	}
}

// near reports whether all within reachM of a place is too near to one that was given.
func (s *search) near(p geo.Offset, reachM float64) bool {
	for _, g := range s.given {
		if float64(g.at.Sub(p).Length())+reachM < s.spacingM {
			return true
		}
	}
	return false
}

// covered reports whether all of a cell is too near to a place that was given.
func (s *search) covered(c *cell) bool { return s.near(c.middle, c.reachM()) }

// straddles reports a cell so small that it is open only for lying across the distance to a place that was given: its own middle, or
// nothing in it, counts.
func (s *search) straddles(c *cell) bool { return c.halfM < s.closeM/8 }

// touchesBox reports whether a cell has any place in the plan's box.
func (s *search) touchesBox(c *cell) bool {
	b := s.plan.grown(c.halfM)
	return b.holds(c.middle)
}
