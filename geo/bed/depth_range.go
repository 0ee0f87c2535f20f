package bed

import (
	"math"

	"swingroom/geo"
)

// DepthRange bounds the depth below chart datum everywhere within reach of a place, where it is known: no depth there is less than shallow
// or more than deep. It closes in on the depth itself as reach shrinks. ok is false outside the soundings.
func (b *Bed) DepthRange(at geo.Offset, reach geo.Metres) (shallow, deep geo.Metres, ok bool) {
	if b.gap != "" || !onPlane(at) {
		return 0, 0, false
	}
	near, _ := b.sounds.nearest(at)
	t := b.mesh.locate(at, near)
	if t < 0 {
		return 0, 0, false
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	d := disc{at, float64(reach)}
	var walk visited
	walk.add(t)
	for i := 0; i < walk.count; i++ {
		t := walk.at(i)
		minM, maxM := b.mesh.depthRange(t, d)
		lo, hi = min(lo, minM), max(hi, maxM)
		b.mesh.addNeighbours(t, d, &walk)
	}
	return geo.Metres(lo), geo.Metres(hi), true
}

// addNeighbours adds the triangles across the sides that the disc reaches.
func (m *mesh) addNeighbours(t int32, d disc, walk *visited) {
	for e := 3 * t; e < 3*t+3; e++ {
		if twin := m.twin[e]; twin >= 0 && d.reaches(m.from(e), m.to(e)) {
			walk.add(twin / 3)
		}
	}
}

// depthRange bounds the depth of one triangle within a disc: by its corners, and by its plane at the disc's middle and its slope.
func (m *mesh) depthRange(t int32, d disc) (minM, maxM float64) {
	a, b, c := m.corners(t)
	surface := m.plane(t)
	middle, rise := surface.depthM(d.centre), math.Hypot(surface.eastRatio, surface.northRatio)*d.radiusM
	return max(min(a.depthM, b.depthM, c.depthM), middle-rise), min(max(a.depthM, b.depthM, c.depthM), middle+rise)
}

// SoundedRange is the least and the greatest depth of the soundings, below chart datum; false when there are none.
func (b *Bed) SoundedRange() (shallow, deep geo.Metres, ok bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range b.sounds {
		lo, hi = min(lo, s.depthM), max(hi, s.depthM)
	}
	return geo.Metres(lo), geo.Metres(hi), len(b.sounds) > 0
}
