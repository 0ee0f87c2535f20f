package swing

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
)

// catenary: R = X(H) + o, X the reach of the line as it hangs and stretches under the design load H ([DesignLoadOf]), at the low level.
// Where a record is missing for that it is told, and the rode stretched as far as its rope goes before it breaks bounds the radius.
func (w *calculation) catenary() {
	l, lok := w.rode()
	_, hok := w.riseAtLow(false)
	vessel, err := NewVessel(w.in)
	for _, fe := range geo.FieldErrors(err) {
		if fe.Field != "loa_m" /* farthest tells that */ && !slices.Contains(w.answer.Missing, fe.Field) {
			w.missing(fe.Field)
		}
	}
	var load geo.Newtons
	loaded := false
	if err == nil && lok && hok {
		load, loaded = w.designLoad(*w.in.Mooring.Boat)
	}
	o, ook := w.farthest()
	if !lok || !ook {
		return
	}
	if !loaded {
		w.answer.Bound = true
		s := stretchBound{ropes: ropesOf(w.in.Mooring, w.in.Lines.Ropes), lengthM: float64(l)}
		w.radius(w.lengthened(&s, 0, false)+o, "L' + o", "upper bound: without what is missing there is no telling how the line hangs")
		return
	}
	levels := w.in.Levels.Or(geo.Levels{})
	moored, err := vessel.At(levels.Low)
	if err != nil && !errors.Is(err, geo.ErrShortRode) {
		w.fault("%v", err)
		w.missing("tackle")
		return
	}
	if err != nil {
		w.fault("the line does not reach from the bed to the bow at low water")
		w.missing("rode_m")
		return
	}
	state, err := moored.Rode.At(load)
	if err != nil {
		w.fault("the line does not reach from the bed to the bow at low water under the design load")
		w.missing("rode_m")
		return
	}
	w.add(Step{Symbol: "X", Name: "reach of the line as it hangs under that load", Formula: "sum of the parts' catenaries under H",
		Value: float64(state.Reach), Unit: "m", From: Computed,
		Note: strings.Join(append(slices.Clone(vessel.Tackle.Assumed),
			fmt.Sprintf("the anchor is pulled %.1f° upwards", state.AnchorPullUpDeg)), "; ")})
	w.add(Step{Symbol: "B", Name: "of the line, what lies on the bed under that load", Value: float64(state.OnBed), Unit: "m",
		From: Computed})
	if words, under := BuoyWords(state.Buoy); under {
		w.fault("under the design load %s", words)
	}
	w.radius(state.Reach+o, "X + o", "")
}

// ByRule is the radius that a mooring would have by a rule, whatever its area sets.
type ByRule struct {
	Rule    geo.RuleKind          `json:"rule"`
	Radius  geo.Maybe[geo.Metres] `json:"radius_m"`
	Bound   bool                  `json:"bound"`
	Working []Step                `json:"working"`
	Missing []string              `json:"missing"`
	Words   geo.Words             `json:"words"` // what choosing it gives up
}

// ByRules gives the radii by the rules stretched, taut, taut with stretch and catenary beside each other, and what choosing each gives up.
// A radius stated on record is left aside.
func ByRules(in Input) []ByRule {
	bare := *in.Mooring
	bare.StatedRadius = geo.Maybe[geo.Metres]{}
	in.Mooring = &bare
	all := map[geo.RuleKind]*ByRule{}
	kinds := []geo.RuleKind{geo.Stretched, geo.Taut, geo.TautStretch, geo.Catenary}
	for _, kind := range kinds {
		in.Rules.Swing = geo.SwingRule{Kind: kind}
		a := Radius(in)
		all[kind] = &ByRule{Rule: kind, Radius: a.Radius, Bound: a.Bound, Working: a.Working, Missing: a.Missing}
	}
	all[geo.Stretched].Words = geo.Plain("never too small for chain; keeps more water than the boat can reach")
	all[geo.Taut].Words = geo.Plain("no wind draws chain farther; what rope stretches is left out")
	all[geo.TautStretch].Words = geo.Plain("the safe default: never less than the line reaches under the design load")
	taut, tautKnown := all[geo.Taut].Radius.Get()
	hangs, hangsKnown := all[geo.Catenary].Radius.Get()
	words := &all[geo.Catenary].Words
	switch {
	case !tautKnown || !hangsKnown || all[geo.Taut].Bound || all[geo.Catenary].Bound:
		*words = geo.Plain("needs the whole tackle, the boat's beam and bow height, the depth and the levels on record")
	case hangs > taut:
		*words = geo.Tell("%s more than taut: the line stretches under the design load, and the taut radius is too small by that",
			hangs-taut)
	default:
		*words = geo.Tell("%s less than taut. It gives up that much: more wind than the design wind, worn or changed chain, or a boat "+
			"of more windage swings farther", taut-hangs)
	}
	var out []ByRule
	for _, kind := range kinds {
		out = append(out, *all[kind])
	}
	return out
}
