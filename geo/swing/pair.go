package swing

import (
	"math"

	"swingroom/geo"
)

// pair is two boats of a sweep whose hulls are compared.
type pair struct {
	sweep      *Sweep
	a, b       *Excursions
	low, high  geo.Metres // the levels at which both lines are long enough
	distanceM  float64    // between the anchors
	bearingRad float64    // from the first to the second, clockwise from north
}

// pairOf is two boats. ok is false where there is no level for both.
func (s *Sweep) pairOf(a, b *Excursions) (p *pair, ok bool) {
	p = &pair{sweep: s, a: a, b: b, low: s.levels.Low, high: min(a.top, b.top)}
	apart := b.at.Sub(a.at)
	p.distanceM, p.bearingRad = lengthM(apart), bearingRad(apart)
	return p, p.high >= p.low
}

// vesselBounds is a boat in the weathers of a box; the angles have the scatter in them.
type vesselBounds struct {
	attitudes
	reach [stabilityCount]reachBounds
}

// seeds are weathers in which two boats are likely to come close: those in which the side forces on one of them cancel each other.
func (p *pair) seeds() (all []box) {
	if !p.sweep.streams() {
		return nil
	}
	for _, boat := range [2]*Excursions{p.a, p.b} {
		bx := boat.statics.opposed(p.sweep.scatterRad())
		for _, ebb := range [2]bool{false, true} {
			bx.ebb = ebb
			all = append(all, bx)
		}
	}
	return all
}

// opposed are weathers in which the wind blows against the stream and the side forces about cancel each other.
func (s *statics) opposed(scatterRad float64) box {
	bx := box{frame: frame{dominant: windDominant}}
	ratio := math.Sqrt(s.windAbeamN / s.streamAbeamN)
	if ratio > 1 {
		bx.dominant, ratio = streamDominant, 1/ratio
	}
	bx.mid = [symCount]float64{symWind: math.Pi, symRatio: ratio, symScale: 1}
	bx.half = [symCount]float64{symWind: 2 * unsettledRatio, symRatio: unsettledRatio * ratio, symTurnA: scatterRad, symTurnB: scatterRad}
	return bx
}

// boundVessels bounds both boats in the weathers of a box.
func (p *pair) boundVessels(bx *box) (a, b vesselBounds, err error) {
	if a, err = p.boundVessel(bx, p.a, symTurnA); err != nil {
		return a, b, err
	}
	b, err = p.boundVessel(bx, p.b, symTurnB)
	return a, b, err
}

func (p *pair) boundVessel(bx *box, boat *Excursions, turnedBy int) (l vesselBounds, err error) {
	l.attitudes = boat.statics.attitudesOver(bx)
	rows, err := boat.levelRowsOver(bx, p.low, p.high)
	if err != nil {
		return l, err
	}
	for h, may := range l.may {
		if may {
			l.reach[h] = boat.reachWithin(&l.root[h], rows)
		}
	}
	turn := bx.affine(turnedBy)
	l.stern, l.load = l.stern.addScaled(1, &turn), l.load.addScaled(1, &turn)
	return l, nil
}

// toward is an offset at an angle clockwise from north.
func toward(rad float64, lengthM float64) geo.Offset {
	sin, cos := math.Sincos(rad)
	return geo.Offset{EastM: lengthM * sin, NorthM: lengthM * cos}
}

// bearingRad is the angle of an offset clockwise from north.
func bearingRad(o geo.Offset) float64 { return math.Atan2(o.EastM, o.NorthM) }

// anchorOffset leads from the first anchor to the second on the plane of a box, whose north is where the stream sets.
func (p *pair) anchorOffset(ebb bool) geo.Offset { return toward(p.anchorBearingRad(ebb), p.distanceM) }

func (p *pair) anchorBearingRad(ebb bool) float64 {
	return p.bearingRad - p.sweep.streamToDeg(ebb)*math.Pi/180
}

// middlePlacement is about how a boat lies in the middle of a box, while it is held so far.
func (p *Excursions) middlePlacement(l *vesselBounds, st stability) placement {
	return p.placementAt(&attitude{sternRad: l.stern.mid, loadRad: l.load.mid, stability: st}, l.reach[st].reach.mid, 0)
}

// bound is how far the hulls keep apart at least in all weathers of a box, and how far they are about apart where it is best looked into.
func (p *pair) bound(bx *box) (boundM, middleM float64, err error) {
	a, b, err := p.boundVessels(bx)
	if err != nil {
		return 0, 0, err
	}
	boundM, middleM = math.Inf(1), math.Inf(1)
	for sa := range stabilityCount {
		for sb := range stabilityCount {
			if !a.may[sa] || !b.may[sb] {
				continue
			}
			s := strip{pair: p, bx: bx, a: &a, b: &b, stabilityA: sa, stabilityB: sb}
			widthM, middle := s.widthBound()
			if widthM < boundM {
				boundM, bx.branchOn = widthM, s.branchSymbol()
				bx.atFarReach = s.extreme && s.supportA.reachEnd == farEnd
			}
			if s.extreme {
				middle = widthM
			}
			middleM = min(middleM, middle)
		}
	}
	return boundM, middleM, nil
}
