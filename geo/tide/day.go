package tide

import (
	"math"
	"time"

	"swingroom/geo"
)

// secondsPerDay of the mean solar day, in which SP98 counts. UTC stands for Greenwich mean time: they differ by less
// than 0.9 s (ITU-R TF.460-6), in which the tide of Boston moves by 0.2 mm.
const secondsPerDay = 86400

// day is the tide of one UTC day. Within it amplitude and phase of each constituent run straight from their values at
// the midnight before to those at the midnight after. So the level has no jump at any midnight, and no year's end is
// special; V is straight within a day to 1e-9 degrees, u and f (whose rates turn over years) to 1e-3 degrees and 1e-5.
type day struct {
	number int64 // days since 1970-01-01
	terms  []term
}

// term is (amplitudeM + growthM x) cos(phaseRad + speedRad x), with x the share of the day that has gone.
type term struct {
	amplitudeM float64
	growthM    float64 // in the day
	phaseRad   float64
	speedRad   float64 // in the day
}

// dayOf is the number of the UTC day of a time, and the share of it that has gone.
func dayOf(at time.Time) (number int64, shareRatio float64) {
	second := at.Unix()
	number = second / secondsPerDay
	if second%secondsPerDay < 0 { // division rounds toward zero, days do not
		number--
	}
	return number, (float64(second-number*secondsPerDay) + float64(at.Nanosecond())/1e9) / secondsPerDay
}

// timeOf is the time of a share of a day, to the second.
func (d day) timeOf(shareRatio float64) time.Time {
	return time.Unix(d.number*secondsPerDay+int64(math.Round(shareRatio*secondsPerDay)), 0)
}

func (p *Predictor) day(number int64) day {
	return p.between(number, p.midnight(number), p.midnight(number+1))
}

// midnight is what each of the predictor's waves is like at the start of a day; its angles are known but for whole turns.
func (p *Predictor) midnight(number int64) []term {
	sky := longitudesAt(number)
	moon := orbitAt(sky)
	terms := make([]term, len(p.waves))
	for i, w := range p.waves {
		fRatio, uRad := w.node(moon)
		terms[i] = term{amplitudeM: fRatio * w.amplitudeM, phaseRad: rad(w.argument(sky)) + uRad - w.phaseRad}
	}
	return terms
}

// between is the day from its waves at the midnights before and after.
func (p *Predictor) between(number int64, start, end []term) day {
	d := day{number: number, terms: make([]term, len(start))}
	for i, s := range start {
		d.terms[i] = term{
			amplitudeM: s.amplitudeM, growthM: end[i].amplitudeM - s.amplitudeM,
			phaseRad: s.phaseRad, speedRad: p.waves[i].advanceRad(s.phaseRad, end[i].phaseRad, 1),
		}
	}
	return d
}

// advanceRad is how far a wave turns over some days from one phase to another, which are known but for whole turns: of all that would fit
// the one nearest to what its mean speed makes.
func (w *local) advanceRad(fromRad, toRad, days float64) float64 {
	expectedRad := rad(w.dailyDeg()) * days
	return expectedRad + math.Remainder(toRad-fromRad-expectedRad, 2*math.Pi)
}

// level above the mean level.
func (d day) level(shareRatio float64) geo.Metres {
	sum := 0.0
	for i := range d.terms {
		t := &d.terms[i]
		sum += (t.amplitudeM + t.growthM*shareRatio) * math.Cos(t.phaseRad+t.speedRad*shareRatio)
	}
	return geo.Metres(sum)
}

// slope is the first derivative of the level by the share of the day, curvature the second.
func (d day) slope(shareRatio float64) (slopeM, curvatureM float64) {
	for i := range d.terms {
		t := &d.terms[i]
		sin, cos := math.Sincos(t.phaseRad + t.speedRad*shareRatio)
		size := t.amplitudeM + t.growthM*shareRatio
		slopeM += t.growthM*cos - size*t.speedRad*sin
		curvatureM -= (2*t.growthM*sin + size*t.speedRad*cos) * t.speedRad
	}
	return slopeM, curvatureM
}

// maxDerivatives are what the second and the third derivative of the level by the share of the day never exceed.
func (d day) maxDerivatives() (secondM, thirdM float64) {
	for _, t := range d.terms {
		speed, size := math.Abs(t.speedRad), math.Max(t.amplitudeM, t.amplitudeM+t.growthM)
		secondM += (2*math.Abs(t.growthM) + size*speed) * speed
		thirdM += (3*math.Abs(t.growthM) + size*speed) * speed * speed
	}
	return secondM, thirdM
}
