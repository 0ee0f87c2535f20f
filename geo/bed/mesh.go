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
	start  []int32 // by sounding: a half-edge that begins there, or -1
	hull   []int32 // half-edges on the outside
}

func newMesh(sounds []sounding, corner, twin []int) mesh {
	m := mesh{
		sounds: sounds, corner: make([]int32, len(corner)), twin: make([]int32, len(twin)),
		gap: make([]uint8, len(corner)/3), shore: make([]bool, len(corner)/3), start: make([]int32, len(sounds)),
	}
	for i := range m.start {
		m.start[i] = -1
	}
	for e := range corner {
		m.corner[e], m.twin[e] = int32(corner[e]), int32(twin[e])
		m.start[corner[e]] = int32(e)
		if twin[e] < 0 {
			m.hull = append(m.hull, int32(e))
		}
	}
	return m
}

func next(e int32) int32 {
	if e%3 == 2 {
		return e - 2
	}
	return e + 1
}

func (m *mesh) from(e int32) geo.Offset { return m.sounds[m.corner[e]].at }
func (m *mesh) to(e int32) geo.Offset   { return m.sounds[m.corner[next(e)]].at }

// widthM is the area of the mesh over its extent, in metres: nothing for soundings on one line, which projection leaves not quite straight.
func (m *mesh) widthM() float64 {
	var twiceM2 float64
	lo, hi := m.sounds[0].at, m.sounds[0].at
	for e := int32(0); int(e) < len(m.corner); e += 3 {
		twiceM2 += turn(m.from(e), m.to(e), m.from(next(next(e))))
	}
	for _, s := range m.sounds {
		lo = geo.Offset{EastM: min(lo.EastM, s.at.EastM), NorthM: min(lo.NorthM, s.at.NorthM)}
		hi = geo.Offset{EastM: max(hi.EastM, s.at.EastM), NorthM: max(hi.NorthM, s.at.NorthM)}
	}
	return twiceM2 / 2 / float64(hi.Sub(lo).Length())
}

// locate finds the triangle in which p lies by walking from one at the sounding near; -1 when p lies outside the hull. A place
// within a nanometre of the hull is inside, whatever rounding says.
func (m *mesh) locate(p geo.Offset, near int) int32 {
	t := m.start[near] / 3
	for range m.gap {
		out := m.leaving(t, p)
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
		if m.leaving(t, p) < 0 {
			return t
		}
	}
	return -1
}

// leaving is a side of a triangle that p lies beyond, or -1 when p is within.
func (m *mesh) leaving(t int32, p geo.Offset) int32 {
	const nearHullM = 1e-9
	for e := 3 * t; e < 3*t+3; e++ {
		a, b := m.from(e), m.to(e)
		switch left := turn(a, b, p); {
		case left >= 0:
		case m.twin[e] >= 0, left < -nearHullM*(math.Abs(b.EastM-a.EastM)+math.Abs(b.NorthM-a.NorthM)):
			return e
		}
	}
	return -1
}

// turn is positive when p lies to the left of the line from a to b; twice the area of the three, in m².
func turn(a, b, p geo.Offset) float64 {
	return (b.EastM-a.EastM)*(p.NorthM-a.NorthM) - (b.NorthM-a.NorthM)*(p.EastM-a.EastM)
}

// plane is the surface of one triangle: depth = z + e·(east - at.east) + n·(north - at.north).
type plane struct {
	at                    geo.Offset
	zM                    float64
	eastRatio, northRatio float64 // metres deeper a metre east and north
}

func (m *mesh) plane(t int32) plane {
	a, b, c := m.sounds[m.corner[3*t]], m.sounds[m.corner[3*t+1]], m.sounds[m.corner[3*t+2]]
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

func (p plane) depthM(at geo.Offset) float64 {
	d := at.Sub(p.at)
	return p.zM + p.eastRatio*d.EastM + p.northRatio*d.NorthM
}
