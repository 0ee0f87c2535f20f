package swing

import (
	"math"

	"swingroom/geo"
)

// pair is two boats of a sweep whose hulls are held against each other.
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
	p.distanceM, p.bearingRad = lengthM(apart), math.Atan2(apart.EastM, apart.NorthM)
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
	scatter := p.sweep.design.Scatter() * math.Pi / 180
	for _, boat := range [2]*Excursions{p.a, p.b} {
		bx := box{frame: frame{dominant: windDominant}}
		ratio := math.Sqrt(boat.statics.windAbeamN / boat.statics.streamAbeamN)
		if ratio > 1 {
			bx.dominant, ratio = streamDominant, 1/ratio
		}
		bx.mid = [symCount]float64{symWind: math.Pi, symRatio: ratio, symScale: 1}
		bx.half = [symCount]float64{symWind: 2 * unsettledRatio, symRatio: unsettledRatio * ratio, symTurnA: scatter, symTurnB: scatter}
		for _, ebb := range [2]bool{false, true} {
			bx.ebb = ebb
			all = append(all, bx)
		}
	}
	return all
}

// boundVessels lays both boats in the weathers of a box.
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

// anchorOffset leads from the first anchor to the second on the plane of a box, whose north is where the stream sets.
func (p *pair) anchorOffset(ebb bool) geo.Offset { return toward(p.anchorBearingRad(ebb), p.distanceM) }

func (p *pair) anchorBearingRad(ebb bool) float64 {
	return p.bearingRad - p.sweep.streamToDeg(ebb)*math.Pi/180
}

// middlePlacement is about how a boat lies in the middlePlacement of a box, while she is held so far.
func (p *Excursions) middlePlacement(l *vesselBounds, h stability) placement {
	b := placement{stability: h, vessel: p.vessel, reachM: l.reach[h].reach.mid}
	if h == settled {
		b.bow = toward(l.load.mid, b.reachM)
	}
	if h != turning {
		b.aft = toward(l.stern.mid, float64(p.vessel.Length))
	}
	return b
}

// bound is how far the hulls keep apart at least in all weathers of a box, and how far they are about apart where it is best looked into.
func (p *pair) bound(bx *box) (boundM, middleM float64, err error) {
	a, b, err := p.boundVessels(bx)
	if err != nil {
		return 0, 0, err
	}
	boundM, middleM = math.Inf(1), math.Inf(1)
	for ha := range stabilityCount {
		for hb := range stabilityCount {
			if a.may[ha] && b.may[hb] {
				strip := strip{pair: p, bx: bx, a: &a, b: &b, stabilityA: ha, stabilityB: hb}
				least, middle := strip.widthBound()
				if least < boundM {
					boundM, bx.branchOn = least, strip.branchSymbol()
					bx.atFarReach = strip.extreme && strip.supportA.reachEnd == farEnd
				}
				if strip.extreme {
					middle = least
				}
				middleM = min(middleM, middle)
			}
		}
	}
	return boundM, middleM, nil
}

// strip is the water between two hulls in the weathers of a box, each held so far. No two convex hulls are nearer than the strip between
// them is wide, whichever way it is laid: here about square to what parts them in the middle of the box, and turned with the hull whose
// side that is.
type strip struct {
	*pair
	bx                     *box
	a, b                   *vesselBounds
	stabilityA, stabilityB stability
	anchors                affine // how far the anchors lie apart across it
	supportA, supportB     support
	// extreme says that the bound takes both boats at the same end of their reaches, which one weather of the box then has.
	extreme bool
}

// support is how a boat bounds the strip: her bow, and the corners of her hull that may be the farthest, as seen from her bow; both as they
// count towards its width.
type support struct {
	bow affine
	// extreme is her bow with the reach that counts least in all of the box, whatever the load and the level are; it is told where her bow
	// lies to one side of her anchor throughout.
	extreme  affine
	reachEnd reachEnd
	corners  [hullCorners]affine
	n        int
}

// reachEnd is the end of her reach that counts least.
type reachEnd uint8

const (
	noEnd reachEnd = iota
	nearEnd
	farEnd
	eitherEnd // her bow may lie to either side of the anchor
)

