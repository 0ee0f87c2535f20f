// Package room answers where the anchor of one more boat may stand: the best places with proof that none is better, the whole water in
// which she may lie, and how many more would go in.
//
// A place is as good as its least clearance: to every swing circle with the margin, to the edge of the area, to shore, fairways and closed
// water with their setbacks, and to water that is too shallow for her keel at the low level. All of them are distances on the harbor's
// plane less her own swing radius, which changes with the depth at the anchor. Water of which the depth is not known counts as too shallow.
package room

import (
	"fmt"
	"math"
	"sync"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/shape"
	"swingroom/geo/swing"
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
	add := func(kind clearance.HazardKind, area, text string, in, open bool, keep geo.Metres, edges shape.Edges) {
		z := zone{in: in, open: open, keepM: float64(keep), own: true}
		for _, g := range edges.All() {
			z.edges = append(z.edges, edge{g.A, g.B})
		}
		if !open {
			z.slabs = newSlabs(z.edges)
		}
		if len(z.edges) > 0 || in {
			w.fixed = append(w.fixed, fixedZone{z, kind, area, text})
		}
	}
	var land, lines shape.Edges
	land.AddPolygons(f.Frame(), h.Shoreline.Land, 0)
	lines.AddLines(f.Frame(), h.Shoreline.Lines, 0)
	add(clearance.Shore, "", "the shore", false, false, h.Defaults.ShoreSetback, land)
	add(clearance.Shore, "", "the shore", false, true, h.Defaults.ShoreSetback, lines)
	for _, k := range h.KeepOuts {
		var edges shape.Edges
		edges.AddPolygons(f.Frame(), k.Shape, 0)
		kind := clearance.Fairway
		if k.Kind == geo.ClosedWater {
			kind = clearance.Closed
		}
		add(kind, "", k.Name, false, false, k.Setback, edges)
	}
	for _, a := range h.Areas {
		var edges shape.Edges
		edges.AddPolygons(f.Frame(), a.Shape, 0)
		add(clearance.AreaEdge, a.Name, a.Name, true, false, 0, edges)
	}
	return w
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
	const kept = 64
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
				for i := 1; i < len(ring); i++ {
					if ring[i] != ring[i-1] {
						edges = append(edges, edge{ring[i-1], ring[i]})
					}
				}
			}
		}
	}
	return edges
}

// Ask is for whom room is looked for, and where.
type Ask struct {
	Boat geo.Boat
	Area string // by name; its rules hold, and the whole swing stays inside
	// Tackle that is laid for her, or ScopeRatio: the rode over the height from bed to bow at the high level, for a rode that is cut to
	// each place. Neither is needed where the area's rule asks for no rode.
	Tackle     geo.Tackle
	ScopeRatio float64
	Radius     geo.Maybe[geo.Metres] // where the area's rule is a stated radius
	Rules      geo.Maybe[geo.Rules]  // tried in place of the area's
	// Without are moorings whose water is taken to be free.
	Without []string
	Mark    geo.Maybe[geo.Position] // places are told by distance and bearing from it

	bare  bool   // no margins: how near the circles themselves come
	least string // this mooring on the shortest rode that is proposed
}

// Question is an ask made ready.
type Question struct {
	water  *Water
	ask    Ask
	rules  geo.Rules
	plan   plan
	limits []limitName // what the items' names mean
}

// limitName says what a disc or zone is.
type limitName struct {
	kind clearance.HazardKind // "mooring" for a mooring
	name string
}

// Mooring limits by another boat's swing circle.
const Mooring clearance.HazardKind = "mooring"

// tackleDepth limits by the length of the tackle.
const tackleDepth clearance.HazardKind = "tackle"

// Ask makes a question ready. Errors: geo.ErrNotFound for the area; geo.FieldError of geo.ErrUnknown naming what has to be known of boat,
// tackle or harbor; geo.ErrInvalid.
func (w *Water) Ask(a Ask) (*Question, error) {
	h := w.field.Harbor()
	area, ok := h.Area(a.Area)
	if !ok {
		return nil, fmt.Errorf("area %q: %w", a.Area, geo.ErrNotFound)
	}
	if err := a.Boat.Validate("that is to be placed"); err != nil {
		return nil, err
	}
	q := &Question{water: w, ask: a, rules: a.Rules.Or(area.Rules)}
	if err := q.rules.Validate(a.Area); err != nil {
		return nil, err
	}
	if err := q.makeRadius(); err != nil {
		return nil, err
	}
	if err := q.zones(); err != nil {
		return nil, err
	}
	q.discs()
	return q, nil
}

func (q *Question) lacks(noun, field, want string) error {
	return &geo.FieldError{Noun: noun, Field: field, Got: "not known", Want: want, Kind: geo.ErrUnknown}
}

