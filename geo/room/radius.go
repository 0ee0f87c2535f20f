package room

import (
	"math"

	"swingroom/geo"
	"swingroom/geo/bed"
	"swingroom/geo/swing"
)

// rode is the length of the rode where it is the same at every place.
func (q *Question) rode() (geo.Metres, bool) {
	if q.ask.ScopeRatio > 0 || len(q.ask.Tackle) == 0 {
		return 0, false
	}
	l, _ := q.ask.Tackle.RodeLength()
	return l.Get()
}

// Untitled is the number of a mooring that is only tried; no buoy has it.
const Untitled = "(new)"

// untitled is the mooring that would be laid, at no place yet.
func (q *Question) untitled() geo.Mooring {
	boat := q.ask.Boat
	return geo.Mooring{Number: Untitled, Area: q.ask.Area, Status: geo.Occupied, Boat: &boat, Tackle: q.ask.Tackle,
		StatedRadius: q.ask.Radius}
}

// mooring is the one that would be laid at a place.
func (q *Question) mooring(at geo.Offset) geo.Mooring {
	f := q.water.field
	m := q.untitled()
	m.Position, m.Accuracy = f.Frame().Position(at), geo.Known(geo.Metres(0))
	if q.ask.ScopeRatio > 0 {
		if d, err := f.Bed().Depth(at); err == nil {
			m.Tackle = q.cut(d)
		}
	}
	return m
}

// cut is the rode by scope at a depth.
func (q *Question) cut(depth geo.Metres) geo.Tackle {
	return CutTo(q.harbor(), q.ask.ScopeRatio, depth, &q.ask.Boat)
}

// CutTo is a rode of so many times the height from the bed to the boat's bow at the high level.
func CutTo(h *geo.Harbor, scopeRatio float64, depth geo.Metres, boat *geo.Boat) geo.Tackle {
	return rodeOnly(geo.Metres(scopeRatio) * max(0, depth+levelsOf(h).High+boat.BowHeight.Or(0)))
}

// rodeOnly is a tackle of which nothing but the rode's length is known.
func rodeOnly(length geo.Metres) geo.Tackle {
	return geo.Tackle{{Kind: geo.Rode, Length: geo.Known(length)}}
}

// levelsOf are the harbor's design levels; 0 where they are not known.
func levelsOf(h *geo.Harbor) geo.Levels { return h.Levels.Or(geo.Levels{}) }

// levels are those of the question's harbor.
func (q *Question) levels() geo.Levels { return levelsOf(q.harbor()) }

// swingAt works out the boat's radius at a depth, by the rules and with the working.
func (q *Question) swingAt(depth geo.Metres) swing.Answer { return swing.Radius(q.inputAt(depth)) }

// inputAt is what the answers about the boat are worked out from at a depth; a rode by scope is cut to it.
func (q *Question) inputAt(depth geo.Metres) swing.Input {
	m := q.untitled()
	if q.ask.ScopeRatio > 0 {
		m.Tackle = q.cut(depth)
	}
	return q.inputOf(&m, depth)
}

// inputOf is what the answers about a mooring in the area are worked out from at a depth.
func (q *Question) inputOf(m *geo.Mooring, depth geo.Metres) swing.Input {
	h := q.harbor()
	return swing.Input{Mooring: m, Rules: q.rules, Levels: h.Levels, Depth: geo.Known(depth), DepthFrom: swing.Computed,
		Lines: h.Defaults.Lines}
}

// makeRadius finds how the boat's radius goes with the depth. The error tells what is missing.
func (q *Question) makeRadius() error {
	bed := q.bed()
	if !q.harbor().Levels.IsKnown() {
		return q.lacks("harbor", "levels", "the design levels are needed for the boat's radius")
	}
	if err := q.lacksDepths(); err != nil {
		return err
	}
	shallow, deep, _ := bed.SoundedRange()
	some := q.swingAt(max(shallow, min(deep, 0)))
	if err := q.lacksForRadius(some); err != nil {
		return err
	}
	if q.constant() {
		q.plan.radius.fixedM = orInfinite(some.Radius)
		return nil
	}
	q.plan.radius = q.radiusByDepth(float64(shallow), float64(deep))
	q.plan.radius.overBed(bed, shallow, deep)
	return nil
}

// lacksDepths is the error of an area without any depths; nil where there are some.
func (q *Question) lacksDepths() error {
	if gap, empty := q.bed().Empty(); empty {
		return q.lacks("area "+q.ask.Area, "depth", string(gap)+", so no place can be said to be deep enough")
	}
	return nil
}

