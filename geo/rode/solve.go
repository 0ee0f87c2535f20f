package rode

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// leastLoadN stands for no load: the catenary then differs from a chain that hangs straight down by less than a micrometre.
const leastLoadN = 1e-6

// walked is a stretch of the line walked from its upper end down.
type walked struct {
	hung
	onBedM float64
	lowN   float64 // vertical pull at the lower end; 0 on the bed
}

// walk goes down from a vertical pull at the upper end of parts[from:to]. node parts lie below the buoy's force, -1 for none. Where bed is
// true the line lies on the bed from the place where its vertical pull is used up; not above the buoy, whose lift is more than the weight
// of what hangs between it and the bow, so that it never lets that sag to the bed.
func (r *Rode) walk(from, to int, highN, loadN float64, node int, liftN float64, bed bool) walked {
	return r.walkFor(from, to, highN, loadN, node, liftN, bed, true)
}

// walkFor is walk; along is false where only the rise is asked for.
func (r *Rode) walkFor(from, to int, highN, loadN float64, node int, liftN float64, bed, along bool) walked {
	var w walked
	v := highN
	for i := to - 1; i >= from; i-- {
		p := &r.parts[i]
		length := float64(p.Length)
		if i == node-1 {
			v += liftN
		}
		low := v - p.WeightNPerM*length
		if bed && !r.held[i] && (node < 0 || i < node) && (v < 0 || v == 0 && p.WeightNPerM > 0 || low < 0 && p.WeightNPerM > 0) {
			if hangs := v / p.WeightNPerM; v > 0 && p.WeightNPerM > 0 {
				w.add(p.hang(hangs, 0, v, loadN, along))
				length -= hangs
			}
			w.lie(p, length, loadN)
			for i--; i >= from; i-- {
				w.lie(&r.parts[i], float64(r.parts[i].Length), loadN)
			}
			return w
		}
		w.add(p.hang(length, low, v, loadN, along))
		v = low
	}
	w.lowN = v
	return w
}

func (w *walked) add(h hung) { w.riseM, w.reachM = w.riseM+h.riseM, w.reachM+h.reachM }

// lie lays a length on the bed, pulled by the load alone.
func (w *walked) lie(p *Part, lengthM, loadN float64) {
	w.reachM += lengthM * (1 + p.Stretch.StrainRatio(loadN))
	w.onBedM += lengthM
}

// meets finds the vertical pull at the upper end with which parts[from:to] rise by riseM. ok is false when they are too short at any pull.
func (r *Rode) meets(from, to int, riseM, loadN float64, node int, liftN float64, bed bool) (highN float64, ok bool) {
	f := func(v float64) float64 { return r.walkFor(from, to, v, loadN, node, liftN, bed, false).riseM - riseM }
	lengthM, weightN := 0.0, math.Abs(liftN)+loadN
	for _, p := range r.parts[from:to] {
		lengthM += float64(p.Length)
		weightN += math.Abs(p.WeightNPerM) * float64(p.Length)
	}
	// The ends of the bracket: from where everything hangs down to where it is drawn up all but straight.
	a, b := -weightN, weightN
	if bed && node < 0 {
		a = 0
	}
	fa, fb := f(a), f(b)
	for n := 0; fa > 0 && n < 60; n++ {
		a *= 2
		fa = f(a)
		if a == 0 {
			return 0, true
		}
	}
	for n := 0; fb < 0; n++ {
		if n == 60 {
			return b, fb > -1e-9*lengthM
		}
		a, fa = b, fb
		b *= 2
		fb = f(b)
	}
	return bracketed(f, a, fa, b, fb), true
}

// bracketed finds where f crosses 0 between a and b, by the secant rule with Anderson and Björck's weights (BIT 13, 1973), which keeps the
// bracket. A slack rope makes f a step of a few millinewtons in a bracket of kilonewtons: where the secant does not halve the bracket it is
// halved.
func bracketed(f func(float64) float64, a, fa, b, fb float64) float64 {
	halve := false
	for range 300 {
		width := math.Abs(b - a)
		if fb == 0 || width <= 1e-15*math.Max(math.Abs(a), math.Abs(b)) {
			return b
		}
		if fa == 0 {
			return a
		}
		c := (a*fb - b*fa) / (fb - fa)
		if halve || !(math.Min(a, b) < c && c < math.Max(a, b)) {
			c = a + (b-a)/2
		}
		fc := f(c)
		if math.Abs(fc) < 1e-12 {
			return c
		}
		if math.Signbit(fc) != math.Signbit(fb) {
			a, fa = b, fb
		} else if m := 1 - fc/fb; m > 0 {
			fa *= m
		} else {
			fa /= 2
		}
		b, fb = c, fc
		halve = math.Abs(b-a) > width/2
	}
	return b
}

// Place is where a buoy lies.
type Place string

// The places of a buoy.
const (
	Afloat Place = "afloat" // at the surface
	Under  Place = "under"  // drawn under by the line
	Lifted Place = "lifted" // hanging clear of the water
)

