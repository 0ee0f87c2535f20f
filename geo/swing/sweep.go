package swing

import (
	"cmp"
	"math"

	"swingroom/geo"
)

// Sweep is every weather of a design in which the hulls of boats that lie in unison are compared: all directions of the wind, all speeds
// from nothing up to the design wind in its gusts, all shares of the stream from slack to the full flood and the full ebb, and all levels
// between the low and the high one.
//
// A boat on which wind and stream all but cancel each other is unsettled: where the sum of their side forces is less than a tenth of both
// together it may point any way, and where that of their pulls is, its bow may lie anywhere within the reach of its line under so much
// load. A calm at slack, in which neither boat has a load, is a case of its own; a design that leaves that out leaves the boat unsettled.
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
	// BoundM is what is proved: in no weather of the design are they nearer. It lies GapToleranceM under the gap at most, unless the search
	// came to its end before.
	BoundM float64 `json:"bound_m"`
	Proved bool    `json:"proved"` // false: the gap may be smaller, and only the bound holds
	// Calm is true where they come closest in a calm at slack water. The gap is then that of the circles in which each may lie.
	Calm bool `json:"calm"`
	// UnsettledA and UnsettledB say that wind and stream all but cancel each other on that boat: see [Sweep]. It is drawn as near to the
	// other as it may come.
	UnsettledA bool        `json:"unsettled_a"`
	UnsettledB bool        `json:"unsettled_b"`
	Weather    geo.Weather `json:"weather"`
	// ADeg and BDeg are by how much each lies turned from what the weather says, within the scatter.
	ADeg float64 `json:"a_deg"`
	BDeg float64 `json:"b_deg"`
	// A and B are the outlines, on the plane of the anchors.
	A []geo.Offset `json:"-"`
	B []geo.Offset `json:"-"`
}

// Closest finds the smallest gap between two hulls over all weathers of the design, each boat turned about its anchor by up to the
// scatter to either side. Of hulls that overlap by more than half of both beams it does not prove by how much. ok is false where there is
// no level at which both lines are long enough. Errors as [MooredVessel.Equilibrium].
func (s *Sweep) Closest(a, b *Excursions, limits Limits) (c Closest, ok bool, err error) {
	return s.closest(a, b, &branchAndBound{Limits: limits, boxLimit: maxBoxes, sufficientM: math.Inf(1), tooNearM: -halfBeamsM(a, b)})
}

// halfBeamsM is half of both beams.
func halfBeamsM(a, b *Excursions) float64 { return float64(a.vessel.Beam+b.vessel.Beam) / 2 }

// KeepsGap decides whether two hulls keep a gap in every weather of the design. Where they are not proved to, c is the nearest that was
// found; it may be somewhat farther than the nearest of all, and where it is not under the gap the answer is open. Errors as
// [Sweep.Closest], and geo.ErrShortRode where there is no level for both.
func (s *Sweep) KeepsGap(a, b *Excursions, gapM float64) (c Closest, keeps bool, err error) {
	if apartM := lengthM(b.at.Sub(a.at)) - a.maxReachM() - b.maxReachM(); apartM >= gapM && s.design.CalmOff {
		return Closest{}, true, nil
	}
	c, ok, err := s.closest(a, b, &branchAndBound{boxLimit: maxBoxes, sufficientM: gapM, tooNearM: gapM})
	if err == nil && !ok {
		err = geo.ErrShortRode
	}
	return c, err == nil && c.BoundM >= gapM, err
}

func (s *Sweep) closest(a, b *Excursions, search *branchAndBound) (c Closest, ok bool, err error) {
	if b.orderedBefore(a) {
		c, ok, err = s.closest(b, a, search)
		return c.swapped(), ok, err
	}
	p, ok := s.pairOf(a, b)
	if !ok {
		return Closest{}, false, nil
	}
	calmM := math.Inf(1)
	if !s.design.CalmOff {
		calmM = p.calmGapM()
	}
	search.goal, search.incumbentM = p, calmM
	proved, err := search.run(p.rootBoxes(false))
	if err != nil {
		return Closest{}, false, err
	}
	if math.IsInf(search.incumbentM, 1) { // all of it is proved to be enough before anything was tried
		return Closest{GapM: search.boundM, BoundM: search.boundM}, true, nil
	}
	if c, err = p.worstOf(search, calmM); err != nil {
		return Closest{}, false, err
	}
	const rounding = 1e-9 // of the difference of two gaps
	c.BoundM = min(c.GapM, search.boundM, calmM)
	c.Proved = proved && c.GapM-c.BoundM <= GapToleranceM+rounding
	return c, true, nil
}

