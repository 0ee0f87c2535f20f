package clearance

import (
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
	"swingroom/geo/shape"
	"swingroom/geo/swing"
)

// findings are the hazards and gaps of one mooring.
type findings struct {
	hazards []Hazard
	unknown []Unknown
}

// candidate is one swing circle while it is held against what is fixed.
type candidate struct {
	*findings
	f         *Field
	m         *geo.Mooring
	rules     geo.Rules
	at        geo.Offset
	radiusM   float64
	accuracyM float64
	bound     bool
}

// findings holds one mooring against everything fixed.
func (f *Field) findings(m *geo.Mooring, answer *swing.Answer, depth *Depth, rules geo.Rules) findings {
	found := findings{}
	c := candidate{findings: &found, f: f, m: m, rules: rules, bound: answer.Bound}
	for _, fault := range answer.Faults {
		c.gap("record", []string{}, "an error in the record: "+fault)
	}
	c.missingFor(answer, depth)
	radius, known := answer.Radius.Get()
	if !known {
		return found
	}
	if d, far := f.far(m.Position); far {
		c.gap("position", []string{"position"}, fmt.Sprintf("it lies %.0f km from the middle of the field: is a sign wrong, or latitude and longitude swapped?", d/1000))
		return found
	}
	accuracy, _ := f.harbor.AccuracyOf(m)
	c.hull(depth)
	c.at, c.radiusM, c.accuracyM = f.frame.Project(m.Position), float64(radius), float64(accuracy)
	c.shore()
	c.keepOuts()
	c.edge()
	c.shoal()
	return found
}

// missingFor tells what stands in the way of a true radius.
func (c *candidate) missingFor(answer *swing.Answer, depth *Depth) {
	if len(answer.Missing) == 0 {
		return
	}
	text := "the swing radius is unknown; missing: "
	if answer.Bound {
		text = "the swing radius is only an upper bound; missing: "
	}
	text += strings.Join(answer.Missing, ", ")
	if depth.Why != "" {
		text += " (" + depth.Why + ")"
	}
	c.gap("radius", answer.Missing, text)
}

func (c *candidate) gap(what string, missing []string, words string) {
	c.unknown = append(c.unknown, Unknown{Mooring: c.m.Number, What: what, Missing: missing, Words: words})
}

// hazard notes a circle that reaches byM too far. It is certain when that is more than the position's accuracy.
func (c *candidate) hazard(kind HazardKind, byM float64, at geo.Offset, name, words string) {
	h := Hazard{Mooring: c.m.Number, Kind: kind, ByM: byM, At: c.f.frame.Position(at), Certainty: Possible, Name: name, Words: words, Bound: c.bound}
	if byM > c.accuracyM && !c.bound {
		h.Certainty = Certain
	}
	c.hazards = append(c.hazards, h)
}

// shore: the circle and the setback have to stay off the edge of the land.
func (c *candidate) shore() {
	setback := float64(c.f.harbor.Defaults.ShoreSetback)
	if c.f.fixed.shore.Inside(c.at, shape.AnyFeature) {
		near, _ := nearest(&c.f.fixed.shore, c.at, shape.AnyFeature)
		c.hazard(Shore, c.radiusM+setback+near.DistanceM, c.at, "", fmt.Sprintf("the anchor stands on land, %.1f m from the water", near.DistanceM))
		return
	}
	near, ok := c.f.fixed.shore.Nearest(c.at, c.radiusM+setback, shape.AnyFeature)
	if by := c.radiusM + setback - near.DistanceM; ok && by > 0 {
		c.hazard(Shore, by, near.At, "", fmt.Sprintf("the shore is %.1f m from the anchor, the swing radius is %.1f m%s", near.DistanceM, c.radiusM, setbackWords(setback)))
	}
}

func setbackWords(setbackM float64) string {
	if setbackM == 0 {
		return ""
	}
	return fmt.Sprintf(" and the setback %.1f m", setbackM)
}

// nearest finds the nearest edge however far it is.
func nearest(edges *shape.Edges, at geo.Offset, feature int32) (shape.Nearest, bool) {
	for reachM := 100.0; reachM < 1e7; reachM *= 10 {
		if n, ok := edges.Nearest(at, reachM, feature); ok {
			return n, true
		}
	}
	return shape.Nearest{}, false
}

