package room

import (
	"context"
	"errors"
	"slices"
	"testing"

	"swingroom/geo"
)

// pond is a square with one disc in it: an outer ring and a hole.
func pond() *plan {
	p := boxed(&plan{zones: []zone{zoneOf(true, 0, ringOf(0, 0, 100, 0, 100, 100, 0, 100))},
		discs: []disc{{at: geo.Offset{EastM: 50, NorthM: 47}, keepM: 5, own: true}}})
	p.radius.fixedM = 10
	return p
}

func traced(t *testing.T, p *plan) *tracer {
	t.Helper()
	cellM, levelM := p.fineness(regionCellM)
	tr, ok := p.trace(context.Background(), tracer{cellM: cellM, levelM: levelM, halvings: halvings})
	if !ok {
		t.Fatal("stopped")
	}
	return tr
}

func TestALostLegIsAFaultAndNoChord(t *testing.T) {
	tr := traced(t, pond())
	if _, faults := tr.rings(); len(faults) > 0 {
		t.Fatalf("with all legs: %+v", faults)
	}
	tr = traced(t, pond())
	tr.legs = slices.Delete(tr.legs, len(tr.legs)/2, len(tr.legs)/2+1)
	r, faults := tr.rings()
	if len(faults) == 0 || faults[0].why != "it ends in open water" {
		t.Errorf("with a leg less: %+v", faults)
	}
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				if m := lengthM(ring[i].Sub(ring[i-1])); m > 2*tr.cellM {
					t.Errorf("a chord of %.1f m", m)
				}
			}
		}
	}
}

func TestAFalseRegionIsFound(t *testing.T) {
	tr := traced(t, pond())
	whole, _ := tr.rings()
	if faults := tr.check(&whole); len(faults) > 0 || len(whole.Polygons) != 1 || len(whole.Polygons[0]) != 2 {
		t.Fatalf("as followed: %+v", faults)
	}
	without := whole
	without.Polygons = [][][]geo.Offset{{whole.Polygons[0][0]}}
	if faults := tr.check(&without); len(faults) != 1 || faults[0].at != tr.plan.discs[0].at {
		t.Errorf("without its hole: %+v", faults)
	}
	outer := append([]geo.Offset{}, whole.Polygons[0][0]...)
	n := len(outer) / 3
	outer[n], outer[n+1] = outer[n+1], outer[n]
	crossed := whole
	crossed.Polygons = [][][]geo.Offset{{outer, whole.Polygons[0][1]}}
	if faults := tr.check(&crossed); len(faults) == 0 {
		t.Error("two corners changed about: nothing is found")
	}
}

// A radius whose bounds are wrong, as they once were where a rode is too short in the deepest water, loses water without a word in
// a follower that takes them on trust. However often it is followed again, it is refused.
func TestARegionThatCannotBeFollowedIsRefused(t *testing.T) {
	p := pond()
	p.radius.byDepth = func(float64) float64 { return 10 }
	p.radius.depth = func(geo.Offset) (float64, bool) { return 5, true }
	p.radius.span = func(at geo.Offset, reachM float64) (float64, float64) { return at.EastM, at.EastM }
	p.radius.between = func(eastM, _ float64) (minM, maxM float64) {
		if eastM > 50 {
			return 60, 60
		}
		return 10, 10
	}
	r, fault, err := p.region(context.Background(), regionCellM)
	if fault == nil || err != nil || len(r.Polygons) > 0 {
		t.Errorf("%+v, %v, %d polygons", fault, err, len(r.Polygons))
	}
}

func TestARegionThatIsStoppedClaimsNothing(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	r, fault, err := pond().region(ctx, 0.01)
	if !errors.Is(err, ErrStopped) || !errors.Is(err, context.Canceled) || Partial(err) || fault != nil || len(r.Polygons) > 0 ||
		r.AreaM2 != 0 {
		t.Errorf("%v, %+v, %+v", err, fault, r)
	}
	if !errors.Is(&RefusedError{}, ErrRefused) {
		t.Error("a refusal is not of its kind")
	}
}

// Water that hangs together by a neck narrower than a leaf.
func TestNarrowWaterIsNotLost(t *testing.T) {
	const neckM = 0.1
	p := boxed(&plan{zones: []zone{zoneOf(true, 0, ringOf(0, 0, 100, 0, 100, 40, 0, 40))}, discs: []disc{
		{at: geo.Offset{EastM: 50, NorthM: 3}, keepM: 7, own: true}, {at: geo.Offset{EastM: 50, NorthM: 37 + neckM}, keepM: 7, own: true}}})
	p.radius.fixedM = 10
	r, fault, err := p.region(context.Background(), regionCellM)
	if fault != nil || err != nil || len(r.Polygons) != 1 {
		t.Errorf("a neck of %g m: %+v, %v, %d polygons", neckM, fault, err, len(r.Polygons))
	}
	p.discs[1].at.NorthM = 37 - neckM
	if r, _, _ = p.region(context.Background(), regionCellM); len(r.Polygons) != 2 {
		t.Errorf("no neck: %d polygons", len(r.Polygons))
	}
}
