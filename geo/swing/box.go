package swing

import (
	"math"

	"swingroom/geo"
)

// dominance is how the strengths of wind and stream are told by their ratio.
type dominance uint8

// The ratio is that of the weaker to the stronger, each as a share of its greatest speed.
const (
	windDominant dominance = iota
	streamDominant
)

// box is a part of all weathers of a design, by the middle and half the width of each unknown. Angles are radians, that of the wind from
// where the stream sets; the scale is the larger share of wind and stream, from 0 to 1; the level goes from 0 at the lowest to 1 at the
// highest. Forces go with the square of the scale, but for the stream's friction: with all else the same both boats lie along the same
// directions at every scale.
type box struct {
	mid, half [symCount]float64
	frame
	boundM   float64
	branchOn int // the unknown that it is best divided by
	// atFarReach says that hulls come closest in it about where the lines reach atFarReach, whatever else.
	atFarReach bool
}

// frame is what a box's unknowns are told by.
type frame struct {
	dominant dominance
	ebb      bool
}

// affine is an unknown as it runs over the box.
func (bx *box) affine(symbol int) affine {
	x := affine{mid: bx.mid[symbol]}
	x.coef[symbol] = bx.half[symbol]
	return x
}

// point is one weather of a box with what else it leaves open.
type point struct {
	at [symCount]float64
	frame
}

func (bx *box) middle() point { return point{bx.mid, bx.frame} }

// likely is the point at which a box is best looked into.
func (bx *box) likely() point {
	p := bx.middle()
	if bx.atFarReach {
		p.at[symScale] += bx.half[symScale]
		p.at[symLevel] -= bx.half[symLevel]
	}
	return p
}

// shares are the weather of a point.
func (p *point) shares() weatherShares {
	scale, ratio := p.at[symScale], p.at[symRatio]
	if p.dominant == windDominant {
		return weatherShares{p.at[symWind], scale, scale * ratio}
	}
	return weatherShares{p.at[symWind], scale * ratio, scale}
}

// winds are those of a box over the square of its scale: the pressures of wind and stream over those of the strongest gust and the
// strongest stream.
func (bx *box) winds() (wind, stream affine) {
	ratio := bx.affine(symRatio)
	if bx.dominant == windDominant {
		return constant(1), ratio.squared()
	}
	return ratio.squared(), constant(1)
}

// ends are the least and the greatest value of an unknown.
func (bx *box) ends(symbol int) (lo, hi float64) {
	return bx.mid[symbol] - bx.half[symbol], bx.mid[symbol] + bx.half[symbol]
}

// halves divides a box by one of its unknowns.
func (bx *box) halves(symbol int) (lower, upper box) {
	lower = *bx
	h := bx.half[symbol] / 2
	lower.half[symbol] = h
	upper = lower
	lower.mid[symbol] -= h
	upper.mid[symbol] += h
	return lower, upper
}

// rootBoxes are the boxes that hold all weathers between them. anyBearing leaves out those that are others turned round.
func (p *pair) rootBoxes(anyBearing bool) []box {
	scatter := p.sweep.scatterRad()
	whole := box{boundM: math.Inf(-1)}
	whole.mid[symScale], whole.half[symScale] = 0.5, 0.5
	if p.high > p.low {
		whole.mid[symLevel], whole.half[symLevel] = 0.5, 0.5
	}
	if !p.sweep.streams() {
		// With the wind alone both lie along it, and only by how much one is turned more than the other counts.
		whole.half[symTurnB] = 2 * scatter
		if anyBearing {
			return []box{whole}
		}
		return whole.windQuadrants()
	}
	whole.half[symTurnA], whole.half[symTurnB] = scatter, scatter
	whole.mid[symRatio], whole.half[symRatio] = 0.5, 0.5
	all := whole.ratios(false)
	if !anyBearing {
		all = append(all, whole.ratios(true)...)
	}
	return all
}

// ratios are the boxes of all ratios of wind and stream on the flood or on the ebb.
func (bx box) ratios(ebb bool) (all []box) {
	for _, d := range [2]dominance{windDominant, streamDominant} {
		bx.frame = frame{d, ebb}
		all = append(all, bx.windQuadrants()...)
	}
	return all
}

// windQuadrants are the boxes of all directions of the wind.
func (bx box) windQuadrants() (all []box) {
	const parts = 4
	for i := range parts {
		bx.half[symWind] = math.Pi / parts
		bx.mid[symWind] = math.Pi * (float64(2*i+1)/parts - 1)
		all = append(all, bx)
	}
	return all
}

func (s *Sweep) scatterRad() float64 { return s.design.Scatter() * math.Pi / 180 }

// streams says that the design has a stream.
func (s *Sweep) streams() bool { return s.design.Stream.Or(0) > 0 }

// weather is that of a point between two levels.
func (s *Sweep) weather(p *point, low, high geo.Metres) geo.Weather {
	sh := p.shares()
	w := geo.Weather{Wind: s.design.MeanWind() * geo.MetresPerSecond(sh.windRatio), GustRatio: max(1, s.design.Gust()),
		Stream: s.design.Stream.Or(0) * geo.MetresPerSecond(sh.streamRatio), Level: low + (high-low)*geo.Metres(p.at[symLevel])}
	toDeg := s.streamToDeg(p.ebb)
	if w.Stream > 0 {
		w.StreamToDeg = math.Mod(toDeg+360, 360)
	}
	w.WindFromDeg = math.Mod(sh.windRad*180/math.Pi+toDeg+180+720, 360)
	return w
}

// streamToDeg is where the stream sets; 0 with none.
func (s *Sweep) streamToDeg(ebb bool) float64 {
	if !s.streams() {
		return 0
	}
	if ebb {
		return s.design.StreamDeg.Or(0) + 180
	}
	return s.design.StreamDeg.Or(0)
}
