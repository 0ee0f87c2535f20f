package swing

import (
	"math"

	"swingroom/geo"
)

// Keep is how far two anchors have to be apart so that the hulls touch in no weather of the design, whatever the bearing between them: the
// farthest that a place of one hull's axis, from its own anchor, is proved to lie from one of the other's, and half of both beams. A
// search that is stopped answers with what it has proved, which is more. Errors as [Sweep.Closest].
func (s *Sweep) Keep(a, b *Poses, stop func() bool) (geo.Metres, error) {
	if b.before(a) {
		return s.Keep(b, a, stop)
	}
	p, ok := s.pairOf(a, b)
	if !ok {
		return 0, nil
	}
	beamsM := float64(a.craft.Beam+b.craft.Beam) / 2
	keepM := 0.0
	search := proof{goal: farthest{p}, most: keepBoxes, limits: Limits{Stop: stop, WantedM: math.Inf(-1)}, bestM: math.Inf(1)}
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

func (f farthest) over(bx *box) (boundM, middleM float64, ok bool, err error) {
	a, b, ok, err := f.lay(bx)
	if err != nil || !ok {
		return math.Inf(1), math.Inf(1), ok, err
	}
	pa, pb := f.middles(bx, &a, &b)
	pb.bow = pb.bow.Sub(f.apart(bx.ebb))
	var none affine
	boundM = math.Inf(1)
	for _, aftA := range [2]float64{0, 1} {
		for _, aftB := range [2]float64{0, 1} {
			between := pb.bow.Plus(pb.aft.Times(aftB)).Sub(pa.bow.Plus(pa.aft.Times(aftA)))
			middleM = min(middleM, -lengthM(between))
			axis := affine{mid: math.Atan2(between.EastM, between.NorthM)}
			along, across := f.between(&a, &b, &axis, aftA, aftB)
			boundM = min(boundM, -math.Hypot(along.largest(), across.largest()))
		}
	}
	endA, endB := f.a.extent(&a, &none, -1), f.b.extent(&b, &none, 1)
	bx.worst = f.worst(bx, &none, &a, &b, &endA, &endB)
	return boundM, middleM, true, nil
}

// between leads from a place of the first axis to one of the second, along another axis and across it.
func (f farthest) between(a, b *laid, axis *affine, aftARatio, aftBRatio float64) (along, across affine) {
	add := func(angle *affine, length *affine, signRatio float64) {
		x := angle.plus(-1, axis)
		cos, sin := x.cos(), x.sin()
		cos, sin = length.times(&cos), length.times(&sin)
		along, across = along.plus(signRatio, &cos), across.plus(signRatio, &sin)
	}
	lengthA, lengthB := fixedAt(aftARatio*float64(f.pair.a.craft.Length)), fixedAt(aftBRatio*float64(f.pair.b.craft.Length))
	add(&a.load, &a.reach, -1)
	add(&a.stern, &lengthA, -1)
	add(&b.load, &b.reach, 1)
	add(&b.stern, &lengthB, 1)
	return along, across
}

func (f farthest) about(pt *point) (valueM float64, err error) {
	pa, pb, err := f.posesAt(pt)
	if err != nil {
		return 0, err
	}
	pb.bow = pb.bow.Sub(f.apart(pt.ebb))
	for _, v := range [2]geo.Offset{pa.bow, pa.bow.Plus(pa.aft)} {
		for _, w := range [2]geo.Offset{pb.bow, pb.bow.Plus(pb.aft)} {
			valueM = min(valueM, -lengthM(w.Sub(v)))
		}
	}
	return valueM, nil
}

func (f farthest) at(pt *point) (valueM float64, err error) {
	c, err := f.closestAt(pt)
	if err != nil {
		return 0, err
	}
	// Of an outline the stem is the first corner; the stern lies between its two.
	ends := func(ring []geo.Offset, anchor geo.Offset) [2]geo.Offset {
		return [2]geo.Offset{ring[0].Sub(anchor), ring[bowSteps+1].Plus(ring[bowSteps+2]).Times(0.5).Sub(anchor)}
	}
	for _, v := range ends(c.A, f.pair.a.at) {
		for _, w := range ends(c.B, f.pair.b.at) {
			valueM = min(valueM, -lengthM(w.Sub(v)))
		}
	}
	return valueM, nil
}
