package swing

import (
	"math"

	"swingroom/geo"
)

// Sweep is every weather of a design in which boats that lie in unison are held against each other: all directions of the wind, all speeds
// from nothing up to the design wind in its gusts, all shares of the stream from slack to the full flood and the full ebb, and all levels
// between the low and the high one.
type Sweep struct {
	design geo.Design
	levels geo.Levels
}

// NewSweep makes a design ready.
func NewSweep(design geo.Design, levels geo.Levels) *Sweep {
	return &Sweep{design, geo.Levels{Low: levels.Low, High: max(levels.Low, levels.High)}}
}

// Closest is the smallest gap between two hulls, and the weather in which it is found.
type Closest struct {
	GapM float64 `json:"gap_m"` // below 0 where they overlap
	// BoundM is what is proved: in no weather of the design are they nearer. It lies CloseM under the gap at most, unless the search was
	// stopped.
	BoundM float64 `json:"bound_m"`
	Proved bool    `json:"proved"` // false: the search was stopped, and only the bound holds
	// Calm is true where they come closest in a calm at slack water. The gap is then that of the circles in which each may lie.
	Calm    bool        `json:"calm"`
	Weather geo.Weather `json:"weather"`
	// ADeg and BDeg are by how much each lies turned from what the weather says, within the scatter.
	ADeg float64 `json:"a_deg"`
	BDeg float64 `json:"b_deg"`
	// A and B are the outlines, on the plane of the anchors.
	A []geo.Offset `json:"-"`
	B []geo.Offset `json:"-"`
}

// Closest finds the smallest gap between two hulls over all weathers of the design, each boat turned about her anchor by up to the scatter
// to either side. ok is false where there is no level at which both lines are long enough. Errors as [Moored.Lie].
func (s *Sweep) Closest(a, b *Poses, limits Limits) (c Closest, ok bool, err error) {
	return s.closest(a, b, limits, false)
}

func (s *Sweep) closest(a, b *Poses, limits Limits, onlyYes bool) (c Closest, ok bool, err error) {
	if b.before(a) {
		c, ok, err = s.closest(b, a, limits, onlyYes)
		c.ADeg, c.BDeg, c.A, c.B = c.BDeg, c.ADeg, c.B, c.A
		return c, ok, err
	}
	p, ok := s.pairOf(a, b)
	if !ok {
		return Closest{}, false, nil
	}
	calmM := math.Inf(1)
	if !s.design.CalmOff {
		calmM = p.calmGapM()
	}
	if onlyYes && calmM < limits.WantedM {
		return p.calmAt(calmM), true, nil
	}
	search := proof{goal: p, limits: limits, onlyYes: onlyYes, bestM: calmM}
	proved, err := search.prove(p.roots(false))
	if err != nil {
		return Closest{}, false, err
	}
	if calmM <= search.bestM { // no weather that was tried is worse
		c = p.calmAt(calmM)
	} else if c, err = p.closestAt(&search.best); err != nil {
		return Closest{}, false, err
	}
	c.Proved, c.BoundM = proved, min(c.GapM, search.boundM, calmM)
	return c, true, nil
}

// before gives two boats an order of their own, so that whichever is named first the search is the same.
func (p *Poses) before(o *Poses) bool {
	if p.craft.Number != o.craft.Number {
		return p.craft.Number < o.craft.Number
	}
	if p.at.EastM != o.at.EastM {
		return p.at.EastM < o.at.EastM
	}
	return p.at.NorthM < o.at.NorthM
}

// Keeps says that two hulls are proved to keep a gap in every weather of the design; false is no answer.
func (s *Sweep) Keeps(a, b *Poses, gapM float64) bool {
	p, ok := s.pairOf(a, b)
	if ok && p.distanceM-a.farthestM()-b.farthestM() >= gapM && (s.design.CalmOff || p.calmGapM() >= gapM) {
		return true
	}
	c, ok, err := s.closest(a, b, Limits{EnoughM: gapM, Enough: true, WantedM: gapM}, true)
	return ok && err == nil && c.BoundM >= gapM
}

