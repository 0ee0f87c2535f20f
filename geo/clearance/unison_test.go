package clearance_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// tackled gives a mooring a boat and tackle of which the statics know everything: chain of so many metres, a buoy and 3 m of nylon.
func tackled(m geo.Mooring, loa, chain float64) geo.Mooring {
	known := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v)) }
	m.StatedRadius = geo.Maybe[geo.Metres]{}
	m.Boat = &geo.Boat{Kind: "sloop", LOA: known(loa), Beam: known(loa * 0.32), Draft: known(1.4), BowHeight: known(1)}
	m.Tackle = geo.Tackle{{Kind: geo.GroundChain, Length: known(chain * 0.6), Size: known(0.016)},
		{Kind: geo.TopChain, Length: known(chain * 0.4), Size: known(0.013)},
		{Kind: geo.Buoy, Size: known(0.45)}, {Kind: geo.Pennant, Length: known(3), Size: known(0.016), Material: "nylon"}}
	return m
}

// inUnison is a basin whose area lies in unison, but for a calm at slack, with moorings in it.
func inUnison(origin geo.Position, all ...geo.Mooring) *geo.Harbor {
	for i := range all {
		all[i].Area = "Middle"
	}
	h := basin(origin, all...)
	h.Areas[0].Rules.Lying, h.Areas[0].Rules.Design.CalmOff = geo.InUnison, true
	return h
}

func TestUnisonJudgesByHulls(t *testing.T) {
	origin := places["north"]
	one, two := tackled(moored(origin, "1", 100, 200, 1), 9, 15), tackled(moored(origin, "2", 124, 200, 1), 9, 15)
	h := inUnison(origin, one, two)
	if r := field(t, h).Report(); len(r.Conflicts) != 0 {
		t.Errorf("boats alike 24 m apart lie clear of each other in unison: %+v", r.Conflicts)
	}
	f := field(t, h)
	near := f.Neighbours(0, 3)
	if len(near) != 1 || near[0].Lying != geo.InUnison || near[0].Unison == nil || near[0].State.Or("") != clearance.Clear {
		t.Fatalf("neighbours: %+v", near)
	}
	hulls, circles := near[0].Unison.GapM.Or(-99), near[0].GapM.Or(99)
	if circles > -10 || hulls < 2 || hulls > 24-9+0.1 {
		t.Errorf("both ways are told: circles %.2f m, hulls %.2f m", circles, hulls)
	}
	h.Areas[0].Rules.Lying = geo.Independent
	k := field(t, h).Report().Conflicts
	if len(k) != 1 || k[0].Lying != geo.Independent || k[0].Unison != nil || k[0].State != clearance.Touching {
		t.Errorf("the same two, independent: %+v", k)
	}
	// One of them in another area, or in none, is judged by circles.
	h.Areas[0].Rules.Lying = geo.InUnison
	h.Moorings[1].Area = ""
	if k := field(t, h).Report().Conflicts; len(k) != 1 || k[0].Lying != geo.Independent {
		t.Errorf("one of the two lies as she likes: %+v", k)
	}
}

func TestUnisonTellsTheWorstCase(t *testing.T) {
	origin := places["south"]
	long, short := tackled(moored(origin, "L", 100, 200, 1), 12, 26), tackled(moored(origin, "S", 122, 200, 1), 7, 12)
	f := field(t, inUnison(origin, long, short))
	k := f.Report().Conflicts
	if len(k) != 1 || k[0].State != clearance.Touching || k[0].Lying != geo.InUnison || k[0].Certainty != clearance.Certain {
		t.Fatalf("a long line upwind of a short one: %+v", k)
	}
	u := k[0].Unison
	if gap := u.GapM.Or(0); math.Abs(gap+k[0].OverlapM) > 1e-12 || gap > -1 {
		t.Errorf("gap %v, overlap %v", gap, k[0].OverlapM)
	}
	if from := math.Abs(math.Remainder(u.Weather.WindFromDeg-270, 360)); from > 60 {
		t.Errorf("worst in a wind from %.0f°", u.Weather.WindFromDeg)
	}
	if len(u.HullA) != len(u.HullB) || u.HullA[0] != u.HullA[len(u.HullA)-1] || math.Abs(u.HullA[0].Lon()-long.Position.LonDeg) > 0.001 {
		t.Errorf("hulls %v %v", u.HullA, u.HullB)
	}
	if f.State(0) != clearance.Touching || f.State(1) != clearance.Touching {
		t.Error("the moorings' own states follow")
	}
}

