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

// laid is a boat in the weathers of a box; the angles have the scatter in them.
type laid struct {
	attitudes
	reach [holds]reached
}

// seeds are weathers in which two boats are likely to come close: those in which the side forces on one of them cancel each other.
func (p *pair) seeds() (all []box) {
	if !p.sweep.streams() {
		return nil
	}
	scatter := p.sweep.design.Scatter() * math.Pi / 180
	for _, boat := range [2]*Excursions{p.a, p.b} {
		bx := box{frame: frame{chart: windLed}}
		ratio := math.Sqrt(boat.statics.windAbeamN / boat.statics.streamAbeamN)
		if ratio > 1 {
			bx.chart, ratio = streamLed, 1/ratio
		}
		bx.mid = [symbols]float64{byWind: math.Pi, byRatio: ratio, byScale: 1}
		bx.half = [symbols]float64{byWind: 2 * unsettledRatio, byRatio: unsettledRatio * ratio, byTurnA: scatter, byTurnB: scatter}
		for _, ebb := range [2]bool{false, true} {
			bx.ebb = ebb
			all = append(all, bx)
		}
	}
	return all
}

// lay lays both boats in the weathers of a box.
func (p *pair) lay(bx *box) (a, b laid, err error) {
	if a, err = p.one(bx, p.a, byTurnA); err != nil {
		return a, b, err
	}
	b, err = p.one(bx, p.b, byTurnB)
	return a, b, err
}

func (p *pair) one(bx *box, boat *Excursions, turnedBy int) (l laid, err error) {
	l.attitudes = boat.statics.over(bx)
	rows, err := boat.rowsOver(bx, p.low, p.high)
	if err != nil {
		return l, err
	}
	for h, may := range l.may {
		if may {
			l.reach[h] = boat.reachOver(&l.root[h], rows)
		}
	}
	turn := bx.affine(turnedBy)
	l.stern, l.load = l.stern.plus(1, &turn), l.load.plus(1, &turn)
	return l, nil
}

// toward is an offset at an angle clockwise from north.
func toward(rad float64, lengthM float64) geo.Offset {
	sin, cos := math.Sincos(rad)
	return geo.Offset{EastM: lengthM * sin, NorthM: lengthM * cos}
}

// apart leads from the first anchor to the second on the plane of a box, whose north is where the stream sets.
func (p *pair) apart(ebb bool) geo.Offset { return toward(p.apartRad(ebb), p.distanceM) }

func (p *pair) apartRad(ebb bool) float64 {
	return p.bearingRad - p.sweep.streamToDeg(ebb)*math.Pi/180
}

// middle is about how a boat lies in the middle of a box, while she is held so far.
func (p *Excursions) middle(l *laid, h hold) body {
	b := body{hold: h, craft: p.craft, reachM: l.reach[h].reach.mid}
	if h == settled {
		b.bow = toward(l.load.mid, b.reachM)
	}
	if h != turns {
		b.aft = toward(l.stern.mid, float64(p.craft.Length))
	}
	return b
}

