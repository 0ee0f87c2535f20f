package swing

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// catenary: R = X(H) + o, X the reach of the line as it hangs and stretches under the design load H, at the low level. H is the larger of
// what the drag formula gives in the gusts of the design wind, with the design stream along with it, and of the table of design loads at the mean wind: the table counts
// gusts and yawing in. What is missing is told, and L + o bounds the radius, but for a line that is made to stretch or of which it is not known how it stretches.
func (w *worker) catenary() {
	l, lok := w.rode()
	_, hok := w.riseAtLow(false)
	craft, err := NewCraft(w.in)
	fields := geo.FieldErrors(err)
	for _, fe := range fields {
		if fe.Field != "loa_m" /* farthest tells that */ && !slices.Contains(w.answer.Missing, fe.Field) {
			w.missing(fe.Field)
		}
	}
	var load geo.Newtons
	if err == nil && lok && hok {
		load, err = w.designLoad(craft)
	}
	o, ook := w.farthest()
	if !lok || !ook {
		return
	}
	unbounded := slices.ContainsFunc(fields, func(fe *geo.FieldError) bool { return strings.HasSuffix(fe.Field, "_material") }) ||
		slices.ContainsFunc(w.in.Mooring.Tackle, func(p geo.Part) bool { return p.Kind == geo.Elastic && p.Length != geo.Known(geo.Metres(0)) })
	if err != nil || !hok {
		if !unbounded {
			w.answer.Bound = true
			w.radius(l+o, "L + o", "upper bound: without what is missing there is no telling how the line hangs; a rope that stretches may exceed it")
		}
		return
	}
	levels := w.in.Levels.Or(geo.Levels{})
	moored, err := craft.At(levels.Low)
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
	w.add(Step{Symbol: "X", Name: "reach of the line as it hangs under that load", Formula: "sum of the parts' catenaries under H", Value: float64(state.Reach), Unit: "m", From: Computed,
		Note: strings.Join(append(slices.Clone(craft.Tackle.Assumed), fmt.Sprintf("%.1f m lie on the bed; the anchor is pulled %.1f° upwards", float64(state.OnBed), state.AnchorPullUpDeg)), "; ")})
	if words := BuoyWords(state.Buoy); words != "" {
		w.fault("under the design load %s", words)
	}
	w.radius(state.Reach+o, "X + o", "")
}

