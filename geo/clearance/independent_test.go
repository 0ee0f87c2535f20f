package clearance_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"swingroom/fixtures/random"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// plainJudge judges one mooring of a field by plain loops: every other mooring by the geodesic, every edge of every polygon on the plane,
// every limit. It takes the radii and the depths from the field, which are checked elsewhere, and looks at no index. Its answers are the
// least spare of each constraint that is not kept.
func plainJudge(f *clearance.Field, i int) map[string]float64 {
	h := f.Harbor()
	m := &h.Moorings[i]
	short := map[string]float64{}
	note := func(name string, spareM float64) {
		if spareM < 0 && spareM < short[name] {
			short[name] = spareM
		}
	}
	rules := f.Rules(m)
	if r, known := f.Swing(i).Radius.Get(); known {
		radiusM := float64(r)
		for k := range h.Moorings {
			if other, known := f.Swing(k).Radius.Get(); known && k != i {
				d, _ := geo.Geodesic(m.Position, h.Moorings[k].Position)
				note("neighbour "+h.Moorings[k].Number, float64(d)-radiusM-float64(other)-
					float64(max(rules.Margin, f.Rules(&h.Moorings[k]).Margin)))
			}
		}
		at := f.Frame().Project(m.Position)
		note("shore ", outsideM(f.Frame(), h.Shoreline.Land, at)-radiusM-float64(h.Defaults.ShoreSetback))
		for _, k := range h.KeepOuts {
			note(string(map[geo.KeepOutKind]clearance.Constraint{geo.Fairway: clearance.ByFairway,
				geo.ClosedWater: clearance.ByClosed}[k.Kind])+" "+k.Name, outsideM(f.Frame(), k.Shape, at)-radiusM-float64(k.Setback))
		}
		if a, ok := h.Area(m.Area); ok {
			note("area_edge "+a.Name, -outsideM(f.Frame(), a.Shape, at)-radiusM)
		}
		draft := m.LargestDraft
		if m.Boat != nil {
			draft = m.Boat.Draft
		}
		s := f.Bed().Shallowest(at, r)
		if d, known := draft.Get(); known && s.Depth.IsKnown() {
			note("shoal ", float64(s.Depth.Or(0)+h.Levels.Or(geo.Levels{}).Low-d-rules.KeelMargin))
		}
	}
	if m.Boat != nil {
		length, _ := m.Boat.SwingLength()
		for name, x := range map[string][2]geo.Maybe[geo.Metres]{"area_largest_loa " + m.Area: {rules.LargestLOA, length},
			"area_largest_draft " + m.Area:  {rules.LargestDraft, m.Boat.Draft},
			"place_largest_loa " + m.Number: {m.LargestLOA, length}, "place_largest_draft " + m.Number: {m.LargestDraft, m.Boat.Draft}} {
			if x[0].IsKnown() && x[1].IsKnown() {
				note(name, float64(x[0].Or(0)-x[1].Or(0)))
			}
		}
	}
	return short
}

// outsideM is how far a place lies outside some polygons, metres; under 0 inside.
func outsideM(frame geo.Frame, shapes orb.MultiPolygon, at geo.Offset) float64 {
	leastM, inside := math.Inf(1), false
	for _, polygon := range shapes {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				a, b := frame.Project(geo.Position{LatDeg: ring[i-1].Lat(), LonDeg: ring[i-1].Lon()}),
					frame.Project(geo.Position{LatDeg: ring[i].Lat(), LonDeg: ring[i].Lon()})
				along, to := b.Sub(a), at.Sub(a)
				share := max(0, min(1, (to.EastM*along.EastM+to.NorthM*along.NorthM)/(along.EastM*along.EastM+along.NorthM*along.NorthM)))
				leastM = min(leastM, float64(at.Sub(a.Plus(along.Times(share))).Length()))
				if (a.NorthM > at.NorthM) != (b.NorthM > at.NorthM) &&
					at.EastM < a.EastM+(at.NorthM-a.NorthM)/(b.NorthM-a.NorthM)*(b.EastM-a.EastM) {
					inside = !inside
				}
			}
		}
	}
	if inside {
		return -leastM
	}
	return leastM
}