// lacksForRadius is the error of a radius that is not known anywhere. A bound is as good as a radius: no place is then told to be open that
// is not. A rode that is too short at one depth may still do elsewhere; anything else is missing for good.
func (q *Question) lacksForRadius(some swing.Answer) error {
	if some.Radius.IsKnown() {
		return nil
	}
	for _, field := range some.Missing {
		if field != "rode_m" || q.noTackle() {
			return q.lacks("boat", field, "it is needed for the swing radius")
		}
	}
	return nil
}

// noTackle reports an ask that says nothing of what is laid.
func (q *Question) noTackle() bool { return len(q.ask.Tackle) == 0 && q.ask.ScopeRatio == 0 }

// orInfinite is a radius in metres, infinite where it is not known: no place is large enough for it.
func orInfinite(r geo.Maybe[geo.Metres]) float64 { return float64(r.Or(geo.Metres(math.Inf(1)))) }

// overBed takes the depths from a bed that lies between two.
func (r *radius) overBed(b *bed.Bed, shallow, deep geo.Metres) {
	r.depth = func(at geo.Offset) (float64, bool) {
		d, err := b.Depth(at)
		return float64(d), err == nil
	}
	r.span = func(at geo.Offset, reachM float64) (float64, float64) {
		const wide = 30 // metres: beyond it the whole bed's extent is as good
		if reachM < wide {
			if lo, hi, ok := b.DepthRange(at, geo.Metres(reachM)); ok {
				return float64(lo), float64(hi)
			}
		}
		return float64(shallow), float64(deep)
	}
}

// constant reports a radius that does not change with the depth.
func (q *Question) constant() bool {
	if q.ask.Radius.IsKnown() {
		return true
	}
	switch q.rules.Swing.Kind {
	case geo.Stated:
		return true
	case geo.Stretched:
		return q.ask.ScopeRatio == 0
	case geo.Formula:
		return q.rules.Swing.DepthRatio == 0
	}
	return false
}

// radiusByDepth is the boat's radius by the depth below chart datum, and its bounds between two depths. The rules' own formulas are short,
// and the search asks thousands of times; a line of which only the statics know, or one that stretches so much that the boat swings farther
// in deeper water, is looked up in a table.
func (q *Question) radiusByDepth(shallowM, deepM float64) radius {
	byDepth := q.formula(shallowM, deepM)
	if byDepth == nil {
		return q.tabled(shallowM, deepM)
	}
	lengthM := q.boatLengthM()
	return radius{byDepth: byDepth, between: func(shallowM, deepM float64) (minM, maxM float64) {
		atShallowM, atDeepM := byDepth(shallowM), byDepth(deepM)
		minM, maxM = min(atShallowM, atDeepM), max(atShallowM, atDeepM)
		if math.IsInf(maxM, 1) {
			// Somewhere between, the rode just reaches: there the boat lies above its anchor and swings by its own length.
			minM = min(minM, lengthM)
		}
		return minM, maxM
	}}
}

// boatLengthM is the length that swings, 0 where it is not known.
func (q *Question) boatLengthM() float64 {
	length, _ := q.ask.Boat.SwingLength()
	return float64(length.Or(0))
}

// formula is the boat's radius by the depth as the rules have it; nil where a table has to serve.
func (q *Question) formula(shallowM, deepM float64) func(depthM float64) float64 {
	rule := q.rules.Swing
	rode, taut, o := q.rodeByDepth(), q.tautByDepth(), q.boatLengthM()
	switch rule.Kind {
	case geo.Stretched:
		return func(depthM float64) float64 { return rode(depthM) + o }
	case geo.Taut:
		return func(depthM float64) float64 { return taut(rode(depthM), depthM) }
	case geo.TautStretch:
		if q.ask.ScopeRatio > 0 {
			return func(depthM float64) float64 { return taut(rode(depthM), depthM) }
		}
		if r, ok := swing.ByDepth(q.inputAt(geo.Metres(shallowM))); ok && falls(r, shallowM, deepM) {
			return r
		}
	case geo.ScopeRule:
		asked := q.scopeByDepth(rule.ScopeRatio)
		return func(depthM float64) float64 { return taut(asked(depthM), depthM) }
	case geo.Formula:
		return func(depthM float64) float64 { return rule.LOARatio*o + rule.DepthRatio*depthM + float64(rule.Constant) }
	}
	return nil
}

// rodeByDepth is the length of the rode at a depth.
func (q *Question) rodeByDepth() func(depthM float64) float64 {
	if scope := q.ask.ScopeRatio; scope > 0 {
		high, b := q.heights()
		return func(depthM float64) float64 { return scope * math.Max(0, depthM+high+b) }
	}
	l, _ := q.rode()
	return func(float64) float64 { return float64(l) }
}

