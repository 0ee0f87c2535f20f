package room

import (
	"math"

	"swingroom/geo"
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

// Mooring is the one that would be laid at a place.
func (q *Question) mooring(at geo.Offset) geo.Mooring {
	f := q.water.field
	boat := q.ask.Boat
	m := geo.Mooring{Number: Untitled, Area: q.ask.Area, Status: geo.Occupied, Position: f.Frame().Position(at),
		Accuracy: geo.Known(geo.Metres(0)), Boat: &boat, Tackle: q.ask.Tackle, StatedRadius: q.ask.Radius}
	if q.ask.ScopeRatio > 0 {
		if d, err := f.Bed().Depth(at); err == nil {
			m.Tackle = q.cut(d)
		}
	}
	return m
}

// Untitled is the number of a mooring that is only tried; no buoy has it.
const Untitled = "(new)"

// cut is the rode by scope at a depth.
func (q *Question) cut(depth geo.Metres) geo.Tackle {
	return CutTo(q.water.field.Harbor(), q.ask.ScopeRatio, depth, &q.ask.Boat)
}

// CutTo is a rode of so many times the height from the bed to her bow at the high level.
func CutTo(h *geo.Harbor, scopeRatio float64, depth geo.Metres, boat *geo.Boat) geo.Tackle {
	high := h.Levels.Or(geo.Levels{}).High
	return geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(scopeRatio) * max(0, depth+high+boat.BowHeight.Or(0)))}}
}

// swingAt works out her radius at a depth, by the rules and with the working.
func (q *Question) swingAt(depth geo.Metres) swing.Answer { return swing.Radius(q.inputAt(depth)) }

func (q *Question) inputAt(depth geo.Metres) swing.Input {
	h := q.water.field.Harbor()
	boat := q.ask.Boat
	m := geo.Mooring{Number: Untitled, Status: geo.Occupied, Boat: &boat, Tackle: q.ask.Tackle, StatedRadius: q.ask.Radius}
	if q.ask.ScopeRatio > 0 {
		m.Tackle = q.cut(depth)
	}
	return swing.Input{Mooring: &m, Rules: q.rules, Levels: h.Levels, Depth: geo.Known(depth), DepthFrom: swing.Computed,
		Lines: h.Defaults.Lines}
}

