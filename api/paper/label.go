package paper

import "math"

// labels keeps what is written on a chart apart.
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
	if !b.within(l.frame) {
		return false
	}
	for _, t := range l.taken {
		if b.shared(t) > 0 {
			return false
		}
	}
	for _, r := range l.rings {
		if r.crosses(b) {
			return false
		}
	}
	return true
}

// best takes the candidate with least in its way; alone tells that no label or mark is under it.
func (l *labels) best(candidates []box) (found box, alone bool) {
	const perRank = 0.15 // of two as good the earlier, which is nearer
	least := math.Inf(1)
	for i, b := range candidates {
		if c := l.cost(b) + perRank*float64(i); c < least {
			least, found = c, b
		}
	}
	alone = true
	for _, t := range l.taken {
		alone = alone && found.shared(t) == 0
	}
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

// around are places for a label of a size round a mark: above, below, beside, then farther off.
func around(xMM, yMM, wMM, hMM, gapMM float64) []box {
	var all []box
	for _, times := range []float64{1, 2.2, 4} {
		g := gapMM * times
		for _, to := range [][2]float64{{0, -1}, {0, 1}, {1, 0}, {-1, 0}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}} {
			all = append(all, box{xMM + to[0]*(g+wMM/2) - wMM/2, yMM + to[1]*(g+hMM/2) - hMM/2, wMM, hMM})
		}
	}
	return all
}
