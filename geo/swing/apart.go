package swing

import (
	"math"
	"sort"

	"swingroom/geo"
)

// along bounds how far two hulls keep apart by how far each reaches along a line. No two hulls are nearer, nor overlap by more, than what is then left of the way between the anchors.
type along struct {
	leftM float64 // of the way from the first anchor to the second along the line, less half of both beams
	// to is the line's direction, of length 1, turned by the scatter to one side, not at all, and to the other: a hull that is turned reaches as far as the hull itself along the
	// line turned back.
	to [3]geo.Offset
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
	sin, cos = math.Sincos(scatterDeg * math.Pi / 180)
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

// Keeps says that two hulls are sure to keep more than a gap apart in every weather; false is no answer. It works from the bounds of the reaches and costs a small part of [Sweep.Closest].
// What lies between the sweep's directions is counted in: the scatter is widened by half a step, which is all that a wind does alone, and spans know where a stream turns a boat faster.
func (s *Sweep) Keeps(a, b *Poses, gapM float64) bool {
	const spareM = 0.1 // what the curve of the reach rounds
	// Most cases are told apart along the line between the anchors; boats that lie across it, one off the other's quarter, along another.
	var lines [5]along
	for i, turnedDeg := range [...]float64{0, 25, -25, 50, -50} {
		lines[i] = newAlong(a, b, turnedDeg, s.design.Scatter()+halfStepDeg)
		lines[i].leftM -= gapM + spareM
	}
	for level := range s.levels {
		if a.levels[level].Moored == nil || b.levels[level].Moored == nil {
			continue
		}
		for n := range a.pulls {
			pa, pb := a.bounded(level, n), b.bounded(level, n)
			flood, ebb := false, n < sweepDirections*sweepSpeeds
			for i := 0; i < len(lines) && !(flood && ebb); i++ {
				l := &lines[i]
				mostA, backA := l.most(&pa)
				backB, mostB := l.most(&pb)
				// The ebb is the flood turned right round: then each reaches to the other side.
				flood, ebb = flood || mostA+mostB < l.leftM, ebb || backA+backB < l.leftM
			}
			if !flood || !ebb {
				return false
			}
		}
	}
	return true
}

// span is what a boat may do within half a step of the wind's direction.
type span struct {
	near, far int // places in Poses.loadsN between which her load lies
	// toRatio and sternRatio are how much farther than with the wind she turns up to the next direction, as chords of a circle of radius 1.
	toRatio, sternRatio float64
}

// spans are those of her pulls.
func (p *Poses) spans() []span {
	spans := make([]span, len(p.pulls))
	for n := range spans {
		loadN := float64(p.pulls[n].Load)
		k := min(sort.SearchFloat64s(p.loadsN, loadN), len(p.loadsN)-1)
		spans[n] = span{near: k, far: k}
		if k > 0 && p.loadsN[k] != loadN {
			spans[n].near--
		}
	}
	const still = sweepDirections * sweepSpeeds
	windRatio := 2 * math.Sin(halfStepDeg*math.Pi/180)
	alone := append([]span(nil), spans...)
	for n := still; n < len(spans); n++ {
		d := n % sweepDirections
		for _, beside := range [2]int{n - d + (d+1)%sweepDirections, n - d + (d+sweepDirections-1)%sweepDirections} {
			s, a, b := &spans[n], &p.pulls[n], &p.pulls[beside]
			s.near, s.far = min(s.near, alone[beside].near), max(s.far, alone[beside].far)
			s.toRatio = max(s.toRatio, lengthM(a.To.Sub(b.To))-windRatio)
			s.sternRatio = max(s.sternRatio, lengthM(a.Stern.Sub(b.Stern))-windRatio)
		}
	}
	return spans
}

// bounded is how a boat lies with her reach between two bounds.
type bounded struct {
	to, stern                    geo.Offset
	nearM, farM, lengthM, turnsM float64
}

func (p *Poses) bounded(level, n int) bounded {
	s, h := &p.within[n], &p.levels[level]
	b := bounded{to: p.pulls[n].To, stern: p.pulls[n].Stern, nearM: h.reachM[s.near], farM: h.reachM[s.far], lengthM: float64(h.Length)}
	b.turnsM = s.toRatio*b.farM + s.sternRatio*b.lengthM
	return b
}

// most is how far a hull reaches at most along the line, and against it, whatever her reach is within its bounds, and turned by anything up to what the line is turned by.
func (l *along) most(b *bounded) (alongM, againstM float64) {
	ahead, astern := l.reaches(b.to)
	sternAhead, sternAstern := l.reaches(b.stern)
	return max(b.nearM*ahead, b.farM*ahead) + b.lengthM*max(0, sternAhead) + b.turnsM, max(b.nearM*astern, b.farM*astern) + b.lengthM*max(0, sternAstern) + b.turnsM
}

// reaches is the largest cosine between a direction, turned by up to the scatter, and the line; and that with the line turned right round.
func (l *along) reaches(to geo.Offset) (aheadRatio, asternRatio float64) {
	straight, left, right := dot(l.to[1], to), dot(l.to[0], to), dot(l.to[2], to)
	aheadRatio, asternRatio = max(left, right), max(-left, -right)
	switch cos := dot(l.to[0], l.to[1]); {
	case straight >= cos:
		aheadRatio = 1
	case straight <= -cos:
		asternRatio = 1
	}
	return aheadRatio, asternRatio
}