func TestUnisonFallsBackOnCirclesAndSaysSo(t *testing.T) {
	origin := places["north"]
	one, two := tackled(moored(origin, "1", 100, 200, 1), 9, 15), tackled(moored(origin, "2", 124, 200, 1), 9, 15)
	two.Boat.Beam = geo.Maybe[geo.Metres]{}
	r := field(t, inUnison(origin, one, two)).Report()
	if len(r.Conflicts) != 1 || !r.Conflicts[0].Bound || r.Conflicts[0].Certainty != clearance.Possible ||
		r.Conflicts[0].Lying != geo.Independent {
		t.Fatalf("conflicts: %+v", r.Conflicts)
	}
	if why := r.Conflicts[0].Unison.Why; why.Feet != "the beam of 2 is not on record" || why.Metres != why.Feet {
		t.Errorf("why: %q", why)
	}
}

// Whether she has a rig decides what the wind makes of her: nothing is assumed.
func TestUnisonWantsTheKindOfBoat(t *testing.T) {
	origin := places["north"]
	one, two := tackled(moored(origin, "1", 100, 200, 1), 9, 15), tackled(moored(origin, "2", 124, 200, 1), 9, 15)
	two.Boat.Kind = ""
	k := field(t, inUnison(origin, one, two)).Report().Conflicts
	if len(k) != 1 || !k[0].Bound || k[0].Certainty != clearance.Possible || k[0].Lying != geo.Independent {
		t.Fatalf("conflicts: %+v", k)
	}
	if why := k[0].Unison.Why.Metres; !strings.Contains(why, "kind of boat of 2") {
		t.Errorf("why: %q", why)
	}
}

// In a stream against the wind boats that lie clear in any wind alone may lie any way, and the report says of which that is so.
func TestUnisonTellsOfBoatsThatAreLetGo(t *testing.T) {
	origin := places["north"]
	one, two := tackled(moored(origin, "1", 100, 200, 1), 9, 15), tackled(moored(origin, "2", 124, 200, 1), 9, 15)
	h := inUnison(origin, one, two)
	if k := field(t, h).Report().Conflicts; len(k) != 0 {
		t.Fatalf("with the wind alone: %+v", k)
	}
	h.Areas[0].Rules.Design.Stream, h.Areas[0].Rules.Design.StreamDeg = geo.Known(geo.Knots(1.2)), geo.Known(40.0)
	f := field(t, h)
	k := f.Report().Conflicts
	if len(k) != 1 || k[0].Lying != geo.InUnison || k[0].State != clearance.Touching || !k[0].Unison.UnsettledA || !k[0].Unison.UnsettledB {
		t.Fatalf("in a stream: %+v", k)
	}
	if words := k[0].Unison.Words().Metres; !strings.Contains(words, "all but cancel each other on both boats") {
		t.Errorf("%q", words)
	}
	// Whoever asks, the state and the figures are the same.
	for i := range 2 {
		near := f.Neighbours(i, 2)
		if len(near) != 1 || near[0].State.Or("") != k[0].State || near[0].Unison.GapM != k[0].Unison.GapM {
			t.Errorf("the sheet of %d: %+v", i+1, near)
		}
	}
}

