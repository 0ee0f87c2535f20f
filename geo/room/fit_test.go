package room_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// longer is a mooring with a longer boat of the same shape.
func longer(m geo.Mooring, ratio geo.Metres) geo.Mooring {
	b := *m.Boat
	for _, v := range []*geo.Maybe[geo.Metres]{&b.LOA, &b.LengthAll, &b.Beam, &b.Draft} {
		if x, known := v.Get(); known {
			*v = geo.Known(x * ratio)
		}
	}
	m.Boat = &b
	m.StatedRadius = geo.Maybe[geo.Metres]{}
	return m
}

// provedByAllPairs holds everything that a way out changes against every mooring by geodesics, and against the report of a field made
// afresh.
func provedByAllPairs(t *testing.T, f *clearance.Field, w room.Remedy) {
	t.Helper()
	h := *f.Harbor()
	h.Moorings = slices.Clone(h.Moorings)
	boats := map[string]string{}
	for _, m := range w.Moorings {
		i, ok := f.Index(m.Number)
		if !ok {
			t.Fatalf("%s changes %s, which is not there", w.Kind, m.Number)
		}
		h.Moorings[i] = m
		if m.Boat == nil {
			continue
		}
		if name := m.Boat.Name; name != "" && boats[name] != "" {
			t.Errorf("%s: %s lies on %s and on %s", w.Kind, name, boats[name], m.Number)
		} else {
			boats[name] = m.Number
		}
	}
	g, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	for n, m := range w.Moorings {
		i, _ := g.Index(m.Number)
		if m.Boat == nil || w.Kind == room.NeighbourShorter && n == 0 { // that one may have faults of its own, and is only not to have more
			continue
		}
		if fit := g.Fit(h.Moorings[i]); fit.Outcome != clearance.Fits {
			t.Errorf("%s (%s): %s %+v", w.Kind, w.Words, m.Number, fit.Against())
		}
		if h.Rules(&m).Lying == geo.InUnison {
			continue // hulls have checks of their own
		}
		for k := range h.Moorings {
			r1, r2 := float64(g.Swing(i).Radius.Or(0)), float64(g.Swing(k).Radius.Or(0))
			margin := max(float64(h.Rules(&h.Moorings[i]).Margin), float64(h.Rules(&h.Moorings[k]).Margin))
			if gapM := float64(geo.Distance(m.Position, h.Moorings[k].Position)) - r1 - r2; k != i && r2 > 0 && gapM < margin-2e-3 {
				t.Errorf("%s (%s): %s keeps %.3f m from %s where %.3f m is asked", w.Kind, w.Words, m.Number, gapM, h.Moorings[k].Number,
					margin)
			}
		}
	}
}

// fitting is the fit check with its ways out.
func fitting(t testing.TB, w *room.Water, m geo.Mooring, lengths *room.Lengths) room.Fitting {
	t.Helper()
	fit, err := room.Fit(t.Context(), w, m, lengths)
	if err != nil {
		t.Fatal(err)
	}
	return fit
}

// lengths are the longest boats of all moorings.
func lengths(t testing.TB, l *room.Lengths, report room.Progress) []float64 {
	t.Helper()
	all, err := l.All(t.Context(), report)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestEveryWayOutIsProved(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of fields, which the race detector makes long; run without -short")
	}
	w := demo(t)
	f := w.Field()
	largest := room.NewLengths(f)
	kinds := map[room.RemedyKind]int{}
	outcomes := map[clearance.Outcome]int{}
	for i := 3; i < len(f.Harbor().Moorings); i += 11 {
		m := f.Harbor().Moorings[i]
		if m.Boat == nil {
			continue
		}
		fit := fitting(t, w, longer(m, 1.25), largest)
		outcomes[fit.Outcome]++
		if (fit.Outcome == clearance.FitsIf) != (len(fit.Remedies) > 0 && slices.ContainsFunc(fit.Verdicts, func(v clearance.Verdict) bool {
			ok, known := v.Fits.Get()
			return known && !ok
		})) {
			t.Errorf("%s: %s with %d ways", m.Number, fit.Outcome, len(fit.Remedies))
		}
		for _, way := range fit.Remedies {
			kinds[way.Kind]++
			if way.Words.Feet == "" || way.Words.Metres == "" || strings.Contains(way.Words.Feet+way.Words.Metres, "%!") {
				t.Errorf("%s: words %q", way.Kind, way.Words)
			}
			provedByAllPairs(t, f, way)
		}
	}
	t.Log(outcomes, kinds)
	for _, kind := range []room.RemedyKind{room.OtherTackle, room.OtherRode, room.OtherPlace, room.Swapped, room.AnchorMoved} {
		if kinds[kind] == 0 {
			t.Errorf("no way of kind %s was found: %v", kind, kinds)
		}
	}
}

