package clearance

import (
	"testing"

	"swingroom/geo"
)

// A pair of which no weather was found under the margin, but which is not proved to keep it, may come too near; it is never clear, and
// nothing of it is certain.
func TestAPairThatIsNotDecidedIsPossible(t *testing.T) {
	side := pairSide{m: &geo.Mooring{Boat: &geo.Boat{}}}
	for _, c := range []struct {
		gapM, boundM float64
		want         State
		certainty    Certainty
		is           bool
	}{
		{8, 6, Clear, Possible, false},
		{8, 2, Tight, Possible, true},
		{8, -7, MayTouch, Possible, true},
		{2, -7, Tight, Certain, true},
		{-3, -7, Touching, Certain, true},
	} {
		k := Conflict{MarginM: 5, AccuracyM: 1}
		k, is := k.inUnison(&InUnison{GapM: geo.Known(c.gapM), BoundM: geo.Known(c.boundM)}, side, side)
		if k.State != c.want || is != c.is || is && k.Certainty != c.certainty {
			t.Errorf("gap %g m, proved %g m: %s, %s, %v", c.gapM, c.boundM, k.State, k.Certainty, is)
		}
	}
}
