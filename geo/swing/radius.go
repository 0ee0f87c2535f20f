package swing

import (
	"fmt"
	"slices"

	"swingroom/geo"
)

// Radius works out the swing radius of a mooring by its rules, at the low level, with the working shown.
//
// A radius stated on the mooring governs whatever the rule. A vacant mooring without one keeps the water of the largest boat set for its
// place, or none. Where the depth or the levels are unknown, a taut radius is replaced by the stretched one, which is never smaller, and
// Bound says so; where nothing can bound it the radius is unknown and Missing says why. Where a rule gives less than the boat or the line
// needs, Contradictions has both figures.
func Radius(in Input) Answer {
	w := newCalculation(in)
	w.basis()
	switch stated, known := in.Mooring.StatedRadius.Get(); {
	case known:
		w.stated(stated)
	case w.answer.Basis == ForNone:
	default:
		w.byRule()
	}
	w.contradictions()
	return w.answer
}

// calculation carries one answer while its lines are written.
type calculation struct {
	in     Input
	answer Answer
}

func newCalculation(in Input) *calculation {
	return &calculation{in: in, answer: Answer{Rule: in.Rules.Swing.Kind, Working: []Step{}, Missing: []string{}, Faults: []geo.Words{},
		Contradictions: []Contradiction{}}}
}

func (w *calculation) basis() {
	switch m := w.in.Mooring; {
	case m.Status != geo.Vacant:
		w.answer.Basis = ForBoat
	case m.LargestLOA.IsKnown():
		w.answer.Basis = ForLargest
	default:
		w.answer.Basis = ForNone
	}
}

// stated takes the number on record.
func (w *calculation) stated(radius geo.Metres) {
	w.answer.Rule = geo.Stated
	if w.answer.Basis == ForNone {
		w.answer.Basis = ByStatement
	}
	w.addMetres("R", "swing radius stated on record", "", radius, OnRecord)
	w.answer.Radius = geo.Known(radius)
}

// rules are how a radius is worked out by each rule of an area.
var rules = map[geo.RuleKind]func(*calculation){
	geo.Stretched:   (*calculation).stretched,
	geo.Taut:        (*calculation).taut,
	geo.TautStretch: (*calculation).tautStretch,
	geo.ScopeRule:   (*calculation).scope,
	geo.Catenary:    (*calculation).catenary,
	geo.Formula:     (*calculation).formula,
}

func (w *calculation) byRule() {
	rule, ok := rules[w.in.Rules.Swing.Kind]
	if !ok { // geo.Stated, and no number on record
		w.missing("radius_m")
		return
	}
	rule(w)
}

// stretched: R = L + o.
func (w *calculation) stretched() {
	l, lok := w.rode()
	o, ook := w.farthest()
	if lok && ook {
		w.radius(l+o, "L + o", "")
	}
}

// taut: R = sqrt(L² - h²) + o, h at the low level.
func (w *calculation) taut() {
	l, lok := w.rode()
	h, hok := w.riseAtLow(true)
	o, ook := w.farthest()
	if lok && ook {
		w.finishTaut(l, h, o, hok)
	}
}

// finishTaut ends the rule taut; hok is false where the rise h is not known.
func (w *calculation) finishTaut(l, h, o geo.Metres, hok bool) {
	if !hok {
		w.answer.Bound = true
		w.radius(l+o, "L + o", "upper bound: the height from bed to bow is not known, and the true radius is never larger")
		return
	}
	w.finishDrawn(l, "L", h, o)
}

// ScopeRounding is by how much a rode may be longer than the scope asks: one that was cut to it, in tenths of a foot.
const ScopeRounding geo.Metres = 0.05

// scope: the rode is scope times the height from bed to bow at the high level; then as taut.
func (w *calculation) scope() {
	high, highOK := w.depthAt(highLevel, "high")
	b, bOK := w.bowHeight(false)
	o, oOK := w.farthest()
	if !highOK || !bOK {
		return
	}
	l := w.rodeByScope(high + b)
	low, lowOK := w.depthAt(lowLevel, "low")
	if lowOK && oOK {
		w.finishDrawn(l, "L", w.rise(low, b), o)
	}
}

