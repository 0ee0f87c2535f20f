// Package room answers where the anchor of one more boat may lie: the best places with proof that none is better, the whole water in
// which the anchor may lie, and how many more boats would go in.
//
// A place is as good as its least clearance: to every swing circle with the margin, to the edge of the area, to shore, fairways and closed
// water with their setbacks, and to water that is too shallow for the boat's keel at the low level. All of them are distances on the
// harbor's plane less the boat's own swing radius, which changes with the depth at the anchor. Water of which the depth is not known counts
// as too shallow.
//
// A search is stopped by its context. What it has found until then comes back with an error that wraps ctx.Err(): [Partial] tells it from a
// failure. Only an open water has no half, so that [Question.Region] gives none then, with [ErrStopped].
package room

import (
	"sync"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/shape"
)

// Water is a field made ready to be asked for room. It never changes, so that many may ask at once.
type Water struct {
	field *clearance.Field
	fixed []fixedZone

	mu   sync.Mutex
	deep map[geo.Metres][]edge // borders of the water deeper than a depth
}

// fixedZone is a zone that is the same for every boat, with what it is called.
type fixedZone struct {
	zone
	kind clearance.HazardKind
	area string // where it is the edge of an area
	text string
}

// New makes a field ready.
func New(f *clearance.Field) *Water {
	w := &Water{field: f, deep: map[geo.Metres][]edge{}}
	h := f.Harbor()
	var lines shape.Edges
	lines.AddLines(f.Frame(), h.Shoreline.Lines, 0)
	setback := float64(h.Defaults.ShoreSetback)
	w.add(fixedZone{zone: zone{keepM: setback}, kind: clearance.Shore, text: "the shore"}, w.polygons(h.Shoreline.Land))
	w.add(fixedZone{zone: zone{keepM: setback, open: true}, kind: clearance.Shore, text: "the shore"}, lines)
	for _, k := range h.KeepOuts {
		kind := clearance.Fairway
		if k.Kind == geo.ClosedWater {
			kind = clearance.Closed
		}
		w.add(fixedZone{zone: zone{keepM: float64(k.Setback)}, kind: kind, text: k.Name}, w.polygons(k.Shape))
	}
	for _, a := range h.Areas {
		w.add(fixedZone{zone: zone{in: true}, kind: clearance.AreaEdge, area: a.Name, text: a.Name}, w.polygons(a.Shape))
	}
	return w
}

// polygons are the edges of a shape.
func (w *Water) polygons(all orb.MultiPolygon) (edges shape.Edges) {
	edges.AddPolygons(w.field.Frame(), all, 0)
	return edges
}

// add gives a zone its edges and keeps it; without any edges nothing is kept out of.
func (w *Water) add(z fixedZone, edges shape.Edges) {
	z.own = true
	for _, g := range edges.All() {
		z.edges = append(z.edges, edge{g.A, g.B})
	}
	if !z.open {
		z.slabs = newSlabs(z.edges)
	}
	if len(z.edges) > 0 || z.in {
		w.fixed = append(w.fixed, z)
	}
}

// Field is the field that the water is of.
func (w *Water) Field() *clearance.Field { return w.field }

// deeper is the border of the covered water that is at least so deep below chart datum, the water on its left. It is kept for the next boat
// of that draft.
func (w *Water) deeper(depth geo.Metres) []edge {
	w.mu.Lock()
	defer w.mu.Unlock()
	if edges, ok := w.deep[depth]; ok {
		return edges
	}
	edges := w.band(depth, true)
	const kept = 64 // drafts: more than the boats that are asked for between two changes of a harbor
	if len(w.deep) >= kept {
		clear(w.deep)
	}
	w.deep[depth] = edges
	return edges
}

// band is the border of the covered water deeper, or not so deep, as a depth.
func (w *Water) band(depth geo.Metres, deeper bool) (edges []edge) {
	for _, band := range w.field.Bed().Bands([]geo.Metres{depth}) {
		if band.From.IsKnown() != deeper {
			continue
		}
		for _, polygon := range band.Polygons {
			for _, ring := range polygon {
				edges = append(edges, realSides(ring)...)
			}
		}
	}
	return edges
}

// realSides are the sides of a ring that have a length.
func realSides(ring []geo.Offset) (sides []edge) {
	for _, g := range sidesOf(ring) {
		if g.a != g.b {
			sides = append(sides, g)
		}
	}
	return sides
}

// Ask is for whom room is looked for, and where.
type Ask struct {
	Boat geo.Boat
	Area string // by name; its rules hold, and the whole swing stays inside
	// Tackle that is laid for the boat, or ScopeRatio: the rode over the height from bed to bow at the high level, for a rode that is cut
	// to each place. Neither is needed where the area's rule asks for no rode.
	Tackle     geo.Tackle
	ScopeRatio float64
	Radius     geo.Maybe[geo.Metres] // where the area's rule is a stated radius
	Rules      geo.Maybe[geo.Rules]  // tried in place of the area's
	// Without are moorings whose water is taken to be free.
	Without []string
	Mark    geo.Maybe[geo.Position] // places are told by distance and bearing from it

	bare     bool   // no margins: how near the circles themselves come
	shortest string // this mooring on the shortest rode that is proposed
}
