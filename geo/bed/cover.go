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
	b.mesh.dropSlivers()
	b.mesh.dropFar(b.reachM)
	if b.shore.Len() == 0 {
		return
	}
	b.dropAcross(b.heights())
	b.dropIslands(shore, frame)
}

// dropFar marks the triangles that reach farther from their corners than is believed.
func (m *mesh) dropFar(reachM float64) {
	inParallel(len(m.gap), func(lo, hi int) {
		for t := lo; t < hi; t++ {
			if m.gap[t] == gapNone && !(m.farthestM(int32(3*t)) <= reachM) { // a triangle without area has no number and is not believed
				m.gap[t] = gapFar
			}
		}
	})
}

// heights tells by sounding whether it was surveyed on the shore.
func (b *Bed) heights() []bool {
	onLand := make([]bool, len(b.sounds))
	inParallel(len(b.sounds), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			onLand[i] = b.onShore(b.sounds[i].at)
		}
	})
	return onLand
}

// dropSlivers drops the triangles at the edge of the soundings that are no wider than a position is sure. A row of soundings along the edge
// is never quite straight on the plane, so the hull spans it with triangles that are long and of no width: depths vary wildly across them.
func (m *mesh) dropSlivers() {
	for todo := slices.Clone(m.hull); len(todo) > 0; {
		t := todo[len(todo)-1] / 3
		todo = todo[:len(todo)-1]
		if m.gap[t] == gapSliver || !m.isSliver(3*t) {
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

// isSliver reports a triangle that is less than sameM wide and more than a hundred times as long.
func (m *mesh) isSliver(e int32) bool {
	a, b, c := m.from(e), m.to(e), m.to(next(e))
	lengthM := float64(max(b.Sub(a).Length(), c.Sub(b).Length(), a.Sub(c).Length()))
	widthM := orient(a, b, c) / lengthM
	return widthM < sameM && 100*widthM < lengthM
}

// onShore reports a height that was surveyed on the shore: inside a land area, or on a shoreline.
func (b *Bed) onShore(at geo.Offset) bool {
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
	crosses := b.shoreCrossings()
	for i := range m.corner {
		e := int32(i)
		from, to := m.corner[e], m.corner[next(e)]
		if onLand[from] {
			m.shore[e/3] = true
		}
		if crosses[e] {
			inWater := !onLand[from] && !onLand[to]
			m.markShore(e, inWater)
			m.markShore(m.twin[e], inWater)
		}
	}
}

// shoreCrossings tells of each edge, at the higher of its two half-edges, whether it crosses the shore.
func (b *Bed) shoreCrossings() []bool {
	m := &b.mesh
	crosses := make([]bool, len(m.corner))
	inParallel(len(m.corner), func(lo, hi int) {
		for e := int32(lo); e < int32(hi); e++ {
			if m.twin[e] < e {
				crosses[e] = b.shore.Crosses(m.from(e), m.to(e))
			}
		}
	})
	return crosses
}

// markShore notes that shore lies in the triangle of a half-edge, -1 for none, and drops it if the shore parts two soundings in the water.
func (m *mesh) markShore(e int32, drop bool) {
	if e < 0 {
		return
	}
	m.shore[e/3] = true
	if drop {
		m.gap[e/3] = gapAcross
	}
}

// dropIslands drops the triangles that hold a whole island or a whole piece of shore while no corner of them is a height. One place
// of each ring is enough: a ring in more than one triangle crosses an edge.
func (b *Bed) dropIslands(shore geo.Shoreline, frame geo.Frame) {
	for _, polygon := range shore.Land {
		for _, ring := range polygon {
			b.dropAround(ring, frame)
		}
	}
	for _, line := range shore.Lines {
		b.dropAround(line, frame)
	}
}

// dropAround drops the triangle round the first place of a line.
func (b *Bed) dropAround(line []orb.Point, frame geo.Frame) {
	if len(line) == 0 {
		return
	}
	at := frame.ProjectPoint(line[0])
	near, _ := b.sounds.nearest(at)
	t := b.mesh.locate(at, near)
	if t < 0 || b.mesh.shore[t] { // a ring that crosses an edge is dealt with already, and so is a triangle with a height
		return
	}
	b.mesh.markShore(3*t, true)
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
		return farthestOnSideM(ab, bc, ca)
	}
	area4 := math.Sqrt((ab + bc + ca) * (-ab + bc + ca) * (ab - bc + ca) * (ab + bc - ca))
	return ab * bc * ca / area4
}

// farthestOnSideM is for an obtuse triangle with ab its longest side.
func farthestOnSideM(ab, bc, ca float64) float64 {
	return max(ca/(2*cosine(ab, ca, bc)), bc/(2*cosine(ab, bc, ca)))
}

// cosine is that of the angle between two sides of a triangle, by its three lengths.
func cosine(a, b, opposite float64) float64 { return (a*a + b*b - opposite*opposite) / (2 * a * b) }
