package clearance_test

import (
	"slices"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// reasons are those of what is told of a mooring; "" is the whole harbor.
func reasons(r *clearance.Report, number string) (all []clearance.Reason) {
	for _, list := range [][]clearance.Finding{r.Troubles, r.Unknown} {
		for _, x := range list {
			if x.Mooring == number {
				all = append(all, x.Verdict.Reason)
			}
		}
	}
	return all
}

// What on record contradicts itself is a trouble of its own, with both figures.
func TestContradictionsOfTheRecordAreTold(t *testing.T) {
	origin := places["north"]
	plain := func() geo.Mooring {
		m := tackled(moored(origin, "1", 100, 200, 1), 9, 15)
		m.Area = "Middle"
		return m
	}
	for name, tc := range map[string]struct {
		change func(m *geo.Mooring, h *geo.Harbor)
		want   clearance.Reason
		has    float64
		needs  float64
	}{
		"the card says 19 m over soundings of 5 m": {func(m *geo.Mooring, _ *geo.Harbor) {
			m.Depth = geo.Known(geo.Metres(19))
		}, clearance.DepthsDiffer, 19, 5},
		"the permit ended last month": {func(m *geo.Mooring, h *geo.Harbor) {
			h.Day, m.Permit.Expires = "2026-06-01", "2026-05-31"
		}, clearance.PermitOver, 0, 0},
		"no area, and it lies in one": {func(m *geo.Mooring, _ *geo.Harbor) { m.Area = "" }, clearance.NoArea, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			m := plain()
			h := basin(origin)
			tc.change(&m, h)
			h.Moorings = []geo.Mooring{m}
			f := field(t, h)
			fit := f.Fit(m)
			at := slices.IndexFunc(fit.Verdicts, func(v clearance.Verdict) bool { return v.Reason == tc.want })
			if at < 0 || fit.Verdicts[at].Fits.Or(false) || fit.Verdicts[at].Has.Or(0) != tc.has ||
				fit.Verdicts[at].Needs.Or(0) != tc.needs {
				t.Errorf("%+v", fit.Against())
			}
			if !slices.Contains(reasons(f.Report(), "1"), tc.want) {
				t.Errorf("the report tells %v", reasons(f.Report(), "1"))
			}
			// Without it there is no such word.
			h.Moorings = []geo.Mooring{plain()}
			if slices.Contains(reasons(field(t, h).Report(), "1"), tc.want) {
				t.Error("told without a reason")
			}
		})
	}
}

// The shallower of two depths that contradict each other counts for the swing: with 19 m on the card a short rode seems to reach nowhere.
func TestOfTwoDepthsThatContradictTheWorseCounts(t *testing.T) {
	origin := places["north"]
	m := tackled(moored(origin, "1", 100, 200, 1), 9, 24)
	alone := field(t, basin(origin, m))
	m.Depth = geo.Known(geo.Metres(19))
	f := field(t, basin(origin, m))
	if got, want := f.Swing(0).Radius.Or(0), alone.Swing(0).Radius.Or(1); got != want {
		t.Errorf("%.2f m, by the soundings alone %.2f m", float64(got), float64(want))
	}
	for _, v := range f.Fit(m).Verdicts {
		if v.Constraint == clearance.ByScope && v.Needs.Or(0) < 19+3 {
			t.Errorf("the deeper one counts for the scope: %+v", v)
		}
	}
}

// An occupied mooring without a boat on record keeps the water of the largest boat that may lie there: nobody else is given it.
func TestAnOccupiedMooringWithoutABoatIsNotPassedOver(t *testing.T) {
	origin := places["north"]
	empty := tackled(moored(origin, "2", 108, 200, 1), 9, 15)
	empty.Boat = nil
	hers := tackled(moored(origin, "1", 100, 200, 1), 9, 15)
	f := field(t, basin(origin, hers, empty))
	fit := f.Fit(hers)
	if fit.Outcome == clearance.Fits || !slices.ContainsFunc(fit.Against(), func(v clearance.Verdict) bool { return v.Of == "2" }) {
		t.Errorf("%s %+v", fit.Outcome, fit.Against())
	}
	if f.KeepsClearM(1) < 15 {
		t.Errorf("it keeps %.1f m", f.KeepsClearM(1))
	}
}

// A neighbour whose rode is not on record is looked for as far as it could reach, and not only as far as the judged one does.
func TestANeighbourOfUnknownRodeIsLookedForAsFarAsItCouldReach(t *testing.T) {
	origin := places["north"]
	long := tackled(moored(origin, "2", 129, 200, 1), 18, 26)
	hers := tackled(moored(origin, "1", 100, 200, 1), 6, 8)
	if fit := field(t, basin(origin, hers, long)).Fit(hers); !slices.ContainsFunc(fit.Against(), func(v clearance.Verdict) bool {
		return v.Of == "2" && !v.Fits.Or(true)
	}) {
		t.Fatalf("with the rode known they meet: %+v", fit.Against())
	}
	for i := range long.Tackle {
		long.Tackle[i].Length = geo.Maybe[geo.Metres]{}
	}
	if fit := field(t, basin(origin, hers, long)).Fit(hers); !slices.ContainsFunc(fit.Against(), func(v clearance.Verdict) bool {
		return v.Of == "2"
	}) {
		t.Errorf("%+v", fit.Verdicts)
	}
}

// Two neighbours of different margins: the search does not end at the first that keeps clear, and a wide circle beyond many small ones is
// met.
func TestNoNeighbourIsMissedHoweverManyLieNearer(t *testing.T) {
	origin := places["north"]
	hers := moored(origin, "1", 200, 200, 10)
	all := []geo.Mooring{hers}
	for i := range 40 {
		all = append(all, moored(origin, "small "+string(rune('A'+i)), 186+float64(i%5), 160+float64(i), 0.5))
	}
	all = append(all, moored(origin, "wide", 290, 200, 85))
	for i := range all {
		all[i].Area = "Middle"
	}
	h := basin(origin, all...)
	fit := field(t, h).Fit(hers)
	if !slices.ContainsFunc(fit.Against(), func(v clearance.Verdict) bool { return v.Of == "wide" && v.Reason == clearance.Overlaps }) {
		t.Errorf("a circle of 85 m, 90 m away, is missed: %+v", fit.Against())
	}
}