// designLoad is H, with its working. The error is that of a stream that meets a boat without a draft.
func (w *worker) designLoad(c *Craft) (geo.Newtons, error) {
	design := w.in.Rules.Design
	from := func(known bool) Source {
		if known {
			return Default
		}
		return Assumed
	}
	wind, gust, stream := design.MeanWind(), design.Gust(), design.Stream.Or(0)
	w.add(Step{Symbol: "V", Name: "design wind of the area, mean", Value: wind.Knots(), Unit: "kn", From: from(design.Wind.IsKnown())})
	w.add(Step{Symbol: "G", Name: "gust over mean", Value: gust, From: from(design.GustRatio.IsKnown())})
	w.add(Step{Symbol: "A", Name: "front above the water, by beam, bow height and length", Value: c.Windage.FrontM2, Unit: "m²", From: Computed})
	pull, err := rode.PullOf(c.Windage, geo.Weather{Wind: wind, GustRatio: gust, Stream: stream, StreamToDeg: 180})
	if err != nil {
		w.missing("draft_m")
		return 0, err
	}
	w.add(Step{Symbol: "F_w", Name: "force of the wind, by the drag formula", Formula: "0.5 · 1.221 · (0.5144 · G · V)² · A", Value: float64(pull.Wind), Unit: "N", From: Computed})
	formula, load := "F_w", pull.Load
	if stream > 0 {
		w.add(Step{Symbol: "F_s", Name: fmt.Sprintf("force of a stream of %.1f kn on hull and keel", stream.Knots()), Formula: "form + friction", Value: float64(pull.Stream), Unit: "N", From: Computed})
		formula = "F_w + F_s"
	}
	boat := w.in.Mooring.Boat
	length, _ := boat.SwingLength()
	if boat.LOA.IsKnown() {
		length = boat.LOA
	}
	// Beyond its last wind or boat the table still tells the least: more wind or a larger boat never pulls less.
	at, note := "V", ""
	if wind.Knots() > rode.DesignTopKn+1e-9 {
		at = fmt.Sprintf("%d kn", rode.DesignTopKn)
		note = fmt.Sprintf("the table of design loads ends at %d kn: the drag formula counts, but never less than the table gives there", rode.DesignTopKn)
	}
	longest, widest := rode.DesignTopBoat(c.Windage.Motor)
	loa, beam := length.Or(0), boat.Beam.Or(0)
	if loa > longest || beam > widest {
		note = strings.TrimPrefix(note+"; ", "; ") + fmt.Sprintf("the table of design loads ends with a boat of %.1f m by %.1f m: the drag formula counts, but never less than the table gives for her", float64(longest), float64(widest))
	}
	table, err := rode.DesignLoad(geo.Known(min(loa, longest)), geo.Known(min(beam, widest)), c.Windage.Motor, min(wind, geo.Knots(rode.DesignTopKn)))
	if err != nil {
		w.add(Step{Symbol: "H", Name: "horizontal load at the bow", Formula: formula, Value: float64(load), Unit: "N", From: Computed, Note: "by the drag formula alone: " + err.Error()})
		return load, nil
	}
	w.add(Step{Symbol: "F_t", Name: "design load by the published table, for her length and beam at " + at, Value: float64(table), Unit: "N", From: Computed})
	load = max(load, table)
	w.add(Step{Symbol: "H", Name: "horizontal load at the bow, the larger", Formula: "max(" + formula + ", F_t)", Value: float64(load), Unit: "N", From: Computed, Note: note})
	return load, nil
}

// ByRule is the radius that a mooring would have by a rule, whatever its area sets.
type ByRule struct {
	Rule    geo.RuleKind          `json:"rule"`
	Radius  geo.Maybe[geo.Metres] `json:"radius_m"`
	Bound   bool                  `json:"bound"`
	Working []Step                `json:"working"`
	Missing []string              `json:"missing"`
	Words   string                `json:"words"` // what choosing it gives up
}

// ByRules gives the radii by the rules stretched, taut and catenary beside each other, and what choosing each gives up. A radius stated on record is left aside.
func ByRules(in Input) []ByRule {
	bare := *in.Mooring
	bare.StatedRadius = geo.Maybe[geo.Metres]{}
	in.Mooring = &bare
	var all []ByRule
	for _, kind := range []geo.RuleKind{geo.Stretched, geo.Taut, geo.Catenary} {
		in.Rules.Swing = geo.SwingRule{Kind: kind}
		a := Radius(in)
		all = append(all, ByRule{Rule: kind, Radius: a.Radius, Bound: a.Bound, Working: a.Working, Missing: a.Missing})
	}
	all[0].Words = "never too small for chain; keeps more water than the boat can reach"
	all[1].Words = "the safe default: no wind draws chain farther"
	taut, tautKnown := all[1].Radius.Get()
	hangs, hangsKnown := all[2].Radius.Get()
	switch {
	case !tautKnown || !hangsKnown || all[1].Bound || all[2].Bound:
		all[2].Words = "needs the whole tackle, the boat's beam and bow height, the depth and the levels on record"
	case hangs > taut:
		all[2].Words = fmt.Sprintf("%.1f m more than taut: the line stretches under the design load, and the taut radius is too small by that", float64(hangs-taut))
	default:
		all[2].Words = fmt.Sprintf("%.1f m less than taut. It gives up that much: more wind than the design wind, worn or changed chain, or a boat of more windage swings farther", float64(taut-hangs))
	}
	return all
}
