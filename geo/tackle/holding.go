package tackle

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// Holding is what an anchor holds against a level pull: between the least, as it lies on the bed, and the most, where it has buried itself
// well. What it is for one anchor only a pull on it tells.
type Holding struct {
	Min  geo.Newtons `json:"least_n"`
	Max  geo.Newtons `json:"most_n"`
	From string      `json:"from"`
	// uplift is how an upward pull reduces it, and inWaterN what a block weighs under water.
	uplift   uplift
	inWaterN float64
}

// uplift is how the holding of a kind of anchor falls where the pull leads upwards.
type uplift int

const (
	buried uplift = iota // mushroom, pyramid and whatever else drags
	block                // holds by friction alone
	screw                // holds along the line whichever way it leads
)

// SteepestDeg is from where the holding of an anchor that drags falls so sharply that it cannot be told: "when the angle of pull increases
// to 25°, a mooring's holding power begins to weaken precipitously" (an insurer's article on moorings in hurricanes).
const SteepestDeg = 25.0

// frictionRatio is the friction of a block on the bed: a figure of practitioners, no source.
const frictionRatio = 0.6

// At is the horizontal part of what it holds against a pull that leads upwards by an angle, degrees; ok is false where that cannot be told.
// It never grows with the angle.
//
// A block that holds F against a level pull by friction on the weight W that it has under water slides where T cos a > (F/W) (W - T sin a):
// its horizontal part is then F / (1 + (F/W) tan a), so that the upward part is never more than W (static friction, any textbook). Of
// anchors that drag no figure between a level pull and 25° was found in print: the block's form with a friction of 0.6 is taken for them,
// and beyond 25° nothing is told. A pull below the level counts as level. A screw was tested by pulls of a tug, at an angle, and of lift
// bags, straight up (a magazine's reports of 1995 and 2007): it holds as much along the line, so cos a of it level.
func (h Holding) At(upDeg float64) (at Holding, ok bool) {
	if math.IsNaN(upDeg) || upDeg > 90 || h.uplift == buried && upDeg > SteepestDeg {
		return Holding{}, false
	}
	up := max(upDeg, 0) * math.Pi / 180
	if up == 0 {
		return h, true
	}
	h.Min, h.Max = h.horizontal(h.Min, up), h.horizontal(h.Max, up)
	return h, true
}

// horizontal is the horizontal part of what holds so much level, against a pull that leads upwards by an angle: see [Holding.At].
func (h *Holding) horizontal(level geo.Newtons, upRad float64) geo.Newtons {
	switch h.uplift {
	case screw:
		return level * geo.Newtons(math.Cos(upRad))
	case block:
		return geo.Newtons(float64(level) / (1 + float64(level)/h.inWaterN*math.Tan(upRad)))
	}
	return geo.Newtons(float64(level) / (1 + frictionRatio*math.Tan(upRad)))
}

// AlongFormula is what it holds along a line that leads upwards by an angle a, of what it holds level (P), as a formula: the horizontal
// part of At over cos a.
func (h Holding) AlongFormula() string {
	switch h.uplift {
	case screw:
		return "P"
	case block:
		return fmt.Sprintf("P / (cos a + (P / %.0f N) sin a), %.0f N its weight under water", h.inWaterN, h.inWaterN)
	}
	return "P / (cos a + 0.6 sin a), as of a block"
}

// anchorKind is a kind of anchor, by a word in what it is said to be, with what it holds over its weight in air, and what a block weighs
// under water over that.
type anchorKind struct {
	words                          []string
	minRatio, maxRatio, waterRatio float64
	uplift                         uplift
	from                           string
}

// kinds are those of which something is in print. A block holds by friction on what its material weighs under water: granite 0.62, concrete
// 0.55 of its weight in air.
var kinds = []anchorKind{
	{
		words: []string{"granite", "stone"}, minRatio: frictionRatio * 0.62, maxRatio: 0.62, waterRatio: 0.62, uplift: block,
		from: "a block of stone: 0.6 friction on 0.62 of its weight, to the whole of what it weighs under water",
	},
	{
		words: []string{"block", "concrete", "deadweight"}, minRatio: frictionRatio * 0.55, maxRatio: 0.55, waterRatio: 0.55, uplift: block,
		from: "a block of concrete: 0.6 friction on 0.55 of its weight, to the whole of what it weighs under water",
	},
	{
		words: []string{"mushroom"}, minRatio: 1, maxRatio: 10, uplift: buried,
		from: "a mushroom: about its weight where it lies canted, up to ten times it where it is well buried in mud (an insurer's " +
			"article on moorings, 2020)",
	},
	{
		words: []string{"pyramid"}, minRatio: 3, maxRatio: 10, uplift: buried,
		from: "a pyramid: three to ten times its weight (its makers)",
	},
}

