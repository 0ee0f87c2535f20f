package swing

import (
	"math"

	"swingroom/geo"
)

// MinAnchorDistance is how far two anchors have to be apart so that the hulls touch in no weather of the design, whatever the bearing between them: the
// farthest that a place of one hull's axis, from its own anchor, is proved to lie from one of the other's, and half of both beams. A
// search that is stopped answers with what it has proved, which is more. Errors as [Sweep.Closest].
func (s *Sweep) MinAnchorDistance(a, b *Excursions, stop func() bool) (geo.Metres, error) {
	if b.orderedBefore(a) {
		return s.MinAnchorDistance(b, a, stop)
	}
	p, ok := s.pairOf(a, b)
	if !ok {
		return 0, nil
	}
	beamsM := float64(a.vessel.Beam+b.vessel.Beam) / 2
	keepM := 0.0
	search := branchAndBound{goal: maxDistance{p}, Limits: Limits{stop}, boxLimit: maxDistanceBoxes, sufficientM: math.Inf(1), tooNearM: math.Inf(-1),
		incumbentM: math.Inf(1)}
	if !s.design.CalmOff {
		keepM = a.calm.farthM + b.calm.farthM
		search.incumbentM = beamsM - keepM
	}
	if _, err := search.run(p.rootBoxes(true)); err != nil {
		return 0, err
	}
	return geo.Metres(max(keepM, beamsM-search.boundM)), nil
}

// maxDistance is the search for the maxDistance that places of two axes, each seen from its own anchor, lie apart. It counts below 0, so that
// the least is sought.
type maxDistance struct{ *pair }

func (f maxDistance) bound(bx *box) (boundM, middleM float64, err error) {
	a, b, err := f.boundVessels(bx)
	if err != nil {
		return 0, 0, err
	}
	boundM = math.Inf(1)
	for ha := range stabilityCount {
		for hb := range stabilityCount {
			if a.may[ha] && b.may[hb] {
				leastM, mostM := f.distanceBound(bx, &a, &b, ha, hb)
				middleM = min(middleM, mostM)
				if leastM < boundM {
					boundM = leastM
					s := strip{pair: f.pair, bx: bx, a: &a, b: &b, stabilityA: ha, stabilityB: hb}
					var none affine
					s.supportA, s.supportB = f.pair.a.supportAlong(&a, ha, &none, -1), f.pair.b.supportAlong(&b, hb, &none, 1)
					bx.branchOn = s.branchSymbol()
				}
			}
		}
	}
	return boundM, middleM, nil
}

// distanceBound bounds it for boats that are held so far.
func (f maxDistance) distanceBound(bx *box, a, b *vesselBounds, holdA, holdB stability) (boundM, middleM float64) {
	bodyA, bodyB := f.pair.a.middlePlacement(a, holdA), f.pair.b.middlePlacement(b, holdB)
	roundM := bodyA.bufferM() + bodyB.bufferM()
	mostM := a.reach[holdA].maxBufferM(&bodyA) + b.reach[holdB].maxBufferM(&bodyB)
	boundM = math.Inf(1)
	for _, aftA := range bodyA.axisEnds() {
		for _, aftB := range bodyB.axisEnds() {
			between := bodyB.bow.Plus(bodyB.aft.Times(aftB)).Sub(bodyA.bow.Plus(bodyA.aft.Times(aftA)))
			middleM = min(middleM, -lengthM(between)-roundM)
			axis := affine{mid: math.Atan2(between.EastM, between.NorthM)}
			along, across := f.offsetAlong(a, b, holdA, holdB, &axis, aftA, aftB)
			boundM = min(boundM, -math.Hypot(along.maxAbs(), across.maxAbs())-mostM)
		}
	}
	return boundM, middleM
}

// axisEnds are the ends of her axisEnds as shares of her length; of a boat that may point any way both are in the water around her anchor.
func (b *placement) axisEnds() []float64 {
	if b.stability == turning {
		return []float64{0}
	}
	return []float64{0, 1}
}

// maxBufferM is the most that [body.roundM] can be over the box.
func (r *reachBounds) maxBufferM(b *placement) float64 {
	if b.stability == settled {
		return 0
	}
	return b.bufferM() + r.reach.radius()
}

// offsetAlong leads from a place of the first axis to one of the second, along another axis and across it.
func (f maxDistance) offsetAlong(a, b *vesselBounds, holdA, holdB stability, axis *affine, aftARatio, aftBRatio float64) (along, across affine) {
	add := func(angle *affine, length *affine, signRatio float64) {
		x := angle.addScaled(-1, axis)
		cos, sin := x.cos(), x.sin()
		cos, sin = length.times(&cos), length.times(&sin)
		along, across = along.addScaled(signRatio, &cos), across.addScaled(signRatio, &sin)
	}
	lengthA, lengthB := constant(aftARatio*float64(f.pair.a.vessel.Length)), constant(aftBRatio*float64(f.pair.b.vessel.Length))
	if holdA == settled {
		add(&a.load, &a.reach[settled].reach, -1)
	}
	if holdB == settled {
		add(&b.load, &b.reach[settled].reach, 1)
	}
	add(&a.stern, &lengthA, -1)
	add(&b.stern, &lengthB, 1)
	return along, across
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
func (b *placement) maxDistanceM(o *placement) (mostM float64) {
	for _, v := range [2]geo.Offset{b.bow, b.bow.Plus(b.aft)} {
		for _, w := range [2]geo.Offset{o.bow, o.bow.Plus(o.aft)} {
			mostM = max(mostM, lengthM(w.Sub(v)))
		}
	}
	return mostM + b.bufferM() + o.bufferM()
}
