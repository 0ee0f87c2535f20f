package bed

import (
	"math"
	"sync"

	"swingroom/geo"
)

// kdTree finds the nearest sounding. It is the soundings themselves, ordered so that the middle of each range splits it by east
// and north in turn: nothing but one slice, the same whether they lie on a grid, on one line or in one place, and
// what is near on the plane is mostly near in memory.
type kdTree []sounding

// newKDTree puts soundings in the tree's order.
func newKDTree(sounds []sounding) kdTree {
	t := kdTree(sounds)
	t.build(0, len(t), false)
	return t
}

func (t kdTree) build(lo, hi int, byNorth bool) {
	const many = 10_000 // from here on the halves are built at once
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		t.split(lo, hi-1, mid, byNorth)
		byNorth = !byNorth
		if hi-lo > many {
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
		pivot := along(t[(lo+hi)/2].at, byNorth)
		i, j := lo, hi
		for i <= j {
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
		if k <= j {
			hi = j
		} else if k >= i {
			lo = i
		} else {
			return
		}
	}
}

func along(at geo.Offset, byNorth bool) float64 {
	if byNorth {
		return at.NorthM
	}
	return at.EastM
}

// nearest is the number of the sounding nearest to p and its distance in metres; -1 when there is none.
func (t kdTree) nearest(p geo.Offset) (index int, distM float64) {
	best, bestM2 := -1, math.Inf(1)
	t.search(0, len(t), false, p, &best, &bestM2)
	return best, math.Sqrt(bestM2)
}

func (t kdTree) search(lo, hi int, byNorth bool, p geo.Offset, best *int, bestM2 *float64) {
	if lo >= hi {
		return
	}
	mid := (lo + hi) / 2
	d := p.Sub(t[mid].at)
	if d2 := d.EastM*d.EastM + d.NorthM*d.NorthM; d2 < *bestM2 {
		*best, *bestM2 = mid, d2
	}
	side := along(d, byNorth)
	if side < 0 {
		t.search(lo, mid, !byNorth, p, best, bestM2)
		if side*side < *bestM2 {
			t.search(mid+1, hi, !byNorth, p, best, bestM2)
		}
		return
	}
	t.search(mid+1, hi, !byNorth, p, best, bestM2)
	if side*side < *bestM2 {
		t.search(lo, mid, !byNorth, p, best, bestM2)
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
		if d.EastM*d.EastM+d.NorthM*d.NorthM <= radiusM*radiusM {
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