// widthBound is how wide the strip is at least, and how wide about in the middle of the box.
func (s *strip) widthBound() (boundM, middleM float64) {
	const near = 2 // metres of the bound to the middle, from where on the way between the hulls is looked for with care
	bodyA, bodyB := s.pair.a.middlePlacement(s.a, s.stabilityA), s.pair.b.middlePlacement(s.b, s.stabilityB)
	bodyB.bow = bodyB.bow.Plus(s.anchorOffset(s.bx.ebb))
	if w, apart := bodyA.axisSeparation(&bodyB); apart {
		if boundM = s.widthAlong(&w); boundM < w.gapM-near {
			return boundM, w.gapM
		}
	}
	w := bodyA.separation(&bodyB)
	return s.widthAlong(&w), w.gapM
}

// widthAlong is how wide a strip is at least that is laid square to a way.
func (s *strip) widthAlong(w *separation) (boundM float64) {
	axis := affine{mid: math.Atan2(w.direction.EastM, w.direction.NorthM)}
	switch w.by {
	case sideOfA:
		axis.by = s.a.stern.by
	case sideOfB:
		axis.by = s.b.stern.by
	}
	turned := axis.scaled(-1)
	turned.mid += s.anchorBearingRad(s.bx.ebb)
	s.anchors = turned.cos().scaled(s.distanceM)
	s.supportA = s.pair.a.supportAlong(s.a, s.stabilityA, &axis, -1)
	s.supportB = s.pair.b.supportAlong(s.b, s.stabilityB, &axis, 1)
	bows := s.anchors.addScaled(1, &s.supportA.bow).addScaled(1, &s.supportB.bow)
	boundM = width(&bows, &s.supportA, &s.supportB)
	s.extreme = false
	if s.supportA.reachEnd == noEnd && s.supportB.reachEnd == noEnd {
		return boundM
	}
	bows = s.anchors.addScaled(1, s.supportA.extremeBow()).addScaled(1, s.supportB.extremeBow())
	if otherM := width(&bows, &s.supportA, &s.supportB); otherM > boundM {
		boundM, s.extreme = otherM, s.supportA.reachEnd == s.supportB.reachEnd && s.supportA.reachEnd != eitherEnd
	}
	return boundM
}

// extremeBow is her bow as it counts extremeBow.
func (e *support) extremeBow() *affine {
	if e.reachEnd == noEnd {
		return &e.bow
	}
	return &e.extreme
}

// supportAlong is how a boat bounds the strip along an axis; toward is -1 for the boat from which the axis leads and 1 for the other.
func (p *Excursions) supportAlong(l *vesselBounds, h stability, axis *affine, towardRatio float64) (e support) {
	reach := &l.reach[h]
	if h != settled || l.loadOpen {
		e.bow, e.extreme, e.reachEnd = reach.reach.scaled(-1), constant(-reach.farM), farEnd
	} else {
		angle := l.load.addScaled(-1, axis)
		cos := angle.cos().scaled(towardRatio)
		e.bow = reach.reach.times(&cos)
		if cos.max() <= 0 {
			e.extreme, e.reachEnd = cos.scaled(reach.farM), farEnd
		} else if cos.min() >= 0 {
			e.extreme, e.reachEnd = cos.scaled(reach.nearM), nearEnd
		} else {
			e.extreme, e.reachEnd = constant(reach.farM*cos.min()), eitherEnd
		}
	}
	if h == turning {
		e.bow.mid -= p.vessel.sternCornerM()
		e.extreme.mid -= p.vessel.sternCornerM()
		e.n = 1
		return e
	}
	angle := l.stern.addScaled(-1, axis)
	cos, sin := angle.cos(), angle.sin()
	// What the corners count in the middle of the box tells which of them may ever count least.
	length, half := float64(p.vessel.Length), float64(p.vessel.Beam)/2
	rc, rs := cos.radius(), sin.radius()
	var leastM [hullCorners]float64
	boundM := math.Inf(1)
	for i, c := range corners {
		mid := towardRatio * (c.aftRatio*length*cos.mid + c.acrossRatio*half*sin.mid)
		r := c.aftRatio*length*rc + math.Abs(c.acrossRatio)*half*rs
		leastM[i] = mid - r
		boundM = min(boundM, mid+r)
	}
	for i, c := range corners {
		if leastM[i] <= boundM {
			e.corners[e.n] = cos.scaled(towardRatio*c.aftRatio*length).addScaled(towardRatio*c.acrossRatio*half, &sin)
			e.n++
		}
	}
	return e
}