func TestTheLengthsOfAllAreThoseOfEach(t *testing.T) {
	f := demo(t).Field()
	done := 0
	all := lengths(t, room.NewLengths(f), func(d, total int) { done = d })
	if done != len(all) {
		t.Errorf("%d of %d told", done, len(all))
	}
	for i := 0; i < len(all); i += 37 {
		m := f.Harbor().Moorings[i]
		if got := room.Largest(f, &m); got != all[i] {
			t.Errorf("%s: %.2f m, by itself %.2f m", m.Number, all[i], got)
		}
		if all[i] == 0 || all[i] > 39 {
			continue
		}
		// A boat as long as that passes the check, one of a foot more does not.
		for _, c := range []struct {
			moreM float64
			want  bool
		}{{0, true}, {0.31, false}} {
			loa := geo.Metres(all[i] + c.moreM)
			boat := geo.Boat{LOA: geo.Known(loa), Beam: geo.Known(loa / 3), Draft: geo.Known(min(loa/10, m.LargestDraft.Or(loa/10))),
				BowHeight: geo.Known(loa / 10)}
			if m.Boat != nil {
				boat.Kind, boat.Draft, boat.BowHeight = m.Boat.Kind, geo.Known(m.Boat.Draft.Or(loa/10)),
					geo.Known(m.Boat.BowHeight.Or(loa/10))
			}
			tried := m
			tried.Boat, tried.Status = &boat, geo.Occupied
			limit := math.Min(float64(m.LargestLOA.Or(99)), float64(f.Harbor().Rules(&m).LargestLOA.Or(99)))
			if ok := f.FitWater(tried) == clearance.Fits && float64(loa) <= limit+1e-9; ok != c.want {
				t.Errorf("%s: a boat of %.2f m fits %v, and %.2f m is the largest", m.Number, float64(loa), ok, all[i])
			}
		}
	}
}

func BenchmarkFitting(b *testing.B) {
	w := demo(b)
	f := w.Field()
	start := time.Now()
	largest := room.NewLengths(f)
	lengths(b, largest, nil)
	all := time.Since(start)
	worst, n := time.Duration(0), 0
	for b.Loop() {
		n++
		m := f.Harbor().Moorings[n*7%len(f.Harbor().Moorings)]
		if m.Boat == nil {
			continue
		}
		start := time.Now()
		fitting(b, w, longer(m, 1.25), largest)
		worst = max(worst, time.Since(start))
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/ways_out")
	b.ReportMetric(float64(worst.Microseconds())/1e3, "ms/worst")
	b.ReportMetric(all.Seconds(), "s/largest_of_all")
}

// rowOf is a harbor of flat water with moorings so far apart that only what is set for each place keeps a boat off it: lengths of the boats
// and of what the places take, in feet.
func rowOf(t *testing.T, boats, takes []float64) *room.Water {
	t.Helper()
	origin := geo.Position{LatDeg: 44.2, LonDeg: -41.5}
	at := func(eastM, northM float64) geo.Position {
		return geo.Ahead(geo.Ahead(origin, 90, geo.Metres(eastM)), 0, geo.Metres(northM))
	}
	h := &geo.Harbor{Name: "Row", Units: geo.UnitsFeet, Levels: geo.Known(geo.Levels{Datum: "chart datum", Low: -0.3, High: 3}),
		Defaults: geo.NewDefaults()}
	h.Defaults.Lines.Holding = []geo.AnchorHolding{{Anchor: "mushroom", WeightRatio: 20}}
	h.Defaults.Lines.HardwareUnrecorded = true
	h.Defaults.SoundingReach = 200
	var flat []float64
	for e := -400.0; e <= 1600; e += 100 {
		for n := -400.0; n <= 400; n += 100 {
			p := at(e, n)
			flat = append(flat, p.LonDeg, p.LatDeg, 6)
		}
	}
	h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
	land := orb.Ring{at(-400, 900).Point(), at(1600, 900).Point(), at(1600, 1000).Point(), at(-400, 1000).Point()}
	h.Shoreline.Land = orb.MultiPolygon{{append(land, land[0])}}
	known := func(ft float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Feet(ft)) }
	for i, ft := range boats {
		m := geo.Mooring{Number: fmt.Sprint(i + 1), Status: geo.Occupied, Position: at(float64(i)*300, 0),
			Accuracy: geo.Known(geo.Metres(1)), LargestLOA: known(takes[i]),
			Boat: &geo.Boat{Name: fmt.Sprintf("boat %d", i+1), Kind: "sloop", LOA: known(ft), Beam: known(ft / 3), Draft: known(4),
				BowHeight: known(3)},
			Tackle: geo.Tackle{{Kind: geo.Anchor, Material: "mushroom", Weight: geo.Known(geo.Pounds(2000))},
				{Kind: geo.GroundChain, Length: known(40), Size: known(1.0 / 12), LeftRatio: geo.Known(1.0)},
				{Kind: geo.TopChain, Length: known(30), Size: known(1.0 / 12), LeftRatio: geo.Known(1.0)}, {Kind: geo.Buoy, Size: known(2)},
				{Kind: geo.Pennant, Length: known(15), Size: known(1.5 / 12), Material: "nylon", LeftRatio: geo.Known(1.0)}}}
		h.Moorings = append(h.Moorings, m)
	}
	f, err := clearance.NewField(h)
	if err != nil {
		t.Fatal(err)
	}
	for i := range h.Moorings {
		if fit := f.Fit(h.Moorings[i]); fit.Outcome != clearance.Fits {
			t.Fatalf("%s: %+v", fit.Mooring, fit.Against())
		}
	}
	return room.New(f)
}

