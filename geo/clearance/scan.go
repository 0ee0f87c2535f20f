package clearance

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"swingroom/geo"
)

// polarDeg is the latitude beyond which the scan compares every circle with every other: there the parallels are too short for its
// strips. No harbor lies there.
const polarDeg = 85.0

// Scan finds every conflict among the circles. The pairs come in the order of the field, from south to north in strips and from west to
// east in each; circles that share a place keep the order of the list.
//
// The circles are put into strips as high as two ordinary circles reach, sorted along each strip, and each is
// compared with those ahead of it in its own strip and the next, over no more than the longitude it reaches. Nothing depends on how large
// an area the field spans. Circles much larger than the others are few, and ask the strips one by one.
func Scan(circles []Circle) []Pair {
	s := newScan(circles)
	if s == nil {
		return nil
	}
	s.sort()
	pairs := s.sweep()
	pairs = append(pairs, s.wide()...)
	return append(pairs, s.polar()...)
}

// scan is the field in strips.
type scan struct {
	all      []preparedCircle // by number in the list
	ghostOf  []int32          // numbers from len(circles) on are circles near 180° W once more beyond 180° E
	stripM   float64          // height of a strip: the reach of two ordinary circles
	stepRad  float64          // longitude is sorted in steps of this size
	southM   float64
	westRad  float64
	keys     []uint64         // strip and step, sorted
	order    []int32          // the circles' numbers in the order of keys
	sorted   []preparedCircle // the circles in that order
	wides    []int32
	polars   []int32
	circles  []Circle
	keyBits  int
	stepBits int
}

func workers() int { return max(1, runtime.GOMAXPROCS(0)) }

// worthSplitting is how much work is shared by the cores: below it one is done before the others have begun.
const worthSplitting = 4096

// split calls work for even parts of n, one a core.
func split(n int, work func(part, from, to int)) {
	parts := workers()
	if n < worthSplitting {
		parts = 1
	}
	var wait sync.WaitGroup
	for part := range parts {
		wait.Go(func() { work(part, n*part/parts, n*(part+1)/parts) })
	}
	wait.Wait()
}

func newScan(circles []Circle) *scan {
	s := &scan{circles: circles, all: make([]preparedCircle, len(circles))}
	split(len(circles), func(_, from, to int) {
		for i := from; i < to; i++ {
			if circles[i].RadiusM > 0 {
				s.all[i] = prepare(circles[i])
			}
		}
	})
	if s.stripM = ordinaryReachM(s.all); s.stripM <= 0 {
		return nil
	}
	s.order = make([]int32, 0, len(circles))
	for i := range circles {
		s.assign(int32(i))
	}
	s.addGhosts()
	return s
}

// assign puts a circle with those of the strips, or with those that are compared one by one.
func (s *scan) assign(i int32) {
	switch p := &s.all[i]; {
	case !p.isCircle():
	case math.Abs(s.circles[i].Position.LatDeg) > polarDeg:
		s.polars = append(s.polars, i)
	case p.extentM() > s.stripM/2:
		s.wides = append(s.wides, i)
	default:
		s.order = append(s.order, i)
	}
}

// ordinaryReachM is twice the extent that all but a few circles in a thousand stay under, by a sample; or twice the largest
// extent, when that is not much more. It is 0 when there is no circle.
func ordinaryReachM(all []preparedCircle) float64 {
	const sample, notMuchMore = 4096, 1.5
	step := max(1, len(all)/sample)
	extents := make([]float64, 0, sample)
	largest := 0.0
	for i := range all {
		if all[i].isCircle() {
			largest = max(largest, all[i].extentM())
			if i%step == 0 {
				extents = append(extents, all[i].extentM())
			}
		}
	}
	if len(extents) == 0 {
		return 2 * largest
	}
	slices.Sort(extents)
	if ordinary := extents[(len(extents)-1)*998/1000]; largest > notMuchMore*ordinary {
		return 2 * ordinary
	}
	return 2 * largest
}

// addGhosts repeats the circles just east of the antimeridian beyond it, so that those just west of it find them ahead.
func (s *scan) addGhosts() {
	reals := len(s.order)
	for _, i := range s.order[:reals] {
		p := s.all[i]
		if p.LonRad+math.Pi <= s.stripM/(p.ParallelM-s.stripM) {
			s.ghostOf = append(s.ghostOf, i)
			s.order = append(s.order, int32(len(s.all)))
			p.LonRad += 2 * math.Pi
			s.all = append(s.all, p)
		}
	}
}

// number is the circle's number in the list.
func (s *scan) number(i int32) int32 {
	if ghost := int(i) - len(s.circles); ghost >= 0 {
		return s.ghostOf[ghost]
	}
	return i
}

// sort brings the circles of the strips into their order.
func (s *scan) sort() {
	s.measure()
	s.keys = make([]uint64, len(s.order))
	split(len(s.order), func(_, from, to int) {
		for k := from; k < to; k++ {
			p := &s.all[s.order[k]]
			s.keys[k] = uint64((p.MeridianM-s.southM)/s.stripM)<<s.stepBits | uint64((p.LonRad-s.westRad)/s.stepRad)
		}
	})
	s.keys, s.order = radixSort(s.keys, s.order, s.keyBits)
	s.sorted = make([]preparedCircle, len(s.order))
	split(len(s.order), func(_, from, to int) {
		for k := from; k < to; k++ {
			s.sorted[k] = s.all[s.order[k]]
		}
	})
}

// stepsInStrip is how many steps in longitude are as long as a strip is high, at the equator: so few circles fall into each, whatever the
// latitude, that their order within it does not matter.
const stepsInStrip = 16

