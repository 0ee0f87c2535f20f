package swing

import (
	"math"

	"swingroom/geo"
)

// MinAnchorDistance is how far two anchors have to be apart so that the hulls touch in no weather of the design, whatever the bearing
// between them: the farthest that a place of one hull's axis, from its own anchor, is proved to lie from one of the other's, and half of
// both beams. A search that is stopped answers with what it has proved, which is more. Errors as [Sweep.Closest].
func (s *Sweep) MinAnchorDistance(a, b *Excursions, stop func() bool) (geo.Metres, error) {
	if b.orderedBefore(a) {
		return s.MinAnchorDistance(b, a, stop)
	}
	p, ok := s.pairOf(a, b)
	if !ok {
		return 0, nil
	}
	beamsM := halfBeamsM(a, b)
	calmM := 0.0
	search := branchAndBound{goal: maxDistance{p}, Limits: Limits{stop}, boxLimit: maxDistanceBoxes, sufficientM: math.Inf(1),
		tooNearM: math.Inf(-1), incumbentM: math.Inf(1)}
	if !s.design.CalmOff {
		calmM = a.calm.farthM + b.calm.farthM
		search.incumbentM = beamsM - calmM
	}
	if _, err := search.run(p.rootBoxes(true)); err != nil {
		return 0, err
	}
	return geo.Metres(max(calmM, beamsM-search.boundM)), nil
}

// maxDistance is the search for the farthest that places of two axes, each seen from its own anchor, lie apart. It counts below 0, so that
// the least is sought.
type maxDistance struct{ *pair }

func (f maxDistance) bound(bx *box) (boundM, middleM float64, err error) {
	a, b, err := f.boundVessels(bx)
	if err != nil {
		return 0, 0, err
	}
	boundM = math.Inf(1)
	for sa := range stabilityCount {
		for sb := range stabilityCount {
			if !a.may[sa] || !b.may[sb] {
				continue
			}
			s := strip{pair: f.pair, bx: bx, a: &a, b: &b, stabilityA: sa, stabilityB: sb}
			minM, middle := f.distanceBound(&s)
			middleM = min(middleM, middle)
			if minM < boundM {
				boundM = minM
				bx.branchOn = f.branchSymbol(&s)
			}
		}
	}
	return boundM, middleM, nil
}

// branchSymbol is that of a strip along the direction in which the stream sets.
func (f maxDistance) branchSymbol(s *strip) int {
	var north affine
	s.setSupports(&north)
	return s.branchSymbol()
}

// distanceBound bounds it for boats that are held so far.
func (f maxDistance) distanceBound(s *strip) (boundM, middleM float64) {
	a, b := f.pair.a.middlePlacement(s.a, s.stabilityA), f.pair.b.middlePlacement(s.b, s.stabilityB)
	bufferM := a.buffersM(&b)
	maxM := s.a.reach[s.stabilityA].maxBufferM(&a) + s.b.reach[s.stabilityB].maxBufferM(&b)
	boundM = math.Inf(1)
	for _, aftA := range a.axisEnds() {
		for _, aftB := range b.axisEnds() {
			way := b.onAxis(aftB).Sub(a.onAxis(aftA))
			middleM = min(middleM, -lengthM(way)-bufferM)
			axis := affine{mid: bearingRad(way)}
			along, across := f.offsetAlong(s, &axis, aftA, aftB)
			boundM = min(boundM, -math.Hypot(along.maxAbs(), across.maxAbs())-maxM)
		}
	}
	return boundM, middleM
}

// bothEnds are the ends of an axis as shares of its length.
var bothEnds = [...]float64{0, 1}

// axisEnds are the ends of the boat's axis as shares of its length; of a boat that may point any way both are in the water around its
// anchor.
func (b *placement) axisEnds() []float64 {
	if b.stability == turning {
		return bothEnds[:1]
	}
	return bothEnds[:]
}

// onAxis is a place of the axis.
func (b *placement) onAxis(aftRatio float64) geo.Offset { return b.bow.Plus(b.aft.Times(aftRatio)) }

// maxBufferM is the most that [placement.bufferM] can be over the box.
func (r *reachBounds) maxBufferM(b *placement) float64 {
	if b.stability == settled {
		return 0
	}
	return b.bufferM() + r.reach.radius()
}

// alongAxis is an offset along an axis and across it.
type alongAxis struct{ along, across affine }

// add adds a length at an angle from the axis, times 1 or -1.
func (o *alongAxis) add(angle, axis, length *affine, signRatio float64) {
	x := angle.addScaled(-1, axis)
	cos, sin := x.cos(), x.sin()
	cos, sin = length.times(&cos), length.times(&sin)
	o.along, o.across = o.along.addScaled(signRatio, &cos), o.across.addScaled(signRatio, &sin)
}

// offsetAlong leads from a place of the first boat's axis to one of the second's, along another axis and across it.
func (f maxDistance) offsetAlong(s *strip, axis *affine, aftARatio, aftBRatio float64) (along, across affine) {
	var o alongAxis
	if s.stabilityA == settled {
		o.add(&s.a.load, axis, &s.a.reach[settled].reach, -1)
	}
	if s.stabilityB == settled {
		o.add(&s.b.load, axis, &s.b.reach[settled].reach, 1)
	}
	lengthA, lengthB := constant(aftARatio*float64(f.pair.a.vessel.Length)), constant(aftBRatio*float64(f.pair.b.vessel.Length))
	o.add(&s.a.stern, axis, &lengthA, -1)
	o.add(&s.b.stern, axis, &lengthB, 1)
	return o.along, o.across
}

func (f maxDistance) estimate(pt *point) (valueM float64, err error) {
	a, b, err := f.estimatedPlacements(pt)
	if err != nil {
		return 0, err
	}
	b.bow = b.bow.Sub(f.anchorOffset(pt.ebb))
	return -a.maxDistanceM(&b), nil
}

func (f maxDistance) evaluate(pt *point) (valueM float64, err error) {
	a, b, _, err := f.solvedPlacements(pt)
	if err != nil {
		return 0, err
	}
	a.bow, b.bow = a.bow.Sub(f.pair.a.at), b.bow.Sub(f.pair.b.at)
	return -a.maxDistanceM(&b), nil
}

// maxDistanceM is how far places of two axes may lie apart.
func (b *placement) maxDistanceM(o *placement) (maxM float64) {
	for _, v := range [2]geo.Offset{b.bow, b.stern()} {
		for _, w := range [2]geo.Offset{o.bow, o.stern()} {
			maxM = max(maxM, lengthM(w.Sub(v)))
		}
	}
	return maxM + b.buffersM(o)
}
