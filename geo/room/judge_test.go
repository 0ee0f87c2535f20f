package room_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"swingroom/fixtures/random"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// water passes over what is said of anchor and parts: a place is offered by its water.
func water(fit *clearance.Fit) (against []clearance.Verdict) {
	return slices.DeleteFunc(fit.Against(), func(v clearance.Verdict) bool { return v.Constraint.Kind() == clearance.KindTackle })
}

// Whatever offers a place has asked the judge: the best places of open water, the waiting list, the longest boat of a mooring, and a way
// out.
func TestEveryPlaceThatIsOfferedPassesTheJudge(t *testing.T) {
	all := 400
	if testing.Short() {
		all = 12
	}
	spots, given, ways, longest := 0, 0, 0, 0
	for seed := range all {
		r := rand.New(rand.NewPCG(uint64(seed), 21))
		h := random.Harbor(r)
		boat := geo.Boat{Name: "Wren", Kind: "sloop", LOA: geo.Known(geo.Metres(5 + 4*r.Float64())), Beam: geo.Known(geo.Metres(2.4)),
			Draft: geo.Known(geo.Metres(0.9)), BowHeight: geo.Known(geo.Metres(0.9))}
		h.Waiting = []geo.Waiting{{Name: "Ada", Since: "2024-01-01", Boat: boat},
			{Name: "Ben", Since: "2024-02-01", Boat: geo.Boat{LOA: geo.Known(geo.Metres(6))}}}
		f, err := clearance.NewField(h)
		if err != nil {
			t.Fatal(err)
		}
		w := room.New(f)
		q, err := w.Ask(room.Ask{Boat: boat, Area: "West", Tackle: geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(13))}},
			Radius: geo.Known(geo.Metres(20))})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range best(t, q, 3, 10) {
			spots++
			m := geo.Mooring{Number: "(new)", Area: "West", Status: geo.Occupied, Position: s.Position, Accuracy: geo.Known(geo.Metres(0)),
				Boat:   &boat,
				Tackle: geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(13))}}, StatedRadius: geo.Known(geo.Metres(20))}
			if fit := f.Fit(m); len(water(&fit)) > 0 {
				t.Errorf("seed %d: a place is offered with %.3f m to spare, and %s", seed, s.ClearanceM, fit.Words.Metres)
			}
		}
		serving, err := room.Serve(t.Context(), f, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range serving.Offers {
			i, _ := f.Index(o.Mooring)
			if o.Name == "" || h.Moorings[i].Boat != nil {
				continue
			}
			given++
			m := h.Moorings[i]
			first := slices.IndexFunc(h.Waiting, func(w geo.Waiting) bool { return w.Name == o.Name })
			m.Boat, m.Status = &h.Waiting[first].Boat, geo.Occupied
			if fit := f.Fit(m); !fit.Passes() {
				t.Errorf("seed %d: %s is given to %s, and %s", seed, o.Mooring, o.Name, fit.Words.Metres)
			}
		}
		for i := range h.Moorings {
			m := h.Moorings[i]
			if m.Boat == nil {
				continue
			}
			fit := fitting(t, w, m, nil)
			for _, way := range fit.Remedies {
				ways++
				g := f
				for _, changed := range way.Moorings {
					if g, err = g.With(changed); err != nil {
						t.Fatal(err)
					}
				}
				for _, changed := range way.Moorings {
					if changed.Boat == nil {
						continue
					}
					// A neighbour that is changed may keep a trouble that it has, if the way says so.
					after := g.Fit(changed)
					told := slices.ContainsFunc(way.Remains, func(x clearance.Finding) bool { return x.Mooring == changed.Number })
					if (after.Outcome != clearance.Fits) != told || changed.Number == way.Mooring && told {
						t.Errorf("seed %d: %s by %s: %s has %s, told %v", seed, m.Number, way.ID, changed.Number, after.Outcome, told)
					}
				}
			}
			if loa := room.Largest(f, &m); loa > 0 {
				longest++
				boat := geo.Boat{Kind: m.Boat.Kind, LOA: geo.Known(geo.Metres(loa)), Beam: geo.Known(geo.Metres(loa / 3)),
					Draft:     geo.Known(m.Boat.Draft.Or(geo.Metres(loa / 10))),
					BowHeight: geo.Known(m.Boat.BowHeight.Or(geo.Metres(loa / 10)))}
				tried := m
				tried.Boat, tried.Status = &boat, geo.Occupied
				if fit := f.Fit(tried); len(water(&fit)) > 0 {
					t.Errorf("seed %d: %s takes %.2f m, and %s", seed, m.Number, loa, fit.Words.Metres)
				}
			}
		}
		if t.Failed() {
			return
		}
	}
	t.Logf("%d places, %d offers of the waiting list, %d ways out, %d longest boats", spots, given, ways, longest)
	if spots < all || ways < all/4 || longest < all {
		t.Errorf("%d places, %d ways, %d longest boats of %d harbors: they are too crowded to tell", spots, ways, longest, all)
	}
}