func TestUnisonSupposesABoatOnAVacantPlace(t *testing.T) {
	origin := places["north"]
	one, vacant := tackled(moored(origin, "1", 100, 200, 1), 9, 15), tackled(moored(origin, "2", 124, 200, 1), 9, 15)
	vacant.Boat, vacant.Status, vacant.LargestLOA = nil, geo.Vacant, geo.Known(geo.Metres(9))
	if k := field(t, inUnison(origin, one, vacant)).Report().Conflicts; len(k) != 0 {
		t.Errorf("a boat of 9 m keeps clear: %+v", k)
	}
	vacant.LargestLOA = geo.Known(geo.Metres(22))
	k := field(t, inUnison(origin, one, vacant)).Report().Conflicts
	if len(k) != 1 || k[0].Lying != geo.InUnison || !k[0].Bound || k[0].Certainty != clearance.Possible {
		t.Errorf("a boat of 22 m may not: %+v", k)
	}
}

func TestWeatherFindsEveryGapUnderTheMargin(t *testing.T) {
	origin := places["north"]
	rapid.Check(t, func(t *rapid.T) {
		draw := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		var all []geo.Mooring
		for i := range rapid.IntRange(2, 12).Draw(t, "moorings") {
			m := tackled(moored(origin, string(rune('A'+i)), draw(60, 160, "east"), draw(150, 250, "north"), 1), draw(5, 14, "loa"),
				draw(12, 24, "chain"))
			if rapid.IntRange(0, 9).Draw(t, "lacking") == 0 {
				m.Boat.BowHeight = geo.Maybe[geo.Metres]{}
			}
			all = append(all, m)
		}
		h := inUnison(origin, all...)
		h.Areas[0].Rules.Margin = geo.Metres(draw(0, 6, "margin"))
		f, err := clearance.NewField(h)
		if err != nil {
			t.Fatal(err)
		}
		w := geo.Weather{WindFromDeg: draw(0, 360, "from"), Wind: geo.Knots(draw(0, 60, "wind")), GustRatio: 1.2,
			StreamToDeg: draw(0, 360, "to"), Stream: geo.Knots(draw(0, 3, "stream")), Level: geo.Metres(draw(-0.5, 3, "level"))}
		x, err := f.Weather(w)
		if err != nil {
			t.Fatal(err)
		}
		if len(x.Boats)+len(x.Unknown) != len(all) {
			t.Fatalf("%d boats lie, %d are unknown, of %d", len(x.Boats), len(x.Unknown), len(all))
		}
		want := 0
		for i, a := range x.Boats {
			anchor := f.Frame().Project(all[a.Index].Position)
			if reach := float64(a.Hull[0].Sub(anchor).Length()); math.Abs(reach-float64(a.Reach)) > 1e-6 {
				t.Fatalf("%s: bow %g m from the anchor, reach %g m", a.Number, reach, float64(a.Reach))
			}
			for _, b := range x.Boats[i+1:] {
				gap := swing.HullGap(a.Hull, b.Hull)
				if gap >= float64(h.Areas[0].Rules.Margin) {
					continue
				}
				want++
				if !slices.ContainsFunc(x.Gaps, func(g clearance.HullGap) bool {
					return g.A == a.Number && g.B == b.Number && math.Abs(g.GapM-gap) < 1e-9
				}) {
					t.Fatalf("%s and %s are %g m apart, and not told", a.Number, b.Number, gap)
				}
				if least, known := a.GapM.Get(); !known || least > gap {
					t.Fatalf("%s has a hull at %g m, told %v", a.Number, gap, a.GapM)
				}
			}
		}
		if want != len(x.Gaps) {
			t.Fatalf("%d gaps under the margin, %d told", want, len(x.Gaps))
		}
	})
}

