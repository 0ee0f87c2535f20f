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
func (j *judgement) hardwareNote() string {
	if j.lines().HardwareUnrecorded {
		return "; shackles and swivels are not checked: this harbor keeps no record of them"
	}
	return ""
}

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
	j.hardware()
	for i := range j.m.Tackle {
		j.part(i, pulls)
	}
}

// hardware asks for a shackle or a swivel: no line hangs together without.
func (j *judgement) hardware() {
	if !j.lines().HardwareUnrecorded && !j.has(geo.Shackle) && !j.has(geo.Swivel) {
		j.add(unknown(ByStrength, string(geo.Shackle), NotOnRecord, "shackle_size", "swivel_size"))
	}
}

// part judges a part of the line that is on record, but for anchor and buoy.
func (j *judgement) part(i int, pulls *swing.Pulls) {
	p := &j.m.Tackle[i]
	switch {
	case p.Kind == geo.Anchor || p.Kind == geo.Buoy || !p.Kind.OfRode():
	case isWorn(p):
		j.add(worn(p))
	case pulls != nil && pulls.Parts[i].Known:
		j.strength(p, pulls, &pulls.Parts[i])
	}
}

// lines are the harbor's own tables of chain and rope.
func (j *judgement) lines() *geo.Lines { return &j.f.harbor.Defaults.Lines }

// has reports whether a part of a kind is on record, if only to say that there is none: then its length is 0.
func (j *judgement) has(kind geo.PartKind) bool {
	return slices.ContainsFunc(j.m.Tackle, func(p geo.Part) bool { return p.Kind == kind })
}

// unknownPull is a verdict on what is pulled by nobody knows how much: for want of a record, or since the line does not reach the bow.
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
	d := &j.rules.Design
	return &Case{LevelM: geo.Known(level), WindKn: geo.Known(d.MeanWind().Knots()), StreamKn: knots(d.Stream)}
}

// knots is a speed in knots where it is on record.
func knots(v geo.Maybe[geo.MetresPerSecond]) geo.Maybe[float64] {
	if speed, known := v.Get(); known {
		return geo.Known(speed.Knots())
	}
	return geo.Maybe[float64]{}
}

func newtons(symbol, name, formula string, forceN float64, from swing.Source) swing.Step {
	return swing.Step{Symbol: symbol, Name: name, Formula: formula, Value: forceN, Unit: "N", From: from}
}

// decided fills in a verdict of what holds against the pull on it, newtons.
func (v *Verdict) decided(fits bool, hasN, needsN float64) {
	v.figures(hasN, needsN, "N")
	if v.Fits, v.Reason = geo.Known(true), Holds; !fits {
		v.surelyNot(Weak)
	}
}

// undecided is decided where what is on record says neither yes nor no.
func (v *Verdict) undecided(hasN, needsN float64) {
	v.figures(hasN, needsN, "N")
	v.Fits, v.Reason = geo.Maybe[bool]{}, MayNotHold
}

// between decides where what holds lies between two figures: only above both, or below both, the pull tells.
func (v *Verdict) between(minN, maxN, needsN float64) {
	switch {
	case minN >= needsN:
		v.decided(true, minN, needsN)
	case maxN < needsN:
		v.decided(false, maxN, needsN)
	default:
		v.undecided(minN, needsN)
	}
}

// isWorn reports a chain or fitting that is to be put away whatever pulls on it.
func isWorn(p *geo.Part) bool {
	left, known := p.LeftRatio.Get()
	return known && left < tackle.PoorRatio && !tackle.IsRope(p.Kind)
}

// worn is the verdict on it, in parts in a hundred of the diameter.
func worn(p *geo.Part) Verdict {
	v := not(ByStrength, string(p.Kind), Worn)
	v.figures(p.LeftRatio.Or(0)*100, tackle.PoorRatio*100, "%")
	v.Note = "NAVFAC MO-124, section 6.2.2"
	return v
}

