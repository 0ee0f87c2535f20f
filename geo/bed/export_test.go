package bed

import "swingroom/geo"

// Corner is a sounding as the tests from outside see it.
type Corner struct {
	At     geo.Offset
	DepthM float64
}

// Triangle is one of the mesh, counterclockwise.
type Triangle struct {
	Corners [3]Corner
	Far     bool // some part is too far from a sounding
	Off     bool // no part of the surface
}

// Triangles are all of the mesh, also those that are no part of the bed.
func (b *Bed) Triangles() []Triangle {
	all := make([]Triangle, len(b.mesh.gap))
	for t := range all {
		all[t].Far = b.mesh.gap[t] == gapFar
		all[t].Off = !all[t].Far && b.mesh.gap[t] != gapNone
		for k := range 3 {
			s := b.sounds[b.mesh.corner[3*t+k]]
			all[t].Corners[k] = Corner{s.at, s.depthM}
		}
	}
	return all
}

// Soundings are those in use.
func (b *Bed) Soundings() []Corner {
	all := make([]Corner, len(b.sounds))
	for i, s := range b.sounds {
		all[i] = Corner{s.at, s.depthM}
	}
	return all
}