// zones are what is fixed: the area, shore, fairways and closed water that can be reached, the deep water, and where the tackle is long
// enough.
func (q *Question) zones() error {
	f := q.water.field
	levels, known := f.Harbor().Levels.Get()
	if !known {
		return q.lacks("harbor", "levels", "the low level is needed for the water under her keel")
	}
	draft, known := q.ask.Boat.Draft.Get()
	if !known {
		return q.lacks("boat", "draft_m", "the water under her keel has to be checked")
	}
	if gap, empty := f.Bed().Empty(); empty {
		return q.lacks("area "+q.ask.Area, "depth", string(gap)+", so no place can be said to be deep enough")
	}
	for _, z := range q.water.fixed {
		if z.kind == clearance.AreaEdge && z.area == q.ask.Area {
			q.add(z.zone, z.kind, z.text)
			q.box(z.edges)
		}
	}
	reachM := q.mostReachM()
	for _, z := range q.water.fixed {
		if z.kind == clearance.AreaEdge || !q.meets(z.edges, reachM+z.keepM) && !q.holds(z.zone) {
			continue
		}
		if len(q.plan.zones) == mostZones-3 { // more than any harbor has; what is left over is held together
			last := &q.plan.zones[len(q.plan.zones)-1]
			last.edges = append(last.edges[:len(last.edges):len(last.edges)], z.edges...)
			last.slabs, last.keepM = newSlabs(last.edges), max(last.keepM, z.keepM)
			continue
		}
		q.add(z.zone, z.kind, z.text)
	}
	need := draft + q.rules.KeelMargin - levels.Low
	deep := zone{edges: q.near(q.water.deeper(need), reachM), in: true, own: true}
	deep.slabs = newSlabs(q.water.deeper(need))
	q.add(deep, clearance.Shoal, "water that is too shallow at the low level, or of unknown depth")
	if l, ok := q.rode(); ok {
		// At the high level the rode has to reach from the bed to the bow, as many times as the area asks.
		ratio := geo.Metres(1)
		if q.rules.Swing.Kind == geo.ScopeRule {
			ratio = geo.Metres(q.rules.Swing.ScopeRatio)
		}
		most := l/ratio - levels.High - q.ask.Boat.BowHeight.Or(0)
		reach := zone{edges: q.water.band(most, false), in: true}
		reach.slabs = newSlabs(reach.edges)
		q.add(reach, tackleDepth, "water in which the rode is too short at the high level")
		if scope := q.rules.Swing.ScopeRatio; q.rules.Swing.Kind == geo.ScopeRule {
			// Where it is shallower, the rode is longer than the scope by which her radius is worked out.
			least := (l-swing.ScopeRounding)/geo.Metres(scope) - levels.High - q.ask.Boat.BowHeight.Or(0)
			allowed := zone{edges: q.water.band(least, true), in: true}
			allowed.slabs = newSlabs(allowed.edges)
			q.add(allowed, tackleDepth, fmt.Sprintf("water in which the rode is longer than a scope of %g allows", scope))
		}
	}
	if asked := q.rules.Swing.ScopeRatio; q.rules.Swing.Kind == geo.ScopeRule && q.ask.ScopeRatio > 0 && q.ask.ScopeRatio != asked {
		q.add(zone{in: true, slabs: newSlabs(nil)}, tackleDepth,
			fmt.Sprintf("all water: the area asks a scope of %g, no more and no less", asked))
	}
	return nil
}

func (q *Question) add(z zone, kind clearance.HazardKind, name string) {
	z.name = int32(len(q.limits))
	q.limits = append(q.limits, limitName{kind, name})
	q.plan.zones = append(q.plan.zones, z)
}

// box is that of the area.
func (q *Question) box(edges []edge) {
	q.plan.low, q.plan.high = geo.Offset{EastM: math.Inf(1), NorthM: math.Inf(1)}, geo.Offset{EastM: math.Inf(-1), NorthM: math.Inf(-1)}
	for _, g := range edges {
		q.plan.low = geo.Offset{EastM: min(q.plan.low.EastM, g.a.EastM), NorthM: min(q.plan.low.NorthM, g.a.NorthM)}
		q.plan.high = geo.Offset{EastM: max(q.plan.high.EastM, g.a.EastM), NorthM: max(q.plan.high.NorthM, g.a.NorthM)}
	}
}

// mostReachM is beyond how far from the area nothing can limit a place in it more than the area's own edge.
func (q *Question) mostReachM() float64 {
	width, height := q.plan.high.EastM-q.plan.low.EastM, q.plan.high.NorthM-q.plan.low.NorthM
	return min(width, height)/2 + 1
}

