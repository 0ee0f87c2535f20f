package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// Offset is a place on a harbor's plane, in metres east and north of the Frame's origin.
type Offset struct {
	EastM  float64 `json:"east_m"`
	NorthM float64 `json:"north_m"`
}

// Sub is the offset from q to o.
func (o Offset) Sub(q Offset) Offset { return Offset{o.EastM - q.EastM, o.NorthM - q.NorthM} }

// Plus moves o by q.
func (o Offset) Plus(q Offset) Offset { return Offset{o.EastM + q.EastM, o.NorthM + q.NorthM} }

// Times stretches o by a ratio.
func (o Offset) Times(ratio float64) Offset { return Offset{o.EastM * ratio, o.NorthM * ratio} }

// Length is the distance from the origin.
func (o Offset) Length() Metres { return Metres(math.Hypot(o.EastM, o.NorthM)) }

// Frame is one harbor's plane: positions on the ellipsoid projected at right angles on the plane
// that touches it at the origin (the east and north of an east-north-up system). Lengths shrink with
// the square of the distance from the origin: [Frame.ErrorM] says by how much at most. It is made for one harbor:
// within [FrameReach] of its origin.
type Frame struct {
	origin         Position
	sinLat, cosLat float64
	originNM       float64 // radius of curvature in the prime vertical at the origin, metres
}

// FrameReach is how far from its origin a Frame is used: there a length of 100 m is less than 2 mm short.
const FrameReach Metres = 40000

// NewFrame makes the plane that touches the ellipsoid at origin.
func NewFrame(origin Position) Frame {
	sin, cos := math.Sincos(origin.LatDeg * (math.Pi / 180))
	return Frame{origin: origin, sinLat: sin, cosLat: cos, originNM: primeVerticalM(sin)}
}

// Origin is the position where the plane touches the ellipsoid.
func (f Frame) Origin() Position { return f.origin }

func primeVerticalM(sinLat float64) float64 {
	return SemiMajorM / math.Sqrt(1-eccentricity2*sinLat*sinLat)
}

// Project gives the place of p on the plane, in metres.
func (f Frame) Project(p Position) Offset {
	sin, cos := math.Sincos(p.LatDeg * (math.Pi / 180))
	dLonRad := wrapLonDeg(p.LonDeg-f.origin.LonDeg) * (math.Pi / 180)
	n := primeVerticalM(sin)
	half := math.Sin(dLonRad / 2)
	// North is n·(sin φ·cos φ0 - cos φ·sin φ0·cos λ) less the offset of the two normals' feet on the axis.
	// Written with sin(φ-φ0) and 2·sin²(λ/2), so that nothing large cancels near the origin.
	dLatRad := (p.LatDeg - f.origin.LatDeg) * (math.Pi / 180)
	north := n*(math.Sin(dLatRad)+cos*f.sinLat*2*half*half) -
		eccentricity2*(n*sin-f.originNM*f.sinLat)*f.cosLat
	return Offset{EastM: n * cos * math.Sin(dLonRad), NorthM: north}
}

// ProjectPoint projects a GeoJSON point.
func (f Frame) ProjectPoint(pt orb.Point) Offset { return f.Project(PositionOf(pt)) }

// Position is the inverse of Project, to 1e-9 m on the plane: Newton's method with the two radii of curvature.
// Offsets longer than the Earth's radius have no position; the closest is given.
func (f Frame) Position(o Offset) Position {
	p := f.origin
	for range 30 {
		at := f.Project(p)
		d := o.Sub(at)
		sin, cos := math.Sincos(p.LatDeg * (math.Pi / 180))
		n := primeVerticalM(sin)
		m := n * (1 - eccentricity2) / (1 - eccentricity2*sin*sin)
		p.LatDeg = max(-90, min(90, p.LatDeg+d.NorthM/m*(180/math.Pi)))
		p.LonDeg = wrapLonDeg(p.LonDeg + d.EastM/(n*max(cos, 1e-9))*(180/math.Pi))
		if math.Abs(d.EastM)+math.Abs(d.NorthM) < 1e-9 {
			break
		}
	}
	return p
}

// ErrorM bounds how far a length of lengthM on the plane can be from the geodesic, in metres, when both of its ends lie
// within radiusM of the origin: the plane foreshortens by the cosine of the angle from the origin, so
// lengthM·radiusM²/2R², and the chord is shorter than the arc by lengthM³/24R². R is the smallest
// radius of curvature (6335.4 km); 1e-8 m is for rounding. Published values, section 6.2, hold against it.
func (f Frame) ErrorM(radiusM, lengthM float64) float64 {
	const rM = SemiMajorM * (1 - eccentricity2)
	return lengthM*radiusM*radiusM/(2*rM*rM) + lengthM*lengthM*lengthM/(24*rM*rM) + 1e-8
}

// Toward is a distance in a direction: a bearing in degrees, clockwise from the plane's north.
func Toward(bearingDeg float64, distance Metres) Offset {
	sin, cos := math.Sincos(bearingDeg * (math.Pi / 180))
	return Offset{EastM: float64(distance) * sin, NorthM: float64(distance) * cos}
}