// heights are that of the high level above chart datum and that of the bow above the water.
func (q *Question) heights() (highM, bowM float64) {
	return float64(q.levels().High), float64(q.ask.Boat.BowHeight.Or(0))
}

// scopeByDepth is the rode that an area's scope asks: over the height from the bed, or from the high level where the bed dries, to the bow.
func (q *Question) scopeByDepth(scopeRatio float64) func(depthM float64) float64 {
	high, b := q.heights()
	return func(depthM float64) float64 { return scopeRatio * (math.Max(0, depthM+high) + b) }
}

// tautByDepth is the radius on a rode of a length that is drawn straight at the low level; infinite where it does not reach.
func (q *Question) tautByDepth() func(rodeM, depthM float64) float64 {
	low, b, o := float64(q.levels().Low), float64(q.ask.Boat.BowHeight.Or(0)), q.boatLengthM()
	return func(rodeM, depthM float64) float64 {
		h := math.Max(0, depthM+low) + b
		if rodeM < h {
			return math.Inf(1) // too short: no place for the boat
		}
		return math.Sqrt((rodeM-h)*(rodeM+h)) + o
	}
}

// depthStepM is between the depths at which a radius is looked up; overTable adds what the curve may bend between two of them.
const depthStepM = 0.1

// radiusTable is a radius that is looked up between entries.
type radiusTable struct {
	shallowM float64
	atM      []float64 // every depthStepM from shallowM on
}

// tabled is a radius that is looked up between the entries of a table, between the least and the greatest depth of the bed: never too
// small, and without a jump where the rode is long enough, so that an edge has none.
func (q *Question) tabled(shallowM, deepM float64) radius {
	n := int((deepM-shallowM)/depthStepM) + 2
	exactM := make([]float64, n+1)
	for i := range exactM {
		exactM[i] = orInfinite(q.swingAt(geo.Metres(shallowM + depthStepM*float64(i))).Radius)
	}
	t := &radiusTable{shallowM: shallowM, atM: overTable(exactM)}
	return radius{byDepth: t.byDepth, between: t.between}
}

// row is the entry at or above a depth, and how far the depth lies beyond it.
func (t *radiusTable) row(depthM float64) (i int, aboveRatio float64) {
	n := len(t.atM) - 1
	steps := max(0, min(float64(n), (depthM-t.shallowM)/depthStepM))
	i = min(n-1, int(steps))
	return i, steps - float64(i)
}

func (t *radiusTable) byDepth(depthM float64) float64 {
	i, aboveRatio := t.row(depthM)
	a, b := t.atM[i], t.atM[i+1]
	if math.IsInf(max(a, b), 1) {
		return math.Inf(1)
	}
	return a + aboveRatio*(b-a)
}

func (t *radiusTable) between(fromM, toM float64) (minM, maxM float64) {
	minM, maxM = min(t.byDepth(fromM), t.byDepth(toM)), max(t.byDepth(fromM), t.byDepth(toM))
	from, _ := t.row(fromM)
	to, _ := t.row(toM)
	for i := from; i <= to; i++ {
		minM, maxM = min(minM, t.atM[i]), max(maxM, t.atM[i])
	}
	return minM, maxM
}

// overTable lifts the entries of a table so that straight lines between them run nowhere under a smooth curve through them, by an eighth of
// the second differences nearby, and nowhere rise with the depth.
func overTable(exactM []float64) []float64 {
	bendM := bends(exactM)
	over := make([]float64, len(exactM))
	deeper := 0.0
	for i := len(exactM) - 1; i >= 0; i-- {
		if over[i] = exactM[i]; !math.IsInf(exactM[i], 1) {
			deeper = max(deeper, exactM[i]+max(bendM[max(0, i-1)], bendM[i], bendM[min(len(bendM)-1, i+1)]))
			over[i] = deeper
		}
	}
	return over
}

// bends are an eighth of the second differences of a table: how far a smooth curve leaves the straight line between two entries at most.
func bends(exactM []float64) []float64 {
	bendM := make([]float64, len(exactM))
	for i := 1; i+1 < len(exactM); i++ {
		if b := math.Abs(exactM[i-1]-2*exactM[i]+exactM[i+1]) / 8; !math.IsInf(b, 0) && !math.IsNaN(b) {
			bendM[i] = b
		}
	}
	return bendM
}

// falls reports a radius that nowhere grows with the depth, as far as the rode is long enough.
func falls(radiusM func(depthM float64) float64, fromM, toM float64) bool {
	before := math.Inf(1)
	for depthM := fromM; depthM <= toM+depthStepM; depthM += depthStepM {
		r := radiusM(depthM)
		if math.IsInf(r, 1) {
			return true
		}
		if r > before {
			return false
		}
		before = r
	}
	return true
}
