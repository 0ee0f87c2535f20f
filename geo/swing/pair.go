package swing

import (
	"math"

	"swingroom/geo"
)

// pair is two boats of a sweep whose hulls are held against each other.
type pair struct {
	sweep      *Sweep
	a, b       *Poses
	low, high  geo.Metres // the levels at which both lines are long enough
	distanceM  float64    // between the anchors
	bearingRad float64    // from the first to the second, clockwise from north
	ofA, ofB   symbolsOf
}

// pairOf is two boats. ok is false where there is no level for both.
func (s *Sweep) pairOf(a, b *Poses) (p *pair, ok bool) {
	p = &pair{sweep: s, a: a, b: b, low: s.levels.Low, high: min(a.top, b.top)}
	apart := b.at.Sub(a.at)
	p.distanceM, p.bearingRad = lengthM(apart), math.Atan2(apart.EastM, apart.NorthM)
	const nearRatio = 0.5
	p.ofA, p.ofB = symbolsOf{byTurnA, byLoadA, roundA, nearRatio}, symbolsOf{byTurnB, byLoadB, roundB, nearRatio}
	if s.streams() {
		// The charts round the two balances may not overlap.
		kA, kB := a.statics.balanceRatio(), b.statics.balanceRatio()
		apartRatio := math.Abs(1/kA - 1/kB)
		p.ofA.nearRatio, p.ofB.nearRatio = min(nearRatio, 0.45*apartRatio*kA), min(nearRatio, 0.45*apartRatio*kB)
		if a.statics.turnsAlike(&b.statics) {
			p.ofA.nearRatio, p.ofB.nearRatio, p.ofB.chart = nearRatio, 0, roundA
		}
	}
	if a.statics.alike(&b.statics) {
		p.ofB.load = byLoadA
	}
	return p, p.high >= p.low
}

// laid is a boat in the weathers of a box.
type laid struct {
	attitudes
	reached
}

// lay lays both boats in the weathers of a box; the angles have the scatter in them.
func (p *pair) lay(bx *box) (a, b laid, ok bool, err error) {
	if a, ok, err = p.one(bx, p.a, &p.ofA); err != nil || !ok {
		return
	}
	b, ok, err = p.one(bx, p.b, &p.ofB)
	return
}

func (p *pair) one(bx *box, boat *Poses, of *symbolsOf) (l laid, ok bool, err error) {
	if l.attitudes, ok = boat.statics.over(bx, of); !ok {
		return l, false, nil
	}
	rows, err := boat.rowsOver(bx, p.low, p.high)
	if err != nil {
		return l, false, err
	}
	l.reached = boat.reachOver(&l.root, rows)
	turn := bx.affine(of.turn)
	l.stern, l.load = l.stern.plus(1, &turn), l.load.plus(1, &turn)
	return l, true, nil
}

// pose is where a hull's axis lies from the first anchor: bow, and from there to the stern. The plane is that of a box: x where the stream
// sets.
type pose struct{ bow, aft geo.Offset }

// toward is an offset at an angle clockwise from north.
func toward(rad float64, lengthM float64) geo.Offset {
	sin, cos := math.Sincos(rad)
	return geo.Offset{EastM: lengthM * sin, NorthM: lengthM * cos}
}

// middles are the poses in the middle of a box, as the affine forms tell it: they are no more than a good guess.
func (p *pair) middles(bx *box, a, b *laid) (pa, pb pose) {
	pa = pose{toward(a.load.mid, a.reach.mid), toward(a.stern.mid, float64(p.a.craft.Length))}
	pb = pose{p.apart(bx.ebb).Plus(toward(b.load.mid, b.reach.mid)), toward(b.stern.mid, float64(p.b.craft.Length))}
	return pa, pb
}

// posesAt are the poses at a point, by the curves of the reach.
func (p *pair) posesAt(pt *point) (pa, pb pose, err error) {
	w := pt.shares()
	level := p.low + (p.high-p.low)*geo.Metres(pt.at[byLevel])
	if pa, err = p.a.pose(&w, level, pt.at[byTurnA]); err != nil {
		return pa, pb, err
	}
	pb, err = p.b.pose(&w, level, pt.at[byTurnB])
	pb.bow = pb.bow.Plus(p.apart(pt.ebb))
	return pa, pb, err
}

// pose is where her hull lies from her anchor, turned by an angle, by the curve of the reach.
func (p *Poses) pose(w *shares, level geo.Metres, turnRad float64) (pose, error) {
	row, err := p.row(level)
	if err != nil {
		return pose{}, err
	}
	lies := p.statics.at(w)
	reach := p.ends(&rowsOf{row, row, row}, lies.rootN, p.cell(lies.rootN)).meanM
	return pose{toward(lies.loadRad+turnRad, reach), toward(lies.sternRad+turnRad, float64(p.craft.Length))}, nil
}

// apart leads from the first anchor to the second on the plane of a box.
func (p *pair) apart(ebb bool) geo.Offset { return toward(p.apartRad(ebb), p.distanceM) }

func (p *pair) apartRad(ebb bool) float64 {
	return p.bearingRad - p.sweep.streamToDeg(ebb)*math.Pi/180
}