// strength judges the working load of what was left of a part at its last inspection against the pull where it hangs. Where that is not on
// record it cannot be said to pass, however strong it was when new.
func (j *judgement) strength(p *geo.Part, pulls *swing.Pulls, at *swing.PartPull) {
	v := Verdict{Constraint: ByStrength, Of: string(p.Kind), Case: j.caseOf(at.Level)}
	s, err := tackle.StrengthOf(*p, *j.lines())
	if err != nil {
		j.add(noStrength(v, err))
		return
	}
	wear := wearOf(p)
	hasN, needsN := float64(s.Working)*wear.Value, float64(at.Pull)
	v.decided(hasN >= needsN, hasN, needsN)
	if v.Fits.Or(false) && wear.From == swing.Assumed { // it may be so worn that it is to be put away
		v.undecided(hasN, needsN)
		v.Missing = []string{string(p.Kind) + "_left"}
	}
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Note = s.From + j.hardwareNote()
	v.Working = append(pulls.Load.Steps(j.rules.Design), strengthSteps(s, wear, hasN, needsN)...)
	j.add(v)
}

// strengthSteps are the figures of a part's strength against the pull on it.
func strengthSteps(s tackle.Strength, wear swing.Step, hasN, needsN float64) []swing.Step {
	return []swing.Step{newtons("T", "pull where it hangs, by the statics of the line", "sqrt(H² + V²)", needsN, swing.Computed),
		newtons("W", "working load as new", s.From, float64(s.Working), swing.Computed), wear,
		newtons("W s", "working load of what is left", "W · s", hasN, swing.Computed)}
}

// wearOf is the share of its strength that a part was left with at its last inspection; all of it is assumed where there is none on record.
func wearOf(p *geo.Part) swing.Step {
	wear := swing.Step{Symbol: "s", Name: "share of it that is left", Value: 1, From: swing.OnRecord}
	left, known := p.LeftRatio.Get()
	if known {
		wear.Value = tackle.RemainingStrength(p.Kind, left)
		return wear
	}
	wear.From, wear.Note = swing.Assumed, "no inspection is on record: as new"
	return wear
}

// noStrength is a verdict on a part of which no figure is found: something is not on record, or nothing is published of such a part.
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

// anchors judges what the anchors hold at the angle at which they are pulled; err says why the pulls are not known.
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
		if p := &j.m.Tackle[i]; p.Kind == geo.Anchor {
			j.anchor(p, count, pulls, err)
		}
	}
}

// anchor judges what an anchor holds, which the record has once and count of which lie there.
func (j *judgement) anchor(p *geo.Part, count int, pulls *swing.Pulls, err error) {
	v := Verdict{Constraint: ByAnchor, Of: p.Material}
	h, lacks := tackle.HoldingOf(*p, j.lines().Holding, count)
	switch {
	case lacks != nil:
		j.add(noStrength(v, lacks))
	case err != nil:
		j.add(unknownPull(ByAnchor, p.Material, err))
	default:
		j.holding(v, h, pulls)
	}
}

// holding judges the pull along the line against what the anchor holds along it. That lies between two figures, and between them only a
// pull on it tells.
func (j *judgement) holding(v Verdict, level tackle.Holding, pulls *swing.Pulls) {
	pull := pulls.Anchor
	v.Case = j.caseOf(pull.Level)
	at, told := level.At(pull.UpDeg)
	if !told {
		j.add(j.uplift(v, pulls))
		return
	}
	along := 1 / math.Cos(pull.UpDeg*math.Pi/180) // of the horizontal part; there need be no load
	minN, maxN, needsN := float64(at.Min)*along, float64(at.Max)*along, float64(pull.Pull)
	v.between(minN, maxN, needsN)
	if j.brief && v.Fits.Or(false) {
		return
	}
	v.Note = level.From
	v.Working = append(j.anchorSteps(pulls), holdingSteps(level, pull.UpDeg, minN, maxN)...)
	j.add(v)
}

// holdingSteps are the figures of what an anchor holds at an angle.
func holdingSteps(level tackle.Holding, upDeg, minN, maxN float64) []swing.Step {
	return []swing.Step{
		{Symbol: "a", Name: "angle of that pull above the level", Value: upDeg, Unit: "deg", From: swing.Computed},
		newtons("P1", "holds against a level pull, at the least", level.From, float64(level.Min), swing.Computed),
		newtons("P2", "holds against a level pull, at the most", "", float64(level.Max), swing.Computed),
		newtons("P1a", "holds at that angle along the line, at the least", level.AlongFormula(), minN, swing.Computed),
		newtons("P2a", "holds at that angle along the line, at the most", level.AlongFormula(), maxN, swing.Computed),
	}
}

