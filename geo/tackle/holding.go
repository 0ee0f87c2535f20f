package tackle

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
)

// Holding is what an anchor holds against a level pull: between the least, as it lies on the bed, and the most, where it has buried itself
// well. What it is for one anchor only a pull on it tells.
type Holding struct {
	Least geo.Newtons `json:"least_n"`
	Most  geo.Newtons `json:"most_n"`
	From  string      `json:"from"`
	// How an upward pull cuts it, and what a block weighs under water.
	cut      cut
	inWaterN float64
}

// cut is how the holding of a kind of anchor falls where the pull leads upwards.
type cut int

const (
	buried cut = iota // mushroom, pyramid and whatever else drags
	block             // holds by friction alone
	screw             // holds along the line whichever way it leads
)

// SteepestDeg is from where the holding of an anchor that drags falls so sharply that it cannot be told: "when the angle of pull increases
// to 25°, a mooring's holding power begins to weaken precipitously" (an insurer's article on moorings in hurricanes).
const SteepestDeg = 25.0

// frictionRatio is the friction of a block on the bed, a figure of practitioners.
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
	if math.IsNaN(upDeg) || upDeg > 90 || h.cut == buried && upDeg > SteepestDeg {
		return Holding{}, false
	}
	up := max(upDeg, 0) * math.Pi / 180
	if up == 0 {
		return h, true
	}
	part := func(level geo.Newtons) geo.Newtons {
		switch h.cut {
		case screw:
			return level * geo.Newtons(math.Cos(up))
		case block:
			return geo.Newtons(float64(level) / (1 + float64(level)/h.inWaterN*math.Tan(up)))
		}
		return geo.Newtons(float64(level) / (1 + frictionRatio*math.Tan(up)))
	}
	h.Least, h.Most = part(h.Least), part(h.Most)
	return h, true
}

// Cut is what it holds along a line that leads upwards by an angle a, of what it holds level (P), as a formula: the horizontal part of At
// over cos a.
func (h Holding) Cut() string {
	switch h.cut {
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
	words                               []string
	leastRatio, mostRatio, inWaterRatio float64
	cut                                 cut
	from                                string
}

// kinds are those of which something is in print.
var kinds = []anchorKind{
	// A block holds by friction, 0.6 (a figure of practitioners), on what its material weighs under water: granite 0.62, concrete 0.55 of
	// its weight in air.
	{[]string{"granite", "stone"}, frictionRatio * 0.62, 0.62, 0.62, block,
		"a block of stone: 0.6 friction on 0.62 of its weight, to the whole of what it weighs under water"},
	{[]string{"block", "concrete", "deadweight"}, frictionRatio * 0.55, 0.55, 0.55, block,
		"a block of concrete: 0.6 friction on 0.55 of its weight, to the whole of what it weighs under water"},
	{[]string{"mushroom"}, 1, 10, 0, buried,
		"a mushroom: about its weight where it lies canted, up to ten times it where it is well buried in mud (an insurer's article on " +
			"moorings, 2020)"},
	{[]string{"pyramid"}, 3, 10, 0, buried, "a pyramid: three to ten times its weight (its makers)"},
}

// screwWords are in what a helical screw is said to be.
var screwWords = []string{"helix", "helical", "screw"}

// helixN is what a municipal pull test of helical screws measured at Sarasota, Florida: 18,000 lb. In soft mud they hold less and do not
// set again.
var helixN = geo.PoundsForce(18000)

// HoldingOf is what an anchor holds by its kind, which its material says, and its weight; more than one of a kind are laid by anchors. What
// the harbor knows of its own bottom goes before what is published. Errors: geo.FieldError of geo.ErrUnknown.
func HoldingOf(p geo.Part, own []geo.AnchorHolding, anchors int) (Holding, error) {
	lacks := func(field, got, want string) error {
		return &geo.FieldError{Noun: "part", Name: "anchor", Field: field, Got: got, Want: want, Kind: geo.ErrUnknown}
	}
	text := strings.ToLower(p.Material)
	has := func(words []string) bool {
		return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, word) })
	}
	kind := slices.IndexFunc(kinds, func(k anchorKind) bool { return has(k.words) })
	known := slices.IndexFunc(own, func(k geo.AnchorHolding) bool { return strings.Contains(text, strings.ToLower(k.Anchor)) })
	n := float64(max(1, anchors))
	if has(screwWords) && known < 0 {
		return Holding{Most: geo.Newtons(float64(helixN) * n), cut: screw,
			From: "a helical screw: up to 18,000 lb in a municipal pull test at Sarasota, Florida; in soft mud much less"}, nil
	}
	switch {
	case text == "":
		return Holding{}, lacks("anchor", "not on record", "what the anchor is is needed for what it holds")
	case kind < 0 && known < 0:
		return Holding{},
			lacks("anchor", fmt.Sprintf("%q", p.Material),
				"what such an anchor holds is not known: mushroom, pyramid, block or helical screw is")
	case !p.Weight.IsKnown():
		return Holding{}, lacks("anchor_kg", "not on record", "its weight is needed for what it holds")
	}
	weightN := float64(p.Weight.Or(0)) * standardGravityMS2 * n
	var h Holding
	if kind >= 0 {
		k := &kinds[kind]
		h = Holding{Least: geo.Newtons(k.leastRatio * weightN), Most: geo.Newtons(k.mostRatio * weightN), From: k.from, cut: k.cut,
			inWaterN: k.inWaterRatio * weightN}
	} else if has(screwWords) {
		h.cut = screw
	}
	if known >= 0 {
		h.Least = geo.Newtons(own[known].WeightRatio * weightN)
		h.Most, h.From = h.Least, fmt.Sprintf("%g times its weight, as this harbor knows its bottom", own[known].WeightRatio)
	}
	return h, nil
}

const standardGravityMS2 = 9.80665