// gapOver is how far the hulls keep apart at least in all weathers of a box, and how far they are about apart in its middle. No two convex
// hulls are nearer than the strip between them is wide, whichever way the strip is laid: here square to what parts them in the middle of
// the box, and turned with the hull whose side that is.
func (p *pair) gapOver(bx *box) (boundM, middleM float64, ok bool, err error) {
	a, b, ok, err := p.lay(bx)
	if err != nil || !ok {
		return math.Inf(1), math.Inf(1), ok, err
	}
	pa, pb := p.middles(bx, &a, &b)
	ha, hb := outline(pa.bow, pa.aft, p.a.craft.Beam), outline(pb.bow, pb.aft, p.b.craft.Beam)
	w := parting(&ha, &hb)
	axis := affine{mid: math.Atan2(w.to.EastM, w.to.NorthM)}
	switch w.by {
	case sideOfA:
		axis.by = a.stern.by
	case sideOfB:
		axis.by = b.stern.by
	}
	turned := axis.scaled(-1)
	turned.mid += p.apartRad(bx.ebb)
	anchors := turned.cos().scaled(p.distanceM)
	endA := p.a.extent(&a, &axis, -1)
	endB := p.b.extent(&b, &axis, 1)
	between := anchors.plus(1, &endA.bow).plus(1, &endB.bow)
	boundM = narrowest(&between, &endA, &endB)
	bx.worst = p.worst(bx, &anchors, &a, &b, &endA, &endB)
	return boundM, w.gapM, true, nil
}

// end is how a boat bounds the strip: her bow, and the corners of her hull that may be the farthest, as seen from her bow; both as they
// count towards its width.
type end struct {
	bow     affine
	corners [hullCorners]affine
	n       int
}

// extent is how a boat bounds the strip along an axis; toward is -1 for the boat from which the axis leads and 1 for the other.
func (p *Poses) extent(l *laid, axis *affine, towardRatio float64) (e end) {
	angle := l.load.plus(-1, axis)
	cos := angle.cos()
	e.bow = l.reach.times(&cos).scaled(towardRatio)
	angle = l.stern.plus(-1, axis)
	cos, sin := angle.cos(), angle.sin()
	// What the corners count in the middle of the box tells which of them may ever count least.
	length, half := float64(p.craft.Length), float64(p.craft.Beam)/2
	rc, rs := cos.radius(), sin.radius()
	var leastM, mostM [hullCorners]float64
	boundM := math.Inf(1)
	for i, c := range corners {
		mid := towardRatio * (c.aftRatio*length*cos.mid + c.acrossRatio*half*sin.mid)
		r := c.aftRatio*length*rc + math.Abs(c.acrossRatio)*half*rs
		leastM[i], mostM[i] = mid-r, mid+r
		boundM = min(boundM, mostM[i])
	}
	for i, c := range corners {
		if leastM[i] <= boundM {
			e.corners[e.n] = cos.scaled(towardRatio*c.aftRatio*length).plus(towardRatio*c.acrossRatio*half, &sin)
			e.n++
		}
	}
	return e
}

// narrowest is how wide the strip is at least; bows is how wide it is between the two bows.
func narrowest(bows *affine, a, b *end) float64 {
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
	leastM := math.Inf(1)
	for i := range a.n {
		with := bows.plus(1, &a.corners[i])
		for j := range b.n {
			both := with.plus(1, &b.corners[j])
			leastM = min(leastM, both.least())
		}
	}
	return leastM
}

// worst is the unknown of a box by which the bound is likely to gain most when the box is divided.
func (p *pair) worst(bx *box, anchors *affine, a, b *laid, endA, endB *end) int {
	var score [symbols]float64
	for i := range score {
		score[i] = math.Abs(anchors.by[i]+endA.bow.by[i]+endA.corners[0].by[i]+endB.bow.by[i]+endB.corners[0].by[i]) +
			anchors.by[i]*anchors.by[i]/(2*p.distanceM+1)
	}
	p.a.blame(&score, bx, a, &p.ofA)
	p.b.blame(&score, bx, b, &p.ofB)
	best := -1
	for i := range score {
		if bx.half[i] > 0 && (best < 0 || score[i] > score[best]) {
			best = i
		}
	}
	return best
}

// blame adds to each unknown about how much it leaves open of where a boat lies, metres.
func (p *Poses) blame(scoreM *[symbols]float64, bx *box, l *laid, of *symbolsOf) {
	length, root := float64(p.craft.Length), l.root.radius()
	for i := range scoreM {
		load, stern := math.Abs(l.load.by[i]), math.Abs(l.stern.by[i])
		scoreM[i] += load*load*l.reach.mid/2 + stern*stern*length/2
		if root > 0 {
			scoreM[i] += 2 * l.loadsM * math.Abs(l.root.by[i]) / root
		}
	}
	scoreM[byLevel] += 2 * l.levelM
	// What makes a boat turn all round, or nearly, is told by no slope. Once all else of her is known well, the box is divided by where
	// the load pulls.
	const well = 1 // metres
	open := l.load.over*l.reach.mid + l.stern.over*length
	if l.turnsLoad {
		swung := math.Abs(l.stern.by[byWind]) + math.Abs(l.stern.by[byRatio]) + l.stern.over
		spread := swung*length + l.reach.radius() - math.Abs(l.reach.by[byLevel])
		if open = math.Inf(1); bx.divided(of.load) || spread < well {
			open = spread
			scoreM[of.load] += min(1, bx.half[of.load]) * l.reach.mid
		}
	} else if l.turnsStern {
		open = math.Inf(1)
	}
	if open == 0 {
		return
	}
	friction := min(1, l.frictionRatio)
	if math.IsInf(open, 1) {
		friction = math.Floor(friction + 0.7)
	}
	if friction > 0 && bx.half[byScale] > 1e-4 {
		scoreM[byScale] += open * friction
	}
	if wind, ratio := bx.half[byWind], 2*bx.half[byRatio]; friction < 1 && wind >= ratio {
		scoreM[byWind] += open * (1 - friction)
	} else if friction < 1 {
		scoreM[byRatio] += open * (1 - friction)
	}
}
