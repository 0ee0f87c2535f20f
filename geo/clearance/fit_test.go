package clearance_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"swingroom/api/exchange"
	"swingroom/fixtures"
	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

func demoField(t testing.TB) *clearance.Field {
	t.Helper()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f, err := clearance.NewField(in.Harbor)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func verdicts(fit clearance.Fit, k clearance.Constraint) (all []clearance.Verdict) {
	for _, v := range fit.Verdicts {
		if v.Constraint == k {
			all = append(all, v)
		}
	}
	return all
}

// Every verdict of the demo harbor against all pairs by geodesics, and against its own figures.
func TestEveryVerdictAgreesWithItsFigures(t *testing.T) {
	f := demoField(t)
	h := f.Harbor()
	outcomes := map[clearance.Outcome]int{}
	for i := range h.Moorings {
		m := h.Moorings[i]
		if m.Boat == nil {
			continue
		}
		fit := f.Fit(m)
		outcomes[fit.Outcome]++
		for _, v := range fit.Verdicts {
			has, known := v.Has.Get()
			want := has - v.Needs.Or(math.NaN())
			if v.IsMax {
				want = -want
			}
			if spare, _ := v.Spare.Get(); known && v.Needs.IsKnown() && !(math.Abs(spare-want) < 1e-9) {
				t.Errorf("%s %s: %.3f to spare of %.3f against %.3f", m.Number, v.Constraint, spare, has, v.Needs.Or(0))
			}
			if v.Sentence(geo.UnitsFeet) == "" || v.Sentence(geo.UnitsMetres) == "" {
				t.Errorf("%s %s: no words", m.Number, v.Constraint)
			}
		}
		for _, v := range verdicts(fit, clearance.ByNeighbour) {
			if v.Fits.Or(true) || v.Lying == geo.InUnison {
				continue
			}
			n, _ := f.Index(v.Of)
			gapM := float64(geo.Distance(m.Position, h.Moorings[n].Position)) - float64(fit.Swing.Radius.Or(0)) -
				float64(f.Swing(n).Radius.Or(0))
			if math.Abs(gapM-v.Has.Or(0)) > 2e-3 {
				t.Errorf("%s beside %s: %.3f m, by the geodesic %.3f m", m.Number, v.Of, v.Has.Or(0), gapM)
			}
		}
		no := slices.ContainsFunc(fit.Verdicts, func(v clearance.Verdict) bool { fits, known := v.Fits.Get(); return known && !fits })
		open := slices.ContainsFunc(fit.Verdicts, func(v clearance.Verdict) bool { return !v.Fits.IsKnown() })
		if no != (fit.Outcome == clearance.DoesNotFit) || (open && !no) != (fit.Outcome == clearance.CannotBeSaid) {
			t.Errorf("%s: %s with a no %v, open %v", m.Number, fit.Outcome, no, open)
		}
	}
	if outcomes[clearance.Fits] < 50 || outcomes[clearance.DoesNotFit] < 50 || outcomes[clearance.CannotBeSaid] < 5 {
		t.Errorf("%v", outcomes)
	}
}

// A boat that grows breaks one constraint after another, and each is named.
func TestALargerBoatBreaksTheConstraintsByName(t *testing.T) {
	f := demoField(t)
	i, _ := f.Index("301")
	m := f.Harbor().Moorings[i]
	boat := *m.Boat
	m.Boat = &boat
	try := func(loa, draft geo.Metres) clearance.Fit {
		boat.LOA, boat.LengthAll, boat.Draft, boat.Beam = geo.Known(loa), geo.Maybe[geo.Metres]{}, geo.Known(draft), geo.Known(loa/3)
		return f.Fit(m)
	}
	big := try(17, 3)
	for _, k := range []clearance.Constraint{clearance.ByAreaLOA, clearance.ByAreaEdge, clearance.ByFairway, clearance.ByAnchor,
		clearance.ByStrength, clearance.ByTable} {
		if all := verdicts(big, k); len(all) == 0 || !slices.ContainsFunc(all, func(v clearance.Verdict) bool {
			return !v.Fits.Or(false)
		}) {
			t.Errorf("a boat of 17 m passes %s: %+v", k, all)
		}
	}
	if v := verdicts(try(7, 30), clearance.ByShoal); len(v) != 1 || v[0].Fits.Or(true) {
		t.Errorf("a draft of 30 m: %+v", v)
	}
	boat.LOA = geo.Maybe[geo.Metres]{}
	if fit := f.Fit(m); fit.Outcome != clearance.CannotBeSaid && fit.Outcome != clearance.DoesNotFit ||
		!slices.Contains(fit.Against()[0].Missing, "loa_m") {
		t.Errorf("a boat without a length: %s %+v", fit.Outcome, fit.Against())
	}
}

// What was left of a part at its last inspection decides: a worn one is refused, and of one of which nothing is known it cannot be said,
// for it may be worn.
func TestWearCounts(t *testing.T) {
	h := *demoField(t).Harbor()
	h.Areas = slices.Clone(h.Areas)
	for i := range h.Areas {
		h.Areas[i].Rules.Design.Wind = geo.Known(geo.Knots(42)) // the storm row of published tables
	}
	f := field(t, &h)
	i, _ := f.Index("301")
	m := h.Moorings[i]
	at := slices.IndexFunc(m.Tackle, func(p geo.Part) bool { return p.Kind == geo.TopChain })
	verdict := func(size, left float64) clearance.Verdict {
		m.Tackle = slices.Clone(m.Tackle)
		m.Tackle[at].Size, m.Tackle[at].LeftRatio = geo.Known(geo.Metres(size)), geo.Maybe[float64]{}
		if left > 0 {
			m.Tackle[at].LeftRatio = geo.Known(left)
		}
		for _, v := range verdicts(f.Fit(m), clearance.ByStrength) {
			if v.Of == string(geo.TopChain) {
				return v
			}
		}
		t.Fatal("no verdict on the top chain")
		return clearance.Verdict{}
	}
	// In 42 kn her top chain is pulled by some 5,050 N (1,135 lbf): a quarter-inch chain of grade 30 works at 5,783 N.
	if v := verdict(0.00635, 1); !v.Fits.Or(false) {
		t.Errorf("a new quarter inch: %+v", v)
	}
	if v := verdict(0.00635, 0.82); v.Fits.Or(true) {
		t.Errorf("a worn quarter inch: %+v", v)
	}
	if v := verdict(0.00635, 0); v.Fits.IsKnown() {
		t.Errorf("a quarter inch of unknown wear: %+v", v)
	}
	if v := verdict(0.016, 0); v.Fits.IsKnown() || !slices.Contains(v.Missing, "top_chain_left") {
		t.Errorf("a strong chain of unknown wear: %+v", v)
	}
	if v := verdict(0.016, 0.79); v.Fits.Or(true) {
		t.Errorf("a strong chain that is to be put away: %+v", v)
	}
}

// BenchmarkFit is the fit check of every boat of the demo harbor on her own mooring.
func BenchmarkFit(b *testing.B) {
	f := demoField(b)
	f.Report()
	h := f.Harbor()
	worst := time.Duration(0)
	n := 0
	for b.Loop() {
		n++
		m := h.Moorings[n%len(h.Moorings)]
		if m.Boat == nil {
			continue
		}
		start := time.Now()
		f.Fit(m)
		worst = max(worst, time.Since(start))
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/verdict")
	b.ReportMetric(float64(worst.Microseconds())/1e3, "ms/worst")
}

// No vessel may at any time extend beyond the area: the rule of the special anchorage areas of 33 CFR 110, on an area of 110.50b. What the
// check tells of the edge is held against geodesics to places all along it, by the metre.
func TestNoVesselExtendsBeyondAFederalArea(t *testing.T) {
	var corners []geo.Position
	for _, row := range outside.Table(t, "../../testdata/geodesy/federal_areas.csv") {
		if row[0] != "1" {
			continue
		}
		for _, corner := range strings.Split(row[1], "|") {
			p, err := geo.ParsePosition(corner, nil)
			if err != nil {
				t.Fatal(err)
			}
			corners = append(corners, p)
		}
	}
	if len(corners) < 4 {
		t.Fatalf("%d corners", len(corners))
	}
	var ring orb.Ring
	middle := geo.Position{}
	for _, c := range corners {
		ring = append(ring, c.Point())
		middle.LatDeg += c.LatDeg / float64(len(corners))
		middle.LonDeg += c.LonDeg / float64(len(corners))
	}
	h := &geo.Harbor{Name: "Federal", Units: geo.UnitsFeet, Levels: geo.Known(geo.Levels{Low: 0, High: 1}), Defaults: geo.NewDefaults()}
	h.Areas = []geo.Area{{Name: "Area 1", Shape: orb.MultiPolygon{{append(ring, ring[0])}}, Rules: geo.DefaultRules()}}
	leastM := math.Inf(1)
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		d, bearing := geo.Geodesic(a, b)
		for along := geo.Metres(0); along < d; along++ {
			leastM = min(leastM, float64(geo.Distance(middle, geo.Ahead(a, bearing, along))))
		}
	}
	for _, c := range []struct {
		radiusM float64
		fits    bool
	}{{leastM - 0.5, true}, {leastM + 0.5, false}} {
		m := geo.Mooring{Number: "1", Area: "Area 1", Status: geo.Occupied, Position: middle, Accuracy: geo.Known(geo.Metres(0)),
			StatedRadius: geo.Known(geo.Metres(c.radiusM)),
			Boat:         &geo.Boat{LOA: geo.Known(geo.Metres(8)), Draft: geo.Known(geo.Metres(1)), BowHeight: geo.Known(geo.Metres(1))}}
		h.Areas[0].Rules.Swing = geo.SwingRule{Kind: geo.Stated}
		h.Moorings = []geo.Mooring{m}
		f, err := clearance.NewField(h)
		if err != nil {
			t.Fatal(err)
		}
		edge := verdicts(f.Fit(m), clearance.ByAreaEdge)
		if len(edge) != 1 || edge[0].Fits.Or(!c.fits) != c.fits || math.Abs(edge[0].Spare.Or(math.NaN())-(leastM-c.radiusM)) > 0.05 {
			t.Errorf("a radius of %.2f m, the edge %.2f m away: %+v", c.radiusM, leastM, edge)
		}
	}
}

// A place that is kept for longer boats refuses a short one, and says by how much.
func TestAPlaceKeptForLongerBoats(t *testing.T) {
	f := demoField(t)
	i, _ := f.Index("301")
	m := f.Harbor().Moorings[i]
	length, _ := m.Boat.SwingLength()
	for _, c := range []struct {
		moreM geo.Metres
		fits  bool
	}{{-0.5, true}, {0.5, false}} {
		m.SmallestLOA = geo.Known(length.Or(0) + c.moreM)
		if v := verdicts(f.Fit(m), clearance.ByPlaceMinLOA); len(v) != 1 || v[0].Fits.Or(!c.fits) != c.fits ||
			math.Abs(v[0].Spare.Or(0)+float64(c.moreM)) > 1e-9 {
			t.Errorf("%+v", v)
		}
	}
	if m.SmallestLOA, m.LargestLOA = geo.Known(geo.Metres(9)), geo.Known(geo.Metres(8)); m.Validate() == nil {
		t.Error("a smallest boat that is longer than the largest is taken")
	}
}
