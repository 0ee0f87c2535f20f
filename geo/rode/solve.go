package rode

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// minLoadN stands for no load: the catenary then differs from a chain that hangs straight down by less than a micrometre.
const minLoadN = 1e-6

// span is the parts of a line that are solved as one.
type span struct {
	from, to int     // parts[from:to]
	below    int     // parts that lie below the buoy, which is a force in the span; noBuoy where there is none
	liftN    float64 // of that buoy
	// bed is true where the line can lie on the bed, from the place where its vertical pull is used up. Not above the buoy, whose lift is
	// more than the weight of what hangs between it and the bow, so that it never lets that sag to the bed.
	bed bool
}

const noBuoy = -1

// walked is a span walked from its upper end down.
type walked struct {
	hung
	onBedM float64
	lowN   float64 // vertical pull at the lower end; 0 on the bed
}

// walk goes down from a vertical pull at the upper end of a span. along is false where only the rise is asked for.
func (r *Rode) walk(s *span, highN, loadN float64, along bool) walked {
	var w walked
	v := highN
	for i := s.to - 1; i >= s.from; i-- {
		p := &r.parts[i]
		length := float64(p.Length)
		if i == s.below-1 {
			v += s.liftN
		}
		low := v - p.WeightNPerM*length
		if s.bed && r.touchesBed(i, s.below, v, low) {
			if hangs := v / p.WeightNPerM; v > 0 && p.WeightNPerM > 0 {
				w.add(p.hang(hangs, 0, v, loadN, along))
				length -= hangs
			}
			w.lie(p, length, loadN)
			for i--; i >= s.from; i-- {
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

// touchesBed tells whether a part comes down to the bed between the vertical pulls at its ends.
func (r *Rode) touchesBed(i, below int, highN, lowN float64) bool {
	return !r.held[i] && (below < 0 || i < below) && (highN < 0 || r.parts[i].WeightNPerM > 0 && (highN == 0 || lowN < 0))
}

func (w *walked) add(h hung) { w.riseM, w.reachM = w.riseM+h.riseM, w.reachM+h.reachM }

// lie lays a length on the bed, pulled by the load alone.
func (w *walked) lie(p *Part, lengthM, loadN float64) {
	w.reachM += lengthM * (1 + p.Stretch.StrainRatio(loadN))
	w.onBedM += lengthM
}

// topPull finds the vertical pull at the upper end with which a span rises by riseM. ok is false when it is too short at any pull.
func (r *Rode) topPull(s *span, riseM, loadN float64) (highN float64, ok bool) {
	const doublings = 60 // 2^60 times the first bracket is beyond any pull
	f := func(v float64) float64 { return r.walk(s, v, loadN, false).riseM - riseM }
	lengthM, weightN := r.size(s)
	weightN += math.Abs(s.liftN) + loadN
	// The ends of the bracket: from where everything hangs down to where it is drawn up all but straight.
	a, b := -weightN, weightN
	if s.bed && s.below < 0 {
		a = 0
	}
	fa, fb := f(a), f(b)
	for n := 0; fa > 0 && n < doublings; n++ {
		a *= 2
		fa = f(a)
		if a == 0 {
			return 0, true
		}
	}
	for n := 0; fb < 0; n++ {
		if n == doublings {
			return b, fb > -1e-9*lengthM
		}
		a, fa = b, fb
		b *= 2
		fb = f(b)
	}
	return bracketed(f, a, fa, b, fb), true
}

// size is the length of a span, and all that its parts weigh or float with.
func (r *Rode) size(s *span) (lengthM, weightN float64) {
	for i := s.from; i < s.to; i++ {
		p := &r.parts[i]
		lengthM += float64(p.Length)
		weightN += math.Abs(p.WeightNPerM) * float64(p.Length)
	}
	return lengthM, weightN
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

// equilibrium is the line under one load.
type equilibrium struct {
	whole      walked
	bowN       float64 // vertical pull at the bow
	place      Place
	liftN      float64
	buoyReachM float64
	buoyRiseM  float64
	neededN    float64 // lift that would keep a buoy at the surface that is drawn under; 0: none would
}

// solve finds the equilibrium. Two spans meet at a buoy that floats; one that does not is a force in the line.
func (r *Rode) solve(loadN float64) (equilibrium, error) {
	loadN = max(loadN, minLoadN)
	n := len(r.parts)
	if r.buoy == nil {
		return r.solveAsOne(loadN, n, span{to: n, below: noBuoy, bed: true})
	}
	afloat := r.solveAfloat(loadN)
	place, liftN, neededN := r.placeOf(&afloat)
	var e equilibrium
	var err error
	switch {
	case place == Afloat:
		return r.joined(&afloat, loadN), nil
	case place == Under && liftN < r.aboveN: // it cannot even hold its pennant up: it lies on the bed, and lifts nothing
		liftN = 0
		e, err = r.solveAsOne(loadN, r.buoy.Below, span{to: n, below: noBuoy, bed: true})
	default:
		e, err = r.solveWithForce(loadN, liftN)
	}
	e.place, e.liftN, e.neededN = place, liftN, neededN
	return e, err
}

// solveWithForce is the equilibrium with a buoy that is not at the surface and pulls upwards by so much, or downwards below 0.
func (r *Rode) solveWithForce(loadN, liftN float64) (equilibrium, error) {
	n, below := len(r.parts), r.buoy.Below
	if below == n { // the buoy is the upper end: it takes what it can carry
		w := r.walk(&span{to: n, below: noBuoy, bed: true}, liftN, loadN, true)
		return equilibrium{whole: w, buoyReachM: w.reachM, buoyRiseM: w.riseM}, nil
	}
	return r.solveAsOne(loadN, below, span{to: n, below: below, liftN: liftN, bed: true})
}

// afloat are the spans on both sides of a buoy at the surface.
type afloat struct {
	lowOK, highOK bool    // the span is long enough
	lowN, highN   float64 // vertical pull at its upper end
	liftN         float64 // that the buoy has to give: what the lower span asks for less what the upper one draws it up
}

// solveAfloat solves both spans as with the buoy at the surface.
func (r *Rode) solveAfloat(loadN float64) (f afloat) {
	low, high := r.spansAtBuoy()
	f.lowN, f.lowOK = r.topPull(&low, float64(r.water.Depth), loadN)
	f.highOK, f.liftN = true, f.lowN
	if high.from < high.to {
		f.highN, f.highOK = r.topPull(&high, float64(r.water.Bow), loadN)
		if f.highOK {
			f.liftN -= r.walk(&high, f.highN, loadN, false).lowN
		}
	}
	if !f.lowOK {
		f.liftN = math.Inf(1)
	}
	return f
}

// spansAtBuoy are the parts below the buoy and those above it, which hang in air; none where the buoy is the upper end.
func (r *Rode) spansAtBuoy() (low, high span) {
	below := r.buoy.Below
	return span{to: below, below: noBuoy, bed: true}, span{from: below, to: len(r.parts), below: noBuoy}
}

// placeOf tells where the buoy lies, what it lifts there, and what it would have to lift to stay at the surface where it goes under
// although the water would let it float.
func (r *Rode) placeOf(f *afloat) (place Place, liftN, neededN float64) {
	maxN, ownN := float64(r.buoy.Lift), -r.buoy.WeightN
	switch {
	case !f.highOK || f.liftN < ownN:
		return Lifted, ownN, 0
	case f.liftN <= maxN:
		return Afloat, f.liftN, 0
	case f.lowOK:
		return Under, maxN, f.liftN
	}
	return Under, maxN, 0
}

// joined is the whole line with the buoy at the surface.
func (r *Rode) joined(f *afloat, loadN float64) equilibrium {
	low, high := r.spansAtBuoy()
	whole := r.walk(&low, f.lowN, loadN, true)
	e := equilibrium{bowN: f.highN, place: Afloat, liftN: f.liftN, buoyReachM: whole.reachM, buoyRiseM: whole.riseM}
	if high.from < high.to {
		whole.add(r.walk(&high, f.highN, loadN, true).hung)
	}
	e.whole = whole
	return e
}

// solveAsOne is the equilibrium of the line as one span, with no buoy or with one that does not float. below is how many parts lie under
// the buoy, all of them where there is none.
func (r *Rode) solveAsOne(loadN float64, below int, s span) (equilibrium, error) {
	bowN, ok := r.topPull(&s, r.riseM, loadN)
	if !ok {
		return equilibrium{}, fmt.Errorf("%w: the line does not reach the bow under this load", geo.ErrShortRode)
	}
	whole := r.walk(&s, bowN, loadN, true)
	upper := r.walk(&span{from: below, to: s.to, below: noBuoy, bed: s.below < 0}, bowN, loadN, true)
	return equilibrium{whole: whole, bowN: bowN, buoyReachM: whole.reachM - upper.reachM, buoyRiseM: whole.riseM - upper.riseM}, nil
}

// under is the equilibrium under a load that has to be a number and not below 0.
func (r *Rode) under(load geo.Newtons) (equilibrium, error) {
	if !(load >= 0) || math.IsInf(float64(load), 0) {
		return equilibrium{}, fmt.Errorf("%w: a load of %g N", geo.ErrInvalid, float64(load))
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
	const maxLoadN = 1e12 // beyond any tackle
	at := func(logN float64) float64 {
		f, err := r.solve(math.Exp(logN))
		if err != nil {
			return math.NaN()
		}
		return f.whole.reachM - float64(reach)
	}
	a, b := math.Log(minLoadN), math.Log(maxLoadN)
	fa, fb := at(a), at(b)
	switch {
	case math.IsNaN(fa) || math.IsNaN(fb):
		return 0, fmt.Errorf("%w: a reach of %.2f m", geo.ErrInvalid, float64(reach))
	case fa >= 0:
		return 0, nil
	case fb < 0:
		return 0, fmt.Errorf("%w: no load draws the bow %.2f m from the anchor; %.2f m is taut", geo.ErrInvalid, float64(reach),
			float64(reach)+fb)
	}
	return geo.Newtons(math.Exp(bracketed(at, a, fa, b, fb))), nil
}
