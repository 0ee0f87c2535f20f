package swing

import (
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// stretchBound is a line with rope in it under a load, of which the pull in the rope is bounded.
//
// Along the line the slope sin θ has the mean h/L', L' being its length as it is stretched: so somewhere it is no more than h/L₁, L₁ being
// the length that the load alone stretches it to, and there the vertical pull is no more than H·h/X₁ with X₁ = sqrt(L₁² - h²). From there
// to any other place it grows by no more than all that the line weighs or floats with, and by what the buoy lifts or weighs: V <= H·h/X₁ +
// W. The higher the water the more, so h is that at the high level. A buoy that stays afloat gives another bound, without its lift: the
// part below it is no steeper at its foot than its own rise D over its own length.
type stretchBound struct {
	ropes    []rope
	loadN    float64
	weightN  float64 // of all parts, floating ones too
	lengthM  float64
	buoyN    float64 // its own weight
	liftN    float64 // the most that it lifts besides; at UnlimitedLift or above it: not known
	belowM   float64 // length of what lies below the buoy; 0: no buoy
	lowRopes []rope  // below the buoy
}

// addLine takes what weighs on it. missing names what is not on record for that.
func (s *stretchBound) addLine(m *geo.Mooring, own geo.Lines) (missing []string) {
	filled, missing := s.filled(m)
	t, err := Line(&filled, own)
	if err != nil {
		for _, fe := range geo.FieldErrors(err) {
			missing = append(missing, fe.Field)
		}
		s.weightN = math.Inf(1)
		return missing
	}
	for i, p := range t.Line.Parts {
		s.weightN += math.Abs(p.WeightNPerM) * float64(p.Length)
		s.lengthM += float64(p.Length)
		if b := t.Line.Buoy; b != nil && i < b.Below {
			s.belowM += float64(p.Length)
		}
	}
	s.addUnknownRopes()
	s.addBuoy(&t)
	return missing
}

// filled is the mooring with nylon where a rope's material is not known, so that it has a line; missing names these records.
func (s *stretchBound) filled(m *geo.Mooring) (filled geo.Mooring, missing []string) {
	filled = *m
	for i := range s.ropes {
		if r := &s.ropes[i]; r.unknown() {
			if len(missing) == 0 {
				filled.Tackle = slices.Clone(m.Tackle)
			}
			missing = append(missing, string(r.kind)+"_material")
			filled.Tackle[r.place].Material = "nylon"
		}
	}
	return filled, missing
}

// addUnknownRopes adds the weight of the ropes of which the material is not known, as the heaviest; that of nylon is counted already.
func (s *stretchBound) addUnknownRopes() {
	for i := range s.ropes {
		if r := &s.ropes[i]; r.unknown() {
			s.weightN += r.maxWeightN()
		}
	}
}

// addBuoy takes the weight and the lift of the buoy, and which ropes lie below it.
func (s *stretchBound) addBuoy(t *TackleLine) {
	b := t.Line.Buoy
	if b == nil {
		return
	}
	s.buoyN, s.liftN = b.WeightN, float64(b.Lift)
	top := t.At[b.Below-1] // place in the tackle of the last part below it
	for i := range s.ropes {
		if s.ropes[i].place <= top {
			s.lowRopes = append(s.lowRopes, s.ropes[i])
		}
	}
}

// pullBound is the bound of the pull with what it is made of.
type pullBound struct {
	loadedM  float64 // the line as the load alone stretches it
	steep    steepness
	weightN  float64
	pullN    float64
	unlifted bool // the buoy's lift is not on record, and what lies below it is too short for it to float
}

// steepness is a rise over what the line reaches over it.
type steepness struct {
	riseM, lengthM float64
	Ratio          float64
}

func steep(riseM, lengthM float64) steepness {
	return steepness{riseM, lengthM, steepRatio(riseM, lengthM)}
}

func steepRatio(riseM, lengthM float64) float64 {
	over := math.Sqrt((lengthM - riseM) * (lengthM + riseM))
	switch {
	case riseM <= 0:
		return 0
	case !(over > 0):
		return math.Inf(1)
	}
	return riseM / over
}

// pullAt bounds the pull where bed and bow are so far apart, and the water is so deep, at the high level.
func (s *stretchBound) pullAt(riseM, waterM float64) pullBound {
	weightN := s.weightN + s.buoyN + s.liftN
	if s.loadN == 0 {
		return pullBound{loadedM: s.lengthM, weightN: weightN, pullN: weightN}
	}
	p := pullBound{loadedM: loadedM(s.lengthM, s.ropes, s.loadN), weightN: weightN}
	p.steep = steep(min(riseM, s.lengthM), p.loadedM)
	if s.belowM > 0 {
		s.boundBelow(&p, waterM)
	}
	p.pullN = math.Hypot(s.loadN, s.loadN*p.steep.Ratio+p.weightN)
	return p
}

// boundBelow takes the bound of a buoy that stays afloat where it is the smaller one.
func (s *stretchBound) boundBelow(p *pullBound, waterM float64) {
	below := steep(waterM, loadedM(s.belowM, s.lowRopes, s.loadN))
	if below.Ratio < p.steep.Ratio {
		below = p.steep
	}
	if s.loadN*below.Ratio < s.loadN*p.steep.Ratio+s.liftN {
		p.steep, p.weightN = below, s.weightN+s.buoyN
	}
	p.unlifted = p.weightN >= float64(rode.UnlimitedLift)
}

// loadedM is a length with its rope stretched by the load alone.
func loadedM(lengthM float64, ropes []rope, loadN float64) float64 {
	for i := range ropes {
		lengthM += ropes[i].lengthM * ropes[i].minStrain(loadN)
	}
	return lengthM
}

// lengthUnder is the length of the line with all its rope stretched by a pull.
func (s *stretchBound) lengthUnder(pullN float64) float64 {
	lengthM := s.lengthM
	for i := range s.ropes {
		lengthM += s.ropes[i].lengthM * s.ropes[i].strainAt(pullN)
	}
	return lengthM
}

// brokenLength is the length of the line with all its rope stretched as far as before it breaks.
func (s *stretchBound) brokenLength() float64 {
	lengthM := s.lengthM
	for i := range s.ropes {
		lengthM += s.ropes[i].lengthM * s.ropes[i].maxStrain()
	}
	return lengthM
}

// maxLength is the line with its rope stretched by the pull, or as far as before it breaks where that is not bounded.
func (s *stretchBound) maxLength(p pullBound) float64 {
	if p.unlifted || math.IsInf(p.pullN, 1) {
		return s.brokenLength()
	}
	return s.lengthUnder(p.pullN)
}
