package swing

import (
	"math"

	"swingroom/geo"
)

// along bounds how far two hulls keep apart by how far each reaches along a line. No two hulls are nearer, nor overlap by more, than what is then left of the way between the anchors.
type along struct {
	leftM float64 // of the way from the first anchor to the second along the line, less half of both beams
	// to is the line's direction, of length 1, turned by the scatter to one side, not at all, and to the other: a hull that is turned reaches as far as the hull itself along the
	// line turned back.
	to  [3]geo.Offset
	cos float64 // of the scatter
}

// newAlong takes the line from one anchor to the other turned by an angle.
func newAlong(a, b *Poses, turnedDeg, scatterDeg float64) along {
	apart := b.at.Sub(a.at)
	distanceM := lengthM(apart)
	if distanceM == 0 { // of one anchor there is no line to tell by
		return along{leftM: math.Inf(-1)}
	}
	sin, cos := math.Sincos(turnedDeg * math.Pi / 180)
	unit := turn(apart.Times(1/distanceM), sin, cos)
	l := along{leftM: distanceM*cos - float64(a.craft.Beam+b.craft.Beam)/2}
	sin, l.cos = math.Sincos(scatterDeg * math.Pi / 180)
	cos = l.cos
	l.to = [3]geo.Offset{turn(unit, -sin, cos), unit, turn(unit, sin, cos)}
	return l
}

func dot(a, b geo.Offset) float64 { return a.EastM*b.EastM + a.NorthM*b.NorthM }

// leastM is how far two hulls keep apart at least, however each is turned; below 0 they may overlap by so much.
func (l *along) leastM(a, b pose) float64 {
	mostA, mostB := math.Inf(-1), math.Inf(-1)
	for _, to := range l.to {
		mostA = max(mostA, dot(to, a.bow)+max(0, dot(to, a.aft)))
		mostB = max(mostB, -dot(to, b.bow)+max(0, -dot(to, b.aft)))
	}
	return l.leftM - mostA - mostB
}

// halfStepDeg is how far a direction of the wind is at most from one of the sweep's.
const halfStepDeg = 360.0 / sweepDirections / 2

// Keeps says that two hulls are sure to keep more than a gap apart in every weather that [Sweep.Closest] looks at; false is no answer. It costs a part of it: most cases are told apart along the line between the
// anchors, and boats that lie across it, one off the other's quarter, along another. What lies between the sweep's directions is counted in: the scatter is widened by half a step, which is all that a wind does
// alone, and where a stream turns a boat faster she is given what she turns more, or else the directions between are looked at too.
func (s *Sweep) Keeps(a, b *Poses, gapM float64) bool {
	const spareM = 0.1 // what the curve of the reach rounds
	allA, errA := a.full()
	allB, errB := b.full()
	if errA != nil || errB != nil {
		return false
	}
	var lines [5]along
	for i, turnedDeg := range [...]float64{0, 25, -25, 50, -50} {
		lines[i] = newAlong(a, b, turnedDeg, s.design.Scatter()+halfStepDeg)
		lines[i].leftM -= gapM + spareM
	}
	perLevel := s.Cases() / len(s.levels)
	for n := range allA {
		if a.none(n) || b.none(n) {
			continue
		}
		moreM := 0.0
		if still := n%perLevel - sweepDirections*sweepSpeeds; still >= 0 {
			moreM = a.turnsM[still] + b.turnsM[still]
		}
		if keeps(&lines, allA[n], allB[n], moreM) {
			continue
		}
		if moreM == 0 || !keeps(&lines, allA[n], allB[n], 0) {
			return false
		}
		for _, off := range [...]float64{-2, -1, 1, 2} { // as Closest refines
			if !keeps(&lines, a.between(n, off), b.between(n, off), 0) {
				return false
			}
		}
	}
	return true
}

// keeps says that two hulls keep apart along one of some lines, with moreM to spare.
func keeps(lines *[5]along, a, b pose, moreM float64) bool {
	for i := range lines {
		if l := &lines[i]; l.leftM-l.most(a, 1)-l.most(b, -1) > moreM {
			return true
		}
	}
	return false
}

// most is how far a hull reaches at most along the line, or against it with the sign turned, turned by anything up to what the line is turned by.
func (l *along) most(p pose, signRatio float64) float64 {
	return l.reach(p.bow, signRatio) + max(0, l.reach(p.aft, signRatio))
}

func (l *along) reach(v geo.Offset, signRatio float64) float64 {
	straight := signRatio * dot(l.to[1], v)
	if straight > 0 {
		if m := lengthM(v); straight >= l.cos*m {
			return m
		}
	}
	return max(signRatio*dot(l.to[0], v), signRatio*dot(l.to[2], v))
}

// between is how she lies in case n with the wind turned by an angle.
func (p *Poses) between(n int, turnedDeg float64) pose {
	w := p.sweep.weather(n)
	a := p.drags.Lie(w.Wind*geo.MetresPerSecond(max(1, w.GustRatio)), geo.Toward(w.WindFromDeg+turnedDeg+180, 1), geo.Toward(w.StreamToDeg, 1))
	h := &p.levels[n/(p.sweep.Cases()/len(p.levels))]
	return pose{a.To.Times(h.reach(float64(a.Load))), a.Stern.Times(float64(h.Length))}
}

// turns are by how much more than with the wind alone a place of her turns up to the next direction of the wind, in the cases of the flood and then those of the ebb, metres.
func (p *Poses) turns() []float64 {
	const still = sweepDirections * sweepSpeeds
	if len(p.pulls) == still {
		return nil
	}
	most := 0.0 // reach
	for _, h := range p.levels {
		if h.Moored != nil {
			most = max(most, h.mostM)
		}
	}
	turnsM := make([]float64, 2*still)
	windRatio := 2 * math.Sin(halfStepDeg*math.Pi/180)
	for n := range still {
		d := n % sweepDirections
		for _, beside := range [2]int{n - d + (d+1)%sweepDirections, n - d + (d+sweepDirections-1)%sweepDirections} {
			a, b := &p.pulls[still+n], &p.pulls[still+beside]
			turnsM[n] = max(turnsM[n], most*max(0, lengthM(a.To.Sub(b.To))-windRatio)+float64(p.craft.Length)*max(0, lengthM(a.Stern.Sub(b.Stern))-windRatio))
		}
	}
	for n := range still {
		turnsM[still+n] = turnsM[p.sweep.flood(2*still+n)-still]
	}
	return turnsM
}
