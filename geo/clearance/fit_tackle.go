package clearance

import (
	"errors"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/swing"
	"swingroom/geo/tackle"
)

// Reasons of a verdict on the tackle.
const (
	Holds       Reason = "holds"
	Weak        Reason = "weak"
	Worn        Reason = "worn"
	MayNotHold  Reason = "may_not_hold" // by one published figure and not by another, or as new and not as worn
	Uplift      Reason = "uplift"       // pulled upwards more steeply than what an anchor holds can be told for
	NoFigure    Reason = "no_figure"    // nothing is published of such a part
	BeyondTable Reason = "beyond_table"
)

// hardwareNote stands with every strength in a harbor that keeps no record of its shackles and swivels.
const hardwareNote = "shackles and swivels are not checked: this harbor keeps no record of them"

// tackle judges anchor and parts against the pull on each under the design load of the area, and against the harbor's own table.
func (j *judgement) tackle() {
	switch {
	case j.m.Boat == nil:
		j.add(unknown(ByStrength, "tackle", NotOnRecord, "loa_m"))
		return
	case len(j.m.Tackle) == 0:
		j.add(unknown(ByStrength, "tackle", NotOnRecord, "tackle"))
	case slices.ContainsFunc(j.m.Tackle, func(p geo.Part) bool { return p.Kind == geo.Rode }):
		j.add(unknown(ByStrength, "rode", NotOnRecord, "tackle"))
	default:
		j.strengths()
	}
	j.table()
}

// strengths judges the anchor, every part that is asked for, and every part that is on record.
func (j *judgement) strengths() {
	in := j.f.input(j.m, j.depth, j.rules)
	in.Depth = j.depth.Deepest // of two on record: the deeper the steeper
	pulls, err := swing.PullsOf(in)
	j.anchors(pulls, err)
	if err != nil {
		j.add(unknownPull(ByStrength, "tackle", err))
	}
	lines := &j.f.harbor.Defaults.Lines
	if !lines.HardwareUnrecorded && !j.has(geo.Shackle) && !j.has(geo.Swivel) {
		j.add(unknown(ByStrength, string(geo.Shackle), NotOnRecord, "shackle_size", "swivel_size"))
	}
	for i := range j.m.Tackle {
		p := &j.m.Tackle[i]
		switch {
		case p.Kind == geo.Anchor || p.Kind == geo.Buoy || !p.Kind.OfRode():
		case isWorn(p):
			j.add(worn(p))
		case pulls != nil && pulls.Parts[i].Known:
			j.strength(p, pulls, &pulls.Parts[i])
		}
	}
}

// has reports whether a part of a kind is on record, if only to say that there is none: then its length is 0.
func (j *judgement) has(kind geo.PartKind) bool {
	return slices.ContainsFunc(j.m.Tackle, func(p geo.Part) bool { return p.Kind == kind })
}

// untold is a verdict on what is pulled by nobody knows how much: for want of a record, or since the line does not reach the bow.
func unknownPull(k Constraint, of string, err error) Verdict {
	if errors.Is(err, geo.ErrShortRode) {
		v := unknown(k, of, TooShort)
		v.Note = "the line does not reach the bow at every design level"
		return v
	}
	v := unknown(k, of, NotOnRecord)
	for _, fe := range geo.FieldErrors(err) {
		if fe.Got != "" && fe.Got != "not on record" {
			v.Note = fe.Error()
		}
		v.Missing = append(v.Missing, fe.Field)
	}
	return v
}

// caseOf is the weather of the design load, with the level at which a pull is largest.
func (j *judgement) caseOf(level geo.Metres) *Case {
	c := &Case{LevelM: geo.Known(level), WindKn: geo.Known(j.rules.Design.MeanWind().Knots())}
	if stream, known := j.rules.Design.Stream.Get(); known {
		c.StreamKn = geo.Known(stream.Knots())
	}
	return c
}

func newtons(symbol, name, formula string, forceN float64, from swing.Source) swing.Step {
	return swing.Step{Symbol: symbol, Name: name, Formula: formula, Value: forceN, Unit: "N", From: from}
}

// decided fills in a verdict of what holds against the pull on it, newtons.
func (v *Verdict) decided(fits bool, hasN, needsN float64) {
	v.Has, v.Needs, v.Spare, v.Unit = geo.Known(hasN), geo.Known(needsN), geo.Known(hasN-needsN), "N"
	if v.Fits, v.Reason = geo.Known(fits), Holds; !fits {
		v.Reason, v.Certainty = Weak, Certain
	}
}

// isWorn reports a chain or fitting that is to be put away whatever pulls on it.
func isWorn(p *geo.Part) bool {
	left, known := p.LeftRatio.Get()
	return known && left < tackle.PoorRatio && !tackle.IsRope(p.Kind)
}

