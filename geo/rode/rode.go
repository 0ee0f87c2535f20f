// Package rode is the statics of the line between anchor and bow: under a horizontal load, how far the bow lies from the anchor,
// how the line hangs, what lies on the bed and how hard each part is pulled.
//
// Each part hangs as a catenary between its ends. With H the horizontal load, w the weight in water per metre, L the length,
// and Vl and Vu the vertical pulls at its lower and upper end (Vu = Vl + w L, T = sqrt(H² + V²)):
//
//	reach = (H/w) [asinh(Vu/H) - asinh(Vl/H)]     rise = (Tu - Tl) / w
//
// Source: the standard piecewise catenary, as in the closed forms of MIT 2.019, lecture 3 (28 March 2011), for one part. They are written
// here so that they hold their digits for a heavy part, a weightless one and one that floats.
package rode

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// Part is one part of a line.
type Part struct {
	Name        string     // for messages: "ground chain"
	Length      geo.Metres // not stretched
	WeightNPerM float64    // weight in the water per metre of its length, newtons; below 0 it floats
	Stretch     Stretch    // nil: it does not stretch
}

// Buoy is a float in the line. It stays at the surface while it can: it goes under when the line asks for more than Lift,
// and hangs clear of the water when the line draws it up.
type Buoy struct {
	Below   int         // how many parts lie below it
	Lift    geo.Newtons // the most that it carries besides itself: wholly under water
	WeightN float64     // its own weight in air
}

// Line is the parts from the anchor up, with the buoy where there is one. A floating part that comes up to the bow lies on the surface: it
// pulls level there.
type Line struct {
	Parts []Part
	Buoy  *Buoy
}

// Water says what the line hangs in.
type Water struct {
	Depth geo.Metres // over the anchor, at the level of the day
	Bow   geo.Metres // height of the bow attachment over the water
}

// Rode is a line made ready to be asked. It never changes, so that many may ask it at once.
type Rode struct {
	parts []Part
	buoy  *Buoy
	water Water
	riseM float64
	// aboveN is the weight of what hangs between the buoy and the bow.
	aboveN float64
	// held is true for a part under which, or as which, one floats: where it sags it hangs between the two, and does not lie on the bed.
	held []bool
}

// New makes a line in water of a depth ready. who names the mooring in errors, which are geo.ErrShortRode, or geo.ErrInvalid
// naming the part. A bed that dries counts as no water.
func New(who string, line Line, water Water) (*Rode, error) {
	water.Depth = max(water.Depth, 0)
	if err := line.validate(who, water); err != nil {
		return nil, err
	}
	r := &Rode{parts: line.Parts, buoy: line.Buoy, water: water, riseM: float64(water.Depth + water.Bow),
		held: make([]bool, len(line.Parts))}
	var sum geo.Metres
	for i, p := range line.Parts {
		if line.Buoy != nil && i >= line.Buoy.Below {
			r.aboveN += p.WeightNPerM * float64(p.Length)
		}
		r.held[i] = p.WeightNPerM < 0 || i > 0 && r.held[i-1]
		sum += p.Length
	}
	if float64(sum) < r.riseM {
		words := geo.Tell("mooring %s: %v: %s of line for a rise of %s from bed to bow", who, geo.ErrShortRode, sum, geo.Metres(r.riseM))
		return nil, &geo.Told{Kind: geo.ErrShortRode, Words: words}
	}
	return r, nil
}

// validate reports the first thing in a line and its water with which nothing can be worked out.
func (l *Line) validate(who string, water Water) error {
	if !water.Depth.Finite() || !(water.Bow >= 0) || !water.Bow.Finite() {
		return invalid(who, "bow_height_m", fmt.Sprintf("%g m", float64(water.Bow)),
			"depth and bow height have to be numbers, and the bow over the water")
	}
	if len(l.Parts) == 0 {
		return invalid(who, "tackle", "", "a line needs at least one part")
	}
	hasWeight := false
	for i := range l.Parts {
		if err := l.validatePart(who, i); err != nil {
			return err
		}
		hasWeight = hasWeight || l.Parts[i].WeightNPerM != 0
	}
	if !hasWeight {
		return invalid(who, l.Parts[0].Name, "0 N/m", "at least one part needs a weight in water, or the line has no shape without a load")
	}
	if l.Buoy != nil && !l.Buoy.valid(len(l.Parts)) {
		return invalid(who, "buoy", "", "a buoy lies above at least one part, and its lift and weight are not below 0")
	}
	return nil
}

func (l *Line) validatePart(who string, i int) error {
	p := &l.Parts[i]
	switch {
	case l.Buoy != nil && i >= l.Buoy.Below && p.WeightNPerM < 0:
		return invalid(who, p.Name, fmt.Sprintf("%g N/m", p.WeightNPerM), "above the buoy it hangs in air and has a weight")
	case !(p.Length > 0) || !p.Length.Finite():
		return invalid(who, p.Name, fmt.Sprintf("%g m long", float64(p.Length)), "a length above 0 is expected")
	case math.IsNaN(p.WeightNPerM) || math.IsInf(p.WeightNPerM, 0):
		return invalid(who, p.Name, fmt.Sprintf("%g N/m", p.WeightNPerM), "a weight in water is expected")
	}
	if err := p.Stretch.valid(); err != nil {
		return invalid(who, p.Name, "", err.Error())
	}
	return nil
}

func invalid(who, field, got, want string) error {
	return &geo.FieldError{Noun: "mooring", Name: who, Field: field, Got: got, Want: want, Kind: geo.ErrInvalid}
}

// valid tells whether a buoy can lie in a line of so many parts.
func (b *Buoy) valid(parts int) bool {
	return b.Below >= 1 && b.Below <= parts && b.Lift >= 0 && b.WeightN >= 0 && !math.IsInf(float64(b.Lift), 0)
}

// Stretch is how a rope or an elastic line lengthens under pull: straight between the points, from no strain at no pull, and beyond the
// last point as steep as before it.
type Stretch []geo.StretchPoint

func (s Stretch) valid() error {
	var before geo.StretchPoint
	for _, p := range s {
		if !(p.PullN > before.PullN) || !(p.StrainRatio >= before.StrainRatio) || math.IsInf(p.PullN, 0) || math.IsInf(p.StrainRatio, 0) {
			return fmt.Errorf("its stiffness curve has to rise: pulls above 0 in order, strains never falling")
		}
		before = p
	}
	return nil
}

// piece is the straight piece of the curve in which a pull lies: strain = offset + slope * pull.
func (s Stretch) piece(pullN float64) (offsetRatio, slopePerN float64) {
	if len(s) == 0 {
		return 0, 0
	}
	var a geo.StretchPoint
	for i, b := range s {
		if pullN <= b.PullN || i == len(s)-1 {
			slopePerN = (b.StrainRatio - a.StrainRatio) / (b.PullN - a.PullN)
			return a.StrainRatio - slopePerN*a.PullN, slopePerN
		}
		a = b
	}
	return 0, 0
}

// StrainRatio is the lengthening at a pull.
func (s Stretch) StrainRatio(pullN float64) float64 {
	offset, slope := s.piece(pullN)
	return offset + slope*pullN
}
