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
	for _, x := range j.allLimits() {
		if x.limit.IsKnown() {
			j.add(x.verdict())
		}
	}
}

// allLimits are those that may be set, in the order in which they are told.
func (j *judgement) allLimits() [5]limit {
	length, field := j.boat.SwingLength()
	if field == "" {
		field = "loa_m"
	}
	area, place, draft := j.m.Area, j.m.Number, j.boat.Draft
	return [...]limit{
		{ByAreaLOA, area, j.rules.LargestLOA, length, field, false},
		{ByAreaDraft, area, j.rules.LargestDraft, draft, "draft_m", false},
		{ByPlaceLOA, place, j.m.LargestLOA, length, field, false},
		{ByPlaceDraft, place, j.m.LargestDraft, draft, "draft_m", false},
		{ByPlaceMinLOA, place, j.m.SmallestLOA, length, field, true},
	}
}

// verdict is that on a limit that is set.
func (x *limit) verdict() Verdict {
	if !x.has.IsKnown() {
		return unknown(x.constraint, x.of, NotOnRecord, x.field)
	}
	limitM, hasM := metres(x.limit), metres(x.has)
	spareM, over := limitM-hasM, OverLimit
	if x.minimum {
		spareM, over = -spareM, UnderLimit
	}
	v := Verdict{Constraint: x.constraint, Of: x.of, Fits: geo.Known(true), IsMax: !x.minimum, Reason: WithinLimit}
	v.figuresWith(hasM, limitM, spareM, "m")
	if spareM < 0 {
		v.surelyNot(over)
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
	x := j.scopeFigures()
	v := Verdict{Constraint: ByScope, Fits: geo.Known(true), Reason: Reaches, Case: &Case{LevelM: geo.Known(geo.Metres(x.highM))}}
	v.figures(x.rodeM, x.needsM, "m")
	if x.rodeM < x.needsM {
		v.surelyNot(TooShort)
	}
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Working = x.steps()
	j.add(v)
}

// scopeFigures are what the scope is worked out from, all of it on record.
func (j *judgement) scopeFigures() *scopeFigures {
	length, _ := j.m.Tackle.RodeLength()
	x := &scopeFigures{rodeM: metres(length), depthM: metres(j.depth.Deepest),
		highM: float64(j.f.harbor.Levels.Or(geo.Levels{}).High), bowM: metres(j.boat.BowHeight), ratio: 1}
	if j.rules.Swing.Kind == geo.ScopeRule {
		x.ratio = j.rules.Swing.ScopeRatio
	}
	x.riseM = max(0, x.depthM+x.highM) + x.bowM
	x.needsM = x.ratio * x.riseM
	return x
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