// worn is the verdict on it, in parts in a hundred of the diameter.
func worn(p *geo.Part) Verdict {
	has, needs := p.LeftRatio.Or(0)*100, tackle.PoorRatio*100
	return Verdict{Constraint: ByStrength, Of: string(p.Kind), Fits: geo.Known(false), Certainty: Certain, Reason: Worn,
		Has: geo.Known(has), Needs: geo.Known(needs), Spare: geo.Known(has - needs), Unit: "%",
		Note: "NAVFAC MO-124, section 6.2.2"}
}

// strength judges the working load of what was left of a part at its last inspection against the pull where it hangs. Where that is not on
// record it cannot be said to pass, however strong it was when new.
func (j *judgement) strength(p *geo.Part, pulls *swing.Pulls, at *swing.PartPull) {
	v := Verdict{Constraint: ByStrength, Of: string(p.Kind), Case: j.caseOf(at.Level)}
	lines := j.f.harbor.Defaults.Lines
	s, err := tackle.StrengthOf(*p, lines)
	if err != nil {
		j.add(noStrength(v, err))
		return
	}
	left, known := p.LeftRatio.Get()
	share := 1.0
	if known {
		share = tackle.RemainingStrength(p.Kind, left)
	}
	hasN, needsN := float64(s.Working)*share, float64(at.Pull)
	v.decided(hasN >= needsN, hasN, needsN)
	if v.Fits.Or(false) && !known { // it may be so worn that it is to be put away
		v.Fits, v.Reason, v.Missing = geo.Maybe[bool]{}, MayNotHold, []string{string(p.Kind) + "_left"}
	}
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Note = s.From
	if lines.HardwareUnrecorded {
		v.Note += "; " + hardwareNote
	}
	wear := swing.Step{Symbol: "s", Name: "share of it that is left", Value: share, From: swing.OnRecord}
	if !known {
		wear.From, wear.Note = swing.Assumed, "no inspection is on record: as new"
	}
	v.Working = append(pulls.Load.Steps(j.rules.Design),
		newtons("T", "pull where it hangs, by the statics of the line", "sqrt(H² + V²)", needsN, swing.Computed),
		newtons("W", "working load as new", s.From, float64(s.Working), swing.Computed), wear,
		newtons("W s", "working load of what is left", "W · s", hasN, swing.Computed))
	j.add(v)
}

// lacking is a verdict on a part of which no figure is found: something is not on record, or nothing is published of such a part.
func noStrength(v Verdict, err error) Verdict {
	v.Case, v.Reason = nil, NoFigure
	for _, fe := range geo.FieldErrors(err) {
		v.Note = fe.Want
		if fe.Got == "not on record" {
			v.Reason, v.Missing, v.Note = NotOnRecord, append(v.Missing, fe.Field), ""
		}
	}
	return v
}

// anchors judges what the anchor holds at the angle at which it is pulled; err says why the pulls are not known.
func (j *judgement) anchors(pulls *swing.Pulls, err error) {
	if !j.has(geo.Anchor) {
		j.add(unknown(ByAnchor, "", NotOnRecord, "anchor"))
		return
	}
	count := 1
	if row, ok := j.row(); ok {
		count = max(1, row.Anchors)
	}
	for i := range j.m.Tackle {
		p := &j.m.Tackle[i]
		if p.Kind != geo.Anchor {
			continue
		}
		v := Verdict{Constraint: ByAnchor, Of: p.Material}
		h, lacks := tackle.HoldingOf(*p, j.f.harbor.Defaults.Lines.Holding, count)
		switch {
		case lacks != nil:
			j.add(noStrength(v, lacks))
		case err != nil:
			j.add(unknownPull(ByAnchor, p.Material, err))
		default:
			j.holding(v, h, pulls)
		}
	}
}

// holding judges the pull along the line against what the anchor holds along it. That lies between two figures, and between them only a
// pull on it tells.
func (j *judgement) holding(v Verdict, level tackle.Holding, pulls *swing.Pulls) {
	pull := pulls.Anchor
	v.Case = j.caseOf(pull.Level)
	at, told := level.At(pull.UpDeg)
	if !told {
		v.Reason, v.IsMax, v.Unit = Uplift, true, "deg"
		v.Has, v.Needs, v.Spare = geo.Known(pull.UpDeg), geo.Known(tackle.SteepestDeg), geo.Known(tackle.SteepestDeg-pull.UpDeg)
		v.Working = append(pulls.Load.Steps(j.rules.Design),
			newtons("T", "pull at the anchor, by the statics of the line", "sqrt(H² + V²)", float64(pull.Pull), swing.Computed))
		j.add(v)
		return
	}
	along := 1 / math.Cos(pull.UpDeg*math.Pi/180) // of the horizontal part; there need be no load
	leastN, mostN, needsN := float64(at.Min)*along, float64(at.Max)*along, float64(pull.Pull)
	switch {
	case leastN >= needsN || mostN < needsN:
		v.decided(leastN >= needsN, leastN, needsN)
		if mostN < needsN {
			v.decided(false, mostN, needsN)
		}
	default:
		v.decided(true, leastN, needsN)
		v.Fits, v.Reason = geo.Maybe[bool]{}, MayNotHold
	}
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Note = level.From
	v.Working = append(pulls.Load.Steps(j.rules.Design),
		newtons("T", "pull at the anchor, by the statics of the line", "sqrt(H² + V²)", needsN, swing.Computed),
		swing.Step{Symbol: "a", Name: "angle of that pull above the level", Value: pull.UpDeg, Unit: "deg", From: swing.Computed},
		newtons("P1", "holds against a level pull, at the least", level.From, float64(level.Min), swing.Computed),
		newtons("P2", "holds against a level pull, at the most", "", float64(level.Max), swing.Computed),
		newtons("P1a", "holds at that angle along the line, at the least", level.AlongFormula(), leastN, swing.Computed),
		newtons("P2a", "holds at that angle along the line, at the most", level.AlongFormula(), mostN, swing.Computed))
	j.add(v)
}

