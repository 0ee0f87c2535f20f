package swing

import (
	"math"
)

// CloseM is how far a proved bound lies under the gap that was found, at most.
const CloseM = 0.05

// Limits are how far a search has to go. The zero value searches until the gap is proved.
type Limits struct {
	// EnoughM: by what the search is content that hulls keep apart, metres. What is farther is not looked at, so the gap and its bound are then
	// only sure not to lie under it.
	EnoughM float64
	Enough  bool
	// Stop ends a search when it says true.
	Stop func() bool
}

// mostBoxes is how many boxes a search opens before it ends with what it has proved so far.
const mostBoxes = 60_000

// goal is what a search makes least over all weathers.
type goal interface {
	// over bounds it from below over a box and tells about what it is in the middle; ok is false for a box without weathers.
	over(bx *box) (boundM, middleM float64, ok bool, err error)
	// at works it out for a point.
	at(p *point) (valueM float64, err error)
}

// proof is a search that divides all weathers into boxes, least bound first.
type proof struct {
	goal   goal
	limits Limits
	open   []box // a heap, least bound first
	bestM  float64
	best   point
	boundM float64 // of what has been put aside
	boxes  int
}

// prove searches boxes. It ends when nothing left open is more than CloseM better than the best, or all of it is as good as is enough, or the search is stopped: then bound is what holds so far.
func (s *proof) prove(roots []box) (proved bool, err error) {
	s.bestM, s.boundM = math.Inf(1), math.Inf(1)
	for i := range roots {
		if err := s.look(&roots[i]); err != nil {
			return false, err
		}
	}
	for len(s.open) > 0 {
		if s.open[0].boundM >= s.target() {
			break
		}
		if s.boxes >= mostBoxes || s.limits.Stop != nil && s.boxes%64 == 0 && s.limits.Stop() {
			s.boundM = min(s.boundM, s.open[0].boundM)
			return false, nil
		}
		bx := s.pop()
		lower, upper := bx.halves(bx.worst)
		if err := s.look(&lower); err != nil {
			return false, err
		}
		if err := s.look(&upper); err != nil {
			return false, err
		}
	}
	if len(s.open) > 0 {
		s.boundM = min(s.boundM, s.open[0].boundM)
	}
	return true, nil
}

// target is the bound from which on a box need not be looked at.
func (s *proof) target() float64 {
	targetM := s.bestM - CloseM
	if s.limits.Enough {
		targetM = min(targetM, s.limits.EnoughM)
	}
	return targetM
}

// look bounds a box and keeps it where it may hold something better.
func (s *proof) look(bx *box) error {
	s.boxes++
	boundM, middleM, ok, err := s.goal.over(bx)
	if err != nil || !ok {
		return err
	}
	bx.boundM = max(bx.boundM, boundM)
	const worth = 0.01 // metres
	if middleM < s.bestM-worth {
		p, valueM, err := s.descend(bx)
		if err != nil {
			return err
		}
		if valueM < s.bestM {
			s.best, s.bestM = p, valueM
		}
	}
	if bx.boundM >= s.target() {
		s.boundM = min(s.boundM, bx.boundM)
		return nil
	}
	s.push(*bx)
	return nil
}

// descend looks for the best point near the middle of a box, one unknown after the other.
func (s *proof) descend(bx *box) (best point, valueM float64, err error) {
	best = bx.middle()
	if valueM, err = s.goal.at(&best); err != nil {
		return best, valueM, err
	}
	step := bx.half
	step[bySternA], step[bySternB], step[byLoadA], step[byLoadB] = 0, 0, 0, 0
	for range 10 {
		for i := range step {
			for _, sign := range [2]float64{-1, 1} {
				if step[i] == 0 {
					continue
				}
				p := best
				p.at[i] += sign * step[i]
				if math.Abs(p.at[i]-bx.mid[i]) > bx.half[i]*(1+1e-12) {
					continue
				}
				at, err := s.goal.at(&p)
				if err != nil {
					return best, valueM, err
				}
				if at < valueM {
					best, valueM = p, at
				}
			}
			step[i] /= 2
		}
	}
	return best, valueM, nil
}

func (s *proof) push(bx box) {
	s.open = append(s.open, bx)
	for i := len(s.open) - 1; i > 0; {
		up := (i - 1) / 2
		if s.open[up].boundM <= s.open[i].boundM {
			return
		}
		s.open[up], s.open[i] = s.open[i], s.open[up]
		i = up
	}
}

func (s *proof) pop() box {
	top := s.open[0]
	last := len(s.open) - 1
	s.open[0] = s.open[last]
	s.open = s.open[:last]
	for i := 0; ; {
		down := 2*i + 1
		if down >= last {
			return top
		}
		if down+1 < last && s.open[down+1].boundM < s.open[down].boundM {
			down++
		}
		if s.open[i].boundM <= s.open[down].boundM {
			return top
		}
		s.open[i], s.open[down] = s.open[down], s.open[i]
		i = down
	}
}