// farthestM is how far from her anchor a corner of her hull can lie at the very most.
func (p *Poses) farthestM() float64 {
	return p.mostM + math.Hypot(float64(p.craft.Length), float64(p.craft.Beam)/2)
}

// calmGapM is the gap of a calm at slack water, where each bow lies anywhere within the reach of its slack line and each boat points any
// way: the distance between the anchors, less the circles in which the hulls can lie. Where the circles overlap it is below 0 by their
// overlap, and the hulls overlap by that at most.
func (p *pair) calmGapM() float64 { return p.distanceM - p.a.calm.farthM - p.b.calm.farthM }

// calmAt draws that case: each bow towards the other's anchor, and from there a corner of her stern.
func (p *pair) calmAt(gapM float64) Closest {
	c := Closest{GapM: gapM, Calm: true, Weather: geo.Weather{GustRatio: max(1, p.sweep.design.Gust()), Level: p.low}}
	draw := func(boat *Poses, toRad float64) []geo.Offset {
		length, beam := boat.craft.Length, boat.craft.Beam
		bow := boat.at.Plus(toward(toRad, float64(boat.calm.reach)))
		turned := toRad - math.Atan2(float64(beam)/2, float64(length))
		return Outline(bow, turned*180/math.Pi, length, beam)
	}
	c.A, c.B = draw(p.a, p.bearingRad), draw(p.b, p.bearingRad+math.Pi)
	return c
}

// over is [pair.gapOver].
func (p *pair) over(bx *box) (boundM, middleM float64, ok bool, err error) { return p.gapOver(bx) }

// about is the gap at a point by the curves of the reach.
func (p *pair) about(pt *point) (gapM float64, err error) {
	pa, pb, err := p.posesAt(pt)
	if err != nil {
		return 0, err
	}
	return hullGap(pa.bow, pa.aft, p.a.craft.Beam, pb.bow, pb.aft, p.b.craft.Beam), nil
}

// at is the gap at a point, worked out in full.
func (p *pair) at(pt *point) (gapM float64, err error) {
	c, err := p.closestAt(pt)
	return c.GapM, err
}

// closestAt is the gap at a point with all that is told of it.
func (p *pair) closestAt(pt *point) (Closest, error) {
	c := Closest{Weather: p.sweep.weather(pt, p.low, p.high)}
	turnA, turnB := pt.at[byTurnA], pt.at[byTurnB]
	if !p.sweep.streams() { // only the difference counts: each takes half of it
		turnA, turnB = -turnB/2, turnB/2
		c.Weather.WindFromDeg = math.Mod(c.Weather.WindFromDeg-turnA*180/math.Pi+360, 360)
	}
	c.ADeg, c.BDeg = turnA*180/math.Pi, turnB*180/math.Pi
	var err error
	if c.A, err = p.a.placed(c.Weather, c.ADeg); err != nil {
		return Closest{}, err
	}
	if c.B, err = p.b.placed(c.Weather, c.BDeg); err != nil {
		return Closest{}, err
	}
	c.GapM = HullGap(c.A, c.B)
	return c, nil
}

// placed is the outline of a boat that lies turned by turnDeg from what a weather says, on the plane of the anchors.
func (p *Poses) placed(w geo.Weather, turnDeg float64) ([]geo.Offset, error) {
	m, err := p.craft.At(w.Level)
	if err != nil {
		return nil, err
	}
	l, err := m.Lie(w)
	if err != nil {
		return nil, err
	}
	l.LoadDeg, l.SternDeg = l.LoadDeg+turnDeg, l.SternDeg+turnDeg
	return Outline(p.at.Plus(l.Bow()), l.SternDeg, m.Length, m.Beam), nil
}
