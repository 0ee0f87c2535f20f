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

// limits are what is set for the area and the place.
func (j *judgement) limits() {
	length, field := j.boat.SwingLength()
	if field == "" {
		field = "loa_m"
	}
	for _, x := range [...]struct {
		k          Constraint
		of         string
		limit, has geo.Maybe[geo.Metres]
		field      string
		minimum    bool
	}{
		{ByAreaLOA, j.m.Area, j.rules.LargestLOA, length, field, false},
		{ByAreaDraft, j.m.Area, j.rules.LargestDraft, j.boat.Draft, "draft_m", false},
		{ByPlaceLOA, j.m.Number, j.m.LargestLOA, length, field, false},
		{ByPlaceDraft, j.m.Number, j.m.LargestDraft, j.boat.Draft, "draft_m", false},
		{ByPlaceMinLOA, j.m.Number, j.m.SmallestLOA, length, field, true},
	} {
		limit, set := x.limit.Get()
		has, known := x.has.Get()
		switch {
		case !set:
			continue
		case !known:
			j.add(unknown(x.k, x.of, NotOnRecord, x.field))
			continue
		}
		v := Verdict{Constraint: x.k, Of: x.of, Has: geo.Known(float64(has)), Needs: geo.Known(float64(limit)), IsMax: !x.minimum, Unit: "m",
			Reason: WithinLimit}
		spareM := float64(limit - has)
		if x.minimum {
			spareM = -spareM
		}
		v.Fits, v.Spare = geo.Known(spareM >= 0), geo.Known(spareM)
		if spareM < 0 {
			v.Certainty, v.Reason = Certain, OverLimit
			if x.minimum {
				v.Reason = UnderLimit
			}
		}
		j.add(v)
	}
}

// scope at the high level: by the area's rule where it has one, or else the rode has to reach at all. Of two depths on record the deeper
// counts.
func (j *judgement) scope() {
	levels, levelsKnown := j.f.harbor.Levels.Get()
	depth, depthKnown := j.depth.Deepest.Get()
	bow, bowKnown := j.boat.BowHeight.Get()
	length, missing := j.m.Tackle.RodeLength()
	rode, rodeKnown := length.Get()
	var fields []string
	for _, x := range [...]struct {
		known bool
		field string
	}{{levelsKnown, "levels.high_m"}, {depthKnown, "depth_m"}, {bowKnown, "bow_height_m"}, {rodeKnown, string(missing) + "_m"}} {
		if !x.known {
			fields = append(fields, x.field)
		}
	}
	if len(fields) > 0 {
		j.add(unknown(ByScope, "", NotOnRecord, fields...))
		return
	}
	riseM := float64(max(0, depth+levels.High) + bow)
	ratio := 1.0
	if j.rules.Swing.Kind == geo.ScopeRule {
		ratio = j.rules.Swing.ScopeRatio
	}
	needsM := ratio * riseM
	v := Verdict{Constraint: ByScope, Fits: geo.Known(float64(rode) >= needsM), Has: geo.Known(float64(rode)), Needs: geo.Known(needsM),
		Spare: geo.Known(float64(rode) - needsM), Unit: "m",
		Reason: Reaches, Case: &Case{LevelM: geo.Known(levels.High)}}
	if float64(rode) < needsM {
		v.Reason, v.Certainty = TooShort, Certain
	}
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Working = []swing.Step{step("L", "rode", "", float64(rode)), step("d", "depth below chart datum", "", float64(depth)),
		step("w", "high level", "", float64(levels.High)),
		step("b", "bow height", "", float64(bow)), step("h", "from bed to bow", "d + w + b", riseM)}
	if ratio > 1 {
		v.Working = append(v.Working, swing.Step{Symbol: "s", Name: "scope asked by the area", Value: ratio, From: swing.Default},
			step("N", "rode that is asked", "s · h", needsM))
	}
	j.add(v)
}
