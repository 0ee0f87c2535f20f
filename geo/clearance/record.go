package clearance

import (
	"math"

	"swingroom/geo"
	"swingroom/geo/record"
)

// Reasons of a verdict on the record itself.
const (
	RadiusUnknown    Reason = "radius_unknown"    // nothing bounds it
	RadiusBound      Reason = "radius_bound"      // it is only an upper bound
	RecordFault      Reason = "fault"             // a figure on record cannot be right
	FarAway          Reason = "far_away"          // from the middle of the field
	NoArea           Reason = "no_area"           // the harbor has areas, and the mooring is in none
	OtherArea        Reason = "other_area"        // it lies in another area than the one on record
	DepthsDiffer     Reason = "depths_differ"     // the card's and the soundings'
	PermitOver       Reason = "permit_over"       // its last day has passed
	PermitUnknown    Reason = "permit_unknown"    // others here have one with a last day
	LevelsAboveLow   Reason = "levels_above_low"  // the tide on file falls below the design low
	LevelsBelowHigh  Reason = "levels_below_high" // and rises above the design high
	SoundingsLeftOut Reason = "soundings_left_out"
)

// record tells what stands in the way of a swing radius, and what contradicts itself.
func (j *judgement) record() {
	for _, fault := range j.answer.Faults {
		v := not(ByRecord, "", RecordFault)
		v.Told = fault
		j.add(v)
	}
	j.contradictions()
	j.radius()
	if d, far := j.f.far(j.m.Position); far {
		v := unknown(ByRecord, "", FarAway, "position")
		v.Has, v.Unit = geo.Known(d), "m"
		j.add(v)
	}
	j.depths()
	j.areas()
	j.permit()
}

// radius tells what is missing for a swing radius.
func (j *judgement) radius() {
	if len(j.answer.Missing) == 0 {
		return
	}
	v := unknown(ByRecord, "", RadiusUnknown, j.answer.Missing...)
	if j.answer.Radius.IsKnown() {
		v.Reason = RadiusBound
	}
	v.Told = j.depth.Why
	j.add(v)
}

// contradictions are swing radii on record that are too small for the boat or the line. Where what they would have to be is only a bound,
// nobody can say.
func (j *judgement) contradictions() {
	for _, c := range j.answer.Contradictions {
		v := Verdict{Constraint: ByRecord, Of: c.Field, Reason: Reason(c.Kind), Has: geo.Known(c.HasM), Needs: c.NeedsM, Unit: "m",
			Certainty: Certain, Bound: c.Bound, Missing: c.Missing}
		if needsM, known := c.NeedsM.Get(); known {
			v.Spare = geo.Known(c.HasM - needsM)
		}
		if c.Bound {
			v.Certainty = Possible
		} else {
			v.Fits = geo.Known(false)
		}
		j.add(v)
	}
}

// Depths that differ by no more than this are alike: what tides, a lead line and a chart's rounding leave. Common practice, no source.
const (
	depthsDifferM     = 1.0
	depthsDifferRatio = 0.10
)

// differ reports whether a card's depth and the soundings' contradict each other.
func differ(card, bed geo.Metres) bool {
	return math.Abs(float64(card-bed)) > depthsDifferM+depthsDifferRatio*math.Max(math.Abs(float64(card)), math.Abs(float64(bed)))
}

func (j *judgement) depths() {
	card, known := j.m.Depth.Get()
	bed, sounded := j.depth.Bed.Get()
	if !known || !sounded || !differ(card, bed) {
		return
	}
	v := not(ByRecord, "depth_m", DepthsDiffer)
	v.figuresWith(float64(card), float64(bed), -math.Abs(float64(card-bed)), "m")
	j.add(v)
}

// areas: a mooring belongs to the area in which it lies. Where it stands outside its own, the verdict on the area's edge tells by how much.
func (j *judgement) areas() {
	if len(j.f.harbor.Areas) == 0 || j.far {
		return
	}
	if j.m.Area == "" {
		j.add(j.noArea())
		return
	}
	area, ok := j.f.fixed.area[j.m.Area]
	if !ok || j.f.fixed.areas.Inside(j.at, area) {
		return
	}
	if lies := j.f.AreaAt(j.m.Position); lies != "" {
		v := not(ByRecord, lies, OtherArea)
		v.Note = j.m.Area
		j.add(v)
	}
}

// noArea is the verdict on a mooring without an area on record.
func (j *judgement) noArea() Verdict {
	v := unknown(ByRecord, "", NoArea, "area")
	switch names := j.f.areasAt(j.m.Position); len(names) {
	case 0:
	case 1:
		v.Of = names[0]
	default:
		v.Note = joined(names)
	}
	return v
}

// permit is held against the harbor's day for the boat that lies on the mooring: it was given for that boat.
func (j *judgement) permit() {
	if j.f.harbor.Day == "" || j.m.Boat == nil || !j.lies() {
		return
	}
	switch expires := j.m.Permit.Expires; {
	case expires == "" && j.f.permits:
		j.add(unknown(ByRecord, "", PermitUnknown, "permit_expires"))
	case expires != "" && expires < j.f.harbor.Day:
		v := not(ByRecord, "", PermitOver)
		v.Note = string(expires)
		j.add(v)
	}
}

// lies reports whether the boat is the one on record for the mooring.
func (j *judgement) lies() bool {
	i, ok := j.f.number[j.m.Number]
	return ok && !j.f.reassigned[j.m.Number] && record.Equal(&j.f.harbor.Moorings[i].Boat, &j.m.Boat)
}