// width is how wide a strip is at least; bows is how wide it is between the two bows.
func width(bows *affine, a, b *support) (leastM float64) {
	const most = 12 // pairs of corners that are looked at one by one
	if a.n*b.n > most {
		leastA, leastB := math.Inf(1), math.Inf(1)
		for i := range a.n {
			leastA = min(leastA, a.corners[i].min())
		}
		for i := range b.n {
			leastB = min(leastB, b.corners[i].min())
		}
		return bows.min() + leastA + leastB
	}
	leastM = math.Inf(1)
	for i := range a.n {
		with := bows.addScaled(1, &a.corners[i])
		for j := range b.n {
			both := with.addScaled(1, &b.corners[j])
			leastM = min(leastM, both.min())
		}
	}
	return leastM
}

// slopeWeight is how much more a slope counts than what else is open, in the choice of what a box is divided by, where a boat is not held:
// by trial.
const slopeWeight = 3

// branchSymbol is the unknown of a box by which the bound is likely to gain most when the box is divided.
func (s *strip) branchSymbol() int {
	var score [symCount]float64
	counts := 1.0
	if s.stabilityA != settled || s.stabilityB != settled {
		counts = slopeWeight
	}
	for i := range score {
		slope := s.anchors.by[i] + s.supportA.corners[0].by[i] + s.supportB.corners[0].by[i]
		if !s.extreme || i != symScale && i != symLevel {
			slope += s.supportA.bow.by[i] + s.supportB.bow.by[i]
		}
		score[i] = counts*math.Abs(slope) + s.anchors.by[i]*s.anchors.by[i]/(2*s.distanceM+1)
	}
	s.pair.a.addUncertainty(&score, s.bx, s.a, s.stabilityA, s.extreme)
	s.pair.b.addUncertainty(&score, s.bx, s.b, s.stabilityB, s.extreme)
	best := -1
	for i := range score {
		if s.bx.half[i] > 0 && (best < 0 || score[i] > score[best]) {
			best = i
		}
	}
	return best
}

// minScaleHalf is half the width of the scale of a box that is not divided by it for the friction of the stream.
const minScaleHalf = 1e-4

// addUncertainty adds to each unknown about how much it leaves open of where a boat lies, metres. extreme says that her reach is taken to be the
// worst of the box.
func (p *Excursions) addUncertainty(scoreM *[symCount]float64, bx *box, l *vesselBounds, h stability, extreme bool) {
	length, reach := float64(p.vessel.Length), &l.reach[h]
	if root := l.root[h].radius(); !extreme && root > 0 {
		scoreM[symLevel] += 2 * reach.levelM
		for i := range scoreM {
			scoreM[i] += 2 * reach.loadsM * math.Abs(l.root[h].by[i]) / root
		}
	}
	for i := range scoreM {
		stern, load := math.Abs(l.stern.by[i]), math.Abs(l.load.by[i])
		if h != turning {
			scoreM[i] += stern * stern * length / 2
		}
		if h == settled {
			scoreM[i] += load * load * reach.reach.mid / 2
			if !extreme {
				scoreM[i] += (load*reach.reach.radius() + min(1, l.load.radius())*math.Abs(reach.reach.by[i])) / 2
			}
		}
	}
	// What else is open is told by no slope: it is owed to the direction and the ratio of wind and stream.
	wind, ratio := bx.half[symWind], 2*bx.half[symRatio]
	open, friction := 0.0, 0.0
	if h != settled || extreme { // the load is taken to be the largest of the box, or the least
		open = (reach.reach.mid - float64(p.calm.reach)) * min(1, wind+ratio)
	}
	if h != turning {
		open += l.stern.residual * length
		if l.sternOpen {
			open = math.Inf(1)
		}
	}
	if h == settled {
		open += l.load.residual * reach.reach.mid
		friction = min(1, l.frictionRatio)
		if l.loadOpen {
			open = math.Inf(1)
		}
	}
	if h == drifting && l.may[settled] && bx.half[symScale] > minScaleHalf { // by the friction it may depend on the scale whether she drifts
		scoreM[symScale] += min(1, l.frictionRatio) * reach.reach.mid
	}
	if open == 0 {
		return
	}
	if math.IsInf(open, 1) {
		friction = math.Floor(friction + 0.7)
	}
	if friction > 0 && bx.half[symScale] > minScaleHalf {
		scoreM[symScale] += open * friction
	}
	if friction < 1 && wind >= ratio {
		scoreM[symWind] += open * (1 - friction)
	} else if friction < 1 {
		scoreM[symRatio] += open * (1 - friction)
	}
}
