package tide

import (
	"math"
	"time"

	"swingroom/geo"
)

// Extreme is a high or a low water.
type Extreme struct {
	At    time.Time  `json:"at"`
	Level geo.Metres `json:"level_m"` // above chart datum
	High  bool       `json:"high"`
}

// Extremes are the high and low waters in [from, to), in order: all zeros of the derivative at which it changes sign,
// to the second, in the zone of from. The same water is found alike however the span is cut. Highs and lows alternate;
// a stand with two highs shows both, with the low between them.
func (p *Predictor) Extremes(from, to time.Time) []Extreme {
	if len(p.waves) == 0 || !from.Before(to) {
		return nil
	}
	var within []Extreme
	for _, e := range p.turns(from, to) {
		if !e.At.Before(from) && e.At.Before(to) {
			e.At = e.At.In(from.Location())
			within = append(within, e)
		}
	}
	return within
}

// turns are the high and low waters of all days that a span touches. The walk begins a day early, to know whether the water rises at the
// first midnight, and goes a day on for a time that rounds down into the span.
func (p *Predictor) turns(from, to time.Time) []Extreme {
	first, _ := dayOf(from)
	last, _ := dayOf(to)
	s := search{meanLevel: p.meanLevel}
	start := p.midnight(first - 1)
	for number := first - 1; number <= last; number++ {
		end := p.midnight(number + 1)
		s.day = p.between(number, start, end)
		s.secondM, s.thirdM = s.day.maxDerivatives()
		for i := range hours {
			s.bisect(float64(i)/hours, float64(i+1)/hours)
		}
		start = end
	}
	return s.found
}

const (
	// hours in a day: where the search begins; any number gives the same waters.
	hours = 24
	// finest is the share of a day below which two extremes are one: a quarter of a second.
	finest = 0.25 / secondsPerDay
	// exact is the share of a day to which a time is worked out: a millisecond, since times are given to the second.
	exact = 1e-3 / secondsPerDay
)

// search walks through the days in order.
type search struct {
	meanLevel       geo.Metres
	day             day
	secondM, thirdM float64 // never exceeded by the second and third derivative of the level
	direction       int     // of the water where the walk has come to: -1, 1, 0 not known yet
	found           []Extreme
}

// bisect finds the extremes of a span of the day. With c its middle and w half its length: where |h'(c)| > w max|h”|, h'
// has no zero in it; where |h"(c)| > w max|h"'|, h' is monotone and has at most one; else the halves are searched.
func (s *search) bisect(startRatio, endRatio float64) {
	middle, w := (startRatio+endRatio)/2, (endRatio-startRatio)/2
	slopeM, curvatureM := s.day.slope(middle)
	switch {
	case math.Abs(slopeM) > w*s.secondM:
		s.setDirection(startRatio, slopeM)
	case math.Abs(curvatureM) > w*s.thirdM || w < finest:
		s.monotone(startRatio, endRatio)
	default:
		s.bisect(startRatio, middle)
		s.bisect(middle, endRatio)
	}
}

// monotone takes a span in which the slope changes sign at most once.
func (s *search) monotone(startRatio, endRatio float64) {
	atStartM, _ := s.day.slope(startRatio)
	atEndM, _ := s.day.slope(endRatio)
	s.setDirection(startRatio, atStartM) // at a midnight, where the straight pieces of two days meet
	if atStartM < 0 != (atEndM < 0) {
		s.setDirection(s.zeroSlope(startRatio, endRatio, atStartM), atEndM)
	}
}

// setDirection notes that from here on the water rises or falls; if it did the other before, here is an extreme.
func (s *search) setDirection(shareRatio, slopeM float64) {
	direction := 1
	if slopeM < 0 {
		direction = -1
	}
	if s.direction == -direction {
		s.found = append(s.found, Extreme{At: s.day.timeOf(shareRatio), Level: s.meanLevel + s.day.level(shareRatio), High: direction < 0})
	}
	s.direction = direction
}

// zeroSlope is where h' changes sign between start and end: Newton's step where it stays inside, else half.
func (s *search) zeroSlope(startRatio, endRatio, atStartM float64) float64 {
	x := (startRatio + endRatio) / 2
	for range 60 { // halving alone needs 26
		slopeM, curvatureM := s.day.slope(x)
		if slopeM < 0 == (atStartM < 0) {
			startRatio = x
		} else {
			endRatio = x
		}
		next := x - slopeM/curvatureM
		if !(next > startRatio && next < endRatio) {
			next = (startRatio + endRatio) / 2
		}
		if math.Abs(next-x) < exact {
			return next
		}
		x = next
	}
	return x
}
