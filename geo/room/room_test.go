package room_test

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"swingroom/api/exchange"
	"swingroom/fixtures"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

func demo(t testing.TB) *room.Water {
	t.Helper()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f, err := clearance.NewField(in.Harbor)
	if err != nil {
		t.Fatal(err)
	}
	return room.New(f)
}

// sloop is a boat of so many feet.
func sloop(loaFt float64) geo.Boat {
	ft := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Feet(v)) }
	return geo.Boat{Kind: "sloop", LOA: ft(loaFt), Beam: ft(loaFt * 0.32), Draft: ft(1.3 + loaFt*0.1), BowHeight: ft(1.2 + loaFt*0.075)}
}

func chain(m float64) geo.Tackle {
	return geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(m))}}
}

// tackle is chain and nylon of which the statics know everything.
func tackle(m float64) geo.Tackle {
	known := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v)) }
	return geo.Tackle{{Kind: geo.GroundChain, Length: known(m * 0.5), Size: known(0.016)},
		{Kind: geo.TopChain, Length: known(m*0.5 - 3), Size: known(0.013)}, {Kind: geo.Buoy, Size: known(0.5)},
		{Kind: geo.Pennant, Length: known(3), Size: known(0.019), Material: "nylon"}}
}

// asks are boats as the area's rule wants them told.
func asks(area *geo.Area) []room.Ask {
	switch area.Rules.Swing.Kind {
	case geo.Stated:
		return []room.Ask{{Boat: sloop(18), Area: area.Name, Tackle: chain(20), Radius: geo.Known(geo.Metres(29))}}
	case geo.ScopeRule:
		return []room.Ask{{Boat: sloop(20), Area: area.Name}, {Boat: sloop(33), Area: area.Name, ScopeRatio: 2.5}}
	}
	return []room.Ask{{Boat: sloop(20), Area: area.Name, Tackle: tackle(22)}, {Boat: sloop(30), Area: area.Name, Tackle: tackle(30)},
		{Boat: sloop(28), Area: area.Name, ScopeRatio: 3}}
}

func TestBestPlacesOfTheDemoPassTheFullCheck(t *testing.T) {
	w := demo(t)
	given := 0
	for _, area := range w.Field().Harbor().Areas {
		for _, a := range asks(&area) {
			q, err := w.Ask(a)
			if err != nil {
				t.Errorf("%s: %v", area.Name, err)
				continue
			}
			for _, s := range best(t, q, 3, 20) {
				given++
				water := slices.DeleteFunc(s.Fit.Against(), func(v clearance.Verdict) bool {
					return v.Constraint.Kind() == clearance.KindTackle
				})
				if len(water) > 0 || s.BoundM-s.ClearanceM > room.Close {
					t.Errorf("%s at %s: %.3f m, bound %.3f m: %+v", area.Name, s.Position.DDM(), s.ClearanceM, s.BoundM, water)
				}
				m := geo.Mooring{Number: room.Untitled, Status: geo.Occupied, Position: s.Position, Area: area.Name, Boat: &a.Boat,
					Tackle: a.Tackle, StatedRadius: a.Radius}
				if a.ScopeRatio > 0 {
					m.Tackle = chain(float64(s.Rode.Or(0)))
				}
				answer := w.Field().Fit(m).Swing
				// of a line that is looked up by depth a little more
				if more := float64(s.Radius.Or(-1) - answer.Radius.Or(0)); !(more > -1e-6 && more < 1e-3) {
					t.Errorf("%s: radius %v by the rule, %v in the search", area.Name, answer.Radius, s.Radius)
				}
			}
		}
	}
	if given < 40 {
		t.Errorf("only %d places were looked at", given)
	}
}

// best are the best places.
func best(t testing.TB, q *room.Question, count int, apart geo.Metres) []room.Spot {
	t.Helper()
	spots, err := q.Best(t.Context(), count, apart)
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

func BenchmarkBest(b *testing.B) {
	w := demo(b)
	for _, bc := range []struct {
		name string
		ask  room.Ask
	}{
		{"fixed_radius", room.Ask{Boat: sloop(22), Area: "Outer Roads", Tackle: chain(25)}},
		{"by_depth", room.Ask{Boat: sloop(22), Area: "Middle Ground", Tackle: chain(25)}},
		{"scope_by_depth", room.Ask{Boat: sloop(22), Area: "East Shore", ScopeRatio: 2.5, Rules: geo.Known(geo.DefaultRules())}},
	} {
		b.Run(bc.name, func(b *testing.B) {
			for b.Loop() {
				q, err := w.Ask(bc.ask)
				if err != nil {
					b.Fatal(err)
				}
				best(b, q, 5, 25)
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/ask")
		})
	}
}

func BenchmarkRegion(b *testing.B) {
	w := demo(b)
	for _, bc := range []struct {
		name string
		ask  room.Ask
	}{{"fixed_radius", room.Ask{Boat: sloop(22), Area: "Outer Roads", Tackle: chain(25)}},
		{"by_depth", room.Ask{Boat: sloop(22), Area: "Middle Ground", Tackle: chain(25)}}} {
		q, err := w.Ask(bc.ask)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(bc.name, func(b *testing.B) {
			areaM2 := 0.0
			for b.Loop() {
				r, _ := q.Region(context.Background())
				areaM2 = r.AreaM2
			}
			b.ReportMetric(areaM2, "m2")
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/region")
		})
	}
}

// A place is told what no water of the area gives, and does not pass for one without that limit.
func TestAPlaceIsToldWhatNoWaterOfTheAreaGives(t *testing.T) {
	inside, deep := geo.Position{LatDeg: 44.2083, LonDeg: -41.5072}, geo.Position{LatDeg: 44.2, LonDeg: -41.5} // out where it is 12 m deep
	unsounded := geo.Position{LatDeg: 44.18, LonDeg: -41.5188}
	for name, c := range map[string]struct {
		at     geo.Position
		draft  geo.Metres
		tackle geo.Tackle
		scope  float64
		limit  string
	}{
		"deeper than all water":                              {inside, 15, chain(60), 0, "too shallow"},
		"a rode that reaches no bottom":                      {inside, 1, chain(1), 0, "too short"},
		"deep enough for the boat and too deep for its rode": {deep, 10, chain(10), 0, "too short"},
		"a rode that is cut to a depth nobody has measured":  {unsounded, 1, nil, 3, "unknown depth"},
	} {
		boat := geo.Boat{LOA: geo.Known[geo.Metres](6), Beam: geo.Known[geo.Metres](2), BowHeight: geo.Known[geo.Metres](1),
			Draft: geo.Known(c.draft)}
		q, err := demo(t).Ask(room.Ask{Area: "Town Cove", Boat: boat, Tackle: c.tackle, ScopeRatio: c.scope})
		if err != nil {
			t.Fatal(name, err)
		}
		s := q.Try(c.at)
		told := slices.ContainsFunc(s.Limits, func(l room.Limit) bool { return strings.Contains(l.Name, c.limit) && l.ClearanceM < 0 })
		if !told || !(s.ClearanceM < 0) {
			t.Errorf("%s: %g m of %+v", name, s.ClearanceM, s.Limits)
		}
		if _, err := json.Marshal(s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
