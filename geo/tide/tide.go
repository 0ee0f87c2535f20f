// Package tide predicts the astronomical tide of a place from its harmonic constants.
//
// The method is that of SP98: P. Schureman, Manual of Harmonic Analysis and Prediction of Tides, US Coast and Geodetic
// Survey (now NOAA) Special Publication 98, revised 1940, printed with corrections 1958; the numbers of its
// tables and formulas are given where they are used. The level above chart datum is
//
//	h(t) = Z0 + sum over the constituents of f H cos(V + u - kappa)
//
// with H the amplitude (m) and kappa the Greenwich phase lag of the station's constants, V the equilibrium argument at
// Greenwich, and f and u the factor and angle by which the moon's node and perigee, over 18.6 and 8.85 years, change
// amplitude and phase.
//
// Of SP98 the print was not at hand: its formulas and figures are as several public programs quote them alike, and the
// tests hold the outcome against another program and against published tables.
//
// It is written here since no kept Go library was found: the one for harmonic prediction that was (MIT, 2023) itself advises
// against use in navigation.
package tide

import (
	"math"
	"time"

	"swingroom/geo"
)

// Caution belongs beside every level that this package predicts.
const Caution = "Predicted from harmonic constants: weather (wind, air pressure, surge) is not in it, and the water can stand " +
	"higher or lower."

// Predictor predicts the tide of one place. It never changes, so that many may use it at once.
type Predictor struct {
	meanLevel geo.Metres
	waves     []local
}

// local is a constituent with what the station's constants say of it.
type local struct {
	wave
	amplitudeM float64
	phaseRad   float64
}

// New makes a predictor. Error: that of t.Validate() (geo.ErrInvalid).
func New(t geo.Tide) (*Predictor, error) {
	if err := t.Validate(); err != nil {
		return nil, err
	}
	p := &Predictor{meanLevel: t.MeanLevel}
	for _, c := range t.Constituents {
		if c.Amplitude == 0 { // many of the 37 at many stations: left out, they take no time later
			continue
		}
		p.waves = append(p.waves, local{wave: waves[c.Name], amplitudeM: float64(c.Amplitude), phaseRad: rad(c.PhaseDeg)})
	}
	return p, nil
}

// Level is the predicted water level above the harbor's chart datum. Weather is not in it.
func (p *Predictor) Level(at time.Time) geo.Metres {
	number, shareRatio := dayOf(at)
	return p.meanLevel + p.day(number).level(shareRatio)
}

// Levels are the n levels at from, from+step, from+2*step and so on, for curves: what changes slowly is worked out once
// a day, so that a level costs a fraction of what Level costs.
func (p *Predictor) Levels(from time.Time, step time.Duration, n int) []geo.Metres {
	if n <= 0 {
		return nil
	}
	levels := make([]geo.Metres, n)
	var today day
	for i := range levels {
		number, shareRatio := dayOf(from.Add(time.Duration(i) * step))
		if i == 0 || number != today.number {
			today = p.day(number)
		}
		levels[i] = p.meanLevel + today.level(shareRatio)
	}
	return levels
}

func rad(angleDeg float64) float64 { return angleDeg * math.Pi / 180 }