// worstOf is the calm, or the weather that a search has found where that is worse.
func (p *pair) worstOf(search *branchAndBound, calmM float64) (Closest, error) {
	if calmM <= search.incumbentM {
		return p.calmAt(calmM), nil
	}
	return p.closestAt(&search.incumbent)
}

// swapped is the same with the boats in the other order.
func (c Closest) swapped() Closest {
	c.ADeg, c.BDeg, c.A, c.B = c.BDeg, c.ADeg, c.B, c.A
	c.UnsettledA, c.UnsettledB = c.UnsettledB, c.UnsettledA
	return c
}

// orderedBefore gives two boats an order of their own, so that whichever is named first the search is the same.
func (p *Excursions) orderedBefore(o *Excursions) bool {
	return cmp.Or(cmp.Compare(p.vessel.Number, o.vessel.Number), cmp.Compare(p.at.EastM, o.at.EastM),
		cmp.Compare(p.at.NorthM, o.at.NorthM)) < 0
}

// maxReachM is how far from the anchor a corner of the hull can lie at the very most.
func (p *Excursions) maxReachM() float64 {
	return p.farReachM + p.vessel.sternCornerM()
}

// calmGapM is the gap of a calm at slack water, where each bow lies anywhere within the reach of its slack line and each boat points any
// way: the distance between the anchors, less the circles in which the hulls can lie. Where the circles overlap it is below 0 by their
// overlap, and the hulls overlap by that at most.
func (p *pair) calmGapM() float64 { return p.distanceM - p.a.calm.farthM - p.b.calm.farthM }

// calmAt draws that case.
func (p *pair) calmAt(gapM float64) Closest {
	c := Closest{GapM: gapM, Calm: true, Weather: geo.Weather{GustRatio: max(1, p.sweep.design.Gust()), Level: p.low}}
	a, b := p.a.inCalm(), p.b.inCalm()
	c.A, c.B = a.outlines(&b)
	return c
}

// inCalm is a boat in a calm at slack water.
func (p *Excursions) inCalm() placement {
	return placement{vessel: p.vessel, stability: turning, bow: p.at, reachM: float64(p.calm.reach)}
}

// estimate is the gap at a point by the curves of the reach.
func (p *pair) estimate(pt *point) (gapM float64, err error) {
	a, b, err := p.estimatedPlacements(pt)
	if err != nil {
		return 0, err
	}
	return a.gapM(&b), nil
}

// evaluate is the gap at a point, worked out in full.
func (p *pair) evaluate(pt *point) (gapM float64, err error) {
	a, b, _, err := p.solvedPlacements(pt)
	if err != nil {
		return 0, err
	}
	return a.gapM(&b), nil
}

// solvedPlacements are both boats at a point by the statics of their lines, and what is told of the point.
func (p *pair) solvedPlacements(pt *point) (a, b placement, c Closest, err error) {
	c.Weather = p.sweep.weather(pt, p.low, p.high)
	c.setTurns(pt, p.sweep.streams())
	sh := pt.shares()
	if a, err = p.a.solvedPlacement(&c.Weather, &sh, c.ADeg); err != nil {
		return a, b, c, err
	}
	b, err = p.b.solvedPlacement(&c.Weather, &sh, c.BDeg)
	return a, b, c, err
}

// setTurns sets by how much each boat is turned.
func (c *Closest) setTurns(pt *point, streams bool) {
	turnA, turnB := pt.at[symTurnA], pt.at[symTurnB]
	if !streams { // only the difference counts: each takes half of it
		turnA, turnB = -turnB/2, turnB/2
		c.Weather.WindFromDeg = math.Mod(c.Weather.WindFromDeg-turnA*180/math.Pi+360, 360)
	}
	c.ADeg, c.BDeg = turnA*180/math.Pi, turnB*180/math.Pi
}

// closestAt is the gap at a point with all that is told of it.
func (p *pair) closestAt(pt *point) (Closest, error) {
	a, b, c, err := p.solvedPlacements(pt)
	if err != nil {
		return Closest{}, err
	}
	c.GapM, c.UnsettledA, c.UnsettledB = a.gapM(&b), a.stability != settled, b.stability != settled
	c.A, c.B = a.outlines(&b)
	return c, nil
}
