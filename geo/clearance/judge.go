package clearance

import (
	"swingroom/geo"
	"swingroom/geo/swing"
)

// Outcome is the answer of a fit check.
type Outcome string

// The outcomes. FitsIf is that of a boat that does not fit, for which there is a proved remedy.
const (
	Fits         Outcome = "fits"
	FitsIf       Outcome = "fits_if"
	DoesNotFit   Outcome = "does_not_fit"
	CannotBeSaid Outcome = "cannot_be_said"
)

// Fit is the fit check of a boat on a mooring: one verdict a constraint.
type Fit struct {
	Mooring  string       `json:"mooring"`
	Area     string       `json:"area"`
	Boat     geo.Boat     `json:"boat"`
	Outcome  Outcome      `json:"outcome"`
	Verdicts []Verdict    `json:"verdicts"`
	Swing    swing.Answer `json:"swing"`
	Words    geo.Words    `json:"words"` // the answer in one sentence
}

// Against are the verdicts that say no, or cannot say, as they are told.
func (f *Fit) Against() (against []Verdict) {
	for _, v := range f.Verdicts {
		if !v.Fits.Or(false) {
			against = append(against, v)
		}
	}
	return against
}

// MinGapM is the least clearance to a neighbour, metres, under 0 where they overlap: between the circles, or between the hulls of two
// that lie in unison; unknown when there is none near.
func (f *Fit) MinGapM() (least geo.Maybe[float64]) {
	for _, v := range f.Verdicts {
		if gap, known := v.Has.Get(); known && v.Constraint == ByNeighbour && gap < least.Or(gap+1) {
			least = geo.Known(gap)
		}
	}
	return least
}

// Fit judges a mooring, on file or only tried, against everything around it. A mooring without a boat is judged by the water that it keeps
// for the largest boat set for it.
//
// It is the one judge: the report is Fit of every mooring as it is on file, and whatever offers or takes a place asks it.
func (f *Field) Fit(m geo.Mooring) Fit { return f.FitBy(m, f.Rules(&m)) }

// FitBy is Fit under other rules than those of the mooring's area.
func (f *Field) FitBy(m geo.Mooring, rules geo.Rules) Fit { return f.FitWithout(m, rules, nil) }

// FitWithout is FitBy with some moorings taken away, by number.
func (f *Field) FitWithout(m geo.Mooring, rules geo.Rules, without []string) Fit {
	j := f.tried(&m, rules)
	j.without = without
	j.all()
	fit := Fit{Mooring: m.Number, Area: m.Area, Swing: *j.answer, Verdicts: notNil(j.verdicts), Outcome: outcomeOf(j.verdicts),
		Boat: j.boat}
	fit.Words = geo.WordsOf(fit.sentence)
	return fit
}

// Outcome is that of [Field.FitBy] without the figures, for searches that ask often.
func (f *Field) Outcome(m geo.Mooring, rules geo.Rules) Outcome {
	j := f.tried(&m, rules)
	j.brief = true
	j.all()
	return outcomeOf(j.verdicts)
}

// FitWater is Fit without what is asked of the tackle, and without its figures: for questions about how large a boat may be, and where it
// may lie.
func (f *Field) FitWater(m geo.Mooring) Outcome {
	return outcomeOf(f.AgainstWater(m, f.Rules(&m), nil))
}

// AgainstWater are the verdicts of [Field.FitWithout] on water, limits and records that are not kept or cannot be said, in short.
func (f *Field) AgainstWater(m geo.Mooring, rules geo.Rules, without []string) []Verdict {
	j := f.tried(&m, rules)
	j.brief, j.without = true, without
	j.water()
	return j.verdicts
}

// FitTackle is the part of the fit check that is about anchor and parts. m.Boat may not be nil.
func (f *Field) FitTackle(m geo.Mooring) []Verdict {
	j := f.tried(&m, f.Rules(&m))
	j.tackle()
	return j.verdicts
}

// tried is the judgement of a mooring that is not on file as it is.
func (f *Field) tried(m *geo.Mooring, rules geo.Rules) *judgement {
	depth := f.depth(m)
	answer := f.swingBy(m, &depth, rules)
	circle := f.circle(m, &answer)
	circle.MarginM = float64(rules.Margin)
	return f.judgement(pairSide{m, &depth, &circle, -1, rules}, &answer)
}

// outcomeOf is the worst of some verdicts.
func outcomeOf(verdicts []Verdict) Outcome {
	outcome := Fits
	for i := range verdicts {
		switch fits, known := verdicts[i].Fits.Get(); {
		case known && !fits:
			return DoesNotFit
		case !known:
			outcome = CannotBeSaid
		}
	}
	return outcome
}

