package room

import (
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Matched lets the tests from outside hold the assignment against all others.
var Matched = matched

// Judged is the full check of a mooring laid at a place, and AgainstWater what of it water, limits and records do not keep, in short.
var Judged = (*Question).check

func AgainstWater(q *Question, at geo.Offset) []clearance.Verdict {
	return q.water.field.AgainstWater(q.mooring(at), q.rules, q.ask.Without)
}

// RadiusAt and RadiusBetween are her radius at a depth, and its bounds between two; known is false where it is the same everywhere.
func RadiusAt(q *Question, depthM float64) (radiusM float64, known bool) {
	if q.plan.radius.byDepth == nil {
		return 0, false
	}
	return q.plan.radius.byDepth(depthM), true
}

func RadiusBetween(q *Question, shallowM, deepM float64) (minM, maxM float64) {
	return q.plan.radius.between(shallowM, deepM)
}