// measure finds out how far the circles of the strips reach, and how many bits the key of a place takes.
func (s *scan) measure() {
	s.southM, s.westRad = math.Inf(1), math.Inf(1)
	northM, eastRad := math.Inf(-1), math.Inf(-1)
	for _, i := range s.order {
		p := &s.all[i]
		s.southM, northM = min(s.southM, p.MeridianM), max(northM, p.MeridianM)
		s.westRad, eastRad = min(s.westRad, p.LonRad), max(eastRad, p.LonRad)
	}
	s.stepRad = s.stripM / stepsInStrip / geo.SemiMajorM
	if len(s.order) > 0 {
		s.stepBits = bitsOf((eastRad - s.westRad) / s.stepRad)
		s.keyBits = s.stepBits + bitsOf((northM-s.southM)/s.stripM)
	}
}

// bitsOf is how many bits hold every whole number up to one beyond a number of steps.
func bitsOf(stepsRatio float64) int { return int(math.Ceil(math.Log2(math.Floor(stepsRatio) + 2))) }

// sweep compares each circle with those ahead of it in its own strip and with those abreast in the next.
func (s *scan) sweep() []Pair {
	parts := make([][]Pair, workers())
	split(len(s.sorted), func(part, from, to int) {
		pairs := make([]Pair, 0, to-from)
		mask := uint64(1)<<s.stepBits - 1
		abreast, strip := 0, ^uint64(0)
		for k := from; k < to; k++ {
			key := s.keys[k]
			// How many steps two circles of the strips can be apart: the parallel is at its shortest a strip farther from the equator.
			window := uint64(s.stripM/(s.sorted[k].ParallelM-2*s.stripM)/s.stepRad) + 2
			step := key & mask
			end := key - step + min(mask, step+window)
			for j := k + 1; j < len(s.keys) && s.keys[j] <= end; j++ {
				pairs = s.try(pairs, k, j)
			}
			begin := key - step + mask + 1 + step - min(step, window)
			if key>>s.stepBits != strip { // a new strip: find where this window begins in the next one
				strip = key >> s.stepBits
				abreast, _ = slices.BinarySearch(s.keys, begin)
			}
			// The window grows and shrinks by a step within a strip, so keep the two that it may come back to.
			for abreast < len(s.keys) && s.keys[abreast]+2 < begin {
				abreast++
			}
			end += mask + 1
			for j := abreast; j < len(s.keys) && s.keys[j] <= end; j++ {
				pairs = s.try(pairs, k, j)
			}
		}
		parts[part] = pairs
	})
	return slices.Concat(parts...)
}

// try appends the two circles, by their places in the order, if they are a conflict.
func (s *scan) try(pairs []Pair, k, j int) []Pair {
	distanceM, overlapM, is := conflict(&s.sorted[k], &s.sorted[j])
	if !is {
		return pairs
	}
	a, b := s.order[k], s.order[j]
	if ghosts := int32(len(s.circles)); a >= ghosts || b >= ghosts {
		if a >= ghosts && b >= ghosts {
			return pairs // the two themselves are a pair already
		}
		a, b = s.number(a), s.number(b)
	}
	return append(pairs, Pair{min(a, b), max(a, b), distanceM, overlapM})
}

// wide compares the circles that are larger than a strip's with each other and with all strips that they reach.
func (s *scan) wide() []Pair {
	var pairs []Pair
	for n, i := range s.wides {
		p := &s.all[i]
		for _, j := range s.wides[n+1:] {
			pairs = s.tryNumbers(pairs, i, j)
		}
		reachM := p.extentM() + s.stripM/2
		shortestM := p.ParallelM - reachM // the parallel's radius at the far side of the circle
		south := max(0, math.Floor((p.MeridianM-reachM-s.southM)/s.stripM))
		north := math.Floor((p.MeridianM + reachM - s.southM) / s.stripM)
		for strip := south; strip <= north; strip++ {
			for _, turnRad := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
				pairs = s.wideInStrip(pairs, i, uint64(strip), p.LonRad+turnRad, reachM/shortestM)
			}
		}
	}
	return pairs
}

func (s *scan) wideInStrip(pairs []Pair, i int32, strip uint64, lonRad, halfRad float64) []Pair {
	if !(halfRad > 0) || halfRad > math.Pi {
		halfRad = math.Pi // it reaches round a pole
	}
	steps := uint64(1) << s.stepBits
	from, to := (lonRad-halfRad-s.westRad)/s.stepRad, (lonRad+halfRad-s.westRad)/s.stepRad
	if to < 0 || from > float64(steps) {
		return pairs
	}
	first := strip<<s.stepBits | uint64(max(0, from))
	last := strip<<s.stepBits | uint64(min(float64(steps-1), to+1))
	at, _ := slices.BinarySearch(s.keys, first)
	for ; at < len(s.keys) && s.keys[at] <= last; at++ {
		if j := s.order[at]; j < int32(len(s.circles)) { // a ghost is met by its own place
			pairs = s.tryNumbers(pairs, i, j)
		}
	}
	return pairs
}

func (s *scan) tryNumbers(pairs []Pair, i, j int32) []Pair {
	if distanceM, overlapM, is := conflict(&s.all[i], &s.all[j]); is {
		return append(pairs, Pair{min(i, j), max(i, j), distanceM, overlapM})
	}
	return pairs
}

// polar compares circles near a pole with every other circle.
func (s *scan) polar() []Pair {
	var pairs []Pair
	for n, i := range s.polars {
		for j := range s.circles {
			other := int32(j)
			if s.all[j].radiusM > 0 && !slices.Contains(s.polars[:n+1], other) {
				pairs = s.tryNumbers(pairs, i, other)
			}
		}
	}
	return pairs
}