// makeRadius finds how her radius goes with the depth. The error tells what is missing.
func (q *Question) makeRadius() error {
	h := q.water.field.Harbor()
	bed := q.water.field.Bed()
	if !h.Levels.IsKnown() {
		return q.lacks("harbor", "levels", "the design levels are needed for her radius")
	}
	if gap, empty := bed.Empty(); empty {
		return q.lacks("area "+q.ask.Area, "depth", string(gap)+", so no place can be said to be deep enough")
	}
	shallow, deep, _ := bed.SoundedRange()
	some := q.swingAt(max(shallow, min(deep, 0)))
	if !some.Radius.IsKnown() { // a bound is as good: no place is then told to be open that is not
		// A rode that is too short there may still do elsewhere; anything else is missing for good.
		for _, field := range some.Missing {
			if field != "rode_m" || len(q.ask.Tackle) == 0 && q.ask.ScopeRatio == 0 {
				return q.lacks("boat", field, "it is needed for her swing radius")
			}
		}
	}
	if q.constant() {
		q.plan.radius.fixedM = float64(some.Radius.Or(geo.Metres(math.Inf(1))))
		return nil
	}
	byDepth, between := q.byDepth(shallow, deep)
	q.plan.radius = radius{
		byDepth: byDepth,
		between: between,
		depth: func(at geo.Offset) (float64, bool) {
			d, err := bed.Depth(at)
			return float64(d), err == nil
		},
		span: func(at geo.Offset, reachM float64) (float64, float64) {
			const wide = 30 // metres: beyond it the whole bed's extent is as good
			if reachM < wide {
				if lo, hi, ok := bed.DepthRange(at, geo.Metres(reachM)); ok {
					return float64(lo), float64(hi)
				}
			}
			return float64(shallow), float64(deep)
		},
	}
	return nil
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

// byDepth is her radius by the depth below chart datum, and its bounds between two depths. The rules' own formulas are
// short, and the search asks thousands of times; a line of which only the statics know, or one that stretches so much that she
// swings farther in deeper water, is looked up in a table.
func (q *Question) byDepth(shallow, deep geo.Metres) (
	byDepth func(depthM float64) float64, between func(shallowM, deepM float64) (leastM, mostM float64),
) {
	levels := q.water.field.Harbor().Levels.Or(geo.Levels{})
	low, high, b := float64(levels.Low), float64(levels.High), float64(q.ask.Boat.BowHeight.Or(0))
	length, _ := q.ask.Boat.SwingLength()
	o := float64(length.Or(0))
	rule := q.rules.Swing
	rode := func(float64) float64 { l, _ := q.rode(); return float64(l) }
	if scope := q.ask.ScopeRatio; scope > 0 {
		rode = func(depthM float64) float64 { return scope * math.Max(0, depthM+high+b) }
	}
	taut := func(rodeM, depthM float64) float64 {
		h := math.Max(0, depthM+low) + b
		if rodeM < h {
			return math.Inf(1) // too short: no place for her
		}
		return math.Sqrt((rodeM-h)*(rodeM+h)) + o
	}
	switch rule.Kind {
	case geo.Stretched:
		byDepth = func(depthM float64) float64 { return rode(depthM) + o }
	case geo.Taut:
		byDepth = func(depthM float64) float64 { return taut(rode(depthM), depthM) }
	case geo.TautStretch:
		if q.ask.ScopeRatio > 0 {
			byDepth = func(depthM float64) float64 { return taut(rode(depthM), depthM) }
		} else if r, ok := swing.ByDepth(q.inputAt(shallow)); ok && falls(r, float64(shallow), float64(deep)) {
			byDepth = r
		}
	case geo.ScopeRule:
		byDepth = func(depthM float64) float64 { return taut(rule.ScopeRatio*(math.Max(0, depthM+high)+b), depthM) }
	case geo.Formula:
		byDepth = func(depthM float64) float64 {
			return rule.LOARatio*o + rule.DepthRatio*depthM + float64(rule.Constant)
		}
	}
	if byDepth == nil {
		return q.tabled(float64(shallow), float64(deep))
	}
	return byDepth, func(shallowM, deepM float64) (leastM, mostM float64) {
		atShallowM, atDeepM := byDepth(shallowM), byDepth(deepM)
		leastM, mostM = min(atShallowM, atDeepM), max(atShallowM, atDeepM)
		if math.IsInf(mostM, 1) {
			// Somewhere between, the rode just reaches: there she lies above her anchor and swings by her own length.
			leastM = min(leastM, o)
		}
		return leastM, mostM
	}
}

// tabled is byDepth of a radius that is looked up between the entries of a table, between the least and the greatest depth of the
// bed: never too small, and without a jump where the rode is long enough, so that an edge has none.
func (q *Question) tabled(shallowM, deepM float64) (
	byDepth func(depthM float64) float64, between func(shallowM, deepM float64) (leastM, mostM float64),
) {
	n := int((deepM-shallowM)/depthStepM) + 2
	exactM := make([]float64, n+1)
	for i := range exactM {
		exactM[i] = float64(q.swingAt(geo.Metres(shallowM + depthStepM*float64(i))).Radius.Or(geo.Metres(math.Inf(1))))
	}
	table := overTable(exactM)
	row := func(depthM float64) (i int, aboveRatio float64) {
		steps := max(0, min(float64(n), (depthM-shallowM)/depthStepM))
		i = min(n-1, int(steps))
		return i, steps - float64(i)
	}
	byDepth = func(depthM float64) float64 {
		i, aboveRatio := row(depthM)
		if math.IsInf(table[i], 1) || math.IsInf(table[i+1], 1) {
			return max(table[i], table[i+1])
		}
		return table[i] + aboveRatio*(table[i+1]-table[i])
	}
	return byDepth, func(fromM, toM float64) (leastM, mostM float64) {
		leastM, mostM = min(byDepth(fromM), byDepth(toM)), max(byDepth(fromM), byDepth(toM))
		from, _ := row(fromM)
		to, _ := row(toM)
		for i := from; i <= to; i++ {
			leastM, mostM = min(leastM, table[i]), max(mostM, table[i])
		}
		return leastM, mostM
	}
}

// overTable lifts the entries of a table so that straight lines between them run nowhere under a smooth curve through them, by an eighth of
// the second differences nearby, and nowhere rise with the depth.
func overTable(exactM []float64) []float64 {
	bendM := make([]float64, len(exactM))
	for i := 1; i+1 < len(exactM); i++ {
		if b := math.Abs(exactM[i-1]-2*exactM[i]+exactM[i+1]) / 8; !math.IsInf(b, 0) && !math.IsNaN(b) {
			bendM[i] = b
		}
	}
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

// depthStepM is between the depths at which a radius is looked up.
const depthStepM = 0.1

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
