package swing

import (
	"math"

	"swingroom/geo"
)

// chart is how the strengths of wind and stream are told by their ratio.
type chart uint8

// The ratio is that of the weaker to the stronger, each as a share of its greatest speed.
const (
	windLed chart = iota
	streamLed
)

// box is a part of all weathers of a design, by the middle and half the width of each unknown. Angles are radians, that of the wind from
// where the stream sets; the scale is the larger share of wind and stream, from 0 to 1; the level goes from 0 at the lowest to 1 at the
// highest. Forces go with the square of the scale, but for the stream's friction: with all else the same both boats lie along the same
// directions at every scale.
type box struct {
	mid, half [symbols]float64
	frame
	boundM float64
	worst  int // the unknown that it is best divided by
	// farthest says that hulls come closest in it about where the lines reach farthest, whatever else.
	farthest bool
}

// frame is what a box's unknowns are told by.
type frame struct {
	chart chart
	ebb   bool
}

// affine is an unknown as it runs over the box.
func (bx *box) affine(symbol int) affine {
	x := affine{mid: bx.mid[symbol]}
	x.by[symbol] = bx.half[symbol]
	return x
}

// point is one weather of a box with what else it leaves open.
type point struct {
	at [symbols]float64
	frame
}

func (bx *box) middle() point { return point{bx.mid, bx.frame} }

// likely is the point at which a box is best looked into.
func (bx *box) likely() point {
	p := bx.middle()
	if bx.farthest {
		p.at[byScale] += bx.half[byScale]
		p.at[byLevel] -= bx.half[byLevel]
	}
	return p
}

// shares are the weather of a point.
func (p *point) shares() shares {
	scale, ratio := p.at[byScale], p.at[byRatio]
	if p.chart == windLed {
		return shares{p.at[byWind], scale, scale * ratio}
	}
	return shares{p.at[byWind], scale * ratio, scale}
}

// winds are those of a box over the square of its scale: the pressures of wind and stream over those of the strongest gust and the
// strongest stream.
func (bx *box) winds() (wind, stream affine) {
	ratio := bx.affine(byRatio)
	if bx.chart == windLed {
		return fixedAt(1), ratio.squared()
	}
	return ratio.squared(), fixedAt(1)
}

// halves divides a box by one of its unknowns.
func (bx *box) halves(symbol int) (lower, upper box) {
	lower, upper = *bx, *bx
	h := bx.half[symbol] / 2
	lower.half[symbol], upper.half[symbol] = h, h
	lower.mid[symbol] -= h
	upper.mid[symbol] += h
	return lower, upper
}

// roots are the boxes that hold all weathers between them. anyBearing leaves out those that are others turned round.
func (p *pair) roots(anyBearing bool) []box {
	scatter := p.sweep.design.Scatter() * math.Pi / 180
	whole := box{boundM: math.Inf(-1)}
	whole.mid[byScale], whole.half[byScale] = 0.5, 0.5
	if p.high > p.low {
		whole.mid[byLevel], whole.half[byLevel] = 0.5, 0.5
	}
	if !p.sweep.streams() {
		// With the wind alone both lie along it, and only by how much one is turned more than the other counts.
		whole.half[byTurnB] = 2 * scatter
		if anyBearing {
			return []box{whole}
		}
		return whole.round()
	}
	whole.half[byTurnA], whole.half[byTurnB] = scatter, scatter
	whole.mid[byRatio], whole.half[byRatio] = 0.5, 0.5
	var all []box
	for _, ebb := range [2]bool{false, true} {
		if ebb && anyBearing {
			continue
		}
		for _, c := range [2]chart{windLed, streamLed} {
			whole.frame = frame{c, ebb}
			all = append(all, whole.round()...)
		}
	}
	return all
}

// round are the boxes of all directions of the wind.
func (bx box) round() (all []box) {
	const parts = 4
	for i := range parts {
		bx.half[byWind] = math.Pi / parts
		bx.mid[byWind] = math.Pi * (float64(2*i+1)/parts - 1)
		all = append(all, bx)
	}
	return all
}

// streams says that the design has a stream.
func (s *Sweep) streams() bool { return s.design.Stream.Or(0) > 0 }

// weather is that of a point between two levels.
func (s *Sweep) weather(p *point, low, high geo.Metres) geo.Weather {
	sh := p.shares()
	w := geo.Weather{Wind: s.design.MeanWind() * geo.MetresPerSecond(sh.windRatio), GustRatio: max(1, s.design.Gust()),
		Stream: s.design.Stream.Or(0) * geo.MetresPerSecond(sh.streamRatio), Level: low + (high-low)*geo.Metres(p.at[byLevel])}
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
