package room_test

import (
	"slices"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// proved carries a remedy out on a harbor of its own and holds the whole field against itself anew.
func proved(t *testing.T, w *room.Water, a room.Ask, m room.NearMiss, r room.PlaceRemedy) {
	t.Helper()
	h := *w.Field().Harbor()
	h.Moorings = slices.Clone(h.Moorings)
	h.Areas = slices.Clone(h.Areas)
	boat := a.Boat
	laid := geo.Mooring{Number: room.Untitled, Area: a.Area, Status: geo.Occupied, Position: m.Position, Accuracy: geo.Known(geo.Metres(0)),
		Boat: &boat, Tackle: slices.Clone(a.Tackle)}
	find := func(number string) *geo.Mooring {
		return &h.Moorings[slices.IndexFunc(h.Moorings, func(m geo.Mooring) bool { return m.Number == number })]
	}
	shorten := func(t geo.Tackle, to geo.Metres) geo.Tackle {
		t = slices.Clone(t)
		l, _ := t.RodeLength()
		longest := 0
		for i := range t {
			if t[i].Kind.OfRode() && t[i].Length.Or(0) > t[longest].Length.Or(0) {
				longest = i
			}
		}
		t[longest].Length = geo.Known(t[longest].Length.Or(0) - (l.Or(0) - to))
		return t
	}
	margin := geo.Metres(-1)
	switch r.Kind {
	case room.SmallerMargin:
		margin = r.Length.Or(0)
	case room.OwnRode:
		laid.Tackle = shorten(laid.Tackle, r.Length.Or(0))
	case room.ShorterBoat:
		laid.Boat.LOA, laid.Boat.LengthAll = r.Length, geo.Maybe[geo.Metres]{}
	case room.NeighbourRode:
		n := find(r.Mooring)
		n.Tackle = shorten(n.Tackle, r.Length.Or(0))
	case room.NeighbourMoved:
		n, to := find(r.Mooring), find(r.To)
		to.Boat, to.Status, n.Boat, n.Status = n.Boat, geo.Occupied, nil, geo.Vacant
		n.LargestLOA, n.StatedRadius = geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}
	}
	h.Moorings = append(h.Moorings, laid)
	f, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	concerned := []string{room.Untitled, r.To}
	for _, k := range f.Report().Conflicts {
		if slices.Contains(concerned, k.A) || slices.Contains(concerned, k.B) {
			if margin < 0 || geo.Metres(k.OverlapM)+margin > 0.02 {
				t.Errorf("%s %q: %+v", r.Kind, r.Words, k)
			}
		}
	}
	for _, z := range f.Report().Hazards {
		if slices.Contains(concerned, z.Mooring) {
			t.Errorf("%s %q: %+v", r.Kind, r.Words, z)
		}
	}
}

// longRodes is the demo harbor with the rodes of one area half as long again.
func longRodes(t *testing.T, area string) *room.Water {
	t.Helper()
	h := *demo(t).Field().Harbor()
	h.Moorings = slices.Clone(h.Moorings)
	for i := range h.Moorings {
		if m := &h.Moorings[i]; m.Area == area {
			m.Tackle = slices.Clone(m.Tackle)
			for k := range m.Tackle {
				m.Tackle[k].Length = geo.Known(m.Tackle[k].Length.Or(0) * 1.5)
			}
		}
	}
	f, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	return room.New(f)
}

func TestNearMissesSayWhatWouldFreeAPlace(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	plain, long := demo(t), longRodes(t, "Landing Reach")
	kinds := map[room.PlaceRemedyKind]int{}
	for _, tc := range []struct {
		w *room.Water
		a room.Ask
	}{
		{plain, room.Ask{Boat: sloop(40), Area: "Landing Reach", Tackle: chain(30)}},
		{plain, room.Ask{Boat: sloop(32), Area: "Landing Reach", Tackle: chain(28)}},
		{plain, room.Ask{Boat: sloop(34), Area: "Landing Reach", Tackle: chain(30)}},
		{long, room.Ask{Boat: sloop(24), Area: "Landing Reach", Tackle: chain(24)}},
	} {
		q, err := tc.w.Ask(tc.a)
		if err != nil {
			t.Fatal(err)
		}
		misses, err := q.NearMisses(t.Context(), 4, 12)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range misses {
			if m.ClearanceM >= 0 || len(m.Short) == 0 || m.Short[0].ClearanceM-m.ClearanceM > 1e-9 {
				t.Errorf("%s: %+v", tc.a.Area, m)
			}
			for _, r := range m.Freeing {
				if kinds[r.Kind]++; kinds[r.Kind] <= 3 {
					proved(t, tc.w, tc.a, m, r)
				}
			}
		}
	}
	for _, kind := range []room.PlaceRemedyKind{room.OwnRode, room.ShorterBoat, room.NeighbourRode, room.NeighbourMoved,
		room.SmallerMargin} {
		if kinds[kind] == 0 {
			t.Errorf("no %s was proposed anywhere: the test asks too little (%v)", kind, kinds)
		}
	}
}