func TestWeatherTellsWhatItCannot(t *testing.T) {
	origin := places["north"]
	short, noStrength, vacant := tackled(moored(origin, "short", 100, 200, 1), 9, 15),
		tackled(moored(origin, "lacking", 150, 200, 1), 9, 15),
		tackled(moored(origin, "vacant", 200, 200, 1), 9, 15)
	short.Tackle = geo.Tackle{{Kind: geo.TopChain, Length: geo.Known(geo.Metres(4)), Size: geo.Known(geo.Metres(0.01))}}
	noStrength.Boat.Draft = geo.Maybe[geo.Metres]{}
	vacant.Boat, vacant.Status = nil, geo.Vacant
	f := field(t, basin(origin, short, noStrength, vacant))
	w := geo.Weather{Wind: geo.Knots(20), GustRatio: 1, Stream: geo.Knots(1)}
	x, err := f.Weather(w)
	if err != nil || len(x.Boats) != 0 || len(x.Unknown) != 2 {
		t.Fatalf("%+v, %v", x, err)
	}
	if u := x.Unknown[0]; u.Mooring != "short" || !strings.Contains(u.Words.Feet, "rode too short") {
		t.Errorf("%+v", u)
	}
	if u := x.Unknown[1]; u.Mooring != "lacking" || !slices.Equal(u.Missing, []string{"draft_m"}) {
		t.Errorf("%+v", u)
	}
	w.Stream = 0
	if x, _ := f.Weather(w); len(x.Boats) != 1 {
		t.Errorf("with no stream a draft is not asked for: %+v", x.Unknown)
	}
	for _, bad := range []geo.Weather{{Wind: -1, GustRatio: 1}, {Wind: geo.MetresPerSecond(math.NaN()), GustRatio: 1}, {GustRatio: 0},
		{GustRatio: 1, WindFromDeg: 400}, {GustRatio: 1, Level: 99}, {GustRatio: 1, Stream: geo.Knots(20)}} {
		if _, err := f.Weather(bad); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

// What weather finds inside the declared design is never under what the report has proved, and a pair that is not in the report keeps the
// margin in every such weather.
func TestWeatherInsideTheDesignFindsNothingThatTheReportDenies(t *testing.T) {
	origin := places["north"]
	launch := tackled(moored(origin, "B", 136, 204, 1), 8, 17)
	launch.Boat.Kind, launch.Boat.Draft = "launch", geo.Known(geo.Metres(0.6))
	h := inUnison(origin, tackled(moored(origin, "A", 100, 200, 1), 9, 15), launch, tackled(moored(origin, "C", 104, 250, 1), 11, 18))
	h.Areas[0].Rules.Margin = 1
	h.Areas[0].Rules.Design = geo.Design{Wind: geo.Known(geo.Knots(30)), ScatterDeg: geo.Known(10.0), Stream: geo.Known(geo.Knots(1.5)),
		StreamDeg: geo.Known(80.0), CalmOff: true}
	f := field(t, h)
	proved := map[string]float64{}
	for _, k := range f.Report().Conflicts {
		proved[k.A+k.B] = k.Unison.BoundM.Or(math.Inf(-1))
		if u := k.Unison; u.GapM.Or(0) < u.BoundM.Or(0) || !u.CalmOff || !strings.Contains(u.Words().Metres, "that is not checked here") {
			t.Errorf("%s and %s: %+v", k.A, k.B, u)
		}
	}
	for deg := 0.0; deg < 360; deg += 10 {
		for kn := 0.5; kn <= 30; kn += 1.5 {
			for _, share := range []float64{-1, -0.6, -0.2, 0, 0.3, 0.7, 1} {
				w := geo.Weather{WindFromDeg: deg, Wind: geo.Knots(kn), GustRatio: h.Areas[0].Rules.Design.Gust(),
					Stream: geo.Knots(1.5 * math.Abs(share)), StreamToDeg: 80,
					Level: h.Levels.Or(geo.Levels{}).Low}
				if share < 0 {
					w.StreamToDeg = 260
				}
				x, err := f.Weather(w)
				if err != nil {
					t.Fatal(err)
				}
				for _, g := range x.Gaps {
					bound, told := proved[g.A+g.B]
					if !told || g.GapM < bound-0.001 {
						t.Fatalf("%s and %s come to %.2f m in %+v; the report has proved %.2f m, told %v", g.A, g.B, g.GapM, w, bound, told)
					}
				}
			}
		}
	}
}