// plainly are the verdicts of a fit check on water and limits that fall short, as plainJudge names them.
func plainly(fit *clearance.Fit) map[string]float64 {
	short := map[string]float64{}
	for _, v := range fit.Against() {
		k := v.Constraint.Kind()
		if spare, known := v.Spare.Get(); known && v.Reason != clearance.MayReach &&
			(k == clearance.KindConflict || k == clearance.KindHazard || k == clearance.KindLimit) {
			name := fmt.Sprintf("%s %s", v.Constraint, v.Of)
			short[name] = min(short[name], spare)
		}
	}
	return short
}

// The judge finds what plain loops find, constraint by constraint, and the report is the fit check of every boat where it lies.
func TestTheJudgeFindsWhatPlainLoopsFind(t *testing.T) {
	found := 0
	for seed := range seeds(t, 3000) {
		f := field(t, random.Harbor(rand.New(rand.NewPCG(uint64(seed), 14))))
		sameAsReport(t, f)
		for i, m := range f.Harbor().Moorings {
			fit := f.Fit(m)
			if fit.Swing.Basis == "none" {
				continue
			}
			got, want := plainly(&fit), plainJudge(f, i)
			found += len(want)
			for name, spareM := range want {
				if have, ok := got[name]; spareM < -1e-3 /* 1 mm */ && (!ok || math.Abs(have-spareM) > 2e-3) {
					t.Errorf("seed %d: %s: %s: %.4f m by plain loops, told %v %.4f m", seed, m.Number, name, spareM, ok, have)
				}
			}
			for name, spareM := range got {
				if _, ok := want[name]; !ok && spareM < -1e-3 {
					t.Errorf("seed %d: %s: %s: %.4f m is told, and plain loops find nothing", seed, m.Number, name, spareM)
				}
			}
		}
		if t.Failed() {
			return
		}
	}
	t.Logf("%d constraints that are not kept", found)
}

// A tighter setting never turns a no into a yes.
func TestATighterSettingNeverTurnsANoIntoAYes(t *testing.T) {
	tighter := map[string]func(*geo.Harbor){
		"margin":      func(h *geo.Harbor) { each(h, func(r *geo.Rules) { r.Margin += 2 }) },
		"keel margin": func(h *geo.Harbor) { each(h, func(r *geo.Rules) { r.KeelMargin += 0.3 }) },
		"largest loa": func(h *geo.Harbor) { each(h, func(r *geo.Rules) { r.LargestLOA = geo.Known(r.LargestLOA.Or(12) - 3) }) },
		"design wind": func(h *geo.Harbor) {
			each(h, func(r *geo.Rules) { r.Design.Wind = geo.Known(r.Design.MeanWind() * 1.2) })
		},
		"gust": func(h *geo.Harbor) { each(h, func(r *geo.Rules) { r.Design.GustRatio = geo.Known(1.6) }) },
		"stream": func(h *geo.Harbor) {
			each(h, func(r *geo.Rules) {
				r.Design.Stream, r.Design.StreamDeg = geo.Known(r.Design.Stream.Or(0)+0.5), geo.Known(10.0)
			})
		},
		"setback": func(h *geo.Harbor) {
			h.KeepOuts = slices.Clone(h.KeepOuts)
			h.KeepOuts[0].Setback += 5
			h.KeepOuts[1].Setback += 5
		},
		"shore":        func(h *geo.Harbor) { h.Defaults.ShoreSetback += 5 },
		"holding":      func(h *geo.Harbor) { h.Defaults.Lines.Holding = []geo.AnchorHolding{{Anchor: "block", WeightRatio: 1}} },
		"not declared": func(h *geo.Harbor) { h.Defaults.Lines.HardwareUnrecorded = false },
	}
	for seed := range seeds(t, 1000) {
		h := random.Harbor(rand.New(rand.NewPCG(uint64(seed), 15)))
		f := field(t, h)
		for name, tighten := range tighter {
			with := *h
			with.Areas = slices.Clone(h.Areas)
			tighten(&with)
			g := field(t, &with)
			for i, m := range h.Moorings {
				if before, after := f.Outcome(m, f.Rules(&m)), g.Outcome(m, g.Rules(&m)); before != clearance.Fits &&
					after == clearance.Fits {
					fit := f.Fit(h.Moorings[i])
					t.Fatalf("seed %d: a tighter %s lets %s fit that was %s: %s", seed, name, m.Number, before, fit.Words.Metres)
				}
			}
		}
	}
}

// each changes the rules of every area.
func each(h *geo.Harbor, change func(*geo.Rules)) {
	for i := range h.Areas {
		change(&h.Areas[i].Rules)
	}
	change(&h.Defaults.Rules)
}