// over is how far the hulls keep apart at least in all weathers of a box, and how far they are about apart where it is best looked into.
func (p *pair) over(bx *box) (boundM, middleM float64, err error) {
	a, b, err := p.lay(bx)
	if err != nil {
		return 0, 0, err
	}
	boundM, middleM = math.Inf(1), math.Inf(1)
	for ha := range holds {
		for hb := range holds {
			if a.may[ha] && b.may[hb] {
				strip := strip{pair: p, bx: bx, a: &a, b: &b, holdA: ha, holdB: hb}
				least, middle := strip.narrowest()
				if least < boundM {
					boundM, bx.worst = least, strip.worst()
					bx.farthest = strip.extreme && strip.endA.reached == farEnd
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
	bx           *box
	a, b         *laid
	holdA, holdB hold
	anchors      affine // how far the anchors lie apart across it
	endA, endB   end
	// extreme says that the bound takes both boats at the same end of their reaches, which one weather of the box then has.
	extreme bool
}

// end is how a boat bounds the strip: her bow, and the corners of her hull that may be the farthest, as seen from her bow; both as they
// count towards its width.
type end struct {
	bow affine
	// extreme is her bow with the reach that counts least in all of the box, whatever the load and the level are; it is told where her bow
	// lies to one side of her anchor throughout.
	extreme affine
	reached reachedTo
	corners [hullCorners]affine
	n       int
}

// reachedTo is the end of her reach that counts least.
type reachedTo uint8

const (
	noEnd reachedTo = iota
	nearEnd
	farEnd
	eitherEnd // her bow may lie to either side of the anchor
)

// narrowest is how wide the strip is at least, and how wide about in the middle of the box.
func (s *strip) narrowest() (boundM, middleM float64) {
	const near = 2 // metres of the bound to the middle, from where on the way between the hulls is looked for with care
	bodyA, bodyB := s.pair.a.middle(s.a, s.holdA), s.pair.b.middle(s.b, s.holdB)
	bodyB.bow = bodyB.bow.Plus(s.apart(s.bx.ebb))
	if w, apart := bodyA.between(&bodyB); apart {
		if boundM = s.along(&w); boundM < w.gapM-near {
			return boundM, w.gapM
		}
	}
	w := bodyA.parting(&bodyB)
	return s.along(&w), w.gapM
}

// along is how wide a strip is at least that is laid square to a way.
func (s *strip) along(w *way) (boundM float64) {
	axis := affine{mid: math.Atan2(w.to.EastM, w.to.NorthM)}
	switch w.by {
	case sideOfA:
		axis.by = s.a.stern.by
	case sideOfB:
		axis.by = s.b.stern.by
	}
	turned := axis.scaled(-1)
	turned.mid += s.apartRad(s.bx.ebb)
	s.anchors = turned.cos().scaled(s.distanceM)
	s.endA = s.pair.a.extent(s.a, s.holdA, &axis, -1)
	s.endB = s.pair.b.extent(s.b, s.holdB, &axis, 1)
	bows := s.anchors.plus(1, &s.endA.bow).plus(1, &s.endB.bow)
	boundM = width(&bows, &s.endA, &s.endB)
	s.extreme = false
	if s.endA.reached == noEnd && s.endB.reached == noEnd {
		return boundM
	}
	bows = s.anchors.plus(1, s.endA.least()).plus(1, s.endB.least())
	if otherM := width(&bows, &s.endA, &s.endB); otherM > boundM {
		boundM, s.extreme = otherM, s.endA.reached == s.endB.reached && s.endA.reached != eitherEnd
	}
	return boundM
}

// least is her bow as it counts least.
func (e *end) least() *affine {
	if e.reached == noEnd {
		return &e.bow
	}
	return &e.extreme
}

// extent is how a boat bounds the strip along an axis; toward is -1 for the boat from which the axis leads and 1 for the other.
func (p *Excursions) extent(l *laid, h hold, axis *affine, towardRatio float64) (e end) {
	reach := &l.reach[h]
	if h != settled || l.loadOpen {
		e.bow, e.extreme, e.reached = reach.reach.scaled(-1), fixedAt(-reach.farM), farEnd
	} else {
		angle := l.load.plus(-1, axis)
		cos := angle.cos().scaled(towardRatio)
		e.bow = reach.reach.times(&cos)
		if cos.most() <= 0 {
			e.extreme, e.reached = cos.scaled(reach.farM), farEnd
		} else if cos.least() >= 0 {
			e.extreme, e.reached = cos.scaled(reach.nearM), nearEnd
		} else {
			e.extreme, e.reached = fixedAt(reach.farM*cos.least()), eitherEnd
		}
	}
	if h == turns {
		e.bow.mid -= p.craft.farM()
		e.extreme.mid -= p.craft.farM()
		e.n = 1
		return e
	}
	angle := l.stern.plus(-1, axis)
	cos, sin := angle.cos(), angle.sin()
	// What the corners count in the middle of the box tells which of them may ever count least.
	length, half := float64(p.craft.Length), float64(p.craft.Beam)/2
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
			e.corners[e.n] = cos.scaled(towardRatio*c.aftRatio*length).plus(towardRatio*c.acrossRatio*half, &sin)
			e.n++
		}
	}
	return e
}

// width is how wide a strip is at least; bows is how wide it is between the two bows.
func width(bows *affine, a, b *end) (leastM float64) {
	const most = 12 // pairs of corners that are looked at one by one
	if a.n*b.n > most {
		leastA, leastB := math.Inf(1), math.Inf(1)
		for i := range a.n {
			leastA = min(leastA, a.corners[i].least())
		}
		for i := range b.n {
			leastB = min(leastB, b.corners[i].least())
		}
		return bows.least() + leastA + leastB
	}
	leastM = math.Inf(1)
	for i := range a.n {
		with := bows.plus(1, &a.corners[i])
		for j := range b.n {
			both := with.plus(1, &b.corners[j])
			leastM = min(leastM, both.least())
		}
	}
	return leastM
}

// slopeCounts is how much more a slope counts than what else is open, in the choice of what a box is divided by, where a boat is not held:
// by trial.
const slopeCounts = 3

// worst is the unknown of a box by which the bound is likely to gain most when the box is divided.
func (s *strip) worst() int {
	var score [symbols]float64
	counts := 1.0
	if s.holdA != settled || s.holdB != settled {
		counts = slopeCounts
	}
	for i := range score {
		slope := s.anchors.by[i] + s.endA.corners[0].by[i] + s.endB.corners[0].by[i]
		if !s.extreme || i != byScale && i != byLevel {
			slope += s.endA.bow.by[i] + s.endB.bow.by[i]
		}
		score[i] = counts*math.Abs(slope) + s.anchors.by[i]*s.anchors.by[i]/(2*s.distanceM+1)
	}
	s.pair.a.blame(&score, s.bx, s.a, s.holdA, s.extreme)
	s.pair.b.blame(&score, s.bx, s.b, s.holdB, s.extreme)
	best := -1
	for i := range score {
		if s.bx.half[i] > 0 && (best < 0 || score[i] > score[best]) {
			best = i
		}
	}
	return best
}

// leastScale is half the width of the scale of a box that is not divided by it for the friction of the stream.
const leastScale = 1e-4

// blame adds to each unknown about how much it leaves open of where a boat lies, metres. extreme says that her reach is taken to be the
// worst of the box.
func (p *Excursions) blame(scoreM *[symbols]float64, bx *box, l *laid, h hold, extreme bool) {
	length, reach := float64(p.craft.Length), &l.reach[h]
	if root := l.root[h].radius(); !extreme && root > 0 {
		scoreM[byLevel] += 2 * reach.levelM
		for i := range scoreM {
			scoreM[i] += 2 * reach.loadsM * math.Abs(l.root[h].by[i]) / root
		}
	}
	for i := range scoreM {
		stern, load := math.Abs(l.stern.by[i]), math.Abs(l.load.by[i])
		if h != turns {
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
	wind, ratio := bx.half[byWind], 2*bx.half[byRatio]
	open, friction := 0.0, 0.0
	if h != settled || extreme { // the load is taken to be the largest of the box, or the least
		open = (reach.reach.mid - float64(p.calm.reach)) * min(1, wind+ratio)
	}
	if h != turns {
		open += l.stern.over * length
		if l.sternOpen {
			open = math.Inf(1)
		}
	}
	if h == settled {
		open += l.load.over * reach.reach.mid
		friction = min(1, l.frictionRatio)
		if l.loadOpen {
			open = math.Inf(1)
		}
	}
	if h == drifts && l.may[settled] && bx.half[byScale] > leastScale { // by the friction it may depend on the scale whether she drifts
		scoreM[byScale] += min(1, l.frictionRatio) * reach.reach.mid
	}
	if open == 0 {
		return
	}
	if math.IsInf(open, 1) {
		friction = math.Floor(friction + 0.7)
	}
	if friction > 0 && bx.half[byScale] > leastScale {
		scoreM[byScale] += open * friction
	}
	if friction < 1 && wind >= ratio {
		scoreM[byWind] += open * (1 - friction)
	} else if friction < 1 {
		scoreM[byRatio] += open * (1 - friction)
	}
}
