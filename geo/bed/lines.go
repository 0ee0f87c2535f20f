package bed

import (
	"slices"

	"swingroom/geo"
)

// Line is a depth line: a chain of places of one depth, the deeper water on its left. A ring ends where it begins.
type Line struct {
	Depth  geo.Metres
	Points []geo.Offset
}

// Band is the water between two depths below chart datum, as polygons: each an outer ring counterclockwise, then
// its holes clockwise; rings end where they begin. From is unknown for the shallowest band and To for the deepest.
type Band struct {
	From, To geo.Maybe[geo.Metres]
	Polygons [][][]geo.Offset
}

// node is a corner of a depth line or band: a sounding (edge -1), or the crossing of a limit with an edge, which is
// named by the lower of its two half-edges, so that both neighbours name it alike.
type node struct {
	edge  int32
	which int32 // of a sounding its number, of a crossing the limit's
}

// crossing names the place where the depth of a limit lies on half-edge e.
func (m *mesh) crossing(e, limit int32) node {
	if twin := m.twin[e]; twin >= 0 && twin < e {
		e = twin
	}
	return node{e, limit}
}

// place finds a node on the plane. The end with the lower number comes first, so that both neighbours find the same bits.
func (m *mesh) place(n node, limitsM []float64) geo.Offset {
	if n.edge < 0 {
		return m.sounds[n.which].at
	}
	i, j := m.corner[n.edge], m.corner[next(n.edge)]
	if i > j {
		i, j = j, i
	}
	a, b := m.sounds[i], m.sounds[j]
	share := (limitsM[n.which] - a.depthM) / (b.depthM - a.depthM)
	return a.at.Plus(b.at.Sub(a.at).Times(share))
}

// deep reports whether a corner counts as being at or below a limit; so a corner right at it is never split.
func (m *mesh) deep(corner int32, limitM float64) bool { return m.sounds[corner].depthM >= limitM }

// Lines gives the depth lines for depths in metres below chart datum. They end where the cover ends.
func (b *Bed) Lines(depths []geo.Metres) []Line {
	limitsM := sortedLimits(depths)
	var lines []Line
	for l := range limitsM {
		pieces := newChain()
		for t := range b.mesh.gap {
			if b.mesh.gap[t] != gapNone {
				continue
			}
			var in, out node
			crossed := false
			for e := int32(3 * t); e < int32(3*t+3); e++ {
				from, to := b.mesh.deep(b.mesh.corner[e], limitsM[l]), b.mesh.deep(b.mesh.corner[next(e)], limitsM[l])
				if from == to {
					continue
				}
				crossed = true
				// The deep water is left of the line when it enters over the edge that runs from deep to shallow.
				if from {
					in = b.mesh.crossing(e, int32(l))
				} else {
					out = b.mesh.crossing(e, int32(l))
				}
			}
			if crossed {
				pieces.add(in, out)
			}
		}
		for _, nodes := range pieces.join() {
			lines = append(lines, Line{Depth: geo.Metres(limitsM[l]), Points: b.places(nodes, limitsM)})
		}
	}
	return lines
}

// Bands gives the water between successive depths, above the first and below the last included. Neighbouring bands share
// their border to the bit. Empty bands are left out.
func (b *Bed) Bands(depths []geo.Metres) []Band {
	limitsM := sortedLimits(depths)
	var bands []Band
	for band := 0; band <= len(limitsM); band++ {
		edges := newChain()
		for t := range b.mesh.gap {
			if b.mesh.gap[t] != gapNone {
				continue
			}
			ring := b.mesh.bandRing(int32(t), band, limitsM)
			for i := range ring {
				edges.addOrCancel(ring[i], ring[(i+1)%len(ring)])
			}
		}
		var rings [][]geo.Offset
		for _, nodes := range edges.join() {
			rings = append(rings, b.places(nodes, limitsM))
		}
		if len(rings) == 0 {
			continue
		}
		made := Band{Polygons: nest(rings)}
		if band > 0 {
			made.From = geo.Known(geo.Metres(limitsM[band-1]))
		}
		if band < len(limitsM) {
			made.To = geo.Known(geo.Metres(limitsM[band]))
		}
		bands = append(bands, made)
	}
	return bands
}

// bandRing is the part of a triangle within one band, as nodes counterclockwise; empty when there is none.
func (m *mesh) bandRing(t int32, band int, limitsM []float64) []node {
	in := func(corner int32) bool {
		return (band == 0 || m.deep(corner, limitsM[band-1])) && (band == len(limitsM) || !m.deep(corner, limitsM[band]))
	}
	var ring []node
	for e := 3 * t; e < 3*t+3; e++ {
		a, b := m.corner[e], m.corner[next(e)]
		if in(a) {
			ring = append(ring, node{-1, a})
		}
		deeper := m.sounds[b].depthM >= m.sounds[a].depthM
		for i := range 2 {
			limit := band - 1 + i // the upper limit first on the way down, last on the way up
			if !deeper {
				limit = band - i
			}
			if limit >= 0 && limit < len(limitsM) && m.deep(a, limitsM[limit]) != m.deep(b, limitsM[limit]) {
				ring = append(ring, m.crossing(e, int32(limit)))
			}
		}
	}
	return ring
}

func (b *Bed) places(nodes []node, limitsM []float64) []geo.Offset {
	at := make([]geo.Offset, 0, len(nodes))
	for _, n := range nodes {
		if p := b.mesh.place(n, limitsM); len(at) == 0 || p != at[len(at)-1] {
			at = append(at, p)
		}
	}
	return at
}

func sortedLimits(depths []geo.Metres) []float64 {
	limitsM := make([]float64, len(depths))
	for i, d := range depths {
		limitsM[i] = float64(d)
	}
	slices.Sort(limitsM)
	return slices.Compact(limitsM)
}
