package swing

import (
	"math"

	"swingroom/geo"
)

// placement is where a boat may lie at one moment: her hull, and around it the water in which she may lie otherwise where she is unsettled.
type placement struct {
	vessel    *Vessel
	stability stability
	// bow is her bow, and that of an unsettled boat her anchor; aft leads from it to the stern, and nowhere for one that may point any way.
	bow, aft geo.Offset
	reachM   float64
}

// bufferM is how far she may lie off her hull as it is told, to any side.
func (b *placement) bufferM() float64 {
	switch b.stability {
	case drifting:
		return b.reachM
	case turning:
		return b.reachM + b.vessel.sternCornerM()
	}
	return 0
}

// separation is the way between two boats with the water in which they may lie.
func (b *placement) separation(o *placement) (w separation) {
	if b.stability == turning && o.stability == turning {
		to := o.bow.Sub(b.bow)
		w = separation{gapM: lengthM(to)}
		if w.direction = (geo.Offset{NorthM: 1}); w.gapM > 0 {
			w.direction = to.Times(1 / w.gapM)
		}
	} else {
		hulls := [2]hull{outline(b.bow, b.aft, b.vessel.Beam), outline(o.bow, o.aft, o.vessel.Beam)}
		w = separationOf(&hulls[0], &hulls[1])
	}
	w.gapM -= b.bufferM() + o.bufferM()
	return w
}

// axisSeparation is the way axisSeparation the axes of two boats that lie well apart, and the width of the strip square to it.
func (b *placement) axisSeparation(o *placement) (w separation, apart bool) {
	to := o.bow.Sub(b.bow)
	m2 := dot(to, to)
	try := func(v geo.Offset) {
		if square := dot(v, v); square < m2 {
			to, m2 = v, square
		}
	}
	endB, endO := b.bow.Plus(b.aft), o.bow.Plus(o.aft)
	try(toSide(o.bow, b.bow, b.aft).Times(-1))
	try(toSide(endO, b.bow, b.aft).Times(-1))
	try(toSide(b.bow, o.bow, o.aft))
	try(toSide(endB, o.bow, o.aft))
	m := math.Sqrt(m2)
	if m < float64(b.vessel.Beam+o.vessel.Beam) {
		return w, false
	}
	w.direction = to.Times(1 / m)
	mostM, leastM := math.Inf(-1), math.Inf(1)
	for _, v := range outline(b.bow, b.aft, b.vessel.Beam).ring {
		mostM = max(mostM, dot(v, w.direction))
	}
	for _, v := range outline(o.bow, o.aft, o.vessel.Beam).ring {
		leastM = min(leastM, dot(v, w.direction))
	}
	w.gapM = leastM - mostM - b.bufferM() - o.bufferM()
	return w, true
}

// gapM is how near two boats may come: below 0 where their water overlaps, by that at most.
func (b *placement) gapM(o *placement) float64 {
	if b.stability == turning && o.stability == turning {
		return lengthM(o.bow.Sub(b.bow)) - b.bufferM() - o.bufferM()
	}
	return hullGap(b.bow, b.aft, b.vessel.Beam, o.bow, o.aft, o.vessel.Beam) - b.bufferM() - o.bufferM()
}

// outlines are the outlines of two boats, each that is unsettled as near to the other as she may come; where their water overlaps, so that she
// just meets her.
func (b *placement) outlines(o *placement) (hullB, hullO []geo.Offset) {
	w := b.separation(o)
	overM := max(0, -w.gapM)
	if b.stability != settled && o.stability != settled {
		overM /= 2
	}
	return b.outlineToward(w.direction, overM), o.outlineToward(w.direction.Times(-1), overM)
}

func (b *placement) outlineToward(to geo.Offset, shortM float64) []geo.Offset {
	bow, aft := b.bow, b.aft
	if b.stability != settled {
		bow = bow.Plus(to.Times(max(b.reachM-shortM, -b.reachM)))
	}
	if b.stability == turning { // from the bow, a corner of her stern
		toRad := math.Atan2(to.EastM, to.NorthM) - math.Atan2(float64(b.vessel.Beam)/2, float64(b.vessel.Length))
		aft = toward(toRad, float64(b.vessel.Length))
	}
	h := outline(bow, aft, b.vessel.Beam)
	return append([]geo.Offset(nil), h.ring[:]...)
}

// estimatedPlacements are both boats at a point by the curves of the reach, from the first anchor on the plane of the point.
func (p *pair) estimatedPlacements(pt *point) (a, b placement, err error) {
	w := pt.shares()
	level := p.low + (p.high-p.low)*geo.Metres(pt.at[symLevel])
	if a, err = p.a.estimatedPlacement(&w, level, pt.at[symTurnA]); err != nil {
		return a, b, err
	}
	b, err = p.b.estimatedPlacement(&w, level, pt.at[symTurnB])
	b.bow = b.bow.Plus(p.anchorOffset(pt.ebb))
	return a, b, err
}

// estimatedPlacement is a boat from her anchor, turned by an angle, by the curve of the reach.
func (p *Excursions) estimatedPlacement(w *weatherShares, level geo.Metres, turnRad float64) (placement, error) {
	row, err := p.row(level)
	if err != nil {
		return placement{}, err
	}
	lies := p.statics.attitudeAt(w)
	return p.placementAt(&lies, p.spreadAt(&levelRows{row, row, row}, lies.rootN, p.cell(lies.rootN)).meanM, turnRad), nil
}

// placementAt is a boat from her anchor with a reach, turned by an angle.
func (p *Excursions) placementAt(lies *attitude, reachM, turnRad float64) placement {
	b := placement{vessel: p.vessel, stability: lies.hold, reachM: reachM}
	if b.stability == settled {
		b.bow = toward(lies.loadRad+turnRad, reachM)
	}
	if b.stability != turning {
		b.aft = toward(lies.sternRad+turnRad, float64(p.vessel.Length))
	}
	return b
}

// solvedPlacement is a boat on the plane of the anchors by the statics of her line, turned from what a weather says.
func (p *Excursions) solvedPlacement(w *geo.Weather, sh *weatherShares, turnDeg float64) (placement, error) {
	m, err := p.vessel.At(w.Level)
	if err != nil {
		return placement{}, err
	}
	lies := p.statics.attitudeAt(sh)
	if lies.hold == settled {
		l, err := m.Equilibrium(*w)
		if err != nil {
			return placement{}, err
		}
		l.LoadDeg, l.SternDeg = l.LoadDeg+turnDeg, l.SternDeg+turnDeg
		return placement{p.vessel, settled, p.at.Plus(l.Bow()), geo.Toward(l.SternDeg, m.Length), float64(l.Reach)}, nil
	}
	reach, err := m.Rode.Reach(geo.Newtons(lies.rootN * lies.rootN))
	if err != nil {
		return placement{}, err
	}
	b := p.placementAt(&lies, float64(reach), (turnDeg+w.StreamToDeg)*math.Pi/180)
	b.bow = p.at
	return b, nil
}
