package swing

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// catenary: R = X(H) + o, X the reach of the line as it hangs and stretches under the design load H ([DesignLoadOf]), at the low level.
// Where a record is missing for that it is told, and the rode stretched as far as its rope goes before it breaks bounds the radius.
func (w *calculation) catenary() {
	l, lok := w.rode()
	_, hok := w.riseAtLow(false)
	vessel, complete := w.vessel()
	var load geo.Newtons
	loaded := false
	if complete && lok && hok {
		load, loaded = w.designLoad(*w.in.Mooring.Boat)
	}
	o, ook := w.farthest()
	switch {
	case !lok || !ook:
	case loaded:
		w.hanging(vessel, load, o)
	default:
		w.answer.Bound = true
		s := stretchBound{ropes: ropesOf(w.in.Mooring, w.in.Lines.Ropes), lengthM: float64(l)}
		w.radius(w.lengthened(&s, 0, false)+o, "L' + o", "upper bound: without what is missing there is no telling how the line hangs")
	}
}

// vessel is the boat with its line; complete is false where a record is missing for it, which is told.
func (w *calculation) vessel() (v *Vessel, complete bool) {
	v, err := NewVessel(w.in)
	for _, fe := range geo.FieldErrors(err) {
		if fe.Field != "loa_m" /* farthest tells that */ {
			w.missingOnce(fe.Field)
		}
	}
	return v, err == nil
}

// hanging ends the rule with the line in equilibrium under the design load.
func (w *calculation) hanging(vessel *Vessel, load geo.Newtons, o geo.Metres) {
	state, err := vessel.stateAt(w.in.Levels.Or(geo.Levels{}).Low, load)
	switch {
	case errors.Is(err, errUnderLoad):
		w.fault("the line does not reach from the bed to the bow at low water under the design load")
		w.missing("rode_m")
		return
	case errors.Is(err, geo.ErrShortRode):
		w.fault("the line does not reach from the bed to the bow at low water")
		w.missing("rode_m")
		return
	case err != nil:
		w.fault("%v", err)
		w.missing("tackle")
		return
	}
	w.add(Step{Symbol: "X", Name: "reach of the line as it hangs under that load", Formula: "sum of the parts' catenaries under H",
		Value: float64(state.Reach), Unit: "m", From: Computed,
		Note: strings.Join(append(slices.Clone(vessel.Tackle.Assumed),
			fmt.Sprintf("the anchor is pulled %.1f° upwards", state.AnchorPullUpDeg)), "; ")})
	w.addMetres("B", "of the line, what lies on the bed under that load", "", state.OnBed, Computed)
	if words, under := BuoyWords(state.Buoy); under {
		w.fault("under the design load %s", words)
	}
	w.radius(state.Reach+o, "X + o", "")
}

// errUnderLoad says that a line which is long enough does not reach the bow under a load.
var errUnderLoad = errors.New("under load")

// stateAt is the line at a level under a load. Errors as [Vessel.At], and errUnderLoad.
func (c *Vessel) stateAt(level geo.Metres, load geo.Newtons) (rode.State, error) {
	moored, err := c.At(level)
	if err != nil {
		return rode.State{}, err
	}
	state, err := moored.Rode.At(load)
	if err != nil {
		return rode.State{}, errors.Join(errUnderLoad, err)
	}
	return state, nil
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

// comparedRules are the rules that are shown beside each other.
var comparedRules = [...]geo.RuleKind{geo.Stretched, geo.Taut, geo.TautStretch, geo.Catenary}

// withoutStatedRadius is a copy of a mooring whose radius follows from a rule.
func withoutStatedRadius(m *geo.Mooring) *geo.Mooring {
	bare := *m
	bare.StatedRadius = geo.Maybe[geo.Metres]{}
	return &bare
}

// ByRules gives the radii by the rules stretched, taut, taut with stretch and catenary beside each other, and what choosing each gives up.
// A radius stated on record is left aside.
func ByRules(in Input) []ByRule {
	in.Mooring = withoutStatedRadius(in.Mooring)
	all := make([]ByRule, len(comparedRules))
	byKind := map[geo.RuleKind]*ByRule{}
	for i, kind := range comparedRules {
		in.Rules.Swing = geo.SwingRule{Kind: kind}
		a := Radius(in)
		all[i] = ByRule{Rule: kind, Radius: a.Radius, Bound: a.Bound, Working: a.Working, Missing: a.Missing}
		byKind[kind] = &all[i]
	}
	byKind[geo.Stretched].Words = geo.Plain("never too small for chain; keeps more water than the boat can reach")
	byKind[geo.Taut].Words = geo.Plain("no wind draws chain farther; what rope stretches is left out")
	byKind[geo.TautStretch].Words = geo.Plain("the safe default: never less than the line reaches under the design load")
	byKind[geo.Catenary].Words = catenaryWords(byKind[geo.Taut], byKind[geo.Catenary])
	return all
}

// exact is the radius; known is false where there is none, or only a bound.
func (r *ByRule) exact() (radius geo.Metres, known bool) {
	radius, known = r.Radius.Get()
	return radius, known && !r.Bound
}

const (
	moreThanTaut = "%s more than taut: the line stretches under the design load, and the taut radius is too small by that"
	lessThanTaut = "%s less than taut. It gives up that much: more wind than the design wind, worn or changed chain, or a boat of more " +
		"windage swings farther"
)

// catenaryWords tell what the rule catenary gives up against the rule taut.
func catenaryWords(taut, hanging *ByRule) geo.Words {
	tautM, tautKnown := taut.exact()
	hangsM, hangsKnown := hanging.exact()
	switch {
	case !tautKnown || !hangsKnown:
		return geo.Plain("needs the whole tackle, the boat's beam and bow height, the depth and the levels on record")
	case hangsM > tautM:
		return geo.Tell(moreThanTaut, hangsM-tautM)
	}
	return geo.Tell(lessThanTaut, tautM-hangsM)
}
