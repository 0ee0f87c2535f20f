package bed

import (
	"math"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// Shallowest is the least depth within a circle.
type Shallowest struct {
	// Depth in metres below chart datum; unknown when no part of the circle is covered.
	Depth geo.Maybe[geo.Metres]
	At    geo.Offset // where it is that shallow
	// Whole is false where part of the circle is not covered by the soundings; then Depth is the least of what is, and Gap and Why say what is missing.
	Whole bool
	Gap   Gap
	Why   string
}

// Shallowest finds the least depth within a circle: exactly, on the triangles themselves, and not at samples. A part of the circle that lies on
// land counts with the surface between the soundings round it. Whole errs on the safe side: a triangle that is anywhere
// farther than the set distance from its corners counts as not covered.
func (b *Bed) Shallowest(centre geo.Offset, radius geo.Metres) Shallowest {
	s := Shallowest{Whole: true}
	if b.gap != "" {
		s.miss(b.gap)
		return s
	}
	near, _ := b.tree.nearest(centre)
	seen := b.marks.Get().(*marks)
	defer b.marks.Put(seen)
	seen.begin()
	t, _ := b.mesh.locate(centre, near)
	if t < 0 {
		s.miss(Outside)
		if t = b.mesh.hullWithin(centre, float64(radius)); t < 0 {
			return s
		}
	}
	disc := disc{centre, float64(radius)}
	best := math.Inf(1)
	// The circle and the hull are convex, so the triangles that the circle touches hang together: walk from one to the next.
	for todo := append(seen.todo, t); len(todo) > 0; {
		t, todo = todo[len(todo)-1], todo[:len(todo)-1]
		seen.todo = todo[:0]
		if !seen.first(t) {
			continue
		}
		if gap := b.mesh.gap[t]; gap == gapAcross {
			s.miss(AcrossLand)
		} else {
			if gap == gapFar {
				s.miss(TooFar)
			}
			b.mesh.shallowestIn(t, disc, &best, &s.At)
		}
		for e := 3 * t; e < 3*t+3; e++ {
			if !disc.meets(b.mesh.from(e), b.mesh.to(e)) {
				continue
			}
			if twin := b.mesh.twin[e]; twin >= 0 {
				todo = append(todo, twin/3)
			} else {
				s.miss(Outside) // also when it only touches the hull
			}
		}
	}
	if !math.IsInf(best, 1) {
		s.Depth = geo.Known(geo.Metres(best))
	}
	return s
}

func (s *Shallowest) miss(gap Gap) {
	s.Whole = false
	if s.Gap == "" {
		s.Gap, s.Why = gap, string(gap)
	}
}

type disc struct {
	centre  geo.Offset
	radiusM float64
}

func (d disc) meets(a, b geo.Offset) bool {
	return float64(shape.ClosestOn(a, b, d.centre).Sub(d.centre).Length()) <= d.radiusM
}

// shallowestIn lowers best by the least depth of one triangle within the disc. A linear surface is least on the border of
// the common part: at an end of a side's piece within the disc, or at the disc's own point in the direction of the rise.
func (m *mesh) shallowestIn(t int32, d disc, best *float64, at *geo.Offset) {
	surface := m.plane(t)
	try := func(p geo.Offset, depthM float64) {
		if depthM < *best {
			*best, *at = depthM, p
		}
	}
	for e := 3 * t; e < 3*t+3; e++ {
		a, b := m.from(e), m.to(e)
		lo, hi, ok := d.clip(a, b)
		if !ok {
			continue
		}
		za, zb := m.sounds[m.corner[e]].depthM, m.sounds[m.corner[next(e)]].depthM
		ab := b.Sub(a)
		try(a.Plus(ab.Times(lo)), za+(zb-za)*lo)
		try(a.Plus(ab.Times(hi)), za+(zb-za)*hi)
	}
	steep := math.Hypot(surface.eastRatio, surface.northRatio)
	p := d.centre
	if steep > 0 {
		p = p.Sub(geo.Offset{EastM: surface.eastRatio, NorthM: surface.northRatio}.Times(d.radiusM / steep))
	}
	if m.inside(t, p) {
		try(p, surface.depthM(p))
	}
}

func (m *mesh) inside(t int32, p geo.Offset) bool {
	for e := 3 * t; e < 3*t+3; e++ {
		if turn(m.from(e), m.to(e), p) < 0 {
			return false
		}
	}
	return true
}

// clip gives the piece of the segment from a to b within the disc as shares of its length.
func (d disc) clip(a, b geo.Offset) (lo, hi float64, ok bool) {
	ab, ca := b.Sub(a), a.Sub(d.centre)
	qa := ab.EastM*ab.EastM + ab.NorthM*ab.NorthM
	qb := ab.EastM*ca.EastM + ab.NorthM*ca.NorthM
	qc := ca.EastM*ca.EastM + ca.NorthM*ca.NorthM - d.radiusM*d.radiusM
	if qa == 0 {
		return 0, 0, qc <= 0
	}
	root := qb*qb - qa*qc
	if root < 0 {
		return 0, 0, false
	}
	root = math.Sqrt(root)
	lo, hi = max(0, (-qb-root)/qa), min(1, (-qb+root)/qa)
	return lo, hi, lo <= hi
}

// hullWithin finds a triangle on the hull that the disc reaches from outside, or -1.
func (m *mesh) hullWithin(centre geo.Offset, radiusM float64) int32 {
	for _, e := range m.hull {
		if (disc{centre, radiusM}).meets(m.from(e), m.to(e)) {
			return e / 3
		}
	}
	return -1
}

// marks tells which triangles one walk has seen, without being cleared between walks.
type marks struct {
	seen []uint32
	now  uint32
	todo []int32
}

func (m *marks) begin() {
	m.now++
	if m.now == 0 { // after four thousand million walks
		clear(m.seen)
		m.now = 1
	}
	m.todo = m.todo[:0]
}

func (m *marks) first(t int32) bool {
	if m.seen[t] == m.now {
		return false
	}
	m.seen[t] = m.now
	return true
}
