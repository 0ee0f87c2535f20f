package swing

import (
	"math"

	"swingroom/geo"
)

// body is where a boat may lie at one moment: her hull, and around it the water in which she may lie otherwise where she is unsettled.
type body struct {
	craft *Vessel
	hold  hold
	// bow is her bow, and that of an unsettled boat her anchor; aft leads from it to the stern, and nowhere for one that may point any way.
	bow, aft geo.Offset
	reachM   float64
}

// roundM is how far she may lie off her hull as it is told, to any side.
func (b *body) roundM() float64 {
	switch b.hold {
	case drifts:
		return b.reachM
	case turns:
		return b.reachM + b.craft.farM()
	}
	return 0
}

// parting is the way between two boats with the water in which they may lie.
func (b *body) parting(o *body) (w way) {
	if b.hold == turns && o.hold == turns {
		to := o.bow.Sub(b.bow)
		w = way{gapM: lengthM(to)}
		if w.to = (geo.Offset{NorthM: 1}); w.gapM > 0 {
			w.to = to.Times(1 / w.gapM)
		}
	} else {
		hulls := [2]hull{outline(b.bow, b.aft, b.craft.Beam), outline(o.bow, o.aft, o.craft.Beam)}
		w = parting(&hulls[0], &hulls[1])
	}
	w.gapM -= b.roundM() + o.roundM()
	return w
}

// between is the way between the axes of two boats that lie well apart, and the width of the strip square to it.
func (b *body) between(o *body) (w way, apart bool) {
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
	if m < float64(b.craft.Beam+o.craft.Beam) {
		return w, false
	}
	w.to = to.Times(1 / m)
	mostM, leastM := math.Inf(-1), math.Inf(1)
	for _, v := range outline(b.bow, b.aft, b.craft.Beam).ring {
		mostM = max(mostM, dot(v, w.to))
	}
	for _, v := range outline(o.bow, o.aft, o.craft.Beam).ring {
		leastM = min(leastM, dot(v, w.to))
	}
	w.gapM = leastM - mostM - b.roundM() - o.roundM()
	return w, true
}

// gapM is how near two boats may come: below 0 where their water overlaps, by that at most.
func (b *body) gapM(o *body) float64 {
	if b.hold == turns && o.hold == turns {
		return lengthM(o.bow.Sub(b.bow)) - b.roundM() - o.roundM()
	}
	return hullGap(b.bow, b.aft, b.craft.Beam, o.bow, o.aft, o.craft.Beam) - b.roundM() - o.roundM()
}

// drawn are the outlines of two boats, each that is unsettled as near to the other as she may come; where their water overlaps, so that she
// just meets her.
func (b *body) drawn(o *body) (hullB, hullO []geo.Offset) {
	w := b.parting(o)
	overM := max(0, -w.gapM)
	if b.hold != settled && o.hold != settled {
		overM /= 2
	}
	return b.drawnTo(w.to, overM), o.drawnTo(w.to.Times(-1), overM)
}

func (b *body) drawnTo(to geo.Offset, shortM float64) []geo.Offset {
	bow, aft := b.bow, b.aft
	if b.hold != settled {
		bow = bow.Plus(to.Times(max(b.reachM-shortM, -b.reachM)))
	}
	if b.hold == turns { // from the bow, a corner of her stern
		toRad := math.Atan2(to.EastM, to.NorthM) - math.Atan2(float64(b.craft.Beam)/2, float64(b.craft.Length))
		aft = toward(toRad, float64(b.craft.Length))
	}
	h := outline(bow, aft, b.craft.Beam)
	return append([]geo.Offset(nil), h.ring[:]...)
}

// bodiesAt are both boats at a point by the curves of the reach, from the first anchor on the plane of the point.
func (p *pair) bodiesAt(pt *point) (a, b body, err error) {
	w := pt.shares()
	level := p.low + (p.high-p.low)*geo.Metres(pt.at[byLevel])
	if a, err = p.a.body(&w, level, pt.at[byTurnA]); err != nil {
		return a, b, err
	}
	b, err = p.b.body(&w, level, pt.at[byTurnB])
	b.bow = b.bow.Plus(p.apart(pt.ebb))
	return a, b, err
}

// body is a boat from her anchor, turned by an angle, by the curve of the reach.
func (p *Excursions) body(w *shares, level geo.Metres, turnRad float64) (body, error) {
	row, err := p.row(level)
	if err != nil {
		return body{}, err
	}
	lies := p.statics.at(w)
	return p.lying(&lies, p.ends(&rowsOf{row, row, row}, lies.rootN, p.cell(lies.rootN)).meanM, turnRad), nil
}

// lying is a boat from her anchor with a reach, turned by an angle.
func (p *Excursions) lying(lies *attitude, reachM, turnRad float64) body {
	b := body{craft: p.craft, hold: lies.hold, reachM: reachM}
	if b.hold == settled {
		b.bow = toward(lies.loadRad+turnRad, reachM)
	}
	if b.hold != turns {
		b.aft = toward(lies.sternRad+turnRad, float64(p.craft.Length))
	}
	return b
}

// inFull is a boat on the plane of the anchors by the statics of her line, turned from what a weather says.
func (p *Excursions) inFull(w *geo.Weather, sh *shares, turnDeg float64) (body, error) {
	m, err := p.craft.At(w.Level)
	if err != nil {
		return body{}, err
	}
	lies := p.statics.at(sh)
	if lies.hold == settled {
		l, err := m.Equilibrium(*w)
		if err != nil {
			return body{}, err
		}
		l.LoadDeg, l.SternDeg = l.LoadDeg+turnDeg, l.SternDeg+turnDeg
		return body{p.craft, settled, p.at.Plus(l.Bow()), geo.Toward(l.SternDeg, m.Length), float64(l.Reach)}, nil
	}
	reach, err := m.Rode.Reach(geo.Newtons(lies.rootN * lies.rootN))
	if err != nil {
		return body{}, err
	}
	b := p.lying(&lies, float64(reach), (turnDeg+w.StreamToDeg)*math.Pi/180)
	b.bow = p.at
	return b, nil
}
