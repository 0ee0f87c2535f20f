package room_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"swingroom/geo/room"
)

// The bounds of her radius between two depths hold for every depth between, under every rule, also where the rode is too short for
// the deeper of the two: a search that trusts in them leaves out no water in which she may lie.
func TestTheBoundsOfTheRadiusHold(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 8))
	kinds, short := map[string]int{}, 0
	for seed := range 50 {
		q := sketched(t, uint64(seed))
		if _, changes := room.RadiusAt(q.Question, 0); !changes {
			continue
		}
		kinds[string(q.area.Rules.Swing.Kind)]++
		for range 200 {
			shallowM := -2 + 16*random.Float64()
			deepM := shallowM + 10*random.Float64()*random.Float64()
			minM, maxM := room.RadiusBetween(q.Question, shallowM, deepM)
			for range 20 {
				depthM := shallowM + (deepM-shallowM)*random.Float64()
				const rounding = 1e-9
				if r, _ := room.RadiusAt(q.Question, depthM); r < minM-rounding || r > maxM+rounding {
					t.Fatalf("harbor %d, %s: %g m at %g m, but from %g m to %g m between %g m and %g m",
						seed, q.area.Rules.Swing.Kind, r, depthM, minM, maxM, shallowM, deepM)
				}
			}
			if math.IsInf(maxM, 1) && !math.IsInf(minM, 1) {
				short++
			}
		}
	}
	if kinds["taut"] == 0 || kinds["catenary"] == 0 || kinds["scope"] == 0 || kinds["formula"] == 0 || short < 100 {
		t.Errorf("looked at %v, and %d times where the rode is too short for a part", kinds, short)
	}
}