// keepOuts: the circle and the setback have to stay out of fairways and closed water.
func (c *candidate) keepOuts() {
	edges := &c.f.fixed.keepOuts
	reached := edges.Inside(c.at, shape.AnyFeature) // in one, and so all are asked
	edges.Features(c.at, c.radiusM+c.f.fixed.setbackM, func(int32) { reached = true })
	for i := range c.f.harbor.KeepOuts {
		if !reached {
			return
		}
		k := &c.f.harbor.KeepOuts[i]
		kind, setback := Fairway, float64(k.Setback)
		if k.Kind == geo.ClosedWater {
			kind = Closed
		}
		near, ok := edges.Nearest(c.at, c.radiusM+setback, int32(i))
		inside := edges.Inside(c.at, int32(i))
		if inside && !ok {
			near, _ = nearest(edges, c.at, int32(i))
		}
		switch by := c.radiusM + setback - near.DistanceM; {
		case inside:
			c.hazard(kind, c.radiusM+setback+near.DistanceM, c.at, k.Name, fmt.Sprintf("the anchor stands %.1f m inside %s", near.DistanceM, named(k)))
		case ok && by > 0:
			c.hazard(kind, by, near.At, k.Name, fmt.Sprintf("%s is %.1f m from the anchor, the swing radius is %.1f m%s", named(k), near.DistanceM, c.radiusM, setbackWords(setback)))
		}
	}
}

func named(k *geo.KeepOut) string {
	word := "the fairway"
	if k.Kind == geo.ClosedWater {
		word = "the closed water"
	}
	if k.Name != "" {
		word += " " + k.Name
	}
	if k.Reason != "" {
		word += " (" + k.Reason + ")"
	}
	return word
}

// edge: the whole swing has to stay inside the mooring's own area, not only the buoy.
func (c *candidate) edge() {
	area, ok := c.f.fixed.area[c.m.Area]
	if !ok {
		return
	}
	edges := &c.f.fixed.areas
	if !edges.Inside(c.at, area) {
		if near, ok := nearest(edges, c.at, area); ok {
			c.hazard(AreaEdge, c.radiusM+near.DistanceM, c.at, c.m.Area, fmt.Sprintf("the anchor stands %.1f m outside its area %s", near.DistanceM, c.m.Area))
		}
		return
	}
	near, ok := edges.Nearest(c.at, c.radiusM, area)
	if by := c.radiusM - near.DistanceM; ok && by > 0 {
		c.hazard(AreaEdge, by, near.At, c.m.Area, fmt.Sprintf("the edge of %s is %.1f m from the anchor, the swing radius is %.1f m", c.m.Area, near.DistanceM, c.radiusM))
	}
}

// shoal: at the low level the keel keeps its margin over the whole circle. Certain when the shortage is there even in the circle that is
// smaller by the position's accuracy: then a slip of the survey cannot explain it.
func (c *candidate) shoal() {
	levels, known := c.f.harbor.Levels.Get()
	if _, empty := c.f.bed.Empty(); empty || !known {
		return // told once for the harbor
	}
	draft := c.m.LargestDraft
	if c.m.Boat != nil {
		draft = c.m.Boat.Draft
	}
	d, known := draft.Get()
	if !known {
		what, words := "draft_m", "the boat's draft is not on record, so the water under her keel is not checked"
		if c.m.Boat == nil {
			what, words = "largest_draft_m", "no largest draft is set for the place, so the water under a keel is not checked"
		}
		c.gap("draft", []string{what}, words)
		return
	}
	need := float64(d + c.rules.KeelMargin)
	s := c.f.bed.Shallowest(c.at, geo.Metres(c.radiusM))
	if !s.Whole {
		c.gap("depth", []string{"soundings.csv"}, "part of the swing circle has no depth: "+s.Why)
	}
	shallowest, known := s.Depth.Get()
	if water := float64(shallowest + levels.Low); known && water < need {
		c.hazard(Shoal, need-water, s.At, "", fmt.Sprintf("at the low level %.1f m of water where draft and keel margin need %.1f m", math.Max(water, 0), need))
		h := &c.hazards[len(c.hazards)-1]
		inner := c.f.bed.Shallowest(c.at, geo.Metres(math.Max(0, c.radiusM-c.accuracyM)))
		h.Certainty = Possible
		if water, known := inner.Depth.Get(); known && float64(water+levels.Low) < need && !c.bound {
			h.Certainty = Certain
		}
	}
}
