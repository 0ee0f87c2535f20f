package bed

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swingroom/geo"
)

// Why a triangle is no part of the bed, or not all of it.
const (
	gapNone   uint8 = iota
	gapFar          // some part is farther from its corners than is believed
	gapAcross       // it reaches across land
	gapSliver       // a sliver at the edge of the soundings
)

// cover finds the triangles that are no part of the bed, or not everywhere near enough to a sounding.
func (b *Bed) cover(shore geo.Shoreline, frame geo.Frame) {
	m := &b.mesh
	m.peel()
	inChunks(len(m.gap), func(lo, hi int) {
		for t := lo; t < hi; t++ {
			if m.gap[t] == gapNone && !(m.farthestM(int32(3*t)) <= b.reachM) { // a triangle without area has no number and is not believed
				m.gap[t] = gapFar
			}
		}
	})
	if b.shore.Len() == 0 {
		return
	}
	onLand := make([]bool, len(m.sounds))
	inChunks(len(m.sounds), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			onLand[i] = b.ashore(m.sounds[i].at)
		}
	})
	b.dropAcross(onLand)
	b.dropIslands(shore, frame)
}

// peel drops the triangles at the edge of the soundings that are no wider than a position is sure. A row of soundings along the edge
// is never quite straight on the plane, so the hull spans it with triangles that are long and of no width: depths vary wildly across them.
func (m *mesh) peel() {
	for todo := slices.Clone(m.hull); len(todo) > 0; {
		t := todo[len(todo)-1] / 3
		todo = todo[:len(todo)-1]
		if m.gap[t] == gapSliver || !m.sliver(3*t) {
			continue
		}
		m.gap[t] = gapSliver
		for e := 3 * t; e < 3*t+3; e++ {
			if m.twin[e] >= 0 {
				todo = append(todo, m.twin[e])
			}
		}
	}
}

// sliver reports a triangle that is less than sameM wide and more than a hundred times as long.
func (m *mesh) sliver(e int32) bool {
	a, b, c := m.from(e), m.to(e), m.to(next(e))
	lengthM := float64(max(b.Sub(a).Length(), c.Sub(b).Length(), a.Sub(c).Length()))
	widthM := turn(a, b, c) / lengthM
	return widthM < sameM && 100*widthM < lengthM
}

// ashore reports a height that was surveyed on the shore: inside a land area, or on a shoreline.
func (b *Bed) ashore(at geo.Offset) bool {
	if b.OnLand(at) {
		return true
	}
	for _, feature := range []int32{landFeature, lineFeature} {
		if _, on := b.shore.Nearest(at, sameM, feature); on {
			return true
		}
	}
	return false
}

// dropAcross drops the triangles on both sides of an edge that crosses the shore between two soundings in the water. The water
// reaches up to a height on the shore, so an edge that ends in one drops nothing.
func (b *Bed) dropAcross(onLand []bool) {
	m := &b.mesh
	crosses := make([]bool, len(m.corner))
	inChunks(len(m.corner), func(lo, hi int) {
		for e := int32(lo); e < int32(hi); e++ {
			if m.twin[e] < e { // asked once
				crosses[e] = b.shore.Crosses(m.from(e), m.to(e))
			}
		}
	})
	for i := range m.corner {
		e := int32(i)
		from, to := m.corner[e], m.corner[next(e)]
		if onLand[from] {
			m.shore[e/3] = true
		}
		if !crosses[e] {
			continue
		}
		across := !onLand[from] && !onLand[to]
		for _, side := range []int32{e, m.twin[e]} {
			if side < 0 {
				continue
			}
			m.shore[side/3] = true
			if across {
				m.gap[side/3] = gapAcross
			}
		}
	}
}

// dropIslands drops the triangles that hold a whole island or a whole piece of shore while no corner of them is a height. One place
// of each ring is enough: a ring in more than one triangle crosses an edge.
func (b *Bed) dropIslands(shore geo.Shoreline, frame geo.Frame) {
	m := &b.mesh
	drop := func(line []orb.Point) {
		if len(line) == 0 {
			return
		}
		at := frame.ProjectPoint(line[0])
		near, _ := b.sounds.nearest(at)
		t := m.locate(at, near)
		if t < 0 || m.shore[t] { // a ring that crosses an edge has had its due, and so has a triangle with a height
			return
		}
		m.shore[t] = true
		m.gap[t] = gapAcross
	}
	for _, polygon := range shore.Land {
		for _, ring := range polygon {
			drop(ring)
		}
	}
	for _, line := range shore.Lines {
		drop(line)
	}
}

// farthestM is the greatest distance from a place in the triangle to the nearest of its corners: the circumradius, or
// for an obtuse triangle the place on its longest side where two corners are equally far.
func (m *mesh) farthestM(e int32) float64 {
	a, b, c := m.from(e), m.to(e), m.from(next(next(e)))
	ab, bc, ca := float64(b.Sub(a).Length()), float64(c.Sub(b).Length()), float64(a.Sub(c).Length())
	// Turn it so that ab is the longest side and c the corner opposite.
	if bc > ab && bc >= ca {
		ab, bc, ca = bc, ca, ab
	} else if ca > ab && ca >= bc {
		ab, bc, ca = ca, ab, bc
	}
	if ab*ab > bc*bc+ca*ca {
		cosA := (ab*ab + ca*ca - bc*bc) / (2 * ab * ca)
		cosB := (ab*ab + bc*bc - ca*ca) / (2 * ab * bc)
		return max(ca/(2*cosA), bc/(2*cosB))
	}
	area4 := math.Sqrt((ab + bc + ca) * (-ab + bc + ca) * (ab - bc + ca) * (ab + bc - ca))
	return ab * bc * ca / area4
}
