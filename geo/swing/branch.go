package swing

import "math"

// slopeWeight is how much more a slope counts than what else is open, in the choice of what a box is divided by, where a boat is unsettled:
// by trial.
const slopeWeight = 3

// minScaleHalf is half the width of the scale of a box that is not divided by it for the friction of the stream.
const minScaleHalf = 1e-4

// scores are by unknown of a box about how much of the bound, in metres, is open for it.
type scores [symCount]float64

// branchSymbol is the unknown of a box by which the bound is likely to gain most when the box is divided.
func (s *strip) branchSymbol() int {
	var open scores
	s.addSlopes(&open)
	s.pair.a.addUncertainty(&open, s.bx, s.a, s.stabilityA, s.extreme)
	s.pair.b.addUncertainty(&open, s.bx, s.b, s.stabilityB, s.extreme)
	best := -1
	for i := range open {
		if s.bx.half[i] > 0 && (best < 0 || open[i] > open[best]) {
			best = i
		}
	}
	return best
}

// addSlopes adds how much the width of the strip changes over the box.
func (s *strip) addSlopes(open *scores) {
	weight := 1.0
	if s.stabilityA != settled || s.stabilityB != settled {
		weight = slopeWeight
	}
	for i := range open {
		slope := s.anchors.coef[i] + s.supportA.corners[0].coef[i] + s.supportB.corners[0].coef[i]
		if !s.extreme || i != symScale && i != symLevel {
			slope += s.supportA.bow.coef[i] + s.supportB.bow.coef[i]
		}
		open[i] = weight*math.Abs(slope) + s.anchors.coef[i]*s.anchors.coef[i]/(2*s.distanceM+1)
	}
}

// addUncertainty adds to each unknown about how much it leaves open of where a boat lies. extreme says that its reach is taken to be the
// worst of the box.
func (p *Excursions) addUncertainty(open *scores, bx *box, l *vesselBounds, st stability, extreme bool) {
	reach := &l.reach[st]
	if !extreme {
		open.addReach(&l.root[st], reach)
	}
	for i := range open {
		stern, load := math.Abs(l.stern.coef[i]), math.Abs(l.load.coef[i])
		if st != turning {
			open[i] += stern * stern * float64(p.vessel.Length) / 2
		}
		if st == settled {
			open[i] += load * load * reach.reach.mid / 2
			if !extreme {
				open[i] += (load*reach.reach.radius() + min(1, l.load.radius())*math.Abs(reach.reach.coef[i])) / 2
			}
		}
	}
	// by the friction it may depend on the scale whether it drifts
	if st == drifting && l.may[settled] && bx.half[symScale] > minScaleHalf {
		open[symScale] += min(1, l.frictionRatio) * reach.reach.mid
	}
	openM, friction := p.unexplained(bx, l, st, extreme)
	if openM != 0 {
		open.addUnexplained(bx, openM, friction)
	}
}

// addReach adds what the spans of levels and of loads leave open of the reach.
func (open *scores) addReach(root *affine, reach *reachBounds) {
	rootRadius := root.radius()
	if rootRadius <= 0 {
		return
	}
	open[symLevel] += 2 * reach.levelM
	for i := range open {
		open[i] += 2 * reach.loadsM * math.Abs(root.coef[i]) / rootRadius
	}
}

// unexplained is what no slope tells of where a boat lies, metres, and the part of it that is owed to the friction of the stream.
func (p *Excursions) unexplained(bx *box, l *vesselBounds, st stability, extreme bool) (openM, frictionRatio float64) {
	reach := &l.reach[st].reach
	if st != settled || extreme { // the load is taken to be the largest of the box, or the least
		openM = (reach.mid - float64(p.calm.reach)) * min(1, bx.half[symWind]+2*bx.half[symRatio])
	}
	if st != turning {
		openM += l.stern.residual * float64(p.vessel.Length)
		if l.sternOpen {
			openM = math.Inf(1)
		}
	}
	if st == settled {
		openM += l.load.residual * reach.mid
		frictionRatio = min(1, l.frictionRatio)
		if l.loadOpen {
			openM = math.Inf(1)
		}
	}
	return openM, frictionRatio
}

// addUnexplained lays what no slope tells to the scale, as far as it is owed to the friction, and the rest to the direction or the ratio of
// wind and stream.
func (open *scores) addUnexplained(bx *box, openM, frictionRatio float64) {
	if math.IsInf(openM, 1) { // all of it to one of them, for infinity has no shares
		const toFriction = 0.7 // to the friction from a share of 0.3 on; it only steers the search
		frictionRatio = math.Floor(frictionRatio + toFriction)
	}
	if frictionRatio > 0 && bx.half[symScale] > minScaleHalf {
		open[symScale] += openM * frictionRatio
	}
	if frictionRatio >= 1 {
		return
	}
	symbol := symRatio
	if bx.half[symWind] >= 2*bx.half[symRatio] {
		symbol = symWind
	}
	open[symbol] += openM * (1 - frictionRatio)
}
