package swing

import (
	"math"

	"swingroom/geo"
)

// box is a part of all weathers of a design, by the middle and half the width of each unknown. Angles are radians; the ratio is that of the weaker to the
// stronger share, of gust or of stream; the scale is the stronger one, from 0 to 1; the level goes from 0 at the lowest to 1 at the highest.
type box struct {
	mid, half [symbols]float64
	streamLed bool // the share of the stream is the larger
	ebb       bool
	boundM    float64
	worst     int // the unknown that it is best divided by
}

// affine is an unknown as it runs over the box.
func (bx *box) affine(symbol int) affine {
	x := affine{mid: bx.mid[symbol]}
	x.by[symbol] = bx.half[symbol]
	return x
}

// balanceRad is how small a box has to be round a balance of forces before it is divided by where the boat points. A box of that
// size is as good as the balance itself: what else changes over it moves no hull by more than a few centimetres.
const balanceRad = 1e-3

// sharpRad is how well a direction has to be known in so small a box, or it is divided.
const sharpRad = 0.03

func (bx *box) narrow() bool { return bx.half[byWind] <= balanceRad && bx.half[byRatio] <= balanceRad }

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
	at        [symbols]float64
	streamLed bool
	ebb       bool
}

func (bx *box) middle() point { return point{bx.mid, bx.streamLed, bx.ebb} }

// shares are the weather of a point.
func (p *point) shares() shares {
	scale, weaker := p.at[byScale], p.at[byScale]*p.at[byRatio]
	if p.streamLed {
		return shares{p.at[byWind], weaker, scale}
	}
	return shares{p.at[byWind], scale, weaker}
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
func (s *Sweep) roots(anyBearing bool) []box {
	scatter := s.design.Scatter() * math.Pi / 180
	whole := box{boundM: math.Inf(-1)}
	whole.mid[byScale], whole.half[byScale] = 0.5, 0.5
	if s.levels.High > s.levels.Low {
		whole.mid[byLevel], whole.half[byLevel] = 0.5, 0.5
	}
	for _, symbol := range [...]int{bySternA, bySternB, byLoadA, byLoadB} {
		whole.half[symbol] = math.Pi
	}
	if !s.streams() {
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
	for _, streamLed := range [2]bool{false, true} {
		for _, ebb := range [2]bool{false, true} {
			if ebb && anyBearing {
				continue
			}
			whole.streamLed, whole.ebb = streamLed, ebb
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