// near are the edges that come within reachM of the box.
func (q *Question) near(edges []edge, reachM float64) []edge {
	var kept []edge
	for _, g := range edges {
		if q.touches(g, reachM) {
			kept = append(kept, g)
		}
	}
	return kept
}

func (q *Question) touches(g edge, reachM float64) bool {
	return max(g.a.EastM, g.b.EastM) >= q.plan.low.EastM-reachM && min(g.a.EastM, g.b.EastM) <= q.plan.high.EastM+reachM &&
		max(g.a.NorthM, g.b.NorthM) >= q.plan.low.NorthM-reachM && min(g.a.NorthM, g.b.NorthM) <= q.plan.high.NorthM+reachM
}

func (q *Question) meets(edges []edge, reachM float64) bool {
	for _, g := range edges {
		if q.touches(g, reachM) {
			return true
		}
	}
	return false
}

// holds reports whether a zone holds the whole box.
func (q *Question) holds(z zone) bool {
	return z.slabs.inside(q.plan.low.Plus(q.plan.high).Times(0.5))
}

// discs are the swing circles of the moorings that can be reached.
func (q *Question) discs() {
	f := q.water.field
	h := f.Harbor()
	without := make(map[string]bool, len(q.ask.Without))
	for _, number := range q.ask.Without {
		without[number] = true
	}
	reachM := q.mostReachM()
	beside := q.besides()
	for i := range h.Moorings {
		m := &h.Moorings[i]
		at := f.Frame().Project(m.Position)
		r := geo.Metres(f.KeepsClearM(i))
		margin := max(q.rules.Margin, f.Rules(m).Margin)
		if q.ask.bare {
			margin = 0
		}
		if q.ask.least == m.Number {
			if least, ok := q.leastRadius(i); ok {
				r = least
			}
		}
		far := reachM + float64(r+margin)
		switch {
		case without[m.Number] || at.EastM < q.plan.low.EastM-far || at.EastM > q.plan.high.EastM+far ||
			at.NorthM < q.plan.low.NorthM-far || at.NorthM > q.plan.high.NorthM+far:
		case r <= 0: // it keeps no water
		default:
			d := disc{at: at, keepM: float64(r + margin), own: true}
			if keep, ok := beside.keep(i); ok && float64(keep) < d.keepM+beside.leastRadiusM-float64(margin) {
				d = disc{at: at, keepM: float64(keep + margin)}
			}
			q.disc(d, m.Number)
		}
	}
}

func (q *Question) disc(d disc, number string) {
	d.name = int32(len(q.limits))
	q.plan.discs = append(q.plan.discs, d)
	q.limits = append(q.limits, limitName{Mooring, number})
}

// besides is what the discs need to know of the boat that is placed.
type besides struct {
	leastRadiusM float64
	keep         func(i int) (geo.Metres, bool) // where both lie in unison
}

// besides looks at her radius over the depths of the area.
func (q *Question) besides() besides {
	shallow, deep := q.depths()
	levels := q.water.field.Harbor().Levels.Or(geo.Levels{})
	if l, ok := q.rode(); ok { // where it does not reach at the high level she is not laid
		deep = max(shallow, min(deep, l-levels.High-q.ask.Boat.BowHeight.Or(0)))
	}
	b := besides{leastRadiusM: math.Inf(1)}
	for _, depth := range []float64{float64(shallow), float64(shallow+deep) / 2, float64(deep)} {
		r := q.plan.radius.fixedM
		if q.plan.radius.byDepth != nil {
			r = q.plan.radius.byDepth(depth)
		}
		b.leastRadiusM = min(b.leastRadiusM, r)
	}
	b.keep = func(i int) (geo.Metres, bool) {
		m := geo.Mooring{Number: Untitled, Area: q.ask.Area, Status: geo.Occupied, Boat: &q.ask.Boat, Tackle: q.ask.Tackle}
		if q.ask.ScopeRatio > 0 {
			return 0, false // a rode that is cut to each place has no parts that the statics could know
		}
		return q.water.field.KeepInUnison(i, m, q.rules, []geo.Metres{shallow, (shallow + deep) / 2, deep})
	}
	return b
}

// depths are the least and the greatest depth at which she could be laid in the area, as the soundings near tell it.
func (q *Question) depths() (shallow, deep geo.Metres) {
	bed := q.water.field.Bed()
	middle := q.plan.low.Plus(q.plan.high).Times(0.5)
	lo, hi, ok := bed.DepthRange(middle, q.plan.high.Sub(q.plan.low).Length()/2)
	if !ok {
		lo, hi, _ = bed.SoundedRange()
	}
	levels := q.water.field.Harbor().Levels.Or(geo.Levels{})
	if need := q.ask.Boat.Draft.Or(0) + q.rules.KeelMargin - levels.Low; lo < need {
		lo = need
	}
	return lo, max(lo, hi)
}