// rodeByScope is L for a height from bed to bow at the high level. It also tells the fault of a rode on record that is longer.
func (w *calculation) rodeByScope(height geo.Metres) geo.Metres {
	ratio := w.in.Rules.Swing.ScopeRatio
	w.addRatio("s", "scope asked by the area", ratio)
	l := geo.Metres(ratio) * height
	w.addMetres("L", "rode by that scope", "s · (D_high + b)", l, Computed)
	if onRecord, _ := w.in.Mooring.Tackle.RodeLength(); onRecord.Or(0) > l+ScopeRounding {
		w.fault("the rode on record, %s, is longer than the scope of %g allows (%s)", onRecord.Or(0), ratio, l)
	}
	return l
}

// formula: R = a·LOA + b·depth + c.
func (w *calculation) formula() {
	rule := w.in.Rules.Swing
	o, oOK := w.farthest()
	w.addRatio("a", "share of the length, by the area's formula", rule.LOARatio)
	d, dOK := w.formulaDepth()
	w.addMetres("c", "constant of the area's formula", "", rule.Constant, Default)
	if !oOK || !dOK {
		return
	}
	r := geo.Metres(rule.LOARatio)*o + geo.Metres(rule.DepthRatio)*d + rule.Constant
	if r <= 0 {
		w.fault("the area's formula gives a radius of %s", r)
		return
	}
	w.radius(r, "a · o + b · d + c", "")
}

// formulaDepth is the depth where the area's formula asks for it.
func (w *calculation) formulaDepth() (d geo.Metres, ok bool) {
	ratio := w.in.Rules.Swing.DepthRatio
	if ratio == 0 {
		return 0, true
	}
	d, ok = w.depth()
	w.addRatio("b", "share of the depth, by the area's formula", ratio)
	return d, ok
}

// finishDrawn ends the rules that draw a rode of a length taut; symbol is that of the length.
func (w *calculation) finishDrawn(l geo.Metres, symbol string, h, o geo.Metres) {
	x, err := Taut(l, h)
	if err != nil {
		w.fault("the rode of %s is shorter than the height from bed to bow at low water, %s", l, h)
		w.missing("rode_m")
		return
	}
	w.addMetres("X", "reach of the rode drawn taut", fmt.Sprintf("sqrt(%s² - h²)", symbol), x, Computed)
	w.radius(x+o, "X + o", "")
}

func (w *calculation) radius(r geo.Metres, formula, note string) {
	w.add(Step{Symbol: "R", Name: "swing radius", Formula: formula, Value: float64(r), Unit: "m", From: Computed, Note: note})
	w.answer.Radius = geo.Known(r)
}

func (w *calculation) add(s Step) { w.answer.Working = append(w.answer.Working, s) }

// addMetres adds a length to the working; formula is empty for what is on record.
func (w *calculation) addMetres(symbol, name, formula string, v geo.Metres, from Source) {
	w.add(Step{Symbol: symbol, Name: name, Formula: formula, Value: float64(v), Unit: "m", From: from})
}

// addAssumed adds a length that is taken for want of a record, and why.
func (w *calculation) addAssumed(symbol, name string, v geo.Metres, note string) {
	w.add(Step{Symbol: symbol, Name: name, Value: float64(v), Unit: "m", From: Assumed, Note: note})
}

// addRatio adds a figure of the area's rule that has no unit.
func (w *calculation) addRatio(symbol, name string, ratio float64) {
	w.add(Step{Symbol: symbol, Name: name, Value: ratio, From: Default})
}

func (w *calculation) missing(field string) { w.answer.Missing = append(w.answer.Missing, field) }

// missingOnce names a field unless it is named already.
func (w *calculation) missingOnce(field string) {
	if !slices.Contains(w.answer.Missing, field) {
		w.missing(field)
	}
}

func (w *calculation) fault(format string, args ...any) {
	w.answer.Faults = append(w.answer.Faults, geo.Tell(format, args...))
}
