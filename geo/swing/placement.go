package swing

import (
	"math"

	"swingroom/geo"
)

// placement is where a boat may lie at one moment: its hull, and around it the water in which it may lie otherwise where it is unsettled.
type placement struct {
	vessel    *Vessel
	stability stability
	// bow is the bow, and that of an unsettled boat its anchor; aft leads from it to the stern, and nowhere for one that may point any way.
	bow, aft geo.Offset
	reachM   float64
}

// bufferM is how far the boat may lie off its hull as it is told, to any side.
func (b *placement) bufferM() float64 {
	switch b.stability {
	case drifting:
		return b.reachM
	case turning:
		return b.reachM + b.vessel.sternCornerM()
	}
	return 0
}

// hull is the outline as it is told.
func (b *placement) hull() hull { return outline(b.bow, b.aft, b.vessel.Beam) }

// stern is the middle of the stern.
func (b *placement) stern() geo.Offset { return b.bow.Plus(b.aft) }

// separation is that of two boats with the water in which they may lie.
func (b *placement) separation(o *placement) (w separation) {
	if b.stability == turning && o.stability == turning {
		w = separationOfPoints(b.bow, o.bow)
	} else {
		hulls := [2]hull{b.hull(), o.hull()}
		w = separationOf(&hulls[0], &hulls[1])
	}
	w.gapM -= b.buffersM(o)
	return w
}

// buffersM is what both boats together may lie nearer than their hulls.
func (b *placement) buffersM(o *placement) float64 { return b.bufferM() + o.bufferM() }

// separationOfPoints is northward for points in one place.
func separationOfPoints(from, to geo.Offset) separation {
	way := to.Sub(from)
	w := separation{gapM: lengthM(way), direction: geo.Offset{NorthM: 1}}
	if w.gapM > 0 {
		w.direction = way.Times(1 / w.gapM)
	}
	return w
}

// axisSeparation is the separation of two boats along the shortest way between their axes; apart is false where these are too near for that
// way to separate the hulls.
func (b *placement) axisSeparation(o *placement) (w separation, apart bool) {
	way := o.bow.Sub(b.bow)
	s := shortest{way, dot(way, way)}
	s.try(toSide(o.bow, b.bow, b.aft).Times(-1))
	s.try(toSide(o.stern(), b.bow, b.aft).Times(-1))
	s.try(toSide(b.bow, o.bow, o.aft))
	s.try(toSide(b.stern(), o.bow, o.aft))
	m := math.Sqrt(s.gapM2)
	if m < float64(b.vessel.Beam+o.vessel.Beam) {
		return w, false
	}
	w.direction = s.way.Times(1 / m)
	_, maxM := b.extentAlong(w.direction)
	minM, _ := o.extentAlong(w.direction)
	w.gapM = minM - maxM - b.buffersM(o)
	return w, true
}

// extentAlong is where a hull begins and ends along a direction.
func (b *placement) extentAlong(direction geo.Offset) (minM, maxM float64) {
	minM, maxM = math.Inf(1), math.Inf(-1)
	h := b.hull()
	for i := range h.ring {
		along := dot(h.ring[i], direction)
		minM, maxM = min(minM, along), max(maxM, along)
	}
	return minM, maxM
}

// gapM is how near two boats may come: below 0 where their water overlaps, by that at most.
func (b *placement) gapM(o *placement) float64 {
	if b.stability == turning && o.stability == turning {
		return lengthM(o.bow.Sub(b.bow)) - b.buffersM(o)
	}
	hulls := [2]hull{b.hull(), o.hull()}
	return HullGap(hulls[0].ring[:], hulls[1].ring[:]) - b.buffersM(o)
}

// outlines are those of two boats, each that is unsettled as near to the other as it may come; where their water overlaps, so that they
// just meet.
func (b *placement) outlines(o *placement) (hullB, hullO []geo.Offset) {
	w := b.separation(o)
	overM := max(0, -w.gapM)
	if b.stability != settled && o.stability != settled {
		overM /= 2
	}
	return b.outlineToward(w.direction, overM), o.outlineToward(w.direction.Times(-1), overM)
}

