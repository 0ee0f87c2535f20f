// Package clearance tells which swing circles come too close to each other and to what is fixed, and whether a boat fits on a mooring.
//
// It is the one judge. The report, a boat that is tried, lists of places, open water, the waiting list, remedies and acts all ask
// [Field.Fit] or one of its short forms, so that they cannot disagree.
//
// A pair is a conflict when radius + radius + margin - distance > 0. The margin is the larger of the two areas', and the overlap is
// radius + radius - distance. With s the root of the sum of the squares of the two positions' accuracies:
//
//	certain    overlap + margin > s, and neither radius is only a bound; otherwise possible
//	touching   overlap > s
//	tight      overlap < -s
//	may touch  in between
//
// A pair of circles that meet, both of an area that lies in unison, is judged by the hulls instead: the overlap is then that of the hulls
// in the weather of the areas' designs in which they come closest. Where a record is missing the pair stays with its circles, as a bound.
//
// What is not on record is bounded or refused, and never passed.
package clearance