// uplift is the verdict on an anchor that is pulled more steeply than what it holds can be told for.
func (j *judgement) uplift(v Verdict, pulls *swing.Pulls) Verdict {
	upDeg := pulls.Anchor.UpDeg
	v.figuresWith(upDeg, tackle.SteepestDeg, tackle.SteepestDeg-upDeg, "deg")
	v.Reason, v.IsMax = Uplift, true
	v.Working = j.anchorSteps(pulls)
	return v
}

// anchorSteps are the figures of the pull at the anchor.
func (j *judgement) anchorSteps(pulls *swing.Pulls) []swing.Step {
	return append(pulls.Load.Steps(j.rules.Design),
		newtons("T", "pull at the anchor, by the statics of the line", "sqrt(H² + V²)", float64(pulls.Anchor.Pull), swing.Computed))
}

// row is what the harbor's own table asks for the boat.
func (j *judgement) row() (geo.TackleRow, bool) {
	t, ok := j.lines().TableFor(j.m.Area)
	loa, known := j.boat.LOA.Get()
	if !ok || !known {
		return geo.TackleRow{}, false
	}
	return t.For(loa)
}

// table holds the tackle against the harbor's own table.
func (j *judgement) table() {
	t, ok := j.lines().TableFor(j.m.Area)
	if !ok {
		return
	}
	if !j.boat.LOA.IsKnown() {
		j.add(unknown(ByTable, t.Name, NotOnRecord, "loa_m"))
		return
	}
	row, found := j.row()
	if !found {
		v := unknown(ByTable, t.Name, BeyondTable)
		v.Note = "the table ends below this length: ask the harbormaster"
		j.add(v)
		return
	}
	for _, x := range asked(row) {
		if x.needs.IsKnown() && !j.hasNone(x.kind) {
			j.add(j.byTable(t, x))
		}
	}
}

// tableEntry is what a table asks of one kind of part.
type tableEntry struct {
	kind  geo.PartKind
	needs geo.Maybe[float64]
	unit  string // "kg" of weight, "mm" of size
}

// asked are the entries of a row, the weight of all its anchors together.
func asked(row geo.TackleRow) [4]tableEntry {
	anchors := row.Anchor
	if each, known := anchors.Get(); known {
		anchors = geo.Known(each * geo.Kilograms(max(1, row.Anchors)))
	}
	return [...]tableEntry{{geo.Anchor, figure(anchors, 1), "kg"}, {geo.GroundChain, figure(row.GroundChain, mmPerM), "mm"},
		{geo.TopChain, figure(row.TopChain, mmPerM), "mm"}, {geo.Pennant, figure(row.Pennant, mmPerM), "mm"}}
}

// mmPerM: tables of chain and rope have sizes in millimetres.
const mmPerM = 1000

// figure is a measure as a plain number of another unit.
func figure[T ~float64](v geo.Maybe[T], unitRatio float64) geo.Maybe[float64] {
	x, known := v.Get()
	if !known {
		return geo.Maybe[float64]{}
	}
	return geo.Known(float64(x) * unitRatio)
}

// of is the figure of a part that an entry asks for.
func (x *tableEntry) of(p *geo.Part) geo.Maybe[float64] {
	if x.unit == "kg" {
		return figure(p.Weight, 1)
	}
	return figure(p.Size, mmPerM)
}

// roundingRatio is the share of a size in a table that passes for all of it: tables in inches are told in round millimetres, and a
// chain of 1/2 in (12.7 mm) is what a table means that says 13 mm.
const roundingRatio = 0.97

// byTable is the verdict on one part by the table.
func (j *judgement) byTable(t geo.TackleTable, x tableEntry) Verdict {
	v := Verdict{Constraint: ByTable, Of: string(x.kind), Needs: x.needs, Unit: x.unit, Note: t.Name}
	needs := x.needs.Or(0)
	for i := range j.m.Tackle {
		p := &j.m.Tackle[i]
		has, known := x.of(p).Get()
		if p.Kind != x.kind || !known {
			continue
		}
		v.figures(has, needs, x.unit)
		if v.Fits, v.Reason = geo.Known(true), Holds; has < roundingRatio*needs {
			v.surelyNot(Weak)
		}
		return v
	}
	v.Missing, v.Reason = []string{string(x.kind) + "_size"}, NotOnRecord
	if x.kind == geo.Anchor {
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
