package swing

import "math"

// GapToleranceM is how far a proved bound lies under the gap that was found, at most.
const GapToleranceM = 0.05

// Limits are how far a search has to go. The zero value searches until the gap is proved.
type Limits struct {
	// Stop ends a search when it says true.
	Stop func() bool
}

// How many boxes a search opens before it ends with what it has proved so far: in all, and once it has found that hulls come too near, so
// that only by how much is left open. What is not decided by then is told as possible, never as clear.
const (
	maxBoxes          = 10_000
	boxesOnceTooNear  = 30
	maxDistanceBoxes  = 400 // for [Sweep.MinAnchorDistance], whose answer errs on the large side the sooner it ends
	boxesPerStopCheck = 64
)

// objective is what a search makes smallest over all weathers.
type objective interface {
	// seeds are boxes in whose middle it is worth while to look first.
	seeds() []box
	// bound bounds it from below over a box, and tells about what it is where the box is best looked into.
	bound(bx *box) (boundM, middleM float64, err error)
	// estimate works it out for a point, to a centimetre or so.
	estimate(p *point) (valueM float64, err error)
	// evaluate works it out for a point in full.
	evaluate(p *point) (valueM float64, err error)
}

// branchAndBound is a search that divides all weathers into boxes, least bound first.
type branchAndBound struct {
	goal objective
	Limits
	boxLimit int // boxes to open
	// sufficientM is what is not looked into: all that is proved to be no less is put aside. Once less than tooNearM is found only
	// boxesOnceTooNear are opened yet.
	sufficientM, tooNearM float64
	queue                 []box   // a heap, least bound first
	incumbentM            float64 // the best so far; begins with what is known to be reached
	incumbent             point
	boundM                float64 // of what has been put aside
	boxes                 int
	tooNearAt             int // boxes opened when less than tooNearM was found; 0: it was not
}

// run searches boxes. It ends when nothing left open is more than GapToleranceM better than the best, or all of it is as good as is enough,
// or the search is stopped: then boundM is what holds so far.
func (s *branchAndBound) run(roots []box) (proved bool, err error) {
	s.boundM = math.Inf(1)
	if err := s.start(roots); err != nil {
		return false, err
	}
	for len(s.queue) > 0 && s.queue[0].boundM < s.pruneM() {
		if s.exhausted() {
			s.boundM = min(s.boundM, s.queue[0].boundM)
			if math.IsInf(s.incumbentM, 1) { // what is most in doubt
				err = s.improveIncumbent(&s.queue[0], math.Inf(-1))
			}
			return false, err
		}
		if err := s.branch(); err != nil {
			return false, err
		}
	}
	if len(s.queue) > 0 {
		s.boundM = min(s.boundM, s.queue[0].boundM)
	}
	return true, nil
}

// start looks at the seeds and takes the first boxes.
func (s *branchAndBound) start(roots []box) error {
	for _, seed := range s.goal.seeds() {
		if err := s.improveIncumbent(&seed, math.Inf(-1)); err != nil {
			return err
		}
	}
	for i := range roots {
		if err := s.consider(&roots[i]); err != nil {
			return err
		}
	}
	return nil
}

// branch divides the box with the least bound.
func (s *branchAndBound) branch() error {
	bx := s.pop()
	lower, upper := bx.halves(bx.branchOn)
	if err := s.consider(&lower); err != nil {
		return err
	}
	return s.consider(&upper)
}

// exhausted says that the search ends before it has proved what it is to prove.
func (s *branchAndBound) exhausted() bool {
	if s.incumbentM < s.tooNearM {
		if s.tooNearAt == 0 {
			s.tooNearAt = s.boxes
		}
		if s.boxes >= s.tooNearAt+boxesOnceTooNear {
			return true
		}
	}
	return s.boxes >= s.boxLimit || s.stopAsked()
}

// stopAsked asks now and then whether the search is to stop; boxes are opened in pairs.
func (s *branchAndBound) stopAsked() bool {
	return s.Stop != nil && s.boxes/boxesPerStopCheck != (s.boxes-2)/boxesPerStopCheck && s.Stop()
}

