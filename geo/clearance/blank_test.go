package clearance_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"

	"swingroom/fixtures/random"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// blanks gives a mooring with one field of its record taken away, one after another, by name.
//
// Not among them are settings (a stated radius, the limits of a place, an area's rules), for which a looser one is a decision and no
// missing fact; the length with bowsprit and davits, which is on record only where it is more than the length overall; and a card's depth,
// a second measurement beside the soundings.
func blanks(m geo.Mooring) map[string]geo.Mooring {
	all := map[string]geo.Mooring{}
	boat := func(name string, take func(*geo.Boat)) {
		if m.Boat == nil {
			return
		}
		with, b := m, *m.Boat
		take(&b)
		with.Boat = &b
		all["boat."+name] = with
	}
	unknown := geo.Maybe[geo.Metres]{}
	boat("loa_m", func(b *geo.Boat) { b.LOA = unknown })
	boat("beam_m", func(b *geo.Boat) { b.Beam = unknown })
	boat("draft_m", func(b *geo.Boat) { b.Draft = unknown })
	boat("bow_height_m", func(b *geo.Boat) { b.BowHeight = unknown })
	boat("kind", func(b *geo.Boat) { b.Kind = "" })
	boat("all", func(b *geo.Boat) { *b = geo.Boat{} })
	if m.Status == geo.Occupied {
		with := m
		with.Boat = nil
		all["boat"] = with
	}
	for i := range m.Tackle {
		part := func(name string, take func(*geo.Part)) {
			with := m
			with.Tackle = slices.Clone(m.Tackle)
			take(&with.Tackle[i])
			all[fmt.Sprintf("%s.%s", m.Tackle[i].Kind, name)] = with
		}
		part("length", func(p *geo.Part) { p.Length = unknown })
		part("size", func(p *geo.Part) { p.Size = unknown })
		part("material", func(p *geo.Part) { p.Material = "" })
		part("weight", func(p *geo.Part) { p.Weight = geo.Maybe[geo.Kilograms]{} })
		part("left", func(p *geo.Part) { p.LeftRatio = geo.Maybe[float64]{} })
	}
	for name, take := range map[string]func(*geo.Mooring){
		"tackle": func(m *geo.Mooring) {
			m.Tackle = nil
		}, "area": func(m *geo.Mooring) { m.Area = "" }, "accuracy_m": func(m *geo.Mooring) { m.Accuracy = unknown },
		"permit_expires": func(m *geo.Mooring) { m.Permit.Expires = "" },
	} {
		with := m
		take(&with)
		all[name] = with
	}
	return all
}

// seeds is how many random harbors a property is held against.
func seeds(t testing.TB, all int) int {
	t.Helper()
	if testing.Short() {
		return all / 80
	}
	return all
}

// Taking a fact away never turns a no, or what cannot be said, into a yes: not of the boat's own record, and not of a neighbour's.
func TestTakingAFactAwayNeverMakesAnAnswerBetter(t *testing.T) {
	var yes, not, cases atomic.Int64
	t.Run("harbors", func(t *testing.T) {
		const parts = 4
		for part := range parts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				for seed := part; seed < seeds(t, 400); seed += parts {
					blankEach(t, uint64(seed), &yes, &not, &cases)
				}
			})
		}
	})
	if yes.Load() < cases.Load()/500 || not.Load() < cases.Load()/500 {
		t.Errorf("%d boats fit and %d do not, in %d cases: the harbors are too easy", yes.Load(), not.Load(), cases.Load())
	}
	t.Logf("%d boats fit, %d do not, %d facts taken away", yes.Load(), not.Load(), cases.Load())
}

// blankEach takes every fact of one random harbor away in turn.
func blankEach(t *testing.T, seed uint64, yes, not, cases *atomic.Int64) {
	h := random.Harbor(rand.New(rand.NewPCG(seed, 13)))
	f := field(t, h)
	before := make([]clearance.Outcome, len(h.Moorings))
	for i, m := range h.Moorings {
		if before[i] = f.Outcome(m, f.Rules(&m)); before[i] == clearance.Fits {
			yes.Add(1)
		} else {
			not.Add(1)
		}
	}
	for i := range h.Moorings {
		for name, blanked := range blanks(h.Moorings[i]) {
			cases.Add(1)
			with := *h
			with.Moorings = slices.Clone(h.Moorings)
			with.Moorings[i] = blanked
			g := field(t, &with)
			for k, m := range with.Moorings {
				if after := g.Outcome(m, g.Rules(&m)); after == clearance.Fits && before[k] != clearance.Fits &&
					f.Swing(k).Basis != swing.ForNone {
					fit := f.Fit(h.Moorings[k])
					t.Fatalf("seed %d: %s of %s is taken away, and %s fits that was %s:\n%s", seed, name, h.Moorings[i].Number, m.Number,
						before[k], fit.Words.Metres)
				}
			}
		}
	}
}
