package room

import (
	"context"
	"math"
	"slices"
	"sync"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Lengths are the longest boats of the moorings of a field, each worked out when it is first asked for. Any number of goroutines may ask at
// once.
type Lengths struct {
	field *clearance.Field
	each  []*length // in the order of Harbor().Moorings
}

// length is one of them.
type length struct {
	once    sync.Once
	lengthM float64
	done    chan struct{} // closed when it is known
}

// NewLengths has worked nothing out yet.
func NewLengths(f *clearance.Field) *Lengths {
	l := &Lengths{field: f, each: make([]*length, len(f.Harbor().Moorings))}
	for i := range l.each {
		l.each[i] = &length{done: make(chan struct{})}
	}
	return l
}

// At is the longest boat of Harbor().Moorings[i] in metres, as [Largest].
func (l *Lengths) At(i int) float64 {
	x := l.each[i]
	x.once.Do(func() {
		x.lengthM = Largest(l.field, &l.field.Harbor().Moorings[i])
		close(x.done)
	})
	return x.lengthM
}

// All is the longest boat of each mooring. Stopped, it leaves 0 where it has not been, and tells ctx.Err().
func (l *Lengths) All(ctx context.Context, report Progress) ([]float64, error) {
	p := &progress{report: report, total: len(l.each)}
	all := make([]float64, len(l.each))
	onAllCores(len(all), func(i int) {
		if ctx.Err() == nil {
			all[i] = l.At(i)
		}
		p.did(ctx, 1)
	})
	return all, ended(ctx)
}

// Next are the lengths of a field that has come from this one's by a change: what has been worked out is kept where the change cannot
// reach.
func (l *Lengths) Next(f *clearance.Field) *Lengths {
	next := NewLengths(f)
	changed, alike := l.field.Changed(f.Harbor())
	if !alike || len(f.Harbor().Moorings) != len(l.each) {
		return next
	}
	for i := range l.each { // what bounds the others may have changed with them
		if l.field.KeepsClearM(i) != f.KeepsClearM(i) && !slices.Contains(changed, i) {
			changed = append(changed, i)
		}
	}
	for i, x := range l.each {
		if x.known() && !l.reached(f, i, changed) {
			next.each[i] = x
		}
	}
	return next
}

// known reports whether the length has been worked out; not while somebody is at it.
func (x *length) known() bool {
	select {
	case <-x.done:
		return true
	default:
		return false
	}
}

// reached reports whether a change of some moorings may bear on the longest boat of mooring i: whether a boat of the greatest length that
// is tried there comes as near to one of them, as it was or as it is, as their margins.
func (l *Lengths) reached(f *clearance.Field, i int, changed []int) bool {
	if len(changed) == 0 {
		return false
	}
	m := &f.Harbor().Moorings[i]
	reachM := farthestReachM(f, m)
	return slices.ContainsFunc(changed, func(c int) bool {
		return c == i || meets(f, m, reachM, l.field, c) || meets(f, m, reachM, f, c)
	})
}

// farthestReachM is how far from its anchor the longest boat that is tried on a mooring can lie; infinite where that is not known.
func farthestReachM(f *clearance.Field, m *geo.Mooring) float64 {
	longest := maxTried(f, m)
	reachM := clearance.ReachOf(f, on(m, tried(m, longest))).Or(math.Inf(1))
	// where a longer boat's bow is higher, a shorter one may lie a little farther off, but never farther than stretched
	if rode, missing := m.Tackle.RodeLength(); missing == "" {
		reachM = max(reachM, float64(rode.Or(0)+longest))
	}
	return reachM
}

// meets reports whether a boat within reachM of a mooring may come as near as the margin to Harbor().Moorings[c] of a field.
func meets(f *clearance.Field, m *geo.Mooring, reachM float64, g *clearance.Field, c int) bool {
	other := &g.Harbor().Moorings[c]
	margin := max(f.Rules(m).Margin, g.Rules(other).Margin)
	gapM := float64(geo.Distance(m.Position, other.Position)) - reachM - g.KeepsClearM(c) - float64(margin)
	return !(gapM > 0)
}

// Largest is the longest boat, in metres with everything fixed to it, that a mooring can take on its tackle: its draft and bow height as
// of the boat on it, or a tenth of its length each; by the full check, to 5 cm. Common practice, no source, for the tenth. 0 where not even
// a boat of 3 m fits.
func Largest(f *clearance.Field, m *geo.Mooring) float64 {
	return largest(f, m, func(b *geo.Boat) geo.Mooring { return on(m, b) })
}

// Lengths between which is looked: from that of a dinghy to that of a boat for which a mooring is designed on its own.
const (
	minTried     geo.Metres = 3
	longestTried geo.Metres = 40
)

// maxTried is the greatest length that is tried on a mooring.
func maxTried(f *clearance.Field, m *geo.Mooring) geo.Metres {
	return min(longestTried, m.LargestLOA.Or(longestTried), f.Rules(m).LargestLOA.Or(longestTried))
}

// tried is the boat of a length that is tried on a mooring.
func tried(m *geo.Mooring, loa geo.Metres) *geo.Boat {
	boat := geo.Boat{LOA: geo.Known(loa), Beam: geo.Known(loa / 3), Draft: geo.Known(min(loa/10, m.LargestDraft.Or(loa/10))),
		BowHeight: geo.Known(loa / 10)}
	if m.Boat != nil {
		boat.Kind = m.Boat.Kind
		boat.Draft, boat.BowHeight = geo.Known(m.Boat.Draft.Or(loa/10)), geo.Known(m.Boat.BowHeight.Or(loa/10))
	}
	return &boat
}

// largest is the longest boat that fits with the mooring that on makes for it.
func largest(f *clearance.Field, m *geo.Mooring, on func(b *geo.Boat) geo.Mooring) float64 {
	most := maxTried(f, m)
	fits := func(l geo.Metres) bool { return f.FitWater(on(tried(m, l))) == clearance.Fits }
	switch {
	case !fits(minTried):
		return 0
	case fits(most):
		return float64(most)
	}
	return float64(longest(minTried, most, fits))
}