// outlineToward is the boat as far in a direction as it may lie, but for a distance.
func (b *placement) outlineToward(to geo.Offset, shortM float64) []geo.Offset {
	bow, aft := b.bow, b.aft
	if b.stability != settled {
		bow = bow.Plus(to.Times(max(b.reachM-shortM, -b.reachM)))
	}
	if b.stability == turning {
		aft = b.vessel.aftWithCornerToward(to)
	}
	h := outline(bow, aft, b.vessel.Beam)
	return append([]geo.Offset(nil), h.ring[:]...)
}

// aftWithCornerToward leads from bow to stern so that a corner of the stern points in a direction.
func (c *Vessel) aftWithCornerToward(to geo.Offset) geo.Offset {
	rad := bearingRad(to) - math.Atan2(float64(c.Beam)/2, float64(c.Length))
	return toward(rad, float64(c.Length))
}

// estimatedPlacements are both boats at a point by the curves of the reach, from the first anchor on the plane of the point.
func (p *pair) estimatedPlacements(pt *point) (a, b placement, err error) {
	w := pt.shares()
	level := p.levelAt(pt.at[symLevel])
	if a, err = p.a.estimatedPlacement(&w, level, pt.at[symTurnA]); err != nil {
		return a, b, err
	}
	b, err = p.b.estimatedPlacement(&w, level, pt.at[symTurnB])
	b.bow = b.bow.Plus(p.anchorOffset(pt.ebb))
	return a, b, err
}

// levelAt is the level at a share of the span that both have in common.
func (p *pair) levelAt(shareRatio float64) geo.Metres {
	return p.low + (p.high-p.low)*geo.Metres(shareRatio)
}

// estimatedPlacement is a boat from its anchor, turned by an angle, by the curve of the reach.
func (p *Excursions) estimatedPlacement(w *weatherShares, level geo.Metres, turnRad float64) (placement, error) {
	row, err := p.row(level)
	if err != nil {
		return placement{}, err
	}
	lies := p.statics.attitudeAt(w)
	return p.placementAt(&lies, p.spreadAt(&levelRows{row, row, row}, lies.rootN, p.cell(lies.rootN)).meanM, turnRad), nil
}

// placementAt is a boat from its anchor with a reach, turned by an angle.
func (p *Excursions) placementAt(lies *attitude, reachM, turnRad float64) placement {
	b := placement{vessel: p.vessel, stability: lies.stability, reachM: reachM}
	if b.stability == settled {
		b.bow = toward(lies.loadRad+turnRad, reachM)
	}
	if b.stability != turning {
		b.aft = toward(lies.sternRad+turnRad, float64(p.vessel.Length))
	}
	return b
}

// solvedPlacement is a boat on the plane of the anchors by the statics of its line, turned from what a weather says.
func (p *Excursions) solvedPlacement(w *geo.Weather, sh *weatherShares, turnDeg float64) (placement, error) {
	m, err := p.vessel.At(w.Level)
	if err != nil {
		return placement{}, err
	}
	lies := p.statics.attitudeAt(sh)
	if lies.stability == settled {
		return p.settledPlacement(m, w, turnDeg)
	}
	reachM, err := m.reachM(lies.rootN)
	if err != nil {
		return placement{}, err
	}
	b := p.placementAt(&lies, reachM, (turnDeg+w.StreamToDeg)*math.Pi/180)
	b.bow = p.at
	return b, nil
}

// settledPlacement is a boat that is held.
func (p *Excursions) settledPlacement(m *MooredVessel, w *geo.Weather, turnDeg float64) (placement, error) {
	e, err := m.Equilibrium(*w)
	if err != nil {
		return placement{}, err
	}
	e.LoadDeg, e.SternDeg = e.LoadDeg+turnDeg, e.SternDeg+turnDeg
	return placement{p.vessel, settled, p.at.Plus(e.Bow()), geo.Toward(e.SternDeg, m.Length), float64(e.Reach)}, nil
}