// pruneM is the bound from which on a box need not be looked at.
func (s *branchAndBound) pruneM() float64 { return min(s.incumbentM-GapToleranceM, s.sufficientM) }

// consider bounds a box and keeps it where it may hold something better.
func (s *branchAndBound) consider(bx *box) error {
	s.boxes++
	boundM, middleM, err := s.goal.bound(bx)
	if err != nil {
		return err
	}
	bx.boundM = max(bx.boundM, boundM)
	if err := s.improveIncumbent(bx, middleM); err != nil {
		return err
	}
	if bx.boundM >= s.pruneM() {
		s.boundM = min(s.boundM, bx.boundM)
		return nil
	}
	s.push(*bx)
	return nil
}

// promising tells whether a value is enough better than the best to look closer, or nearly too near if nothing else matters.
func (s *branchAndBound) promising(valueM float64) bool {
	const worthM = 0.01 // a smaller gain is not worth solving the lines for
	const nearlyM = 3   // above what is sufficient, within which a look is taken even so
	return valueM < min(s.incumbentM-worthM, s.sufficientM+nearlyM)
}

// improveIncumbent looks into a box for something better than the best, where its middle is promising.
func (s *branchAndBound) improveIncumbent(bx *box, middleM float64) error {
	if !s.promising(middleM) {
		return nil
	}
	p := bx.likely()
	valueM, err := s.goal.estimate(&p)
	if err != nil || !s.promising(valueM) {
		return err
	}
	if err = s.descend(bx, &p, valueM); err != nil {
		return err
	}
	if valueM, err = s.goal.evaluate(&p); err == nil && valueM < s.incumbentM {
		s.incumbent, s.incumbentM = p, valueM
	}
	return err
}

// descend looks for the best point near the middle of a box, one unknown after the other. The level is only tried at the box's ends: there
// the reaches are known.
func (s *branchAndBound) descend(bx *box, best *point, bestM float64) (err error) {
	const rounds = 8 // the steps are then a 256th of the box
	step := bx.half
	for range rounds {
		for i := range step {
			if step[i] == 0 {
				continue
			}
			if bestM, err = s.tryBoth(bx, best, bestM, i, step[i]); err != nil {
				return err
			}
			step[i] /= 2
		}
		step[symLevel] = 0
	}
	return nil
}

// tryBoth moves the best point by a step of an unknown to either side, where that is better and still in the box.
func (s *branchAndBound) tryBoth(bx *box, best *point, bestM float64, symbol int, step float64) (float64, error) {
	for _, by := range [2]float64{-step, step} {
		p := *best
		p.at[symbol] += by
		if math.Abs(p.at[symbol]-bx.mid[symbol]) > bx.half[symbol]*(1+1e-12) {
			continue
		}
		valueM, err := s.goal.estimate(&p)
		if err != nil {
			return bestM, err
		}
		if valueM < bestM {
			*best, bestM = p, valueM
		}
	}
	return bestM, nil
}

// The heap is written here since that of the standard library takes its items as interfaces: each box would be allocated.

func (s *branchAndBound) push(bx box) {
	s.queue = append(s.queue, bx)
	for i := len(s.queue) - 1; i > 0; {
		up := (i - 1) / 2
		if s.queue[up].boundM <= s.queue[i].boundM {
			return
		}
		s.queue[up], s.queue[i] = s.queue[i], s.queue[up]
		i = up
	}
}

func (s *branchAndBound) pop() box {
	top := s.queue[0]
	last := len(s.queue) - 1
	s.queue[0] = s.queue[last]
	s.queue = s.queue[:last]
	s.siftDown()
	return top
}

// siftDown moves the first box of the heap to where it belongs.
func (s *branchAndBound) siftDown() {
	for i := 0; ; {
		down := 2*i + 1
		if down >= len(s.queue) {
			return
		}
		if down+1 < len(s.queue) && s.queue[down+1].boundM < s.queue[down].boundM {
			down++
		}
		if s.queue[i].boundM <= s.queue[down].boundM {
			return
		}
		s.queue[i], s.queue[down] = s.queue[down], s.queue[i]
		i = down
	}
}
