package swing

import "math"

// unsettledRatio is the share of wind and stream that has to be left of the two for a boat to lie settled to them; common practice, no
// source. Where they all but cancel each other, boats are seen to sheer about and to turn right round within seconds.
const unsettledRatio = 0.1

// stability is how far wind and stream hold a boat.
//
// It turns while the sum of their side forces is less than [unsettledRatio] of both together: then it may point any way, and its bow lies
// anywhere within the reach under the largest load that they can lay on it at any heading. It drifts while its heading is held but the load
// is less than unsettledRatio of what wind and stream pull by themselves: then its bow lies anywhere within the reach under that load. In
// both cases it is told as unsettled. As the boat would lie by the balance of the forces alone is always among these places, so that a gap
// is never told larger for it.
//
// A calm at slack is a case of its own, which a design may leave out: there neither boat has a load.
type stability uint8

const (
	settled stability = iota
	drifting
	turning
	stabilityCount
)

// maxTurningLoadN is the largest load on a boat that turns, newtons: headN is the load while it lies along both, and sideN the sum of the
// side forces.
//
// At a heading that meets the wind at an angle a and the stream at b, the load is W u + S e, with W between the forces along it and from
// abeam by the square of sin a, and S by that of sin b. The squares differ by no more than the sine of the angle between wind and stream,
// for sin²a - sin²b = sin(a+b) sin(a-b). So the load is a mean of that along it and that from abeam, whose length is at most the larger of
// headN and sideN, and a rest of at most the wind's side force times that sine, which is no more than sideN.
func maxTurningLoadN(headN, sideN float64) float64 { return max(headN, sideN) + sideN }

// sternCornerM is from a boat's bow to the corners of its stern.
func (c *Vessel) sternCornerM() float64 { return math.Hypot(float64(c.Length), float64(c.Beam)/2) }
