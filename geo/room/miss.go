package room

import (
	"context"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// NearMiss is a place at which she does not fit, but nearly.
type NearMiss struct {
	Spot
	Short   []Limit       `json:"short"`   // what is missing, the most first
	Freeing []PlaceRemedy `json:"freeing"` // what would free the place, each proved by the full check
}

// PlaceRemedyKind is a way to free a place.
type PlaceRemedyKind string

// The ways to free a place, by effort.
const (
	SmallerMargin  PlaceRemedyKind = "smaller_margin"
	OwnRode        PlaceRemedyKind = "own_rode"
	ShorterBoat    PlaceRemedyKind = "shorter_boat"
	NeighbourRode  PlaceRemedyKind = "neighbour_rode"
	NeighbourMoved PlaceRemedyKind = "neighbour_moved"
)

// PlaceRemedy is one way to free a place. Every one has passed the full check of everything that it changes.
type PlaceRemedy struct {
	Kind    PlaceRemedyKind       `json:"kind"`
	Mooring string                `json:"mooring"` // whose rode is shortened or whose boat is moved; empty for the boat that is placed
	To      string                `json:"to"`      // the vacant mooring to which that boat goes
	Length  geo.Maybe[geo.Metres] `json:"length_m"`
	Words   geo.Words             `json:"words"`
}

// leastScope is the shortest rode that is proposed, over the water's depth at the high level: the least of a town's chain rule (Falmouth
// MA, s.269-5 B: twice the depth at mean high tide).
const leastScope = 2.0

// NearMisses gives the places at which she fails by least, and what would free them; and then the places that one change to a neighbour, or
// a smaller margin, would free. It is for when nothing fits. Stopped, it gives those that it has with ctx.Err().
func (q *Question) NearMisses(ctx context.Context, count int, apart geo.Metres) ([]NearMiss, error) {
	misses := []NearMiss{}
	inTheWay := []string{}
	for _, s := range q.places(ctx, count, apart) {
		if s.ClearanceM >= 0 {
			continue
		}
		m := q.miss(s)
		for _, l := range m.Short {
			if l.Kind == Mooring && !slices.Contains(inTheWay, l.Name) {
				inTheWay = append(inTheWay, l.Name)
			}
		}
		m.add(q.ownRode(&m))
		m.add(q.shorterBoat(&m))
		misses = append(misses, m)
	}
	if m, ok := q.byMargin(ctx); ok {
		misses = append(misses, m)
	}
	for _, number := range inTheWay[:min(len(inTheWay), neighboursTried)] {
		if m, ok := q.byNeighbour(ctx, number); ok {
			misses = append(misses, m)
		}
	}
	return misses, ended(ctx)
}

// neighboursTried is for how many neighbours that are in the way it is tried what a change to them would free.
const neighboursTried = 10

func (q *Question) miss(s Spot) NearMiss {
	m := NearMiss{Spot: s, Short: []Limit{}, Freeing: []PlaceRemedy{}}
	for _, l := range s.Limits {
		if l.ClearanceM < 0 {
			m.Short = append(m.Short, l)
		}
	}
	return m
}

func (m *NearMiss) add(r PlaceRemedy, ok bool) {
	if ok {
		m.Freeing = append(m.Freeing, r)
	}
}

// short is by how much she fails, with what a search may be out by.
func (m *NearMiss) short() geo.Metres { return geo.Metres(Close - m.ClearanceM) }

// byMargin looks for a place where only the margins are in the way.
func (q *Question) byMargin(ctx context.Context) (NearMiss, bool) {
	bare, ok := q.with(func(a *Ask) { a.bare = true })
	if !ok || q.rules.Margin <= 0 {
		return NearMiss{}, false
	}
	for _, s := range bare.places(ctx, 1, 0) {
		if s.ClearanceM >= 0 {
			m := q.miss(q.spot(s.at))
			m.add(q.smallerMargin(&m, geo.Metres(s.ClearanceM)))
			return m, len(m.Freeing) > 0 && m.ClearanceM < 0
		}
	}
	return NearMiss{}, false
}

// byNeighbour looks for a place that one neighbour keeps from her: first with that one on the shortest rode that is proposed, and then with
// that boat away.
func (q *Question) byNeighbour(ctx context.Context, number string) (NearMiss, bool) {
	for _, try := range []struct {
		change func(*Ask)
		remedy func(*NearMiss, string) (PlaceRemedy, bool)
	}{
		{func(a *Ask) { a.least = number }, q.neighbourRode},
		{func(a *Ask) { a.Without = append(slices.Clone(a.Without), number) }, q.neighbourMoved},
	} {
		free, ok := q.with(try.change)
		if !ok {
			continue
		}
		for _, s := range free.places(ctx, 1, 0) {
			if s.ClearanceM < 0 {
				continue
			}
			m := q.miss(q.spot(s.at))
			if m.add(try.remedy(&m, number)); len(m.Freeing) > 0 && m.ClearanceM < 0 {
				return m, true
			}
		}
	}
	return NearMiss{}, false
}

// leastRadius is that of a mooring on the shortest rode that is proposed.
func (q *Question) leastRadius(i int) (geo.Metres, bool) {
	f := q.water.field
	in := f.Input(i)
	changed := *in.Mooring
	length, _ := changed.Tackle.RodeLength()
	depth, known := in.Depth.Get()
	l, lengthKnown := length.Get()
	least := geo.Metres(leastScope) * max(0, depth+f.Harbor().Levels.Or(geo.Levels{}).High)
	if !known || !lengthKnown || least >= l || changed.StatedRadius.IsKnown() {
		return 0, false
	}
	changed.Tackle = shortened(changed.Tackle, l-least)
	in.Mooring = &changed
	return swing.Radius(in).Radius.Get()
}

// clean reports whether a boat passes by the water: what is not on record of the tackle that would be laid is told, and not held against
// the place.
func clean(fit clearance.Fit) bool { return fit.Passes() }

// smallerMargin keeps the boat and its neighbours apart, but by less than the area asks.
func (q *Question) smallerMargin(m *NearMiss, margin geo.Metres) (PlaceRemedy, bool) {
	fit := q.check(m.at)
	fit.Verdicts = slices.DeleteFunc(fit.Verdicts, func(v clearance.Verdict) bool {
		return v.Constraint == clearance.ByNeighbour && v.Fits.IsKnown() && v.Has.Or(-1) >= float64(margin)-Close
	})
	return PlaceRemedy{Kind: SmallerMargin, Length: geo.Known(margin),
		Words: geo.WordsOf(say("a margin of %s to the neighbours, in place of %s", inUnits(margin), inUnits(q.rules.Margin)))}, clean(fit)
}

// with asks the same of another boat or tackle.
func (q *Question) with(change func(*Ask)) (*Question, bool) {
	a := q.ask
	change(&a)
	other, err := q.water.Ask(a)
	return other, err == nil
}

// ownRode shortens her own rode.
func (q *Question) ownRode(m *NearMiss) (PlaceRemedy, bool) {
	l0, ok := q.rode()
	depth, known := m.Depth.Get()
	if !ok || !known || q.ask.Radius.IsKnown() {
		return PlaceRemedy{}, false
	}
	l, ok := q.shorter(l0, m.Radius.Or(0)-m.short(), depth, func(l geo.Metres) geo.Maybe[geo.Metres] {
		other := *q
		other.ask.Tackle = shortened(q.ask.Tackle, l0-l)
		return other.swingAt(depth).Radius
	})
	if !ok {
		return PlaceRemedy{}, false
	}
	other := *q
	other.ask.Tackle = shortened(q.ask.Tackle, l0-l)
	return PlaceRemedy{Kind: OwnRode, Length: geo.Known(l),
		Words: geo.WordsOf(say("its own rode %s long, in place of %s", inUnits(l), inUnits(l0)))}, clean(other.check(m.at))
}

// shorter finds the longest rode, to the decimetre below, with which a radius is no more than wanted and which is still at least leastScope
// of the water's depth at the high level.
func (q *Question) shorter(length, wanted, depth geo.Metres, radiusOf func(geo.Metres) geo.Maybe[geo.Metres]) (geo.Metres, bool) {
	high := q.water.field.Harbor().Levels.Or(geo.Levels{}).High
	lo, hi := geo.Metres(leastScope)*max(0, depth+high), length
	fits := func(l geo.Metres) bool {
		r, known := radiusOf(l).Get()
		return known && r <= wanted
	}
	if lo >= hi || !fits(lo) {
		return 0, false
	}
	return longest(lo, hi, fits), true
}

// longest halves in, to 5 cm, on the longest length that fits; lo fits, and hi does not.
func longest(lo, hi geo.Metres, fits func(geo.Metres) bool) geo.Metres {
	for hi-lo > 0.05 {
		if middle := (lo + hi) / 2; fits(middle) {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo
}

// shortened takes a length off a tackle: off its longest part.
func shortened(t geo.Tackle, by geo.Metres) geo.Tackle {
	t = slices.Clone(t)
	longest := -1
	for i, p := range t {
		if p.Kind.OfRode() && p.Length.IsKnown() && (longest < 0 || p.Length.Or(0) > t[longest].Length.Or(0)) {
			longest = i
		}
	}
	if longest >= 0 {
		t[longest].Length = geo.Known(max(0, t[longest].Length.Or(0)-by))
	}
	return t
}

// shorterBoat tells how long a boat would fit there.
func (q *Question) shorterBoat(m *NearMiss) (PlaceRemedy, bool) {
	hers, _ := q.ask.Boat.SwingLength()
	l := hers.Or(0) - m.short()
	if l < 2 || q.ask.Radius.IsKnown() {
		return PlaceRemedy{}, false
	}
	other := *q
	other.ask.Boat.LOA, other.ask.Boat.LengthAll = geo.Known(l), geo.Maybe[geo.Metres]{}
	return PlaceRemedy{Kind: ShorterBoat, Length: geo.Known(l),
			Words: geo.WordsOf(say("a boat of no more than %s, bowsprit and davits included, on the same tackle", inUnits(l)))},
		clean(other.check(m.at))
}

// neighbourRode shortens the rode of the one neighbour that is in the way.
func (q *Question) neighbourRode(m *NearMiss, number string) (PlaceRemedy, bool) {
	f := q.water.field
	i, ok := f.Index(number)
	if !ok {
		return PlaceRemedy{}, false
	}
	other := f.Harbor().Moorings[i]
	rode, _ := other.Tackle.RodeLength()
	depth, known := f.Depth(i).DepthM.Get()
	l0, lengthKnown := rode.Get()
	if !known || !lengthKnown || other.StatedRadius.IsKnown() {
		return PlaceRemedy{}, false
	}
	in := f.Input(i)
	l, ok := q.shorter(l0, f.Swing(i).Radius.Or(0)-m.short(), depth, func(l geo.Metres) geo.Maybe[geo.Metres] {
		changed := other
		changed.Tackle = shortened(other.Tackle, l0-l)
		in.Mooring = &changed
		return swing.Radius(in).Radius
	})
	if !ok {
		return PlaceRemedy{}, false
	}
	changed := other
	changed.Tackle = shortened(other.Tackle, l0-l)
	g, err := f.With(changed)
	if err != nil {
		return PlaceRemedy{}, false
	}
	words := geo.WordsOf(say("the rode of %s %s long, in place of %s", number, inUnits(l), inUnits(l0)))
	return PlaceRemedy{Kind: NeighbourRode, Mooring: number, Length: geo.Known(l), Words: words}, clean(g.FitBy(q.mooring(m.at), q.rules))
}

// neighbourMoved moves the boat that is in the way to a vacant mooring on which she fits.
func (q *Question) neighbourMoved(m *NearMiss, number string) (PlaceRemedy, bool) {
	f := q.water.field
	i, ok := f.Index(number)
	if !ok || f.Harbor().Moorings[i].Boat == nil {
		return PlaceRemedy{}, false
	}
	away := f.Harbor().Moorings[i]
	boat := away.Boat
	away.Boat, away.Status, away.LargestLOA, away.LargestDraft, away.StatedRadius = nil, geo.Vacant, geo.Maybe[geo.Metres]{},
		geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}
	g, err := f.With(away)
	if err != nil {
		return PlaceRemedy{}, false
	}
	if !clean(g.FitBy(q.mooring(m.at), q.rules)) {
		return PlaceRemedy{}, false // it would not free the place
	}
	for _, vacant := range f.Harbor().Moorings {
		if vacant.Status != geo.Vacant || !allowed(f, &vacant, boat) {
			continue
		}
		vacant.Boat, vacant.Status = boat, geo.Occupied
		if g.Outcome(vacant, g.Rules(&vacant)) != clearance.Fits {
			continue
		}
		both, err := g.With(vacant)
		if err != nil {
			continue
		}
		if clean(both.FitBy(q.mooring(m.at), q.rules)) {
			words := geo.WordsOf(say("the boat of %s moved to the vacant mooring %s, where it fits", number, vacant.Number))
			return PlaceRemedy{Kind: NeighbourMoved, Mooring: number, To: vacant.Number, Words: words}, true
		}
	}
	return PlaceRemedy{}, false
}

// allowed reports whether a boat is no longer and no deeper than what is set for a place and its area.
func allowed(f *clearance.Field, m *geo.Mooring, b *geo.Boat) bool {
	length, _ := b.SwingLength()
	rules := f.Rules(m)
	if least, known := m.SmallestLOA.Get(); known && length.Or(0) < least {
		return false
	}
	for _, x := range []struct{ limit, got geo.Maybe[geo.Metres] }{{m.LargestLOA, length}, {rules.LargestLOA, length},
		{m.LargestDraft, b.Draft}, {rules.LargestDraft, b.Draft}} {
		if limit, known := x.limit.Get(); known && x.got.Or(limit+1) > limit {
			return false
		}
	}
	return true
}
