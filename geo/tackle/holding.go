package tackle

import (
	"fmt"
	"strings"

	"swingroom/geo"
)

// Holding is what an anchor holds against a level pull: between the least, as it lies on the bed, and the most, where it has buried itself well. What it is for one anchor only a pull on it tells.
type Holding struct {
	Least geo.Newtons `json:"least_n"`
	Most  geo.Newtons `json:"most_n"`
	From  string      `json:"from"`
}

// kinds of anchor, by a word in what it is said to be, with what they hold over their weight in air.
var kinds = []struct {
	words                 []string
	leastRatio, mostRatio float64
	from                  string
}{
	// A block holds by friction, 0.6 (a figure of practitioners), on what its material weighs under water: granite 0.62, concrete 0.55 of its weight in air.
	{[]string{"granite", "stone"}, 0.37, 0.62, "a block of stone: 0.6 friction on 0.62 of its weight, to the whole of what it weighs under water"},
	{[]string{"block", "concrete", "deadweight"}, 0.33, 0.55, "a block of concrete: 0.6 friction on 0.55 of its weight, to the whole of what it weighs under water"},
	{[]string{"mushroom"}, 1, 10, "a mushroom: about its weight where it lies canted, up to ten times it where it is well buried in mud (an insurer's article on moorings, 2020)"},
	{[]string{"pyramid"}, 3, 10, "a pyramid: three to ten times its weight (its makers)"},
}

// helixN is what a municipal pull test of helical screws measured at Sarasota, Florida: 18,000 lb. In soft mud they hold less and do not set again.
var helixN = geo.PoundsForce(18000)

// HoldingOf is what an anchor holds by its kind, which its material says, and its weight; more than one of a kind are laid by anchors. What the harbor knows of its own bottom goes before what is
// published. Errors: geo.FieldError of geo.ErrUnknown.
func HoldingOf(p geo.Part, own []geo.AnchorHolding, anchors int) (Holding, error) {
	lacks := func(field, got, want string) error {
		return &geo.FieldError{Noun: "part", Name: "anchor", Field: field, Got: got, Want: want, Kind: geo.ErrUnknown}
	}
	text := strings.ToLower(p.Material)
	n := float64(max(1, anchors))
	for _, k := range own {
		if !strings.Contains(text, strings.ToLower(k.Anchor)) {
			continue
		}
		kg, known := p.Weight.Get()
		if !known {
			return Holding{}, lacks("anchor_kg", "not on record", "its weight is needed for what it holds")
		}
		holds := geo.Newtons(k.WeightRatio * float64(kg) * standardGravityMS2 * n)
		return Holding{Least: holds, Most: holds, From: fmt.Sprintf("%g times its weight, as this harbor knows its bottom", k.WeightRatio)}, nil
	}
	for _, word := range []string{"helix", "helical", "screw"} {
		if strings.Contains(text, word) {
			return Holding{Least: 0, Most: geo.Newtons(float64(helixN) * n), From: "a helical screw: up to 18,000 lb in a municipal pull test at Sarasota, Florida; in soft mud much less"}, nil
		}
	}
	for _, k := range kinds {
		for _, word := range k.words {
			if !strings.Contains(text, word) {
				continue
			}
			kg, known := p.Weight.Get()
			if !known {
				return Holding{}, lacks("anchor_kg", "not on record", "its weight is needed for what it holds")
			}
			weightN := float64(kg) * standardGravityMS2 * n
			return Holding{Least: geo.Newtons(k.leastRatio * weightN), Most: geo.Newtons(k.mostRatio * weightN), From: k.from}, nil
		}
	}
	if text == "" {
		return Holding{}, lacks("anchor", "not on record", "what the anchor is is needed for what it holds")
	}
	return Holding{}, lacks("anchor", fmt.Sprintf("%q", p.Material), "what such an anchor holds is not known: mushroom, pyramid, block or helical screw is")
}

const standardGravityMS2 = 9.80665
