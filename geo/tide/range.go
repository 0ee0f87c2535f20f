package tide

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// Range is the lowest low and the highest high water of so many years from a time on: the same as the least and the greatest of Extremes
// over the span, the earliest of equals, found without working out all of them. Where the water does not turn in the span both are the
// level at its start. Over 19 years, a turn of the moon's node, they are what tide tables call the lowest and the highest astronomical tide
// of these years. Weather is not in it.
func (p *Predictor) Range(from time.Time, years int) (lowest, highest Extreme) {
	to := from.AddDate(years, 0, 0)
	lowest = Extreme{At: from, Level: p.Level(from)}
	highest = Extreme{At: from, Level: lowest.Level, High: true}
	if len(p.waves) == 0 || !from.Before(to) {
		return lowest, highest
	}
	days := p.estimateDays(from, to)
	if e, turns := p.outermost(days, from, to, false); turns {
		lowest = e
	}
	if e, turns := p.outermost(days, from, to, true); turns {
		highest = e
	}
	return lowest, highest
}

// dayEstimate is what a quick look at a day has shown: no low water in it is below minM and no high water above maxM, over the mean level.
type dayEstimate struct {
	number     int64
	minM, maxM float64
}

// reachM is how far above the mean level the day's high water can be, or below it its low water.
func (d dayEstimate) reachM(high bool) float64 {
	if high {
		return d.maxM
	}
	return -d.minM
}

// outermost is the highest high water of the span, or its lowest low. The days are worked out in the order of what the estimates leave
// possible, until none that is left can have a farther one.
func (p *Predictor) outermost(days []dayEstimate, from, to time.Time, high bool) (outermost Extreme, turns bool) {
	sign := -1.0
	if high {
		sign = 1
	}
	days = slices.Clone(days)
	slices.SortFunc(days, func(a, b dayEstimate) int { return cmp.Compare(b.reachM(high), a.reachM(high)) })
	for _, d := range days {
		if turns && d.reachM(high) < sign*float64(outermost.Level-p.meanLevel) {
			break
		}
		for _, e := range p.extremesOf(d.number, from, to) {
			ahead := sign * float64(e.Level-outermost.Level)
			if e.High == high && (!turns || ahead > 0 || ahead == 0 && e.At.Before(outermost.At)) {
				outermost, turns = e, true
			}
		}
	}
	return outermost, turns
}

// extremesOf are the high and low waters of a day, as far as it lies in the span.
func (p *Predictor) extremesOf(number int64, from, to time.Time) []Extreme {
	begin, end := day{number: number}.timeOf(0), day{number: number + 1}.timeOf(0)
	if begin.Before(from) {
		begin = from
	}
	if to.Before(end) {
		end = to
	}
	return p.Extremes(begin.In(from.Location()), end)
}

const (
	// blockDays is how many days an estimate takes as one: amplitudes and phases run nearly straight in it.
	blockDays = 10
	// bowRatio is by how much of an amplitude a wave may stand beside the straight run of its amplitude and phase over a block. The
	// quickest are M1 and L2, which turn with the perigee twice in 3232 days: with the rate of 0.0039 rad a day, a bow of rate² days²/8 =
	// 2e-4, in amplitude and in phase.
	bowRatio = 1e-3
)

// estimateDays looks at every day of a span at the middle of each hour. At a high or low water the level has no slope, and the middle of
// its hour is at most half an hour away, so that it is no farther than the greatest second derivative times half the square of that.
func (p *Predictor) estimateDays(from, to time.Time) []dayEstimate {
	first, _ := dayOf(from)
	last, _ := dayOf(to)
	days := make([]dayEstimate, 0, last-first+blockDays)
	start := p.midnight(first)
	for number := first; number <= last; number += blockDays {
		end := p.midnight(number + blockDays)
		days = p.estimateBlock(days, number, start, end)
		start = end
	}
	return days
}

// estimateBlock adds the days of a block, whose waves are turned on from hour to hour by a product in place of a cosine.
func (p *Predictor) estimateBlock(days []dayEstimate, number int64, start, end []term) []dayEstimate {
	waves := make([]oscillator, len(start))
	errorM := 0.0
	for i, s := range start {
		speedRad := p.waves[i].advanceRad(s.phaseRad, end[i].phaseRad, blockDays) / blockDays
		amplitudeM, growthM := (s.amplitudeM+end[i].amplitudeM)/2, math.Abs(end[i].amplitudeM-s.amplitudeM)/2
		waves[i] = newOscillator(amplitudeM, s.phaseRad+speedRad*halfHour, 2*speedRad*halfHour)
		errorM += growthM + bowRatio*amplitudeM + (amplitudeM+growthM)*speedRad*speedRad*halfHour*halfHour/2
	}
	for d := range int64(blockDays) {
		lo, hi := math.Inf(1), math.Inf(-1)
		for range hours {
			level := 0.0
			for i := range waves {
				level += waves[i].next()
			}
			lo, hi = min(lo, level), max(hi, level)
		}
		days = append(days, dayEstimate{number + d, lo - errorM, hi + errorM})
	}
	return days
}

// halfHour is a share of the day.
const halfHour = 0.5 / hours

// oscillator is a wave that is turned by the same angle from step to step.
type oscillator struct {
	atM, asideM        float64 // the wave, and the same a quarter turn behind
	cosRatio, sinRatio float64 // of the angle of a step
}

func newOscillator(amplitudeM, phaseRad, stepRad float64) oscillator {
	sin, cos := math.Sincos(phaseRad)
	stepSin, stepCos := math.Sincos(stepRad)
	return oscillator{atM: amplitudeM * cos, asideM: amplitudeM * sin, cosRatio: stepCos, sinRatio: stepSin}
}

// next is the wave's level, and turns it on.
func (w *oscillator) next() float64 {
	level := w.atM
	w.atM, w.asideM = w.atM*w.cosRatio-w.asideM*w.sinRatio, w.atM*w.sinRatio+w.asideM*w.cosRatio
	return level
}
