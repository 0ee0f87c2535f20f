package geo

import (
	"fmt"
	"math"
	"strings"
)

// ChainSize is the mass of one metre of chain in air.
type ChainSize struct {
	Size       Metres  `json:"size_m"` // diameter of the wire
	MassKgPerM float64 `json:"kg_per_m"`
}

// StretchPoint is one point of a stiffness curve.
type StretchPoint struct {
	PullN       float64 `json:"pull_n"`
	StrainRatio float64 `json:"strain"` // lengthening over the length without pull
}

// RopeKind is rope or elastic line of one material as it is at one size; of another size, mass and pull go by the square of the diameter.
type RopeKind struct {
	Material       string         `json:"material"` // "nylon"; a part's material that has this word in it is of this kind
	Size           Metres         `json:"size_m"`   // diameter
	MassKgPerM     float64        `json:"kg_per_m"` // in air
	DensityKgPerM3 float64        `json:"density_kg_per_m3"`
	Stretch        []StretchPoint `json:"stretch"` // empty: it does not stretch
	// BreakN is the pull at which it breaks when new, at that size; unknown: a common figure of its material is taken.
	BreakN Maybe[float64] `json:"break_n,omitzero"`
}

// Lines are a harbor's own figures of chain and rope, which go before those built in: an authority's table of chain, from thin to thick,
// makers' ropes, and what is asked by the length of a boat.
type Lines struct {
	Chain  []ChainSize   `json:"chain,omitempty"`
	Ropes  []RopeKind    `json:"ropes,omitempty"`
	Tables []TackleTable `json:"tables,omitempty"`
	// Holding is what anchors are known to hold in this harbor's bottom.
	Holding []AnchorHolding `json:"holding,omitempty"`
	// HardwareUnrecorded is set by a harbor that keeps no record of shackles and swivels: they are then named as not checked, and not asked
	// for.
	HardwareUnrecorded bool `json:"hardware_unrecorded,omitzero"`
}

// AnchorHolding is what the anchors of a kind hold in a harbor's bottom, over their weight in air: from its own pull tests or its own
// experience.
type AnchorHolding struct {
	Anchor      string  `json:"anchor"` // "mushroom"; an anchor that is said to be something with this word in it is of this kind
	WeightRatio float64 `json:"over_weight"`
}

// Validate returns every FieldError of the tables, joined.
func (l Lines) Validate() error {
	pr := problems{noun: "lines"}
	l.chainProblems(&pr)
	for i, r := range l.Ropes {
		r.problems(&pr, fmt.Sprintf("rope %d %s", i+1, r.Material))
	}
	l.holdingProblems(&pr)
	for _, t := range l.Tables {
		pr.join(t.Validate())
	}
	return pr.err()
}

// above0 reports a figure of which something can be worked out: above 0, and neither NaN nor infinite.
func above0(v float64) bool { return v > 0 && !math.IsInf(v, 0) }

// millimetres writes a size as tables of chain and rope have it.
func millimetres(size Metres) string { return fmt.Sprintf("%.4g mm", float64(size)*1000) }

func (l Lines) chainProblems(pr *problems) {
	var before Metres
	for i, c := range l.Chain {
		field := fmt.Sprintf("chain, row %d", i+1)
		if !above0(float64(c.Size)) || !above0(c.MassKgPerM) {
			pr.add(field, fmt.Sprintf("%s, %g kg/m", millimetres(c.Size), c.MassKgPerM), "expected a size and a mass above 0")
		} else if c.Size <= before {
			pr.add(field, millimetres(c.Size), "the sizes have to go from thin to thick")
		}
		before = c.Size
	}
}

// problems notes what is wrong with a rope; field names it.
func (r RopeKind) problems(pr *problems, field string) {
	pr.required(field, r.Material, "expected a material")
	if !above0(float64(r.Size)) || !above0(r.MassKgPerM) || !above0(r.DensityKgPerM3) {
		pr.add(field, fmt.Sprintf("%s, %g kg/m, %g kg/m³", millimetres(r.Size), r.MassKgPerM, r.DensityKgPerM3),
			"expected a size, a mass and a density above 0")
	}
	if n, known := r.BreakN.Get(); known && !above0(n) {
		pr.add(field, fmt.Sprintf("%g N", n), "expected a breaking pull above 0")
	}
	var last StretchPoint
	for _, p := range r.Stretch {
		if !p.follows(last) {
			pr.add(field, fmt.Sprintf("%g N, strain %g", p.PullN, p.StrainRatio),
				"its stiffness curve has to rise: pulls above 0 in order, strains never falling and no more than 10")
		}
		last = p
	}
}

// follows reports whether a point of a stiffness curve may come after another. No rope stretches to eleven times its length.
func (p StretchPoint) follows(last StretchPoint) bool {
	const maxStrainRatio = 10
	return p.PullN > last.PullN && !math.IsInf(p.PullN, 0) && p.StrainRatio >= last.StrainRatio && p.StrainRatio <= maxStrainRatio
}

func (l Lines) holdingProblems(pr *problems) {
	const maxWeightRatio = 100 // the best burying anchors hold some 60 times their weight; common practice, no source
	for i, a := range l.Holding {
		if strings.TrimSpace(a.Anchor) == "" || !(a.WeightRatio > 0 && a.WeightRatio <= maxWeightRatio) {
			pr.add(fmt.Sprintf("holding, row %d", i+1), fmt.Sprintf("%q, %g", a.Anchor, a.WeightRatio),
				"expected a kind of anchor and what it holds over its weight, up to 100")
		}
	}
}
