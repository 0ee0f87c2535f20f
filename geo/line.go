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
	above := func(v float64) bool { return v > 0 && !math.IsInf(v, 0) }
	var before Metres
	for i, c := range l.Chain {
		field := fmt.Sprintf("chain, row %d", i+1)
		if !above(float64(c.Size)) || !above(c.MassKgPerM) {
			pr.add(field, fmt.Sprintf("%.4g mm, %g kg/m", float64(c.Size)*1000, c.MassKgPerM), "a size and a mass above 0 are wanted")
		} else if c.Size <= before {
			pr.add(field, fmt.Sprintf("%.4g mm", float64(c.Size)*1000), "the sizes have to go from thin to thick")
		}
		before = c.Size
	}
	for i, r := range l.Ropes {
		name := fmt.Sprintf("rope %d %s", i+1, r.Material)
		if strings.TrimSpace(r.Material) == "" {
			pr.add(name, "", "a material is wanted")
		}
		if !above(float64(r.Size)) || !above(r.MassKgPerM) || !above(r.DensityKgPerM3) {
			pr.add(name, fmt.Sprintf("%.4g mm, %g kg/m, %g kg/m³", float64(r.Size)*1000, r.MassKgPerM, r.DensityKgPerM3),
				"a size, a mass and a density above 0 are wanted")
		}
		if n, known := r.BreakN.Get(); known && !above(n) {
			pr.add(name, fmt.Sprintf("%g N", n), "a breaking pull above 0 is wanted")
		}
		var last StretchPoint
		for _, p := range r.Stretch {
			if !(p.PullN > last.PullN) || !(p.StrainRatio >= last.StrainRatio) || math.IsInf(p.PullN, 0) || p.StrainRatio > 10 {
				pr.add(name, fmt.Sprintf("%g N, strain %g", p.PullN, p.StrainRatio),
					"its stiffness curve has to rise: pulls above 0 in order, strains never falling and no more than 10")
			}
			last = p
		}
	}
	for i, a := range l.Holding {
		if strings.TrimSpace(a.Anchor) == "" || !(a.WeightRatio > 0 && a.WeightRatio <= 100) {
			pr.add(fmt.Sprintf("holding, row %d", i+1), fmt.Sprintf("%q, %g", a.Anchor, a.WeightRatio),
				"a kind of anchor and what it holds over its weight, up to 100, are wanted")
		}
	}
	for _, t := range l.Tables {
		pr.join(t.Validate())
	}
	return pr.err()
}
