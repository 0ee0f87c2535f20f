package room

import (
	"context"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// NearMiss is a place at which the boat does not fit, but nearly.
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

// NearMisses gives the places at which the boat fails by least, and what would free them; and then the places that one change to a
// neighbour, or a smaller margin, would free. It is for when nothing fits. Stopped, it gives those that it has with ctx.Err().
func (q *Question) NearMisses(ctx context.Context, count int, spacing geo.Metres) ([]NearMiss, error) {
	misses := []NearMiss{}
	inTheWay := []string{}
	for _, s := range q.places(ctx, count, spacing) {
		if s.ClearanceM >= 0 {
			continue
		}
		m := q.miss(s)
		inTheWay = m.addMoorings(inTheWay)
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

// neighboursTried is for how many neighbours that are in the way it is tried what a change to them would free. Each takes two
// searches, and those nearest to the best places come first.
const neighboursTried = 10

// miss is a place with what is missing there.
func (q *Question) miss(s Spot) NearMiss {
	m := NearMiss{Spot: s, Short: []Limit{}, Freeing: []PlaceRemedy{}}
	for _, l := range s.Limits {
		if l.ClearanceM < 0 {
			m.Short = append(m.Short, l)
		}
	}
	return m
}

// addMoorings adds the moorings that are too near, each once.
func (m *NearMiss) addMoorings(numbers []string) []string {
	for _, l := range m.Short {
		if l.Kind == Mooring && !slices.Contains(numbers, l.Name) {
			numbers = append(numbers, l.Name)
		}
	}
	return numbers
}

func (m *NearMiss) add(r PlaceRemedy, ok bool) {
	if ok {
		m.Freeing = append(m.Freeing, r)
	}
}

// freed reports a miss that something would free.
func (m *NearMiss) freed() bool { return len(m.Freeing) > 0 && m.ClearanceM < 0 }

// short is by how much the boat fails, with what a search may be out by.
func (m *NearMiss) short() geo.Metres { return geo.Metres(Close - m.ClearanceM) }

// byMargin looks for a place where only the margins are in the way.
func (q *Question) byMargin(ctx context.Context) (NearMiss, bool) {
	bare, ok := q.with(func(a *Ask) { a.bare = true })
	if !ok || q.rules.Margin <= 0 {
		return NearMiss{}, false
	}
	return q.freedAt(bare.places(ctx, 1, 0), func(m *NearMiss, s *Spot) (PlaceRemedy, bool) {
		return q.smallerMargin(m, geo.Metres(s.ClearanceM))
	})
}

// freedAt is the first place of another search that has room there, and is freed for this question by a remedy.
func (q *Question) freedAt(places []Spot, remedy func(*NearMiss, *Spot) (PlaceRemedy, bool)) (NearMiss, bool) {
	for i := range places {
		s := &places[i]
		if s.ClearanceM < 0 {
			continue
		}
		m := q.miss(q.spot(s.at))
		if m.add(remedy(&m, s)); m.freed() {
			return m, true
		}
	}
	return NearMiss{}, false
}

// byNeighbour looks for a place that one neighbour keeps from the boat: first with that one on the shortest rode that is proposed, and then
// with that boat away.
func (q *Question) byNeighbour(ctx context.Context, number string) (NearMiss, bool) {
	for _, try := range []struct {
		change func(*Ask)
		remedy func(*NearMiss, string) (PlaceRemedy, bool)
	}{
		{func(a *Ask) { a.shortest = number }, q.neighbourRode},
		{func(a *Ask) { a.Without = append(slices.Clone(a.Without), number) }, q.neighbourMoved},
	} {
		free, ok := q.with(try.change)
		if !ok {
			continue
		}
		m, ok := q.freedAt(free.places(ctx, 1, 0), func(m *NearMiss, _ *Spot) (PlaceRemedy, bool) { return try.remedy(m, number) })
		if ok {
			return m, true
		}
	}
	return NearMiss{}, false
}

// with asks the same of another boat or tackle.
func (q *Question) with(change func(*Ask)) (*Question, bool) {
	a := q.ask
	change(&a)
	other, err := q.water.Ask(a)
	return other, err == nil
}

// smallerMargin keeps the boat and its neighbours from touching, but by less than the area asks.
func (q *Question) smallerMargin(m *NearMiss, margin geo.Metres) (PlaceRemedy, bool) {
	fit := q.check(m.at)
	fit.Verdicts = slices.DeleteFunc(fit.Verdicts, func(v clearance.Verdict) bool {
		return v.Constraint == clearance.ByNeighbour && v.Fits.IsKnown() && v.Has.Or(-1) >= float64(margin)-Close
	})
	return PlaceRemedy{Kind: SmallerMargin, Length: geo.Known(margin),
		Words: geo.WordsOf(say("a margin of %s to the neighbours, in place of %s", inUnits(margin), inUnits(q.rules.Margin)))}, fit.Passes()
}

// ownRode shortens the boat's own rode.
func (q *Question) ownRode(m *NearMiss) (PlaceRemedy, bool) {
	l0, ok := q.rode()
	depth, known := m.Depth.Get()
	if !ok || !known || q.ask.Radius.IsKnown() {
		return PlaceRemedy{}, false
	}
	on := func(l geo.Metres) *Question {
		other := *q
		other.ask.Tackle = shortened(q.ask.Tackle, l0-l)
		return &other
	}
	l, ok := q.shorter(l0, m.Radius.Or(0)-m.short(), depth, func(l geo.Metres) geo.Maybe[geo.Metres] { return on(l).swingAt(depth).Radius })
	if !ok {
		return PlaceRemedy{}, false
	}
	fit := on(l).check(m.at)
	return PlaceRemedy{Kind: OwnRode, Length: geo.Known(l),
		Words: geo.WordsOf(say("its own rode %s long, in place of %s", inUnits(l), inUnits(l0)))}, fit.Passes()
}

// shorter finds the longest rode, to the decimetre below, with which a radius is no more than a limit and which is still at least
// [shortestRode].
func (q *Question) shorter(length, limit, depth geo.Metres, radiusOf func(geo.Metres) geo.Maybe[geo.Metres]) (geo.Metres, bool) {
	lo := shortestRode(q.water.field, depth)
	fits := func(l geo.Metres) bool {
		r, known := radiusOf(l).Get()
		return known && r <= limit
	}
	if lo >= length || !fits(lo) {
		return 0, false
	}
	return longest(lo, length, fits), true
}

// shorterBoat tells how long a boat would fit there.
func (q *Question) shorterBoat(m *NearMiss) (PlaceRemedy, bool) {
	const minLength = 2 // metres: a tender, which nobody lays a mooring for
	length, _ := q.ask.Boat.SwingLength()
	l := length.Or(0) - m.short()
	if l < minLength || q.ask.Radius.IsKnown() {
		return PlaceRemedy{}, false
	}
	other := *q
	other.ask.Boat.LOA, other.ask.Boat.LengthAll = geo.Known(l), geo.Maybe[geo.Metres]{}
	fit := other.check(m.at)
	return PlaceRemedy{Kind: ShorterBoat, Length: geo.Known(l), Words: geo.WordsOf(
		say("a boat of no more than %s, bowsprit and davits included, on the same tackle", inUnits(l)))}, fit.Passes()
}

// shortestRadius is that of a mooring on the shortest rode that is proposed; false where that is not shorter, or not known.
func (q *Question) shortestRadius(i int) (geo.Metres, bool) {
	in := q.water.field.Input(i)
	r, ok := rodeOf(q.water.field, in.Mooring, in.Depth)
	if !ok || r.shortest >= r.length {
		return 0, false
	}
	return r.radiusOn(in, r.shortest).Get()
}

// neighbourRode shortens the rode of the one neighbour that is in the way.
func (q *Question) neighbourRode(m *NearMiss, number string) (PlaceRemedy, bool) {
	f := q.water.field
	i, onFile := f.Index(number)
	if !onFile {
		return PlaceRemedy{}, false
	}
	in := f.Input(i)
	r, ok := rodeOf(f, in.Mooring, in.Depth)
	if !ok {
		return PlaceRemedy{}, false
	}
	l, ok := q.shorter(r.length, f.Swing(i).Radius.Or(0)-m.short(), r.depth,
		func(l geo.Metres) geo.Maybe[geo.Metres] { return r.radiusOn(in, l) })
	if !ok {
		return PlaceRemedy{}, false
	}
	g, err := f.With(r.on(l))
	if err != nil {
		return PlaceRemedy{}, false
	}
	words := geo.WordsOf(say("the rode of %s %s long, in place of %s", number, inUnits(l), inUnits(r.length)))
	return PlaceRemedy{Kind: NeighbourRode, Mooring: number, Length: geo.Known(l), Words: words}, q.fitsIn(g, m)
}

// neighbourMoved moves the boat that is in the way to a vacant mooring on which it fits.
func (q *Question) neighbourMoved(m *NearMiss, number string) (PlaceRemedy, bool) {
	f := q.water.field
	i, ok := f.Index(number)
	if !ok || f.Harbor().Moorings[i].Boat == nil {
		return PlaceRemedy{}, false
	}
	boat := f.Harbor().Moorings[i].Boat
	g, err := f.With(emptied(f.Harbor().Moorings[i]))
	if err != nil || !q.fitsIn(g, m) {
		return PlaceRemedy{}, false // it would not free the place
	}
	for _, vacant := range f.Harbor().Moorings {
		if vacant.Status == geo.Vacant && allowed(f, &vacant, boat) && q.fitsBeside(g, m, on(&vacant, boat)) {
			words := geo.WordsOf(say("the boat of %s moved to the vacant mooring %s, where it fits", number, vacant.Number))
			return PlaceRemedy{Kind: NeighbourMoved, Mooring: number, To: vacant.Number, Words: words}, true
		}
	}
	return PlaceRemedy{}, false
}

// fitsIn reports whether the boat passes by the water at a place of another field: what is not on record of the tackle that would be laid
// is told, and not held against the place.
func (q *Question) fitsIn(f *clearance.Field, m *NearMiss) bool {
	fit := f.FitBy(q.mooring(m.at), q.rules)
	return fit.Passes()
}

// fitsBeside reports whether another boat fits on its mooring, and this one then at the place.
func (q *Question) fitsBeside(f *clearance.Field, m *NearMiss, other geo.Mooring) bool {
	if f.Outcome(other, f.Rules(&other)) != clearance.Fits {
		return false
	}
	both, err := f.With(other)
	return err == nil && q.fitsIn(both, m)
}

// emptied is a mooring after its boat has gone for good, with what was set for that boat.
func emptied(m geo.Mooring) geo.Mooring {
	m = left(m)
	m.LargestLOA, m.LargestDraft, m.StatedRadius = geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}
	return m
}

// left is a mooring after its boat has gone.
func left(m geo.Mooring) geo.Mooring {
	m.Boat, m.Status = nil, geo.Vacant
	return m
}

// on is a mooring with a boat on it.
func on(m *geo.Mooring, b *geo.Boat) geo.Mooring {
	with := *m
	with.Boat, with.Status = b, geo.Occupied
	return with
}

// allowed reports whether a boat is no longer and no deeper than what is set for a place and its area, and no shorter.
func allowed(f *clearance.Field, m *geo.Mooring, b *geo.Boat) bool {
	length, _ := b.SwingLength()
	rules := f.Rules(m)
	if smallest, known := m.SmallestLOA.Get(); known && length.Or(0) < smallest {
		return false
	}
	return keepsTo(m.LargestLOA, length) && keepsTo(rules.LargestLOA, length) &&
		keepsTo(m.LargestDraft, b.Draft) && keepsTo(rules.LargestDraft, b.Draft)
}

// keepsTo reports whether a figure is known to be no more than a limit, where there is one.
func keepsTo(limit, figure geo.Maybe[geo.Metres]) bool {
	most, known := limit.Get()
	return !known || figure.Or(most+1) <= most
}
