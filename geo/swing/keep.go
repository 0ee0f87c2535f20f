package swing

import (
	"math"

	"swingroom/geo"
)

// Keep is how far two anchors have to be apart so that the hulls touch in no weather of the design, whatever the bearing between them: the
// farthest that a place of one hull's axis, from its own anchor, is proved to lie from one of the other's, and half of both beams. A
// search that is stopped answers with what it has proved, which is more. Errors as [Sweep.Closest].
func (s *Sweep) Keep(a, b *Excursions, stop func() bool) (geo.Metres, error) {
	if b.before(a) {
		return s.Keep(b, a, stop)
	}
	p, ok := s.pairOf(a, b)
	if !ok {
		return 0, nil
	}
	beamsM := float64(a.craft.Beam+b.craft.Beam) / 2
	keepM := 0.0
	search := proof{goal: farthest{p}, Limits: Limits{stop}, most: keepBoxes, enoughM: math.Inf(1), tooNearM: math.Inf(-1),
		bestM: math.Inf(1)}
	if !s.design.CalmOff {
		keepM = a.calm.farthM + b.calm.farthM
		search.bestM = beamsM - keepM
	}
	if _, err := search.prove(p.roots(true)); err != nil {
		return 0, err
	}
	return geo.Metres(max(keepM, beamsM-search.boundM)), nil
}

// farthest is the search for the farthest that places of two axes, each seen from its own anchor, lie apart. It counts below 0, so that
// the least is sought.
type farthest struct{ *pair }

func (f farthest) over(bx *box) (boundM, middleM float64, err error) {
	a, b, err := f.lay(bx)
	if err != nil {
		return 0, 0, err
	}
	boundM = math.Inf(1)
	for ha := range holds {
		for hb := range holds {
			if a.may[ha] && b.may[hb] {
				leastM, mostM := f.apartOver(bx, &a, &b, ha, hb)
				middleM = min(middleM, mostM)
				if leastM < boundM {
					boundM = leastM
					s := strip{pair: f.pair, bx: bx, a: &a, b: &b, holdA: ha, holdB: hb}
					var none affine
					s.endA, s.endB = f.pair.a.extent(&a, ha, &none, -1), f.pair.b.extent(&b, hb, &none, 1)
					bx.worst = s.worst()
				}
			}
		}
	}
	return boundM, middleM, nil
}

// apartOver bounds it for boats that are held so far.
func (f farthest) apartOver(bx *box, a, b *laid, holdA, holdB hold) (boundM, middleM float64) {
	bodyA, bodyB := f.pair.a.middle(a, holdA), f.pair.b.middle(b, holdB)
	roundM := bodyA.roundM() + bodyB.roundM()
	mostM := a.reach[holdA].roundMostM(&bodyA) + b.reach[holdB].roundMostM(&bodyB)
	boundM = math.Inf(1)
	for _, aftA := range bodyA.axis() {
		for _, aftB := range bodyB.axis() {
			between := bodyB.bow.Plus(bodyB.aft.Times(aftB)).Sub(bodyA.bow.Plus(bodyA.aft.Times(aftA)))
			middleM = min(middleM, -lengthM(between)-roundM)
			axis := affine{mid: math.Atan2(between.EastM, between.NorthM)}
			along, across := f.between(a, b, holdA, holdB, &axis, aftA, aftB)
			boundM = min(boundM, -math.Hypot(along.largest(), across.largest())-mostM)
		}
	}
	return boundM, middleM
}

// axis are the ends of her axis as shares of her length; of a boat that may point any way both are in the water around her anchor.
func (b *body) axis() []float64 {
	if b.hold == turns {
		return []float64{0}
	}
	return []float64{0, 1}
}

// roundMostM is the most that [body.roundM] can be over the box.
func (r *reached) roundMostM(b *body) float64 {
	if b.hold == settled {
		return 0
	}
	return b.roundM() + r.reach.radius()
}

// between leads from a place of the first axis to one of the second, along another axis and across it.
func (f farthest) between(a, b *laid, holdA, holdB hold, axis *affine, aftARatio, aftBRatio float64) (along, across affine) {
	add := func(angle *affine, length *affine, signRatio float64) {
		x := angle.plus(-1, axis)
		cos, sin := x.cos(), x.sin()
		cos, sin = length.times(&cos), length.times(&sin)
		along, across = along.plus(signRatio, &cos), across.plus(signRatio, &sin)
	}
	lengthA, lengthB := fixedAt(aftARatio*float64(f.pair.a.craft.Length)), fixedAt(aftBRatio*float64(f.pair.b.craft.Length))
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

func (f farthest) about(pt *point) (valueM float64, err error) {
	a, b, err := f.bodiesAt(pt)
	if err != nil {
		return 0, err
	}
	b.bow = b.bow.Sub(f.apart(pt.ebb))
	return -a.farthestM(&b), nil
}

func (f farthest) at(pt *point) (valueM float64, err error) {
	a, b, _, err := f.inFull(pt)
	if err != nil {
		return 0, err
	}
	a.bow, b.bow = a.bow.Sub(f.pair.a.at), b.bow.Sub(f.pair.b.at)
	return -a.farthestM(&b), nil
}

// farthestM is how far places of two axes may lie apart.
func (b *body) farthestM(o *body) (mostM float64) {
	for _, v := range [2]geo.Offset{b.bow, b.bow.Plus(b.aft)} {
		for _, w := range [2]geo.Offset{o.bow, o.bow.Plus(o.aft)} {
			mostM = max(mostM, lengthM(w.Sub(v)))
		}
	}
	return mostM + b.roundM() + o.roundM()
}
