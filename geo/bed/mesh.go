package bed

import (
	"math"

	"swingroom/geo"
)

// mesh is a Delaunay triangulation in half-edges: half-edge e runs from corner[e] to corner[next(e)] with its triangle e/3 on the left,
// and twin[e] is the same edge in the neighbour, or -1 on the hull.
type mesh struct {
	sounds []sounding
	corner []int32
	twin   []int32
	gap    []uint8 // by triangle: gapNone, or why it is no part of the bed
	shore  []bool  // by triangle: land or a shoreline may lie in it
	edgeAt []int32 // by sounding: a half-edge that begins there, or -1
	hull   []int32 // half-edges on the outside
}

func newMesh(sounds []sounding, corner, twin []int) mesh {
	triangles := len(corner) / 3
	m := mesh{
		sounds: sounds, corner: make([]int32, len(corner)), twin: make([]int32, len(twin)),
		gap: make([]uint8, triangles), shore: make([]bool, triangles), edgeAt: make([]int32, len(sounds)),
	}
	m.link(corner, twin)
	return m
}

// link fills in the half-edges.
func (m *mesh) link(corner, twin []int) {
	for i := range m.edgeAt {
		m.edgeAt[i] = -1
	}
	for e := range corner {
		m.corner[e], m.twin[e] = int32(corner[e]), int32(twin[e])
		m.edgeAt[corner[e]] = int32(e)
		if twin[e] < 0 {
			m.hull = append(m.hull, int32(e))
		}
	}
}

// next is the half-edge that goes on from another round the same triangle.
func next(e int32) int32 {
	if e%3 == 2 {
		return e - 2
	}
	return e + 1
}

// start is the sounding at which a half-edge begins.
func (m *mesh) start(e int32) *sounding { return &m.sounds[m.corner[e]] }

func (m *mesh) from(e int32) geo.Offset { return m.start(e).at }
func (m *mesh) to(e int32) geo.Offset   { return m.start(next(e)).at }

// widthM is the area of the mesh over its extent, in metres: nothing for soundings on one line, which projection leaves not quite straight.
func (m *mesh) widthM() float64 {
	var twiceM2 float64
	for e := int32(0); int(e) < len(m.corner); e += 3 {
		a, b, c := m.corners(e / 3)
		twiceM2 += orient(a.at, b.at, c.at)
	}
	return twiceM2 / 2 / m.extentM()
}

// extentM is the diagonal of the box round all soundings.
func (m *mesh) extentM() float64 {
	lo, hi := m.sounds[0].at, m.sounds[0].at
	for _, s := range m.sounds {
		lo = geo.Offset{EastM: min(lo.EastM, s.at.EastM), NorthM: min(lo.NorthM, s.at.NorthM)}
		hi = geo.Offset{EastM: max(hi.EastM, s.at.EastM), NorthM: max(hi.NorthM, s.at.NorthM)}
	}
	return float64(hi.Sub(lo).Length())
}

// locate finds the triangle in which p lies by walking from one at the sounding near; -1 when p lies outside the hull. A place
// within a nanometre of the hull is inside, whatever rounding says.
func (m *mesh) locate(p geo.Offset, near int) int32 {
	t := m.edgeAt[near] / 3
	for range m.gap {
		out := m.exitEdge(t, p)
		if out < 0 {
			return t
		}
		if m.twin[out] < 0 {
			return -1
		}
		t = m.twin[out] / 3
	}
	// In a Delaunay triangulation the walk never comes back (Edelsbrunner, An acyclicity theorem for cell complexes, 1990; from memory),
	// but where rounding chose between two of them it might.
	for t := range int32(len(m.gap)) {
		if m.exitEdge(t, p) < 0 {
			return t
		}
	}
	return -1
}

// exitEdge is a side of a triangle that p lies beyond, or -1 when p is within.
func (m *mesh) exitEdge(t int32, p geo.Offset) int32 {
	for e := 3 * t; e < 3*t+3; e++ {
		if left := orient(m.from(e), m.to(e), p); left < 0 && (m.twin[e] >= 0 || m.beyondHull(e, left)) {
			return e
		}
	}
	return -1
}

// beyondHull tells of a place to the right of a side of the hull, by twice the area of the three, that rounding does not explain it.
func (m *mesh) beyondHull(e int32, areaM2 float64) bool {
	const nearHullM = 1e-9
	ab := m.to(e).Sub(m.from(e))
	return areaM2 < -nearHullM*(math.Abs(ab.EastM)+math.Abs(ab.NorthM))
}

// orient is positive when p lies to the left of the line from a to b; twice the area of the three, in m².
func orient(a, b, p geo.Offset) float64 {
	return (b.EastM-a.EastM)*(p.NorthM-a.NorthM) - (b.NorthM-a.NorthM)*(p.EastM-a.EastM)
}

func dot(a, b geo.Offset) float64 { return a.EastM*b.EastM + a.NorthM*b.NorthM }

// plane is the surface of one triangle: depth = z + e·(east - at.east) + n·(north - at.north).
type plane struct {
	at                    geo.Offset
	zM                    float64
	eastRatio, northRatio float64 // metres deeper a metre east and north
}

func (m *mesh) plane(t int32) plane {
	a, b, c := m.corners(t)
	ab, ac := b.at.Sub(a.at), c.at.Sub(a.at)
	det := ab.EastM*ac.NorthM - ab.NorthM*ac.EastM
	if det == 0 { // three in a row: they have no surface; the shallowest stands for it
		return plane{at: a.at, zM: min(a.depthM, b.depthM, c.depthM)}
	}
	zb, zc := b.depthM-a.depthM, c.depthM-a.depthM
	return plane{at: a.at, zM: a.depthM,
		eastRatio:  (zb*ac.NorthM - zc*ab.NorthM) / det,
		northRatio: (zc*ab.EastM - zb*ac.EastM) / det,
	}
}

// corners are the soundings of a triangle, counterclockwise.
func (m *mesh) corners(t int32) (a, b, c *sounding) {
	return m.start(3 * t), m.start(3*t + 1), m.start(3*t + 2)
}

func (p plane) depthM(at geo.Offset) float64 {
	d := at.Sub(p.at)
	return p.zM + p.eastRatio*d.EastM + p.northRatio*d.NorthM
}
