package bed

import (
	"math"
	"slices"

	"swingroom/geo"
)

// Shallowest is the least depth within a circle.
type Shallowest struct {
	// Depth in metres below chart datum; unknown when nothing within the circle is covered and no sounding lies in it.
	Depth geo.Maybe[geo.Metres]
	At    geo.Offset // where it is that shallow
	// Whole is false where part of the circle's water is not covered by the soundings; then Depth is the least of what is.
	// Land within the circle has no depth and leaves it whole, unless there is nothing but land.
	Whole bool
	// Gap and Why say what has no depth: land too, so a circle that is whole can have them. Empty when all is covered.
	Gap Gap
	Why string
}

// Shallowest finds the least depth within a circle: exactly, on the triangles themselves, and not at samples. It errs on the
// safe side: a triangle that is anywhere farther than the set distance from its corners counts as not covered, though its depth
// is looked at; the surface between the soundings counts on land too; and every sounding within the circle counts,
// also one that has no triangle.
func (b *Bed) Shallowest(centre geo.Offset, radius geo.Metres) Shallowest {
	s := Shallowest{Whole: true}
	if !onPlane(centre) || !radius.Finite() || radius < 0 {
		s.miss(NoPlace)
		return s
	}
	if b.gap != "" {
		s.miss(b.gap)
		b.shallowestSounding(disc{centre, float64(radius)}, &s)
		return s
	}
	near, _ := b.sounds.nearest(centre)
	t := b.mesh.locate(centre, near)
	return b.walk(t, disc{centre, float64(radius)}, s)
}

// walk goes through the triangles that the disc touches, from one to the next: the disc and the hull are convex, so they hang together.
func (b *Bed) walk(t int32, d disc, s Shallowest) Shallowest {
	var seen visited
	shore := t < 0
	if t < 0 {
		s.miss(Outside)
		t = b.mesh.hullWithin(d)
	}
	if t >= 0 {
		seen.add(t)
	}
	best := least{depthM: math.Inf(1)}
	for i := 0; i < seen.count; i++ {
		t := seen.at(i)
		switch b.mesh.gap[t] {
		case gapAcross:
			s.miss(AcrossLand)
		case gapFar:
			s.miss(TooFar)
		case gapSliver:
			s.miss(Outside)
		}
		shore = shore || b.mesh.shore[t]
		for side, reached := range b.mesh.visit(t, d, &best) {
			if !reached {
				continue
			}
			if twin := b.mesh.twin[3*t+int32(side)]; twin >= 0 {
				seen.add(twin / 3)
			} else {
				s.miss(Outside) // also when it only touches the hull
			}
		}
	}
	if !math.IsInf(best.depthM, 1) {
		s.Depth, s.At = geo.Known(geo.Metres(best.depthM)), best.at
	}
	if !s.Whole {
		b.shallowestSounding(d, &s)
	}
	if shore {
		b.tellLand(d, &s)
	}
	return s
}

// tellLand adds that part of the circle is on land. Of a circle with nothing but land no depth is known.
func (b *Bed) tellLand(d disc, s *Shallowest) {
	_, edge := b.shore.Nearest(d.centre, d.radiusM, landFeature)
	switch {
	case edge && s.Gap == "":
		s.Gap, s.Why = OnLand, "part of it is on land"
	case edge:
		s.Why += "; part of it is on land"
	case b.OnLand(d.centre):
		*s = Shallowest{Gap: OnLand, Why: string(OnLand)}
	}
}

// shallowestSounding lowers the answer by the soundings themselves.
func (b *Bed) shallowestSounding(d disc, s *Shallowest) {
	b.sounds.within(d.centre, d.radiusM, func(in sounding) {
		if depth, known := s.Depth.Get(); !known || in.depthM < float64(depth) {
			s.Depth, s.At = geo.Known(geo.Metres(in.depthM)), in.at
		}
	})
}

// miss notes that part of the circle is not covered. Of several reasons the first of Outside, AcrossLand and TooFar is told: the triangles
// at the edge of the soundings are long and thin, so they are often too far as well.
func (s *Shallowest) miss(gap Gap) {
	s.Whole = false
	if s.Gap == "" || gap == Outside || s.Gap == TooFar {
		s.Gap, s.Why = gap, string(gap)
	}
}

type disc struct {
	centre  geo.Offset
	radiusM float64
}

// least is the shallowest depth seen so far and where it is.
type least struct {
	depthM float64
	at     geo.Offset
}

func (l *least) try(depthM float64, at geo.Offset) {
	if depthM < l.depthM {
		l.depthM, l.at = depthM, at
	}
}

// visit tells which sides of a triangle the disc reaches, and lowers best by the triangle's least depth within the disc unless it is no
// part of the surface. A linear surface is least on the border of the common part: at an end of a side's piece within the disc, or at the
// disc's own point in the direction of the rise.
func (m *mesh) visit(t int32, d disc, best *least) (reached [3]bool) {
	off := m.gap[t] == gapAcross || m.gap[t] == gapSliver
	for e := 3 * t; e < 3*t+3; e++ {
		a, b := m.from(e), m.to(e)
		lo, hi, ok := d.clip(a, b)
		if !ok {
			continue
		}
		reached[e-3*t] = true
		if off {
			continue
		}
		za, zb := m.sounds[m.corner[e]].depthM, m.sounds[m.corner[next(e)]].depthM
		ab := b.Sub(a)
		best.try(za+(zb-za)*lo, a.Plus(ab.Times(lo)))
		best.try(za+(zb-za)*hi, a.Plus(ab.Times(hi)))
	}
	if off {
		return reached
	}
	surface := m.plane(t)
	p := d.centre
	if steep := math.Hypot(surface.eastRatio, surface.northRatio); steep > 0 {
		p = p.Sub(geo.Offset{EastM: surface.eastRatio, NorthM: surface.northRatio}.Times(d.radiusM / steep))
	}
	if m.inside(t, p) {
		best.try(surface.depthM(p), p)
	}
	return reached
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
	root := qb*qb - qa*qc
	if root < 0 {
		return 0, 0, false
	}
	root = math.Sqrt(root)
	lo, hi = max(0, (-qb-root)/qa), min(1, (-qb+root)/qa)
	return lo, hi, lo <= hi
}

// hullWithin finds a triangle on the hull that the disc reaches from outside, or -1.
func (m *mesh) hullWithin(d disc) int32 {
	for _, e := range m.hull {
		if _, _, ok := d.clip(m.from(e), m.to(e)); ok {
			return e / 3
		}
	}
	return -1
}

// few is the number of triangles up to which a walk keeps them in an array and looks through it: faster than a map, and nothing to
// allocate.
const few = 64

// visited are the triangles of one walk, in the order in which it came to them.
type visited struct {
	first [few]int32
	count int
	more  []int32 // from number few on
	known map[int32]bool
}

func (v *visited) at(i int) int32 {
	if i < few {
		return v.first[i]
	}
	return v.more[i-few]
}

func (v *visited) add(t int32) {
	if slices.Contains(v.first[:min(v.count, few)], t) || v.known[t] {
		return
	}
	if v.count < few {
		v.first[v.count] = t
	} else {
		if v.known == nil {
			v.known = make(map[int32]bool, 4*few)
		}
		v.more, v.known[t] = append(v.more, t), true
	}
	v.count++
}
