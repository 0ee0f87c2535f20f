package swing

import "math"

// CloseM is how far a proved bound lies under the gap that was found, at most.
const CloseM = 0.05

// Limits are how far a search has to go. The zero value searches until the gap is proved.
type Limits struct {
	// Stop ends a search when it says true.
	Stop func() bool
}

// How many boxes a search opens before it ends with what it has proved so far: in all, and once it has found that hulls come too near, so
// that only by how much is left open.
const (
	mostBoxes  = 10_000
	boxesMore  = 30
	keepBoxes  = 400 // for [Sweep.Keep], whose answer errs on the large side the sooner it ends
	boxesATime = 64  // between two looks whether it is to stop
)

// goal is what a search makes least over all weathers.
type goal interface {
	// seeds are boxes in whose middle it is worth while to look first.
	seeds() []box
	// over bounds it from below over a box and tells about what it is where it is best looked into.
	over(bx *box) (boundM, middleM float64, err error)
	// about works it out for a point, to a centimetre or so.
	about(p *point) (valueM float64, err error)
	// at works it out for a point in full.
	at(p *point) (valueM float64, err error)
}

// proof is a search that divides all weathers into boxes, least bound first.
type proof struct {
	goal goal
	Limits
	most int // boxes to open
	// enoughM is what is not looked into: all that is proved to be no less is put aside. Once less than tooNearM is found only boxesMore
	// are opened yet.
	enoughM, tooNearM float64
	open              []box   // a heap, least bound first
	bestM             float64 // begins with what is known to be reached
	best              point
	boundM            float64 // of what has been put aside
	boxes             int
	foundAt           int // boxes opened when less than tooNearM was found; 0: it was not
}

// prove searches boxes. It ends when nothing left open is more than CloseM better than the best, or all of it is as good as is enough, or
// the search is stopped: then bound is what holds so far.
func (s *proof) prove(roots []box) (proved bool, err error) {
	s.boundM = math.Inf(1)
	for _, seed := range s.goal.seeds() {
		if err := s.improve(&seed, math.Inf(-1)); err != nil {
			return false, err
		}
	}
	for i := range roots {
		if err := s.look(&roots[i]); err != nil {
			return false, err
		}
	}
	for len(s.open) > 0 {
		if s.open[0].boundM >= s.target() {
			break
		}
		if s.stopped() {
			s.boundM = min(s.boundM, s.open[0].boundM)
			if math.IsInf(s.bestM, 1) { // what is most in doubt
				err = s.improve(&s.open[0], math.Inf(-1))
			}
			return false, err
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

// stopped says that the search ends before it has proved what it is to prove.
func (s *proof) stopped() bool {
	if s.bestM < s.tooNearM {
		if s.foundAt == 0 {
			s.foundAt = s.boxes
		}
		if s.boxes >= s.foundAt+boxesMore {
			return true
		}
	}
	return s.boxes >= s.most || s.Stop != nil && s.boxes/boxesATime != (s.boxes-2)/boxesATime && s.Stop()
}

// target is the bound from which on a box need not be looked at.
func (s *proof) target() float64 { return min(s.bestM-CloseM, s.enoughM) }

// look bounds a box and keeps it where it may hold something better.
func (s *proof) look(bx *box) error {
	s.boxes++
	boundM, middleM, err := s.goal.over(bx)
	if err != nil {
		return err
	}
	bx.boundM = max(bx.boundM, boundM)
	if err := s.improve(bx, middleM); err != nil {
		return err
	}
	if bx.boundM >= s.target() {
		s.boundM = min(s.boundM, bx.boundM)
		return nil
	}
	s.push(*bx)
	return nil
}

// improve looks into a box for something better than the best, where its middle is better; and where it is nearly too near, if nothing
// else matters.
func (s *proof) improve(bx *box, middleM float64) error {
	const worth = 0.01 // metres
	const nearly = 3   // the same
	if middleM >= min(s.bestM-worth, s.enoughM+nearly) {
		return nil
	}
	p := bx.likely()
	valueM, err := s.goal.about(&p)
	if err != nil || valueM >= min(s.bestM-worth, s.enoughM+nearly) {
		return err
	}
	if _, err = s.descend(bx, &p, valueM); err != nil {
		return err
	}
	if valueM, err = s.goal.at(&p); err == nil && valueM < s.bestM {
		s.best, s.bestM = p, valueM
	}
	return err
}

// descend looks for the best point near the middle of a box, one unknown after the other. The level is only tried at the box's ends: there
// the reaches are known.
func (s *proof) descend(bx *box, best *point, bestM float64) (valueM float64, err error) {
	const rounds = 8
	step := bx.half
	for range rounds {
		for i, by := range step {
			for _, sign := range [2]float64{-by, by} {
				p := *best
				p.at[i] += sign
				if by == 0 || math.Abs(p.at[i]-bx.mid[i]) > bx.half[i]*(1+1e-12) {
					continue
				}
				valueM, err := s.goal.about(&p)
				if err != nil {
					return bestM, err
				}
				if valueM < bestM {
					*best, bestM = p, valueM
				}
			}
			step[i] /= 2
		}
		step[byLevel] = 0
	}
	return bestM, nil
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
