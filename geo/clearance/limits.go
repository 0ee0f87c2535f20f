package clearance

import (
	"swingroom/geo"
	"swingroom/geo/swing"
)

// Reasons of a verdict on a limit or the scope.
const (
	WithinLimit Reason = "within_limit"
	OverLimit   Reason = "over_limit"
	UnderLimit  Reason = "under_limit"
	NotOnRecord Reason = "not_on_record"
	Reaches     Reason = "reaches"   // the rode is long enough
	TooShort    Reason = "too_short" // the rode
)

// limit is what is set for the area or the place, and what of the boat is held against it.
type limit struct {
	constraint Constraint
	of         string
	limit, has geo.Maybe[geo.Metres]
	field      string // of the boat
	minimum    bool   // the boat may not be smaller; else it may not be larger
}

// limits are what is set for the area and the place.
func (j *judgement) limits() {
	length, field := j.boat.SwingLength()
	if field == "" {
		field = "loa_m"
	}
	for _, x := range [...]limit{
		{ByAreaLOA, j.m.Area, j.rules.LargestLOA, length, field, false},
		{ByAreaDraft, j.m.Area, j.rules.LargestDraft, j.boat.Draft, "draft_m", false},
		{ByPlaceLOA, j.m.Number, j.m.LargestLOA, length, field, false},
		{ByPlaceDraft, j.m.Number, j.m.LargestDraft, j.boat.Draft, "draft_m", false},
		{ByPlaceMinLOA, j.m.Number, j.m.SmallestLOA, length, field, true},
	} {
		switch {
		case !x.limit.IsKnown():
		case !x.has.IsKnown():
			j.add(unknown(x.constraint, x.of, NotOnRecord, x.field))
		default:
			j.add(x.verdict())
		}
	}
}

// verdict is that on a limit that is set for a boat whose figure is on record.
func (x *limit) verdict() Verdict {
	limitM, hasM := float64(x.limit.Or(0)), float64(x.has.Or(0))
	spareM, over := limitM-hasM, OverLimit
	if x.minimum {
		spareM, over = -spareM, UnderLimit
	}
	v := Verdict{Constraint: x.constraint, Of: x.of, Fits: geo.Known(spareM >= 0), Has: geo.Known(hasM), Needs: geo.Known(limitM),
		Spare: geo.Known(spareM), IsMax: !x.minimum, Unit: "m", Reason: WithinLimit}
	if spareM < 0 {
		v.Certainty, v.Reason = Certain, over
	}
	return v
}

// scope at the high level: by the area's rule where it has one, or else the rode has to reach at all. Of two depths on record the deeper
// counts.
func (j *judgement) scope() {
	if missing := j.scopeMissing(); len(missing) > 0 {
		j.add(unknown(ByScope, "", NotOnRecord, missing...))
		return
	}
	length, _ := j.m.Tackle.RodeLength()
	x := scopeFigures{rodeM: float64(length.Or(0)), depthM: float64(j.depth.Deepest.Or(0)),
		highM: float64(j.f.harbor.Levels.Or(geo.Levels{}).High), bowM: float64(j.boat.BowHeight.Or(0)), ratio: 1}
	x.riseM = max(0, x.depthM+x.highM) + x.bowM
	if j.rules.Swing.Kind == geo.ScopeRule {
		x.ratio = j.rules.Swing.ScopeRatio
	}
	x.needsM = x.ratio * x.riseM
	v := Verdict{Constraint: ByScope, Fits: geo.Known(x.rodeM >= x.needsM), Has: geo.Known(x.rodeM), Needs: geo.Known(x.needsM),
		Spare: geo.Known(x.rodeM - x.needsM), Unit: "m", Reason: Reaches, Case: &Case{LevelM: geo.Known(geo.Metres(x.highM))}}
	if x.rodeM < x.needsM {
		v.Reason, v.Certainty = TooShort, Certain
	}
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Working = x.steps()
	j.add(v)
}

// scopeMissing are the fields without which the scope cannot be told.
func (j *judgement) scopeMissing() (fields []string) {
	length, missing := j.m.Tackle.RodeLength()
	for _, x := range [...]struct {
		known bool
		field string
	}{{j.f.harbor.Levels.IsKnown(), "levels.high_m"}, {j.depth.Deepest.IsKnown(), "depth_m"}, {j.boat.BowHeight.IsKnown(), "bow_height_m"},
		{length.IsKnown(), string(missing) + "_m"}} {
		if !x.known {
			fields = append(fields, x.field)
		}
	}
	return fields
}

// scopeFigures are what a scope is worked out from.
type scopeFigures struct {
	rodeM, depthM, highM, bowM float64
	riseM                      float64 // from bed to bow
	ratio                      float64 // asked of the rode over riseM
	needsM                     float64
}

func (x *scopeFigures) steps() []swing.Step {
	steps := []swing.Step{step("L", "rode", "", x.rodeM), step("d", "depth below chart datum", "", x.depthM),
		step("w", "high level", "", x.highM), step("b", "bow height", "", x.bowM), step("h", "from bed to bow", "d + w + b", x.riseM)}
	if x.ratio > 1 {
		steps = append(steps, swing.Step{Symbol: "s", Name: "scope asked by the area", Value: x.ratio, From: swing.Default},
			step("N", "rode that is asked", "s · h", x.needsM))
	}
	return steps
}
