package swing

import "math"

// strip is the water between two hulls in the weathers of a box, each held so far. No two convex hulls are nearer than the strip between
// them is wide, whichever way it is laid: here about square to what separates them in the middle of the box, and turned with the hull whose
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

// support is how a boat bounds the strip: its bow, and the corners of its hull that may be the farthest, as seen from the bow; both as they
// count towards its width.
type support struct {
	bow affine
	// extreme is the bow with the reach that counts least in all of the box, whatever the load and the level are; it is told where the bow
	// lies to one side of the anchor throughout.
	extreme  affine
	reachEnd reachEnd
	corners  [hullCorners]affine
	count    int
}

// reachEnd is the end of the reach that counts least.
type reachEnd uint8

const (
	noEnd reachEnd = iota
	nearEnd
	farEnd
	eitherEnd // the bow may lie to either side of the anchor
)

// widthBound is how wide the strip is at least, and how wide about in the middle of the box.
func (s *strip) widthBound() (boundM, middleM float64) {
	const nearM = 2 // of the bound to the middle: from here on the separation of the hulls is worked out in full
	a, b := s.pair.a.middlePlacement(s.a, s.stabilityA), s.pair.b.middlePlacement(s.b, s.stabilityB)
	b.bow = b.bow.Plus(s.anchorOffset(s.bx.ebb))
	if w, apart := a.axisSeparation(&b); apart {
		if boundM = s.widthAlong(&w); boundM < w.gapM-nearM {
			return boundM, w.gapM
		}
	}
	w := a.separation(&b)
	return s.widthAlong(&w), w.gapM
}

// widthAlong is how wide a strip is at least that is laid square to the direction of a separation.
func (s *strip) widthAlong(w *separation) (boundM float64) {
	axis := s.axis(w)
	turned := axis.scaled(-1)
	turned.mid += s.anchorBearingRad(s.bx.ebb)
	s.anchors = turned.cos().scaled(s.distanceM)
	s.setSupports(&axis)
	boundM = s.widthBetween(&s.supportA.bow, &s.supportB.bow)
	s.extreme = false
	if s.supportA.reachEnd == noEnd && s.supportB.reachEnd == noEnd {
		return boundM
	}
	if otherM := s.widthBetween(s.supportA.extremeBow(), s.supportB.extremeBow()); otherM > boundM {
		boundM, s.extreme = otherM, s.supportA.reachEnd == s.supportB.reachEnd && s.supportA.reachEnd != eitherEnd
	}
	return boundM
}

// setSupports bounds both boats along an axis.
func (s *strip) setSupports(axis *affine) {
	s.supportA = s.pair.a.supportAlong(s.a, s.stabilityA, axis, -1)
	s.supportB = s.pair.b.supportAlong(s.b, s.stabilityB, axis, 1)
}

// widthBetween is how wide the strip is at least with the bows of both boats.
func (s *strip) widthBetween(bowA, bowB *affine) float64 {
	bows := s.anchors.addScaled(1, bowA).addScaled(1, bowB)
	return width(&bows, &s.supportA, &s.supportB)
}

// axis is the direction of a separation over the box: it turns with the hull whose side separates them.
func (s *strip) axis(w *separation) affine {
	axis := affine{mid: bearingRad(w.direction)}
	switch w.by {
	case sideOfA:
		axis.coef = s.a.stern.coef
	case sideOfB:
		axis.coef = s.b.stern.coef
	}
	return axis
}

// extremeBow is the bow as it counts least.
func (e *support) extremeBow() *affine {
	if e.reachEnd == noEnd {
		return &e.bow
	}
	return &e.extreme
}

// supportAlong is how a boat bounds the strip along an axis; toward is -1 for the boat from which the axis leads and 1 for the other.
func (p *Excursions) supportAlong(l *vesselBounds, st stability, axis *affine, towardRatio float64) (e support) {
	reach := &l.reach[st]
	if st != settled || l.loadOpen {
		e.bow, e.extreme, e.reachEnd = reach.reach.scaled(-1), constant(-reach.farM), farEnd
	} else {
		e.addBow(l, reach, axis, towardRatio)
	}
	if st == turning {
		e.bow.mid -= p.vessel.sternCornerM()
		e.extreme.mid -= p.vessel.sternCornerM()
		e.count = 1
		return e
	}
	p.addCorners(&e, l, axis, towardRatio)
	return e
}

// addBow takes the bow of a settled boat.
func (e *support) addBow(l *vesselBounds, reach *reachBounds, axis *affine, towardRatio float64) {
	angle := l.load.addScaled(-1, axis)
	cos := angle.cos().scaled(towardRatio)
	e.bow = reach.reach.times(&cos)
	switch {
	case cos.max() <= 0:
		e.extreme, e.reachEnd = cos.scaled(reach.farM), farEnd
	case cos.min() >= 0:
		e.extreme, e.reachEnd = cos.scaled(reach.nearM), nearEnd
	default:
		e.extreme, e.reachEnd = constant(reach.farM*cos.min()), eitherEnd
	}
}

// addCorners takes those corners of the hull that may be the farthest. What they count in the middle of the box tells which may ever count
// least.
func (p *Excursions) addCorners(e *support, l *vesselBounds, axis *affine, towardRatio float64) {
	angle := l.stern.addScaled(-1, axis)
	cos, sin := angle.cos(), angle.sin()
	length, half := float64(p.vessel.Length), float64(p.vessel.Beam)/2
	rc, rs := cos.radius(), sin.radius()
	var minM [hullCorners]float64
	boundM := math.Inf(1)
	for i, c := range corners {
		mid := towardRatio * (c.aftRatio*length*cos.mid + c.acrossRatio*half*sin.mid)
		r := c.aftRatio*length*rc + math.Abs(c.acrossRatio)*half*rs
		minM[i] = mid - r
		boundM = min(boundM, mid+r)
	}
	for i, c := range corners {
		if minM[i] <= boundM {
			e.corners[e.count] = cos.scaled(towardRatio*c.aftRatio*length).addScaled(towardRatio*c.acrossRatio*half, &sin)
			e.count++
		}
	}
}

// width is how wide a strip is at least; bows is how wide it is between the two bows.
func width(bows *affine, a, b *support) (minM float64) {
	const maxPairs = 12 // pairs of corners up to which they are looked at one by one
	if a.count*b.count > maxPairs {
		return bows.min() + a.minCorner() + b.minCorner()
	}
	minM = math.Inf(1)
	for i := range a.count {
		with := bows.addScaled(1, &a.corners[i])
		for j := range b.count {
			both := with.addScaled(1, &b.corners[j])
			minM = min(minM, both.min())
		}
	}
	return minM
}

// minCorner is what the corners count at the least.
func (e *support) minCorner() float64 {
	minM := math.Inf(1)
	for i := range e.count {
		minM = min(minM, e.corners[i].min())
	}
	return minM
}
