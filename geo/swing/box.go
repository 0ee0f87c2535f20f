package swing

import (
	"math"

	"swingroom/geo"
)

// chart is how the directions and the ratio of wind and stream are told by two numbers.
type chart uint8

const (
	// windLed and streamLed: the direction of the wind from that of the stream, and the ratio of the weaker to the stronger, each as a
	// share of its greatest speed.
	windLed chart = iota
	streamLed
	// roundA and roundB are for weathers near the balance of a boat's side forces, where the least change turns her all round: where her
	// stern points, and the sum of her side forces over that of the stream alone.
	roundA
	roundB
)

// box is a part of all weathers of a design, by the middle and half the width of each unknown. Angles are radians; the scale is the larger
// share of wind and stream, or that of the stream near a balance, from 0 to 1; the level goes from 0 at the lowest to 1 at the highest.
type box struct {
	mid, half [symbols]float64
	frame
	boundM float64
	worst  int // the unknown that it is best divided by
}

// frame is what a box's unknowns are told by.
type frame struct {
	chart chart
	ebb   bool
	// balanceRatio is, near a balance, the side force of the strongest gust over that of the strongest stream on the boat that is near it.
	balanceRatio float64
}

// affine is an unknown as it runs over the box.
func (bx *box) affine(symbol int) affine {
	x := affine{mid: bx.mid[symbol]}
	x.by[symbol] = bx.half[symbol]
	return x
}

// sharpRad is how well the direction of a load has to be known in a box that is divided by it, or the division holds.
const sharpRad = 0.03

// divided says that a box is one of those into which another was divided by a direction.
func (bx *box) divided(symbol int) bool { return bx.half[symbol] < math.Pi }

// cut is the direction of a vector where the box is cut down to a sector of directions: a part of the full turn through which the vector
// goes where it passes through nothing. ok is false where no vector of the box points into the sector.
func (bx *box) cut(direction affine, even bool, x, y *affine, symbol int) (affine, bool) {
	mid, half := bx.mid[symbol], bx.half[symbol]
	if even {
		off := math.Abs(math.Remainder(direction.mid-mid, 2*math.Pi))
		return direction, half >= math.Pi || off <= half+direction.radius()
	}
	if half < math.Pi/2 {
		// The sector lies within the side of each of its edges: some of the box has to lie there too.
		for _, edge := range [2]float64{mid - half + math.Pi/2, mid + half - math.Pi/2} {
			sin, cos := math.Sincos(edge)
			inside := x.scaled(cos).plus(sin, y)
			if inside.most() < 0 {
				return direction, false
			}
		}
	}
	return bx.affine(symbol), true
}

// point is one weather of a box with what else it leaves open.
type point struct {
	at [symbols]float64
	frame
}

func (bx *box) middle() point { return point{bx.mid, bx.frame} }

// shares are the weather of a point.
func (p *point) shares() shares {
	scale, ratio := p.at[byScale], p.at[byRatio]
	switch p.chart {
	case windLed:
		return shares{p.at[byWind], scale, scale * ratio}
	case streamLed:
		return shares{p.at[byWind], scale * ratio, scale}
	}
	sin, cos := math.Sincos(p.at[byWind])
	x, y := ratio*cos-1, ratio*sin
	wind := math.Sqrt(math.Hypot(x, y) / p.balanceRatio)
	scale = min(scale, 1/wind) // no stronger wind than the design's
	return shares{math.Atan2(y, x), scale * wind, scale}
}

// winds are those of a box over the square of its scale: the pressure of the wind over that of the strongest gust, its direction, and the
// pressure of the stream over that of the strongest. ok is false where all of the box has a stronger wind than the design.
func (bx *box) winds() (pressure, direction, stream affine, ok bool) {
	switch bx.chart {
	case windLed:
		ratio := bx.affine(byRatio)
		return fixedAt(1), bx.affine(byWind), ratio.squared(), true
	case streamLed:
		ratio := bx.affine(byRatio)
		return ratio.squared(), bx.affine(byWind), fixedAt(1), true
	}
	stern, ratio := bx.affine(byWind), bx.affine(byRatio)
	cos, sin := stern.cos(), stern.sin()
	x, y := ratio.times(&cos), ratio.times(&sin)
	x.mid--
	pressure, direction, _ = polar(&x, &y)
	pressure = pressure.scaled(1 / bx.balanceRatio)
	scale := bx.mid[byScale] - bx.half[byScale]
	return pressure, direction, fixedAt(1), scale*scale*pressure.least() <= 1
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
	for _, symbol := range [...]int{byLoadA, byLoadB} {
		whole.half[symbol] = math.Pi
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
	var all []box
	for _, ebb := range [2]bool{false, true} {
		if ebb && anyBearing {
			continue
		}
		whole.ebb = ebb
		for _, c := range [...]chart{windLed, streamLed, roundA, roundB} {
			whole.chart = c
			mostRatio := 1.0
			switch c {
			case roundA:
				whole.balanceRatio, mostRatio = p.a.statics.balanceRatio(), p.ofA.nearRatio
			case roundB:
				whole.balanceRatio, mostRatio = p.b.statics.balanceRatio(), p.ofB.nearRatio
			}
			if mostRatio > 0 {
				whole.mid[byRatio], whole.half[byRatio] = mostRatio/2, mostRatio/2
				all = append(all, whole.round()...)
			}
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
