package room

// Matched lets the tests from outside hold the assignment against all others.
var Matched = matched

// Judged is the full check of a mooring laid at a place.
var Judged = (*Question).check

// RadiusAt and RadiusBetween are her radius at a depth, and its bounds between two; known is false where it is the same everywhere.
func RadiusAt(q *Question, depthM float64) (radiusM float64, known bool) {
	if q.plan.radius.byDepth == nil {
		return 0, false
	}
	return q.plan.radius.byDepth(depthM), true
}

func RadiusBetween(q *Question, shallowM, deepM float64) (leastM, mostM float64) {
	return q.plan.radius.between(shallowM, deepM)
}
