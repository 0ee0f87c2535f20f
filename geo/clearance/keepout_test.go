package clearance_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

func TestFairwaysOfOneNameAreJudgedAndToldEachByItself(t *testing.T) {
	origin := places["north"]
	frame := geo.NewFrame(origin)
	fairway := func(west, south, east, north, setback float64) geo.KeepOut {
		var ring orb.Ring
		for _, o := range []geo.Offset{{EastM: west, NorthM: south}, {EastM: east, NorthM: south}, {EastM: east, NorthM: north},
			{EastM: west, NorthM: north}, {EastM: west, NorthM: south}} {
			ring = append(ring, frame.Position(o).Point())
		}
		return geo.KeepOut{Name: "Main", Kind: geo.Fairway, Shape: orb.MultiPolygon{{ring}}, Setback: geo.Metres(setback)}
	}
	for name, tc := range map[string]struct {
		keepOuts []geo.KeepOut
		needsM   []float64 // by number in Harbor.KeepOuts
		words    string
	}{
		// A circle of 20 m: the first begins 24 m to the east, the second 22 m to the north.
		"two setbacks": {[]geo.KeepOut{fairway(24, -50, 40, 50, 10), fairway(-50, 22, 50, 40, 3)}, []float64{10, 3},
			"Swings into the 10 m kept clear beside the fairway Main; swings into the 3 m kept clear beside the fairway Main."},
		"the other way round": {[]geo.KeepOut{fairway(-50, 22, 50, 40, 3), fairway(24, -50, 40, 50, 10)}, []float64{3, 10},
			"Swings into the 3 m kept clear beside the fairway Main; swings into the 10 m kept clear beside the fairway Main."},
		"one setback": {[]geo.KeepOut{fairway(24, -50, 40, 50, 5), fairway(-50, 22, 50, 40, 5)}, []float64{5, 5},
			"Swings into the 5 m kept clear beside the fairway Main (2 of that name)."},
		"into both": {[]geo.KeepOut{fairway(15, -50, 40, 50, 5), fairway(-50, 15, 50, 40, 3)}, []float64{5, 3},
			"Swings into the fairway Main (2 of that name)."},
	} {
		t.Run(name, func(t *testing.T) {
			h := &geo.Harbor{Name: "Two", Units: geo.UnitsMetres, Defaults: geo.NewDefaults(), KeepOuts: tc.keepOuts,
				Moorings: []geo.Mooring{moored(origin, "1", 0, 0, 20)}}
			f := field(t, h)
			fit := f.Fit(h.Moorings[0])
			var told int
			for _, v := range fit.Verdicts {
				if v.Constraint == clearance.ByFairway {
					told++
					if needsM := v.Needs.Or(0); v.Of != "Main" || needsM != tc.needsM[v.KeepOut] {
						t.Errorf("number %d needs %g m, want %g m", v.KeepOut, needsM, tc.needsM[v.KeepOut])
					}
				}
			}
			if told != 2 || len(f.Report().Hazards) != 2 {
				t.Errorf("%d verdicts and %d hazards, want 2 of each", told, len(f.Report().Hazards))
			}
			if !strings.HasPrefix(fit.Words.Metres, tc.words[:len(tc.words)-1]) {
				t.Errorf("%q, want %q", fit.Words.Metres, tc.words)
			}
		})
	}
}

func TestWhatIsFixedIsToldAsAHarbormasterWouldSayIt(t *testing.T) {
	verdict := func(k clearance.Constraint, reason clearance.Reason, hasFt, needsFt float64) clearance.Verdict {
		hasM, needsM := float64(geo.Feet(hasFt)), float64(geo.Feet(needsFt))
		v := clearance.Verdict{Constraint: k, Reason: reason, Unit: "m", Has: geo.Known(hasM), Needs: geo.Known(needsM),
			Spare: geo.Known(hasM - needsM)}
		if k != clearance.ByShore {
			v.Of = "Town Channel"
		}
		return v
	}
	for want, v := range map[string]clearance.Verdict{
		"swings 13 ft past the shoreline": verdict(clearance.ByShore, clearance.Into, -13,
			0),
		"swings 13 ft past the shoreline, and 20 ft off it are kept clear": verdict(clearance.ByShore, clearance.Into, -13,
			20),
		"swings 13 ft into the 20 ft kept clear off the shore: 7 ft left": verdict(clearance.ByShore,
			clearance.InsideSetback, 7, 20),
		"swings 4 ft into the fairway Town Channel": verdict(clearance.ByFairway, clearance.Into,
			-4, 0),
		"swings 4 ft beyond the edge of Town Channel": verdict(clearance.ByAreaEdge, clearance.Into,
			-4, 0),
		"keeps off the shore by 30 ft, and 20 ft off it are kept clear": verdict(clearance.ByShore, clearance.KeepsOff,
			30, 20),
		"swings 4 ft into the closed water Town Channel, and 9 ft beside it are kept clear": verdict(clearance.ByClosed, clearance.Into, -4,
			9),
	} {
		if got := v.Sentence(geo.UnitsFeet); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