// screwWords are in what a helical screw is said to be.
var screwWords = []string{"helix", "helical", "screw"}

// helixN is what a municipal pull test of helical screws measured at Sarasota, Florida: 18,000 lb. In soft mud they hold less and do not
// set again.
var helixN = geo.PoundsForce(18000)

// HoldingOf is what an anchor holds by its kind, which its material says, and its weight; more than one of a kind are laid by anchors. What
// the harbor knows of its own bottom goes before what is published. Errors: geo.FieldError of geo.ErrUnknown.
func HoldingOf(p geo.Part, own []geo.AnchorHolding, anchors int) (Holding, error) {
	material, n := strings.ToLower(p.Material), float64(max(1, anchors))
	local := localHolding(material, own)
	isScrew := containsAny(material, screwWords)
	if isScrew && local == nil {
		return testedScrew(n), nil
	}
	kind := publishedKind(material)
	if err := holdingUnknown(&p, kind != nil || local != nil); err != nil {
		return Holding{}, err
	}
	weightN := float64(p.Weight.Or(0)) * rode.GravityMS2 * n
	var h Holding
	switch {
	case kind != nil:
		h = kind.holding(weightN)
	case isScrew:
		h.uplift = screw
	}
	if local != nil {
		h.Min = geo.Newtons(local.WeightRatio * weightN)
		h.Max, h.From = h.Min, fmt.Sprintf("%g times its weight, as this harbor knows its bottom", local.WeightRatio)
	}
	return h, nil
}

// holdingUnknown names what is not on record of an anchor without which its holding cannot be told; nil where nothing is missing.
func holdingUnknown(p *geo.Part, kindKnown bool) error {
	switch {
	case p.Material == "":
		return anchorUnknown("anchor", "not on record", "what it holds depends on the kind of anchor")
	case !kindKnown:
		return anchorUnknown("anchor", fmt.Sprintf("%q", p.Material),
			"what such an anchor holds is not known: mushroom, pyramid, block or helical screw is")
	case !p.Weight.IsKnown():
		return anchorUnknown("anchor_kg", "not on record", "its weight is needed for what it holds")
	}
	return nil
}

func anchorUnknown(field, got, want string) error {
	return &geo.FieldError{Noun: "part", Name: "anchor", Field: field, Got: got, Want: want, Kind: geo.ErrUnknown}
}

// testedScrew is what so many helical screws hold; at the least nothing, for one that has pulled out of mud does not set again.
func testedScrew(n float64) Holding {
	return Holding{Max: geo.Newtons(float64(helixN) * n), uplift: screw,
		From: "a helical screw: up to 18,000 lb in a municipal pull test at Sarasota, Florida; in soft mud much less"}
}

// holding is what anchors of the kind hold that weigh so much in air.
func (k *anchorKind) holding(weightN float64) Holding {
	return Holding{Min: geo.Newtons(k.minRatio * weightN), Max: geo.Newtons(k.maxRatio * weightN), From: k.from, uplift: k.uplift,
		inWaterN: k.waterRatio * weightN}
}

// localHolding is what a harbor knows of such an anchor in its own bottom; nil for nothing.
func localHolding(material string, own []geo.AnchorHolding) *geo.AnchorHolding {
	for i := range own {
		if strings.Contains(material, strings.ToLower(own[i].Anchor)) {
			return &own[i]
		}
	}
	return nil
}

// publishedKind is the kind of anchor that a material names; nil for none of which something is in print.
func publishedKind(material string) *anchorKind {
	for i := range kinds {
		if containsAny(material, kinds[i].words) {
			return &kinds[i]
		}
	}
	return nil
}

func containsAny(text string, words []string) bool {
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, word) })
}