// judgement carries one check of a mooring against everything.
type judgement struct {
	f         *Field
	pairSide  // the mooring that is judged
	boat      geo.Boat
	kept      bool // no boat lies there: what is judged is the water kept for one
	answer    *swing.Answer
	at        geo.Offset
	radiusM   float64
	accuracyM float64
	far       bool // beyond the harbor's plane
	brief     bool // only what is not kept is noted
	inReport  bool // pairs, and what is missing for the whole harbor, are told elsewhere
	without   []string
	verdicts  []Verdict
}

func (f *Field) judgement(side pairSide, answer *swing.Answer) *judgement {
	j := &judgement{f: f, pairSide: side, answer: answer, radiusM: metres(answer.Radius), accuracyM: f.accuracyM(side.m)}
	j.boat, j.kept = boatOn(side.m)
	if _, j.far = f.far(side.m.Position); !j.far {
		j.at = f.frame.Project(side.m.Position)
	}
	return j
}

// accuracyM is that of a mooring's position.
func (f *Field) accuracyM(m *geo.Mooring) float64 {
	accuracy, _ := f.harbor.AccuracyOf(m)
	return float64(accuracy)
}

// boatOn is the boat that is judged on a mooring; kept is true for the one that a vacant mooring keeps its water for.
func boatOn(m *geo.Mooring) (boat geo.Boat, kept bool) {
	switch {
	case m.Boat != nil:
		return *m.Boat, false
	case m.Status == geo.Vacant:
		return geo.Boat{LOA: m.LargestLOA, Draft: m.LargestDraft}, true
	}
	return geo.Boat{}, false
}

// all is every constraint.
func (j *judgement) all() {
	j.water()
	if !j.kept {
		j.scope()
		j.tackle()
	}
}

// water is everything but the tackle.
func (j *judgement) water() {
	if j.keepsNone() {
		return
	}
	j.record()
	j.aroundCircle()
	if !j.kept {
		j.limits()
	}
}

// aroundCircle is everything that the swing circle is held against.
func (j *judgement) aroundCircle() {
	if !j.answer.Radius.IsKnown() || j.far {
		return
	}
	if !j.inReport {
		j.neighbours()
	}
	j.outerNeighbours()
	j.fixed()
}

// keepsNone reports a vacant mooring that keeps no water: nothing is asked of it.
func (j *judgement) keepsNone() bool { return j.answer.Basis == swing.ForNone }

func (j *judgement) add(v Verdict) {
	if !j.brief || !v.Fits.Or(false) {
		j.verdicts = append(j.verdicts, v)
	}
}

// asked makes a verdict of what there is against the least that is needed, metres. told is false where it is kept and only what is not is
// noted. Where the radius is only a bound a no cannot be said for sure.
func (j *judgement) asked(k Constraint, of string, hasM, needsM float64) (v Verdict, told bool) {
	kept := hasM >= needsM
	if kept && j.brief {
		return v, false
	}
	v = Verdict{Constraint: k, Of: of}
	v.figures(hasM, needsM, "m")
	if kept {
		v.Fits = geo.Known(true)
		return v, true
	}
	return j.notKept(v, needsM-hasM), true
}

// notKept says how sure a no is, whose figure falls short by shortM metres.
func (j *judgement) notKept(v Verdict, shortM float64) Verdict {
	v.Certainty, v.Bound = Possible, v.Bound || j.answer.Bound
	if !v.Bound {
		v.Fits = geo.Known(false)
	}
	if shortM > j.accuracyM && !v.Bound {
		v.Certainty = Certain
	}
	return v
}

// metres is a length on record as a number; 0 where it is not known.
func metres(m geo.Maybe[geo.Metres]) float64 { return float64(m.Or(0)) }

// unknown is a verdict that cannot be said for want of some fields.
func unknown(k Constraint, of string, reason Reason, missing ...string) Verdict {
	return Verdict{Constraint: k, Of: of, Reason: reason, Missing: missing}
}

func step(symbol, name, formula string, valueM float64) swing.Step {
	s := swing.Step{Symbol: symbol, Name: name, Formula: formula, Value: valueM, Unit: "m", From: swing.Computed}
	if formula == "" {
		s.From = swing.OnRecord
	}
	return s
}

// Water is the outcome without what is asked of the tackle.
func (f *Fit) Water() Outcome {
	var water []Verdict
	for _, v := range f.Verdicts {
		if v.Constraint.Kind() != KindTackle {
			water = append(water, v)
		}
	}
	return outcomeOf(water)
}

// Passes reports whether nothing fails and nothing is unsaid but of anchor and parts: a boat may be given a place before all of its tackle
// is on record, and the answer tells what is missing of it.
func (f *Fit) Passes() bool {
	for i := range f.Verdicts {
		v := &f.Verdicts[i]
		if fits, known := v.Fits.Get(); known && !fits || !known && v.Constraint.Kind() != KindTackle {
			return false
		}
	}
	return true
}
