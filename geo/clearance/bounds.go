package clearance

import (
	"math"

	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/swing"
	"swingroom/geo/tackle"
)

// What a boat or a rode of which nothing is on record could be at the most, where the field has nothing larger. Common practice, no source:
// few boats over 30 m lie on moorings of one anchor; few rodes are longer than 40 m, or than five times the height from bed to bow; no
// yacht is more than six times as long as it is wide.
const (
	longestBoatM    = 30.0
	longestRodeM    = 40.0
	longestScope    = 5.0
	slimmestRatio   = 6.0
	beyondRatio     = 1.5 // over the largest of the field
	commonBowM      = 2.0
	commonDepthM    = 10.0
	assumedHighestM = 5.0
)

// extremes are the largest on record in a field: what bounds a mooring of which something is not known.
type extremes struct {
	boatM      float64 // length of the longest boat, or of the longest set for a place
	rodeM      float64 // the longest rode
	scopeRatio float64 // the largest rode over the height from bed to bow at the high level
	depthM     float64 // the greatest depth at an anchor, below chart datum
}

// findExtremes looks over a field's moorings.
func (f *Field) findExtremes() (x extremes) {
	for i := range f.harbor.Moorings {
		x.take(f, i)
	}
	return x
}

// take counts one mooring in.
func (x *extremes) take(f *Field, i int) {
	m := &f.harbor.Moorings[i]
	x.boatM = max(x.boatM, metres(m.LargestLOA))
	if m.Boat != nil {
		length, _ := m.Boat.SwingLength()
		x.boatM = max(x.boatM, metres(length))
	}
	depth, known := f.depths[i].DepthM.Get()
	if known {
		x.depthM = max(x.depthM, float64(depth))
	}
	if rode, _ := m.Tackle.RodeLength(); rode.IsKnown() {
		x.rodeM = max(x.rodeM, metres(rode))
		if known {
			x.scopeRatio = max(x.scopeRatio, metres(rode)/f.heightM(m, float64(depth)))
		}
	}
}

// heightM is from bed to bow at the high level, as far as it is on record.
func (f *Field) heightM(m *geo.Mooring, depthM float64) float64 {
	high := float64(f.harbor.Levels.Or(geo.Levels{High: assumedHighestM}).High)
	bow := commonBowM
	if m.Boat != nil {
		bow = float64(m.Boat.BowHeight.Or(commonBowM))
	}
	return math.Max(1, depthM+high+bow)
}

// bound gives a mooring of which something is not on record the largest radius that it is likely to have, as a bound: the limit of its
// place, of its area, or the longest boat of the field; the longest rode of the field by its depth. A mooring that keeps no water has none.
func (f *Field) bound(m *geo.Mooring, depth *Depth, answer *swing.Answer, rules geo.Rules) {
	if answer.Radius.IsKnown() || !lacksRecord(answer) {
		return
	}
	boatM, boatFrom := f.likelyBoatM(m, rules)
	rodeM, rodeFrom := f.rodeM(m, depth, f.likelyRodeM)
	if boatM <= 0 || rodeM <= 0 {
		return
	}
	radiusM := f.ruledM(rules, depth, rodeM, boatM)
	answer.Bound, answer.Radius = true, geo.Known(geo.Metres(radiusM))
	answer.Working = append(answer.Working, likely("L+", "longest rode that it is likely to have", rodeM, rodeFrom),
		likely("o+", "longest boat that is likely to lie there", boatM, boatFrom),
		swing.Step{Symbol: "R", Name: "swing radius", Formula: "L+ + o+", Value: radiusM, Unit: "m", From: swing.Computed,
			Note: "an upper bound, since something is not on record"})
}

// likely is a length that is assumed for want of a record.
func likely(symbol, name string, valueM float64, from string) swing.Step {
	return swing.Step{Symbol: symbol, Name: name, Value: valueM, Unit: "m", From: swing.Assumed, Note: from}
}

// lacksRecord reports whether something that a radius is worked out from is not on record, of a mooring that keeps any water.
func lacksRecord(answer *swing.Answer) bool {
	return len(answer.Missing) > 0 && answer.Basis != swing.ForNone
}

// ruledM is the larger of what the line reaches and what a formula of the area gives.
func (f *Field) ruledM(rules geo.Rules, depth *Depth, rodeM, boatM float64) float64 {
	s, reachM := rules.Swing, rodeM+boatM
	if s.Kind != geo.Formula {
		return reachM
	}
	return math.Max(reachM, formulaM(s, boatM, f.depthOrBoundM(depth)))
}

// formulaM is the radius by an area's formula.
func formulaM(s geo.SwingRule, boatM, depthM float64) float64 {
	return s.LOARatio*boatM + s.DepthRatio*depthM + float64(s.Constant)
}

// depthOrBoundM is the depth at an anchor, or where it is not known the greatest that is likely.
func (f *Field) depthOrBoundM(depth *Depth) float64 {
	return float64(depth.DepthM.Or(geo.Metres(math.Max(f.extremes.depthM, commonDepthM))))
}

// recordedBoatM is the length of the boat on a mooring, or set for a vacant one, where it is on record.
func recordedBoatM(m *geo.Mooring) (lengthM float64, from string, known bool) {
	if m.Boat != nil {
		length, field := m.Boat.SwingLength()
		return metres(length), field, length.IsKnown()
	}
	return metres(m.LargestLOA), "largest_loa_m", m.Status == geo.Vacant && m.LargestLOA.IsKnown()
}

// maxBoatM is what bounds a boat whatever the limits of place and area allow: no longer one lies on such moorings, nor is any of its beam.
func (f *Field) maxBoatM(m *geo.Mooring) float64 {
	return math.Min(math.Max(longestBoatM, beyondRatio*f.extremes.boatM), byBeamM(m.Boat))
}

