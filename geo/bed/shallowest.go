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
		s.markUncovered(NoPlace)
		return s
	}
	if b.gap != "" {
		s.markUncovered(b.gap)
		b.shallowestSounding(disc{centre, float64(radius)}, &s)
		return s
	}
	near, _ := b.sounds.nearest(centre)
	t := b.mesh.locate(centre, near)
	return b.walk(t, disc{centre, float64(radius)}, s)
}

// walk goes through the triangles that the disc touches, from one to the next: the disc and the hull are convex, so they hang together.
func (b *Bed) walk(t int32, d disc, s Shallowest) Shallowest {
	var walk visited
	shore := t < 0
	if t < 0 {
		s.markUncovered(Outside)
		t = b.mesh.hullTriangle(d)
	}
	if t >= 0 {
		walk.add(t)
	}
	best := shallowestYet{depthM: math.Inf(1)}
	for i := 0; i < walk.count; i++ {
		t := walk.at(i)
		s.markGap(b.mesh.gap[t])
		shore = shore || b.mesh.shore[t]
		if b.mesh.visit(t, d, &best, &walk) {
			s.markUncovered(Outside) // also when it only touches the hull
		}
	}
	if !math.IsInf(best.depthM, 1) {
		s.Depth, s.At = geo.Known(geo.Metres(best.depthM)), best.at
	}
	if !s.Whole {
		b.shallowestSounding(d, &s)
	}
	if shore {
		b.noteLand(d, &s)
	}
	return s
}

// markGap notes why a triangle is not covered, if it is not.
func (s *Shallowest) markGap(gap uint8) {
	switch gap {
	case gapAcross:
		s.markUncovered(AcrossLand)
	case gapFar:
		s.markUncovered(TooFar)
	case gapSliver:
		s.markUncovered(Outside)
	}
}

// noteLand adds that part of the circle is on land. Of a circle with nothing but land no depth is known.
func (b *Bed) noteLand(d disc, s *Shallowest) {
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
		s.lower(&in)
	})
}

// lower takes a sounding for the answer where it is shallower.
func (s *Shallowest) lower(in *sounding) {
	if depth, known := s.Depth.Get(); !known || in.depthM < float64(depth) {
		s.Depth, s.At = geo.Known(geo.Metres(in.depthM)), in.at
	}
}

// markUncovered notes that part of the circle is not covered. Of several reasons the first of Outside, AcrossLand and TooFar is told: the
// triangles at the edge of the soundings are long and thin, so they are often too far as well.
func (s *Shallowest) markUncovered(gap Gap) {
	s.Whole = false
	if s.Gap == "" || gap == Outside || s.Gap == TooFar {
		s.Gap, s.Why = gap, string(gap)
	}
}

type disc struct {
	centre  geo.Offset
	radiusM float64
}

// shallowestYet is the shallowest depth found so far and where it is.
type shallowestYet struct {
	depthM float64
	at     geo.Offset
}

func (l *shallowestYet) try(depthM float64, at geo.Offset) {
	if depthM < l.depthM {
		l.depthM, l.at = depthM, at
	}
}

// visit adds the triangles across the sides that the disc reaches to those of the walk, and lowers best by the triangle's least depth
// within the disc unless it is no part of the surface. leavesHull is true where the disc reaches a side of the hull. A linear surface is
// least on the border of the common part: at an end of a side's piece within the disc, or at the disc's own point in the direction of the
// rise.
func (m *mesh) visit(t int32, d disc, best *shallowestYet, walk *visited) (leavesHull bool) {
	off := m.gap[t] == gapAcross || m.gap[t] == gapSliver
	for e := 3 * t; e < 3*t+3; e++ {
		lo, hi, ok := d.clip(m.from(e), m.to(e))
		if !ok {
			continue
		}
		if twin := m.twin[e]; twin >= 0 {
			walk.add(twin / 3)
		} else {
			leavesHull = true
		}
		if !off {
			m.trySide(e, lo, hi, best)
		}
	}
	if !off {
		m.tryRise(t, d, best)
	}
	return leavesHull
}

// trySide tries both ends of the piece of a side, given as shares of its length.
func (m *mesh) trySide(e int32, loRatio, hiRatio float64, best *shallowestYet) {
	a, b := m.start(e), m.start(next(e))
	rise, ab := b.depthM-a.depthM, b.at.Sub(a.at)
	best.try(a.depthM+rise*loRatio, a.at.Plus(ab.Times(loRatio)))
	best.try(a.depthM+rise*hiRatio, a.at.Plus(ab.Times(hiRatio)))
}

// tryRise tries the disc's point in the direction in which the surface of a triangle rises, if it lies in the triangle.
func (m *mesh) tryRise(t int32, d disc, best *shallowestYet) {
	surface := m.plane(t)
	p := d.centre
	if steep := math.Hypot(surface.eastRatio, surface.northRatio); steep > 0 {
		p = p.Sub(geo.Offset{EastM: surface.eastRatio, NorthM: surface.northRatio}.Times(d.radiusM / steep))
	}
	if m.inside(t, p) {
		best.try(surface.depthM(p), p)
	}
}

func (m *mesh) inside(t int32, p geo.Offset) bool {
	for e := 3 * t; e < 3*t+3; e++ {
		if orient(m.from(e), m.to(e), p) < 0 {
			return false
		}
	}
	return true
}

// clip gives the piece of the segment from a to b within the disc as shares of its length.
func (d disc) clip(a, b geo.Offset) (lo, hi float64, ok bool) {
	ab, ca := b.Sub(a), a.Sub(d.centre)
	qa, qb, qc := dot(ab, ab), dot(ab, ca), dot(ca, ca)-d.radiusM*d.radiusM
	root := qb*qb - qa*qc
	if root < 0 {
		return 0, 0, false
	}
	root = math.Sqrt(root)
	lo, hi = max(0, (-qb-root)/qa), min(1, (-qb+root)/qa)
	return lo, hi, lo <= hi
}

// reaches tells whether any of the segment lies in the disc.
func (d disc) reaches(a, b geo.Offset) bool {
	_, _, ok := d.clip(a, b)
	return ok
}

// hullTriangle finds a triangle on the hull that the disc reaches from outside, or -1.
func (m *mesh) hullTriangle(d disc) int32 {
	for _, e := range m.hull {
		if d.reaches(m.from(e), m.to(e)) {
			return e / 3
		}
	}
	return -1
}

// scanned is the number of triangles up to which a walk keeps them in an array and looks through it: faster than a map, and nothing to
// allocate.
const scanned = 64

// visited are the triangles of one walk, in the order in which it came to them.
type visited struct {
	first [scanned]int32
	count int
	more  []int32 // from number scanned on
	known map[int32]bool
}

func (v *visited) at(i int) int32 {
	if i < scanned {
		return v.first[i]
	}
	return v.more[i-scanned]
}

func (v *visited) add(t int32) {
	if v.has(t) {
		return
	}
	if v.count < scanned {
		v.first[v.count] = t
	} else {
		v.addToMap(t)
	}
	v.count++
}

func (v *visited) has(t int32) bool {
	return slices.Contains(v.first[:min(v.count, scanned)], t) || v.known[t]
}

// addToMap takes a triangle for which the array has no room.
func (v *visited) addToMap(t int32) {
	if v.known == nil {
		v.known = make(map[int32]bool, 4*scanned)
	}
	v.more, v.known[t] = append(v.more, t), true
}
