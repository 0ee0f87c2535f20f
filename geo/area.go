package geo

import (
	"fmt"

	"github.com/paulmach/orb"
)

// RuleKind names a rule by which a swing radius is worked out.
type RuleKind string

// The rules of swing radius; geo/swing has their formulas.
const (
	Stretched   RuleKind = "stretched"
	Taut        RuleKind = "taut"              // rigid: what the rope of a line stretches is left out
	TautStretch RuleKind = "taut_with_stretch" // taut, with what the rope of a line stretches under the design load
	ScopeRule   RuleKind = "scope"
	Formula     RuleKind = "formula"
	Catenary    RuleKind = "catenary"
	Stated      RuleKind = "stated"
)

// RuleKinds lists the rules that an area may set.
func RuleKinds() []RuleKind {
	return []RuleKind{Stretched, Taut, TautStretch, ScopeRule, Catenary, Formula, Stated}
}

// SwingRule is a rule with its figures.
type SwingRule struct {
	Kind RuleKind `json:"rule"`
	// ScopeRatio is the rode's length over the height from bed to bow at the high level; for rule scope.
	ScopeRatio float64 `json:"scope,omitzero"`
	// LOARatio, DepthRatio and Constant are a, b and c of a·LOA + b·depth + c; for rule formula.
	LOARatio   float64 `json:"formula_loa,omitzero"`
	DepthRatio float64 `json:"formula_depth,omitzero"`
	Constant   Metres  `json:"formula_constant_m,omitzero"`
}

// Lying says how boats of an area lie to each other.
type Lying string

const (
	// Independent: any direction each, so circles must keep apart. The safe default.
	Independent Lying = "independent"
	// InUnison: all lie to the same wind and stream, so hulls must keep apart.
	InUnison Lying = "in_unison"
)

// Rules are what an area asks of its moorings.
type Rules struct {
	Swing SwingRule `json:"swing"`
	// Margin is kept between two swing circles.
	Margin Metres `json:"margin_m"`
	// KeelMargin is the water kept under the keel at the low level.
	KeelMargin   Metres        `json:"keel_margin_m"`
	LargestLOA   Maybe[Metres] `json:"largest_loa_m"`
	LargestDraft Maybe[Metres] `json:"largest_draft_m"`
	Lying        Lying         `json:"lying"`
	Design       Design        `json:"design"`
}

// DefaultRules stand where a harbor sets none: taut with the stretch of the line, no margin between circles, 0.3 m (1 ft)
// under the keel (common practice, no source), each boat in any direction.
func DefaultRules() Rules {
	return Rules{Swing: SwingRule{Kind: TautStretch}, KeelMargin: 0.3, Lying: Independent}
}

// Validate returns every FieldError of the rules, joined. who names the area.
func (r Rules) Validate(who string) error {
	pr := problems{noun: "area", name: who}
	r.Swing.problems(&pr)
	pr.within("margin_m", Known(r.Margin), 0, 200)
	pr.within("keel_margin_m", Known(r.KeelMargin), 0, 10)
	pr.within("largest_loa_m", r.LargestLOA, minBoatLength, maxBoatLength)
	pr.within("largest_draft_m", r.LargestDraft, 0, maxDraft)
	oneOf(&pr, "lying", r.Lying, Independent, InUnison)
	r.Design.problems(&pr, "design_wind", "stream_deg")
	return pr.err()
}

// problems notes a rule that is none, and figures with which it gives no radius.
func (s SwingRule) problems(pr *problems) {
	oneOf(pr, "rule", s.Kind, RuleKinds()...)
	switch {
	case s.Kind == ScopeRule && !(s.ScopeRatio >= 1 && s.ScopeRatio <= 20):
		pr.add("scope", fmt.Sprintf("%g", s.ScopeRatio), "rule scope needs a scope between 1 and 20")
	case s.Kind == Formula && !s.positive():
		pr.add("formula_loa", fmt.Sprintf("%g", s.LOARatio), "rule formula needs figures of which at least one is above 0 and none below")
	}
}

// positive reports whether the formula's figures can give a radius.
func (s SwingRule) positive() bool {
	return s.LOARatio >= 0 && s.DepthRatio >= 0 && s.Constant >= -100 && s.LOARatio+s.DepthRatio+float64(s.Constant) > 0
}

// Area is a named part of the harbor in which moorings lie, with its own rules.
type Area struct {
	Name string `json:"name"`
	// Shape in lon, lat; outer rings counterclockwise, closed (RFC 7946).
	Shape orb.MultiPolygon `json:"-"`
	Rules Rules            `json:"rules"`
}

// Validate returns every FieldError of the area, joined.
func (a Area) Validate() error {
	pr := problems{noun: "area", name: a.Name}
	pr.required("name", a.Name, "an area needs a name")
	pr.join(validShape("area", a.Name, a.Shape), a.Rules.Validate(a.Name))
	return pr.err()
}