// byBeamM is the length beyond which a boat of some beam is not; infinite where none is on record.
func byBeamM(boat *geo.Boat) float64 {
	if boat != nil && boat.Beam.IsKnown() {
		return slimmestRatio * metres(boat.Beam)
	}
	return math.Inf(1)
}

// likelyBoatM is the longest boat that is likely to lie on a mooring: its own length where it is on record, or the limit of the place, of
// the area, or of the field.
func (f *Field) likelyBoatM(m *geo.Mooring, rules geo.Rules) (lengthM float64, from string) {
	if lengthM, from, known := recordedBoatM(m); known {
		return lengthM, from
	}
	limit, from := m.LargestLOA, "the longest boat of the place"
	if !limit.IsKnown() {
		limit, from = rules.LargestLOA, "the longest boat of the area"
	}
	if !limit.IsKnown() {
		limit, from = geo.Known(geo.Metres(f.extremes.boatM)), "the longest boat of the field"
	}
	return math.Min(f.maxBoatM(m), metres(limit)), from
}

// rodeM is the line from anchor to bow, stretched as far as its ropes may be: as it is on record, or as long as lacking says by the height
// from bed to bow; no shorter than the parts on record with each other as long as that height.
func (f *Field) rodeM(m *geo.Mooring, depth *Depth, lacking func(heightM float64) (float64, string)) (lengthM float64, from string) {
	stretchM := maxStretchM(m.Tackle, f.harbor.Defaults.Lines.Ropes)
	if length, _ := m.Tackle.RodeLength(); length.IsKnown() {
		return metres(length) + stretchM, "the rode on record"
	}
	heightM := f.heightM(m, f.depthOrBoundM(depth))
	lengthM, from = lacking(heightM)
	if known, parts := recordedLengthM(m.Tackle); known > 0 && known+parts*heightM > lengthM {
		lengthM, from = known+parts*heightM, "the parts on record, and for each other as much as from bed to bow"
	}
	return lengthM + stretchM, from
}

// likelyRodeM is as long as the rodes of the field are, by the height from bed to bow.
func (f *Field) likelyRodeM(heightM float64) (lengthM float64, from string) {
	return math.Min(f.extremes.scopeRatio*heightM, f.extremes.rodeM), "the longest rode of the field, by its depth"
}

// maxRodeM is beyond what any rode is, even where the field has none on record.
func (f *Field) maxRodeM(heightM float64) (lengthM float64, from string) {
	return math.Min(math.Max(longestScope, beyondRatio*f.extremes.scopeRatio)*heightM,
		math.Max(longestRodeM, beyondRatio*f.extremes.rodeM)), ""
}

// recordedLengthM is how long the parts are whose length is on record, and how many others there are.
func recordedLengthM(t geo.Tackle) (sumM, othersRatio float64) {
	for _, p := range t {
		if !p.Kind.OfRode() {
			continue
		}
		if length, known := p.Length.Get(); known {
			sumM += float64(length)
		} else if p.Kind.Lengthens() {
			othersRatio++
		}
	}
	return sumM, othersRatio
}

// maxStretchM is by how much the ropes of a tackle lengthen at the most before they break, and of an unknown material as far as the one
// that stretches most.
func maxStretchM(t geo.Tackle, own []geo.RopeKind) (sumM float64) {
	for _, p := range t {
		if tackle.IsRope(p.Kind) {
			sumM += metres(p.Length) * maxStrainRatio(p.Material, own)
		}
	}
	return sumM
}

// maxStrainRatio is the strain at which rope of a material breaks, or the largest of all where the material is not known.
func maxStrainRatio(material string, own []geo.RopeKind) float64 {
	kind, err := rode.RopeOf(own, material)
	strain := rode.MaxStrainRatio(kind)
	if err != nil || material == "" {
		for _, k := range append(rode.Ropes(), own...) {
			strain = math.Max(strain, rode.MaxStrainRatio(k))
		}
	}
	return strain
}

// outerCircle is the circle beyond which a mooring can certainly not reach, of one whose own circle is only likely to hold; is is false
// where its own circle is as sure.
func (f *Field) outerCircle(m *geo.Mooring, depth *Depth, answer *swing.Answer, rules geo.Rules) (c Circle, is bool) {
	anyRule := m.Area == "" && len(f.harbor.Areas) > 0
	if answer.Basis == swing.ForNone || !anyRule && len(answer.Missing) == 0 {
		return c, false
	}
	c = f.circle(m, answer)
	if anyRule {
		c.RadiusM = f.byAnyRuleM(m, depth, c.RadiusM)
	}
	if len(answer.Missing) > 0 {
		c.RadiusM, c.Bound = max(c.RadiusM, f.maxReachM(m, depth, rules)), true
	}
	return c, true
}

// maxReachM is as far as a mooring can reach of which something is not on record.
func (f *Field) maxReachM(m *geo.Mooring, depth *Depth, rules geo.Rules) float64 {
	boatM, _, known := recordedBoatM(m)
	if !known {
		boatM = f.maxBoatM(m)
	}
	rodeM, _ := f.rodeM(m, depth, f.maxRodeM)
	return f.ruledM(rules, depth, rodeM, boatM)
}

// byAnyRuleM is the largest radius under the rules of whichever area a mooring may belong to, not less than minM.
func (f *Field) byAnyRuleM(m *geo.Mooring, depth *Depth, minM float64) float64 {
	radiusM := minM
	for i := range f.harbor.Areas {
		byRule := swing.Radius(f.input(m, depth, f.harbor.Areas[i].Rules))
		radiusM = math.Max(radiusM, metres(byRule.Radius))
	}
	return radiusM
}
