package rode

import (
	"math"
	"testing"
)

// Lines that hang between two points and touch nothing; worked from the closed form 2a sinh(X/2a) = sqrt(L² - h²), V_top = (w/2)(L + h
// coth(X/2a)), a = H/w (the textbook's catenary). Metres and newtons.
func TestAFreeLineAgreesWithTheClosedForm(t *testing.T) {
	for _, c := range []struct{ lengthM, weightNPerM, loadN, topN, reachM, riseM float64 }{
		{500, 200, 43694.606, 77634.411, 400, 200},
		{130, 881.05, 31380.588, 87891.071, 89.9, 59.2},
	} {
		p := Part{WeightNPerM: c.weightNPerM}
		got := p.hang(c.lengthM, c.topN-c.weightNPerM*c.lengthM, c.topN, c.loadN, true)
		const tol = 1e-5 // m; the loads are given to a millinewton
		if math.Abs(got.reachM-c.reachM) > tol || math.Abs(got.riseM-c.riseM) > tol {
			t.Errorf("%+v: reach %.6f, rise %.6f", c, got.reachM, got.riseM)
		}
	}
}
