package room

import (
	"fmt"
	"slices"

	"swingroom/geo"
	"swingroom/geo/bed"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// Question is an ask made ready.
type Question struct {
	water  *Water
	ask    Ask
	rules  geo.Rules
	plan   plan
	limits []Limit // what the items' names mean; their clearances are not used
}

func (q *Question) harbor() *geo.Harbor { return q.water.field.Harbor() }

func (q *Question) frame() geo.Frame { return q.water.field.Frame() }

func (q *Question) bed() *bed.Bed { return q.water.field.Bed() }

// Mooring limits by another boat's swing circle.
const Mooring clearance.HazardKind = "mooring"

// tackleDepth limits by the length of the tackle.
const tackleDepth clearance.HazardKind = "tackle"

// Ask makes a question ready. Errors: geo.ErrNotFound for the area; geo.FieldError of geo.ErrUnknown naming what has to be known of boat,
// tackle or harbor; geo.ErrInvalid.
func (w *Water) Ask(a Ask) (*Question, error) {
	area, ok := w.field.Harbor().Area(a.Area)
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
	if err := q.addZones(); err != nil {
		return nil, err
	}
	q.addDiscs()
	return q, nil
}

// lacks is the error of something that has to be known.
func (q *Question) lacks(noun, field, want string) error {
	return &geo.FieldError{Noun: noun, Field: field, Got: "not known", Want: want, Kind: geo.ErrUnknown}
}

// addZones adds what is fixed: the area, shore, fairways and closed water that can be reached, the deep water, and where the tackle is long
// enough.
func (q *Question) addZones() error {
	need, err := q.depthNeeded()
	if err != nil {
		return err
	}
	q.addArea()
	q.addFixed()
	q.addDeepWater(need)
	if l, ok := q.rode(); ok {
		q.addRodeReach(l)
	}
	if asked := q.rules.Swing.ScopeRatio; q.rules.Swing.Kind == geo.ScopeRule && q.ask.ScopeRatio > 0 && q.ask.ScopeRatio != asked {
		q.add(zone{in: true, slabs: newSlabs(nil)}, tackleDepth,
			fmt.Sprintf("all water: the area asks a scope of %g, no more and no less", asked))
	}
	return nil
}

// depthNeeded is the depth below chart datum at which there is water enough under the keel at the low level.
func (q *Question) depthNeeded() (geo.Metres, error) {
	levels, known := q.harbor().Levels.Get()
	if !known {
		return 0, q.lacks("harbor", "levels", "the low level is needed for the water under the keel")
	}
	draft, known := q.ask.Boat.Draft.Get()
	if !known {
		return 0, q.lacks("boat", "draft_m", "the water under the keel has to be checked")
	}
	return draft + q.rules.KeelMargin - levels.Low, q.lacksDepths()
}

// addArea adds the edge of the area, whose box is that in which places are looked for.
func (q *Question) addArea() {
	for _, z := range q.water.fixed {
		if z.kind == clearance.AreaEdge && z.area == q.ask.Area {
			q.add(z.zone, z.kind, z.text)
			q.plan.box = boxOf(z.edges)
		}
	}
}

// addFixed adds shore, fairways and closed water.
func (q *Question) addFixed() {
	reachM := q.maxReachM()
	for _, z := range q.water.fixed {
		if z.kind == clearance.AreaEdge || !q.meets(z.edges, reachM+z.keepM) && !z.slabs.inside(q.plan.middle()) {
			continue
		}
		const others = 3 // the deep water and what the rode reaches are still to come
		if len(q.plan.zones) == maxZones-others {
			q.plan.zones[len(q.plan.zones)-1].join(z.zone)
		} else {
			q.add(z.zone, z.kind, z.text)
		}
	}
}

// join adds another zone's edges to a zone: more than any harbor has are held together, under the last one's name.
func (z *zone) join(other zone) {
	z.edges = append(z.edges[:len(z.edges):len(z.edges)], other.edges...)
	z.slabs, z.keepM = newSlabs(z.edges), max(z.keepM, other.keepM)
}

// addDeepWater adds the water that is deep enough.
func (q *Question) addDeepWater(need geo.Metres) {
	edges := q.water.deeper(need)
	q.add(zone{edges: q.near(edges, q.maxReachM()), slabs: newSlabs(edges), in: true, own: true}, clearance.Shoal,
		"water that is too shallow at the low level, or of unknown depth")
}

// addRodeReach adds the water in which a rode reaches, as many times as the area asks, from the bed to the bow at the high level; and by a
// scope rule also the water in which it is no longer than the scope by which the radius is worked out.
func (q *Question) addRodeReach(l geo.Metres) {
	scope := q.rules.Swing.ScopeRatio
	byScope := q.rules.Swing.Kind == geo.ScopeRule
	ratio := geo.Metres(1)
	if byScope {
		ratio = geo.Metres(scope)
	}
	q.add(q.bandZone(q.depthOfRode(l/ratio), false), tackleDepth, "water in which the rode is too short at the high level")
	if byScope {
		minDepth := q.depthOfRode((l - swing.ScopeRounding) / ratio)
		q.add(q.bandZone(minDepth, true), tackleDepth, fmt.Sprintf("water in which the rode is longer than a scope of %g allows", scope))
	}
}

// depthOfRode is the depth below chart datum at which a length reaches from the bed to the bow at the high level.
func (q *Question) depthOfRode(l geo.Metres) geo.Metres {
	return l - q.levels().High - q.ask.Boat.BowHeight.Or(0)
}

func (q *Question) add(z zone, kind clearance.HazardKind, name string) {
	z.name = q.named(kind, name)
	q.plan.zones = append(q.plan.zones, z)
}

// named keeps what an item is, and gives the number that the item gets.
func (q *Question) named(kind clearance.HazardKind, name string) int32 {
	q.limits = append(q.limits, Limit{Kind: kind, Name: name})
	return int32(len(q.limits) - 1)
}

// maxReachM is beyond how far from the area nothing can limit a place in it more than the area's own edge.
func (q *Question) maxReachM() float64 {
	size := q.plan.size()
	return min(size.EastM, size.NorthM)/2 + 1
}

// near are the edges that come within reachM of the box.
func (q *Question) near(edges []edge, reachM float64) []edge {
	var kept []edge
	for _, g := range edges {
		if q.plan.touches(g, reachM) {
			kept = append(kept, g)
		}
	}
	return kept
}

// meets reports whether any edge does.
func (q *Question) meets(edges []edge, reachM float64) bool {
	return slices.ContainsFunc(edges, func(g edge) bool { return q.plan.touches(g, reachM) })
}

// addDiscs adds the swing circles of the moorings that can be reached.
func (q *Question) addDiscs() {
	without := make(map[string]bool, len(q.ask.Without))
	for _, number := range q.ask.Without {
		without[number] = true
	}
	together := q.unison()
	moorings := q.harbor().Moorings
	for i := range moorings {
		if m := &moorings[i]; !without[m.Number] {
			if d, ok := q.discOf(i, &together); ok {
				d.name = q.named(Mooring, m.Number)
				q.plan.discs = append(q.plan.discs, d)
			}
		}
	}
}

// discOf is what a mooring takes; false where that is nothing, or where it cannot be reached.
func (q *Question) discOf(i int, together *unison) (disc, bool) {
	f := q.water.field
	at := placeOf(f, i)
	r, margin := q.keptBy(i)
	reach := q.plan.grown(q.maxReachM() + float64(r+margin))
	if r <= 0 || !reach.holds(at) {
		return disc{}, false
	}
	d := disc{at: at, keepM: float64(r + margin), own: true}
	if keep, ok := together.keep(i); ok && float64(keep) < d.keepM+together.minRadiusM-float64(margin) {
		d = disc{at: at, keepM: float64(keep + margin)}
	}
	return d, true
}

// placeOf is where the anchor of Harbor().Moorings[i] lies on the plane.
func placeOf(f *clearance.Field, i int) geo.Offset {
	return f.Frame().Project(f.Harbor().Moorings[i].Position)
}

// keptBy is the radius of the water that a mooring keeps, and the margin to it.
func (q *Question) keptBy(i int) (r, margin geo.Metres) {
	f := q.water.field
	m := &f.Harbor().Moorings[i]
	r = geo.Metres(f.KeepsClearM(i))
	if q.ask.shortest == m.Number {
		if shortest, ok := q.shortestRadius(i); ok {
			r = shortest
		}
	}
	if q.ask.bare {
		return r, 0
	}
	return r, max(q.rules.Margin, f.Rules(m).Margin)
}

// unison is what the boat that is placed keeps from moorings that lie to the same wind and stream.
type unison struct {
	q             *Question
	minRadiusM    float64
	shallow, deep geo.Metres // between which the boat may lie
}

// unison looks at the boat's radius over the depths of the area.
func (q *Question) unison() unison {
	shallow, deep := q.depths()
	if l, ok := q.rode(); ok { // where it does not reach at the high level the boat is not laid
		deep = max(shallow, min(deep, q.depthOfRode(l)))
	}
	u := unison{q: q, shallow: shallow, deep: deep}
	u.minRadiusM = q.plan.radius.atDepth(float64(shallow))
	for _, depth := range []float64{float64(shallow+deep) / 2, float64(deep)} {
		u.minRadiusM = min(u.minRadiusM, q.plan.radius.atDepth(depth))
	}
	return u
}

// keep is how far the anchor keeps from that of Harbor().Moorings[i] where both lie in unison.
func (u *unison) keep(i int) (geo.Metres, bool) {
	if u.q.ask.ScopeRatio > 0 {
		return 0, false // a rode that is cut to each place has no parts that the statics could know
	}
	m := u.q.untitled()
	m.StatedRadius = geo.Maybe[geo.Metres]{}
	return u.q.water.field.KeepInUnison(i, m, u.q.rules, []geo.Metres{u.shallow, (u.shallow + u.deep) / 2, u.deep})
}

// depths are the least and the greatest depth at which the boat could be laid in the area, as the soundings near tell it.
func (q *Question) depths() (shallow, deep geo.Metres) {
	bed := q.bed()
	lo, hi, ok := bed.DepthRange(q.plan.middle(), q.plan.size().Length()/2)
	if !ok {
		lo, hi, _ = bed.SoundedRange()
	}
	lo = max(lo, q.ask.Boat.Draft.Or(0)+q.rules.KeelMargin-q.levels().Low)
	return lo, max(lo, hi)
}