// found is the equilibrium under one load.
type found struct {
	whole      walked
	bowN       float64 // vertical pull at the bow
	place      Place
	liftN      float64
	buoyReachM float64
	buoyRiseM  float64
	wantsN     float64 // lift that would keep a buoy at the surface that is drawn under; 0: none would
}

// solve finds the equilibrium. Two spans meet at a buoy that floats; one that does not is a force in the line.
func (r *Rode) solve(loadN float64) (found, error) {
	loadN = max(loadN, leastLoadN)
	n := len(r.parts)
	if r.buoy == nil {
		return r.forced(loadN, "", 0, n, -1)
	}
	below, most, own := r.buoy.Below, float64(r.buoy.Lift), -r.buoy.WeightN
	depthM := float64(r.water.Depth)
	lowTop, lowOK := r.meets(0, below, depthM, loadN, -1, 0, true)
	highTop, highOK := 0.0, true
	lift := lowTop
	if below < n {
		highTop, highOK = r.meets(below, n, float64(r.water.Bow), loadN, -1, 0, false)
		if highOK {
			lift -= r.walk(below, n, highTop, loadN, -1, 0, false).lowN
		}
	}
	if !lowOK {
		lift = math.Inf(1)
	}
	place, wantsN := Afloat, 0.0
	switch {
	case !highOK || lift < own:
		place, lift = Lifted, own
	case lift > most:
		if lowOK {
			wantsN = lift
		}
		place, lift = Under, most
	}
	if place == Under && most < r.aboveN { // it cannot even hold its pennant up: it lies on the bed, and lifts nothing
		f, err := r.forced(loadN, place, 0, below, -1)
		f.wantsN = wantsN
		return f, err
	}
	if place == Afloat {
		lower := r.walk(0, below, lowTop, loadN, -1, 0, true)
		upper := walked{}
		if below < n {
			upper = r.walk(below, n, highTop, loadN, -1, 0, false)
		}
		whole := lower
		whole.add(upper.hung)
		return found{whole, highTop, place, lift, lower.reachM, lower.riseM, 0}, nil
	}
	if below == n { // the buoy is the upper end: it takes what it can carry
		w := r.walk(0, n, lift, loadN, -1, 0, true)
		return found{w, 0, place, lift, w.reachM, w.riseM, wantsN}, nil
	}
	f, err := r.forced(loadN, place, lift, below, below)
	f.wantsN = wantsN
	return f, err
}

// forced is the equilibrium of the line as one, with no buoy or with one that does not float: below parts lie under it, and at node it is a
// force in the line, or at -1 none.
func (r *Rode) forced(loadN float64, place Place, liftN float64, below, node int) (found, error) {
	n := len(r.parts)
	bow, ok := r.meets(0, n, r.riseM, loadN, node, liftN, true)
	if !ok {
		return found{}, fmt.Errorf("%w: the line does not reach the bow under this load", geo.ErrShortRode)
	}
	whole := r.walk(0, n, bow, loadN, node, liftN, true)
	upper := r.walk(below, n, bow, loadN, -1, 0, node < 0)
	return found{whole, bow, place, liftN, whole.reachM - upper.reachM, whole.riseM - upper.riseM, 0}, nil
}

// under is the equilibrium under a load that has to be a number and not below 0.
func (r *Rode) under(load geo.Newtons) (found, error) {
	if !(load >= 0) || math.IsInf(float64(load), 0) {
		return found{}, fmt.Errorf("%w: a load of %g N", geo.ErrInvalid, float64(load))
	}
	return r.solve(float64(load))
}

// Reach is how far the bow lies from the anchor, over the ground, under a horizontal load in newtons. It grows with the load.
func (r *Rode) Reach(load geo.Newtons) (geo.Metres, error) {
	f, err := r.under(load)
	return geo.Metres(f.whole.reachM), err
}

// Load is the horizontal load that holds the bow at a reach: 0 up to the slack reach, geo.ErrInvalid beyond what any load can draw it to.
func (r *Rode) Load(reach geo.Metres) (geo.Newtons, error) {
	const most = 1e12 // N, beyond any tackle
	at := func(logN float64) float64 {
		f, err := r.solve(math.Exp(logN))
		if err != nil {
			return math.NaN()
		}
		return f.whole.reachM - float64(reach)
	}
	a, b := math.Log(leastLoadN), math.Log(most)
	fa, fb := at(a), at(b)
	switch {
	case math.IsNaN(fa) || math.IsNaN(fb):
		return 0, fmt.Errorf("%w: a reach of %.2f m", geo.ErrInvalid, float64(reach))
	case fa >= 0:
		return 0, nil
	case fb < 0:
		return 0,
			fmt.Errorf("%w: no load draws the bow %.2f m from the anchor; %.2f m is taut", geo.ErrInvalid, float64(reach),
				float64(reach)+fb)
	}
	return geo.Newtons(math.Exp(bracketed(at, a, fa, b, fb))), nil
}
