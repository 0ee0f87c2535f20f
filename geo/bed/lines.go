package bed

import (
	"slices"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// Line is a depth line: a chain of places of one depth, the deeper water on its left. A ring ends where it begins.
type Line struct {
	Depth  geo.Metres
	Points []geo.Offset
}

// node is a corner of a depth line or band: a sounding (edge -1), or the crossing of a limit with an edge, which is
// named by the lower of its two half-edges, so that both neighbours name it alike.
type node struct {
	edge  int32
	which int32 // of a sounding its number, of a crossing the limit's
}

// limits are depths in metres below chart datum, each once and in order.
type limits []float64

// limitsOf leaves out what is no number.
func limitsOf(depths []geo.Metres) limits {
	l := make(limits, 0, len(depths))
	for _, d := range depths {
		if d.Finite() {
			l = append(l, float64(d))
		}
	}
	slices.Sort(l)
	return slices.Compact(l)
}

// crossing names the place where the depth of limit i lies on half-edge e, one end of which is deep and one is not: the sounding
// itself when it is right at the limit.
func (m *mesh) crossing(e int32, l limits, i int) node {
	for _, corner := range [2]int32{m.corner[e], m.corner[next(e)]} {
		if m.sounds[corner].depthM == l[i] {
			return node{-1, corner}
		}
	}
	if twin := m.twin[e]; twin >= 0 && twin < e {
		e = twin
	}
	return node{e, int32(i)}
}

// place finds a node on the plane: for both neighbours from the same half-edge, so to the bit.
func (m *mesh) place(n node, l limits) geo.Offset {
	if n.edge < 0 {
		return m.sounds[n.which].at
	}
	a, b := m.start(n.edge), m.start(next(n.edge))
	share := (l[n.which] - a.depthM) / (b.depthM - a.depthM)
	return a.at.Plus(b.at.Sub(a.at).Times(share))
}

func (m *mesh) places(nodes []node, l limits) []geo.Offset {
	at := make([]geo.Offset, 0, len(nodes))
	for _, n := range nodes {
		if p := m.place(n, l); len(at) == 0 || p != at[len(at)-1] {
			at = append(at, p)
		}
	}
	return at
}

// Lines gives the depth lines for depths in metres below chart datum. They end where the cover ends. Water right at a depth
// counts as deep: a flat of that depth has its line where it rises, a ridge that only reaches it has none.
func (b *Bed) Lines(depths []geo.Metres) []Line {
	l := limitsOf(depths)
	var lines []Line
	for i := range l {
		for _, nodes := range b.mesh.depthLines(l, i).join() {
			if points := b.mesh.places(nodes, l); len(points) > 1 {
				lines = append(lines, Line{Depth: geo.Metres(l[i]), Points: points})
			}
		}
	}
	return lines
}

// depthLines are the pieces of the lines of one limit.
func (m *mesh) depthLines(l limits, i int) *polylines {
	pieces := m.newPolylines(l)
	for t, gap := range m.gap {
		if gap == gapNone {
			m.addLine(pieces, int32(t), l, i)
		}
	}
	return pieces
}

// addLine adds the piece of a depth line within one triangle.
func (m *mesh) addLine(pieces *polylines, t int32, l limits, i int) {
	in, out := int32(-1), int32(-1)
	for e := 3 * t; e < 3*t+3; e++ {
		from, to := m.depthAt(e) >= l[i], m.depthAt(next(e)) >= l[i]
		// The deep water is left of the line when it enters over the edge that runs from deep to shallow.
		if from && !to {
			in = e
		} else if to && !from {
			out = e
		}
	}
	if in >= 0 {
		pieces.add(m.crossing(in, l, i), m.crossing(out, l, i))
	}
}

// Band is the water between two depths below chart datum, as polygons: each an outer ring counterclockwise, then its holes clockwise; rings
// end where they begin and don't touch themselves. From is unknown for the shallowest band and To for the deepest.
type Band struct {
	From, To geo.Maybe[geo.Metres]
	Polygons [][][]geo.Offset
}

// Bands gives the water between successive depths, above the first and below the last included: together they tile the
// cover. Neighbouring bands share their border to the bit. Empty bands are left out.
func (b *Bed) Bands(depths []geo.Metres) []Band {
	l := limitsOf(depths)
	var bands []Band
	for i := 0; i <= len(l); i++ {
		s := span{l, i}
		var rings [][]geo.Offset
		for _, nodes := range b.mesh.bandBorders(s).join() {
			rings = append(rings, b.mesh.places(nodes, l))
		}
		if polygons := shape.Nest(rings); len(polygons) > 0 {
			bands = append(bands, s.band(polygons))
		}
	}
	return bands
}

// bandBorders are the pieces of the borders of a band.
func (m *mesh) bandBorders(s span) *polylines {
	borders := m.newPolylines(s.limits)
	for t, gap := range m.gap {
		if gap == gapNone {
			m.addBorder(borders, int32(t), s)
		}
	}
	return borders
}

// band is the span with its water.
func (s span) band(polygons [][][]geo.Offset) Band {
	b := Band{Polygons: polygons}
	if s.i > 0 {
		b.From = geo.Known(geo.Metres(s.limits[s.i-1]))
	}
	if s.i < len(s.limits) {
		b.To = geo.Known(geo.Metres(s.limits[s.i]))
	}
	return b
}

// span is the depths from limit i-1, included, to limit i, not included.
type span struct {
	limits limits
	i      int
}

// side is 0 for a depth within the span, -1 for a shallower and 1 for a deeper one.
func (s span) side(depthM float64) int {
	switch {
	case s.i > 0 && depthM < s.limits[s.i-1]:
		return -1
	case s.i < len(s.limits) && depthM >= s.limits[s.i]:
		return 1
	}
	return 0
}

// addBorder adds the border of a band's part of one triangle, the band on its left: the limits that cross it, and its sides where
// no covered triangle goes on.
func (m *mesh) addBorder(border *polylines, t int32, s span) {
	var ends [6]node
	n := 0
	for e := 3 * t; e < 3*t+3; e++ {
		a, b := m.corner[e], m.corner[next(e)]
		from, to := s.side(m.depthAt(e)), s.side(m.depthAt(next(e)))
		if from == to && from != 0 {
			continue
		}
		ends[n], ends[n+1] = m.bandEnd(e, a, from, s), m.bandEnd(e, b, to, s)
		if twin := m.twin[e]; twin < 0 || m.gap[twin/3] != gapNone {
			border.add(ends[n], ends[n+1])
		}
		n += 2
	}
	for i := 1; i < n; i += 2 {
		border.add(ends[i], ends[(i+1)%n])
	}
}

// depthAt is the depth of the sounding at which a half-edge begins.
func (m *mesh) depthAt(e int32) float64 { return m.start(e).depthM }

// bandEnd is where a band begins or ends on half-edge e toward a corner: the corner itself, or the limit before it.
func (m *mesh) bandEnd(e, corner int32, side int, s span) node {
	if side == 0 {
		return node{-1, corner}
	}
	return m.crossing(e, s.limits, s.i+min(side, 0))
}