// Somebody on mooring 1 buys a boat of 31 ft. Only mooring 2 takes her; its boat of 28 ft fits on 3 alone, and the boat of 3 on 1: no swap
// of two does, a ring of three does.
func TestARingOfThree(t *testing.T) {
	w := rowOf(t, []float64{20, 28, 20}, []float64{22, 32, 29})
	f := w.Field()
	m := f.Harbor().Moorings[0]
	fit := fitting(t, w, longer(m, 31.0/20), room.NewLengths(f))
	var kinds []room.RemedyKind
	for _, way := range fit.Remedies {
		kinds = append(kinds, way.Kind)
		if way.Kind == room.Ring {
			if way.Mooring != "2" || len(way.Moorings) != 3 {
				t.Errorf("%+v", way)
			}
			provedByAllPairs(t, f, way)
		}
	}
	if !slices.Contains(kinds, room.Ring) || slices.Contains(kinds, room.Swapped) {
		t.Errorf("ways %v, want a ring and no swap: %+v", kinds, fit.Against())
	}
	// With a place for the boat of 2 at home the swap comes first.
	w = rowOf(t, []float64{20, 21, 20}, []float64{22, 32, 29})
	fit = fitting(t, w, longer(w.Field().Harbor().Moorings[0], 31.0/20), room.NewLengths(w.Field()))
	if len(fit.Remedies) == 0 || fit.Remedies[0].Kind != room.Swapped {
		t.Errorf("%+v", fit.Remedies)
	}
}

// Lengths that are kept over a change are those that are worked out anew.
func TestLengthsAreKeptWhereAChangeCannotReach(t *testing.T) {
	if testing.Short() {
		t.Skip("the longest boats of whole fields, which the race detector makes long; run without -short")
	}
	f := demo(t).Field()
	before := room.NewLengths(f)
	lengths(t, before, nil)
	told := 0
	for _, i := range []int{3, 120, 301, 480} {
		next := *f.Harbor()
		next.Moorings = slices.Clone(next.Moorings)
		m := &next.Moorings[i]
		m.Position = geo.Ahead(m.Position, 70, 9)
		if m.Boat != nil {
			boat := *m.Boat
			boat.LOA, boat.LengthAll = geo.Known(boat.LOA.Or(8)+2), geo.Maybe[geo.Metres]{}
			m.Boat = &boat
		}
		g, err := f.Next(&next)
		if err != nil {
			t.Fatal(err)
		}
		kept, anew := before.Next(g), room.NewLengths(g)
		differ := 0
		for k, want := range lengths(t, anew, nil) {
			if got := kept.At(k); got != want {
				t.Errorf("mooring %s moved: %s takes %.2f m, kept is %.2f m", m.Number, next.Moorings[k].Number, want, got)
			}
			if want != before.At(k) {
				differ++
			}
		}
		if differ > 0 {
			told++
		}
	}
	if told < 3 { // one lies where she is in nobody's way
		t.Errorf("only %d of the moves change somebody's longest boat: too little was tested", told)
	}
}