// row is what the harbor's own table asks for her.
func (j *judgement) row() (geo.TackleRow, bool) {
	t, ok := j.f.harbor.Defaults.Lines.TableFor(j.m.Area)
	loa, known := j.boat.LOA.Get()
	if !ok || !known {
		return geo.TackleRow{}, false
	}
	return t.For(loa)
}

// table holds the tackle against the harbor's own table.
func (j *judgement) table() {
	t, ok := j.f.harbor.Defaults.Lines.TableFor(j.m.Area)
	if !ok {
		return
	}
	loa, known := j.boat.LOA.Get()
	row, found := t.For(loa)
	switch {
	case !known:
		j.add(unknown(ByTable, t.Name, NotOnRecord, "loa_m"))
		return
	case !found:
		v := unknown(ByTable, t.Name, BeyondTable)
		v.Note = "the table ends below this length: ask the harbormaster"
		j.add(v)
		return
	}
	kg := func(p *geo.Part) geo.Maybe[float64] {
		w, known := p.Weight.Get()
		if !known {
			return geo.Maybe[float64]{}
		}
		return geo.Known(float64(w))
	}
	mm := func(m geo.Maybe[geo.Metres]) geo.Maybe[float64] {
		v, known := m.Get()
		if !known {
			return geo.Maybe[float64]{}
		}
		return geo.Known(float64(v) * 1000)
	}
	anchorKg := geo.Maybe[float64]{}
	if w, known := row.Anchor.Get(); known {
		anchorKg = geo.Known(float64(w) * float64(max(1, row.Anchors)))
	}
	size := func(p *geo.Part) geo.Maybe[float64] { return mm(p.Size) }
	for _, x := range []struct {
		kind geo.PartKind
		need geo.Maybe[float64]
		unit string
		have func(p *geo.Part) geo.Maybe[float64]
	}{{geo.Anchor, anchorKg, "kg", kg}, {geo.GroundChain, mm(row.GroundChain), "mm", size}, {geo.TopChain, mm(row.TopChain), "mm", size},
		{geo.Pennant, mm(row.Pennant), "mm", size}} {
		if need, asked := x.need.Get(); asked && !j.hasNone(x.kind) {
			j.add(j.byTable(t, x.kind, need, x.unit, x.have))
		}
	}
}

// byTable is the verdict on one part by the table. A hair is allowed for sizes in inches told in millimetres.
func (j *judgement) byTable(t geo.TackleTable, kind geo.PartKind, needRatio float64, unit string,
	of func(p *geo.Part) geo.Maybe[float64]) Verdict {
	v := Verdict{Constraint: ByTable, Of: string(kind), Needs: geo.Known(needRatio), Unit: unit, Note: t.Name}
	for i := range j.m.Tackle {
		p := &j.m.Tackle[i]
		have, known := of(p).Get()
		if p.Kind != kind || !known {
			continue
		}
		const roundingRatio = 0.97
		v.Fits, v.Has, v.Spare = geo.Known(have >= roundingRatio*needRatio), geo.Known(have), geo.Known(have-needRatio)
		if v.Reason = Holds; have < roundingRatio*needRatio {
			v.Reason, v.Certainty = Weak, Certain
		}
		return v
	}
	v.Missing, v.Reason = []string{string(kind) + "_size"}, NotOnRecord
	if kind == geo.Anchor {
		v.Missing[0] = "anchor_kg"
	}
	return v
}

// hasNone reports a part that the record says there is none of.
func (j *judgement) hasNone(kind geo.PartKind) bool {
	return kind != geo.Anchor && slices.ContainsFunc(j.m.Tackle, func(p geo.Part) bool {
		return p.Kind == kind && p.Length == geo.Known(geo.Metres(0))
	})
}
