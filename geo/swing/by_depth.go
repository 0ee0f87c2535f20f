package swing

import "math"

// byDepth is a mooring made ready for [ByDepth].
type byDepth struct {
	stretchBound
	bowM, boatM float64
	lowM, highM float64 // levels
	brokenM     float64 // length of the line where its rope breaks
	pulled      bool    // the pull can be bounded
}

// ByDepth is the radius by the rule that counts the stretch, metres, by the depth below chart datum, for searches that ask often; infinite
// where the rode is too short. It is a bound where that of [Radius] is. ok is false where there is no radius at all.
func ByDepth(in Input) (radiusM func(depthM float64) float64, ok bool) {
	l, known := rodeOf(in.Mooring)
	levels, levelsKnown := in.Levels.Get()
	if !known || !levelsKnown || in.Mooring.Boat == nil {
		return nil, false
	}
	length, _ := in.Mooring.Boat.SwingLength()
	if !length.IsKnown() {
		return nil, false
	}
	r := byDepth{stretchBound: stretchBound{ropes: ropesOf(in.Mooring, in.Lines.Ropes), lengthM: float64(l)}, pulled: true,
		bowM: float64(in.Mooring.Boat.BowHeight.Or(0)), boatM: float64(length.Or(0)), lowM: float64(levels.Low),
		highM: float64(levels.High)}
	if len(r.ropes) > 0 {
		r.addPull(in)
	}
	return r.radiusM, true
}

// addPull takes the design load and what weighs on the line.
func (r *byDepth) addPull(in Input) {
	load, missing := DesignLoadOf(*in.Mooring.Boat, in.Rules.Design)
	r.loadN = float64(load.Load)
	lengthM := r.lengthM // as it is on record, and not the sum of its parts
	r.addLine(in.Mooring, in.Lines)
	r.lengthM = lengthM
	r.pulled = missing == nil && !math.IsInf(r.weightN, 1)
	r.brokenM = r.brokenLength()
}

func (r *byDepth) radiusM(depthM float64) float64 {
	h := max(0, depthM+r.lowM) + r.bowM
	if r.lengthM < h {
		return math.Inf(1)
	}
	longM := r.longM(max(0, depthM+r.highM))
	return math.Sqrt((longM-h)*(longM+h)) + r.boatM
}

// longM is the length of the line with what its rope stretches in so much water at the high level.
func (r *byDepth) longM(waterM float64) float64 {
	switch {
	case !r.pulled:
		return r.brokenM
	case len(r.ropes) > 0:
		return r.maxLength(r.pullAt(waterM+r.bowM, waterM))
	}
	return r.lengthM
}
