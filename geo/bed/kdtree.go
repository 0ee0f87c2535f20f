package bed

import (
	"math"
	"sync"

	"swingroom/geo"
)

// kdTree finds the nearest sounding. It is the soundings themselves, ordered so that the middle of each range splits it by east and north
// in turn: nothing but one slice, the same whether they lie on a grid, on one line or in one place, and what is near on the plane is mostly
// near in memory. It is written here since the kd-tree of gonum keeps each point behind an interface and compares by calls through it, and
// an R-tree keeps a box beside each point.
type kdTree []sounding

// newKDTree puts soundings in the tree's order.
func newKDTree(sounds []sounding) kdTree {
	t := kdTree(sounds)
	t.build(0, len(t), false)
	return t
}

func (t kdTree) build(lo, hi int, byNorth bool) {
	const parallelFrom = 10_000 // soundings; for fewer, starting a goroutine costs more than it saves
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		t.split(lo, hi-1, mid, byNorth)
		byNorth = !byNorth
		if hi-lo > parallelFrom {
			var half sync.WaitGroup
			half.Go(func() { t.build(lo, mid, byNorth) })
			t.build(mid+1, hi, byNorth)
			half.Wait()
			return
		}
		t.build(lo, mid, byNorth)
		lo = mid + 1
	}
}

// split moves the item that belongs at k in sorted order there, smaller ones before it (Hoare's selection).
func (t kdTree) split(lo, hi, k int, byNorth bool) {
	for lo < hi {
		i, j := t.partition(lo, hi, byNorth)
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}

// partition moves what is smaller than the middle item before it, and what is greater behind: up to j and from i.
func (t kdTree) partition(lo, hi int, byNorth bool) (i, j int) {
	pivot := along(t[(lo+hi)/2].at, byNorth)
	for i, j = lo, hi; i <= j; {
		for along(t[i].at, byNorth) < pivot {
			i++
		}
		for along(t[j].at, byNorth) > pivot {
			j--
		}
		if i <= j {
			t[i], t[j] = t[j], t[i]
			i++
			j--
		}
	}
	return i, j
}

func along(at geo.Offset, byNorth bool) float64 {
	if byNorth {
		return at.NorthM
	}
	return at.EastM
}

// nearest is the number of the sounding nearest to p and its distance in metres; -1 when there is none.
func (t kdTree) nearest(p geo.Offset) (index int, distM float64) {
	best := neighbour{index: -1, distM2: math.Inf(1)}
	t.search(0, len(t), false, p, &best)
	return best.index, math.Sqrt(best.distM2)
}

// neighbour is the nearest sounding found so far.
type neighbour struct {
	index  int
	distM2 float64
}

func (t kdTree) search(lo, hi int, byNorth bool, p geo.Offset, best *neighbour) {
	if lo >= hi {
		return
	}
	mid := (lo + hi) / 2
	d := p.Sub(t[mid].at)
	if d2 := dot(d, d); d2 < best.distM2 {
		best.index, best.distM2 = mid, d2
	}
	side := along(d, byNorth)
	if side < 0 {
		t.search(lo, mid, !byNorth, p, best)
		if side*side < best.distM2 {
			t.search(mid+1, hi, !byNorth, p, best)
		}
		return
	}
	t.search(mid+1, hi, !byNorth, p, best)
	if side*side < best.distM2 {
		t.search(lo, mid, !byNorth, p, best)
	}
}

// within calls visit with every sounding that is no farther than radiusM from p.
func (t kdTree) within(p geo.Offset, radiusM float64, visit func(sounding)) {
	t.searchWithin(0, len(t), false, p, radiusM, visit)
}

func (t kdTree) searchWithin(lo, hi int, byNorth bool, p geo.Offset, radiusM float64, visit func(sounding)) {
	for lo < hi {
		mid := (lo + hi) / 2
		d := p.Sub(t[mid].at)
		if dot(d, d) <= radiusM*radiusM {
			visit(t[mid])
		}
		side := along(d, byNorth)
		byNorth = !byNorth
		if side <= radiusM {
			t.searchWithin(lo, mid, byNorth, p, radiusM, visit)
		}
		if -side > radiusM {
			return
		}
		lo = mid + 1
	}
}
