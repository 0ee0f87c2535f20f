package bed

import (
	"math"

	"swingroom/geo"
)

// Span bounds the depth below chart datum everywhere within reach of a place, where it is known: no depth there is less than shallow or
// more than deep. It closes in on the depth itself as reach shrinks. ok is false outside the soundings.
func (b *Bed) Span(at geo.Offset, reach geo.Metres) (shallow, deep geo.Metres, ok bool) {
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
	var seen visited
	seen.add(t)
	for i := 0; i < seen.count; i++ {
		t := seen.at(i)
		least, most := b.mesh.span(t, d)
		lo, hi = min(lo, least), max(hi, most)
		for e := 3 * t; e < 3*t+3; e++ {
			if twin := b.mesh.twin[e]; twin >= 0 {
				if _, _, reached := d.clip(b.mesh.from(e), b.mesh.to(e)); reached {
					seen.add(twin / 3)
				}
			}
		}
	}
	return geo.Metres(lo), geo.Metres(hi), true
}

// span bounds the depth of one triangle within a disc: by its corners, and by its plane at the disc's middle and its slope.
func (m *mesh) span(t int32, d disc) (leastM, mostM float64) {
	a, b, c := m.sounds[m.corner[3*t]].depthM, m.sounds[m.corner[3*t+1]].depthM, m.sounds[m.corner[3*t+2]].depthM
	surface := m.plane(t)
	middle, rise := surface.depthM(d.centre), math.Hypot(surface.eastRatio, surface.northRatio)*d.radiusM
	return max(min(a, b, c), middle-rise), min(max(a, b, c), middle+rise)
}

// Extent is the least and the greatest depth of the soundings, below chart datum; false when there are none.
func (b *Bed) Extent() (shallow, deep geo.Metres, ok bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range b.sounds {
		lo, hi = min(lo, s.depthM), max(hi, s.depthM)
	}
	return geo.Metres(lo), geo.Metres(hi), len(b.sounds) > 0
}
