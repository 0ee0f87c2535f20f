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
	days := p.glances(from, to)
	if e, turns := p.farthest(days, from, to, false); turns {
		lowest = e
	}
	if e, turns := p.farthest(days, from, to, true); turns {
		highest = e
	}
	return lowest, highest
}

// glance is what a quick look at a day has shown: no low water in it is below leastM and no high water above mostM, over the mean level.
type glance struct {
	number        int64
	leastM, mostM float64
}

// farthest is the highest high water of the span, or its lowest low. The days are looked at closely in the order of what a glance leaves
// possible, until none that is left can have a farther one.
func (p *Predictor) farthest(days []glance, from, to time.Time, high bool) (farthest Extreme, turns bool) {
	sign := -1.0
	reachM := func(d glance) float64 { return -d.leastM }
	if high {
		sign = 1
		reachM = func(d glance) float64 { return d.mostM }
	}
	days = slices.Clone(days)
	slices.SortFunc(days, func(a, b glance) int { return cmp.Compare(reachM(b), reachM(a)) })
	for _, d := range days {
		if turns && reachM(d) < sign*float64(farthest.Level-p.meanLevel) {
			break
		}
		begin, end := day{number: d.number}.timeOf(0), day{number: d.number + 1}.timeOf(0)
		if begin.Before(from) {
			begin = from
		}
		if to.Before(end) {
			end = to
		}
		for _, e := range p.Extremes(begin.In(from.Location()), end) {
			ahead := sign * float64(e.Level-farthest.Level)
			if e.High == high && (!turns || ahead > 0 || ahead == 0 && e.At.Before(farthest.At)) {
				farthest, turns = e, true
			}
		}
	}
	return farthest, turns
}

const (
	// block is how many days the quick look takes as one: amplitudes and phases run nearly straight in it.
	block = 10
	// bowed is by how much of an amplitude a wave may stand beside the straight run of its amplitude and phase over a block. The quickest
	// are M1 and L2, which turn with the perigee twice in 3232 days: with the rate of 0.0039 rad a day, a bow of rate² block²/8 = 2e-4, in
	// amplitude and in phase.
	bowed = 1e-3
)

// glances looks at every day of a span at the middle of each hour. At a high or low water the level has no slope, and the middle of its
// hour is at most half an hour away, so that it is no farther than the greatest bend times half the square of that.
func (p *Predictor) glances(from, to time.Time) []glance {
	first, _ := dayOf(from)
	last, _ := dayOf(to)
	days := make([]glance, 0, last-first+block)
	start := p.midnight(first)
	for number := first; number <= last; number += block {
		end := p.midnight(number + block)
		days = p.glanceBlock(days, number, start, end)
		start = end
	}
	return days
}

// glanceBlock adds the days of a block, whose waves are turned on from hour to hour by a product in place of a cosine.
func (p *Predictor) glanceBlock(days []glance, number int64, start, end []term) []glance {
	const halfHour = 0.5 / hours // as a share of the day
	waves := make([]turning, len(start))
	slackM := 0.0
	for i, s := range start {
		expectedRad := rad(p.waves[i].dailyDeg()) * block
		speedRad := (expectedRad + math.Remainder(end[i].phaseRad-s.phaseRad-expectedRad, 2*math.Pi)) / block
		amplitudeM, growthM := (s.amplitudeM+end[i].amplitudeM)/2, math.Abs(end[i].amplitudeM-s.amplitudeM)/2
		sin, cos := math.Sincos(s.phaseRad + speedRad*halfHour)
		stepSin, stepCos := math.Sincos(2 * speedRad * halfHour)
		waves[i] = turning{atM: amplitudeM * cos, asideM: amplitudeM * sin, cosRatio: stepCos, sinRatio: stepSin}
		slackM += growthM + bowed*amplitudeM + (amplitudeM+growthM)*speedRad*speedRad*halfHour*halfHour/2
	}
	for d := range int64(block) {
		least, most := math.Inf(1), math.Inf(-1)
		for range hours {
			level := 0.0
			for i := range waves {
				level += waves[i].next()
			}
			least, most = min(least, level), max(most, level)
		}
		days = append(days, glance{number + d, least - slackM, most + slackM})
	}
	return days
}

// turning is a wave that is turned by the same angle from step to step.
type turning struct {
	atM, asideM        float64 // the wave, and the same a quarter turn behind
	cosRatio, sinRatio float64 // of the angle of a step
}

// next is the wave's level, and turns it on.
func (w *turning) next() float64 {
	level := w.atM
	w.atM, w.asideM = w.atM*w.cosRatio-w.asideM*w.sinRatio, w.atM*w.sinRatio+w.asideM*w.cosRatio
	return level
}
