package geo

import (
	"math"

	"github.com/tidwall/geodesic"
)

// The WGS 84 ellipsoid. Source: NIMA TR8350.2 (3rd ed., 2000), table 3.1.
const (
	SemiMajorM    = 6378137.0
	flattening    = 1 / 298.257223563
	eccentricity2 = flattening * (2 - flattening)
)

// FieldRange is the distance up to which [Distance] uses the mid-latitude pair formula. At 2 km its
// error is under 0.01 mm at 45° and under 0.1 mm at 70° ([PairErrorM]); beyond, it takes the geodesic.
const FieldRange Metres = 2000

// Distance is the length of the shortest line on the ellipsoid between two positions, in metres:
// by the pair formula within [FieldRange], by Karney's geodesic beyond.
func Distance(a, b Position) Metres {
	if math.Abs(a.LatDeg-b.LatDeg) < 0.1 {
		if d := NewStation(a).PairDistance(NewStation(b)); d < FieldRange {
			return d
		}
	}
	d, _ := Geodesic(a, b)
	return d
}

// Geodesic is the length in metres of the shortest line on the ellipsoid from a to b and its bearing at a,
// in degrees true, 0 up to 360. Karney, Algorithms for geodesics, J. Geodesy 87 (2013), by tidwall/geodesic:
// to 15 nm by its author's statement. The bearing between equal positions is 0.
func Geodesic(a, b Position) (distance Metres, bearingTrueDeg float64) {
	var s12M, azi1Deg, azi2Deg float64
	geodesic.WGS84.Inverse(a.LatDeg, a.LonDeg, b.LatDeg, b.LonDeg, &s12M, &azi1Deg, &azi2Deg)
	if s12M == 0 {
		return 0, 0
	}
	bearingTrueDeg = math.Mod(azi1Deg+360, 360)
	return Metres(s12M), bearingTrueDeg
}

// Ahead is the position reached from p over a distance on a bearing, along the geodesic.
func Ahead(p Position, bearingTrueDeg float64, distance Metres) Position {
	var latDeg, lonDeg, aziDeg float64
	geodesic.WGS84.Direct(p.LatDeg, p.LonDeg, bearingTrueDeg, float64(distance), &latDeg, &lonDeg, &aziDeg)
	return Position{LatDeg: latDeg, LonDeg: wrapLonDeg(lonDeg)}
}

// Station is a position made ready for many pair distances: the arc of its meridian from the equator
// and the radius of its parallel.
type Station struct {
	LonRad    float64
	MeridianM float64 // arc of the meridian from the equator, metres
	ParallelM float64 // radius of the parallel, N·cos φ, metres
}

// The meridian arc as a series in the third flattening n, to n⁴ (the next term is under 1e-6 mm).
// Source: Helmert, Die mathematischen und physikalischen Theorieen der höheren Geodäsie (1880), ch. 1;
// from memory, held against GeographicLib in the tests.
const (
	n1        = flattening / (2 - flattening)
	n2        = n1 * n1
	n3        = n2 * n1
	n4        = n2 * n2
	arcTermsM = SemiMajorM / (1 + n1)
	arcRadM   = arcTermsM * (1 + n2/4 + n4/64) // metres of arc a radian, on average
	arc2      = -3. / 2 * n1 * (1 - n2/8)
	arc4      = 15. / 16 * n2 * (1 - n2/4)
	arc6      = -35. / 48 * n3
	arc8      = 315. / 512 * n4
)

// NewStation prepares a position.
func NewStation(p Position) Station {
	sin, cos := math.Sincos(p.LatDeg * (math.Pi / 180))
	return Station{
		LonRad:    p.LonDeg * (math.Pi / 180),
		MeridianM: meridianArcM(p.LatDeg*(math.Pi/180), sin, cos),
		ParallelM: SemiMajorM * cos / math.Sqrt(1-eccentricity2*sin*sin),
	}
}

// meridianArcM sums the series with one sine and cosine: sin 2φ and cos 2φ, then Clenshaw.
func meridianArcM(latRad, sin, cos float64) float64 {
	sin2, cos2 := 2*sin*cos, (cos-sin)*(cos+sin)
	x := 2 * cos2
	b4 := arc8
	b3 := arc6 + x*b4
	b2 := arc4 + x*b3 - b4
	b1 := arc2 + x*b2 - b3
	return arcRadM*latRad + arcTermsM*b1*sin2
}

// PairDistance is the mid-latitude pair formula: the difference of the meridian arcs and, across it, the
// difference of longitude times the mean of the two parallels' radii. It needs no origin, so it
// is as good for the last pair of a field as for the first. Its error is bounded by [PairErrorM].
func (s Station) PairDistance(t Station) Metres {
	return Metres(math.Sqrt(s.PairDistance2(t)))
}

// PairDistance2 is the square of [Station.PairDistance], in m².
func (s Station) PairDistance2(t Station) float64 {
	lonRad := t.LonRad - s.LonRad
	if lonRad > math.Pi {
		lonRad -= 2 * math.Pi
	} else if lonRad < -math.Pi {
		lonRad += 2 * math.Pi
	}
	east := lonRad * (s.ParallelM + t.ParallelM) / 2
	north := t.MeridianM - s.MeridianM
	return east*east + north*north
}

// PairErrorM bounds how far [Station.PairDistance] can be from the geodesic, in metres, for a pair
// distM apart at latitudes no farther from the equator than latDeg. The parallel is longer than the geodesic
// between its ends by d³·tan²φ/24R²; convergence of the meridians and the change of the parallel
// along the way are of the same order. Twice the sum is taken, R the smallest radius of curvature
// (6335.4 km), and 2e-8 m for rounding. Held against GeographicLib in the tests.
func PairErrorM(distM, latDeg float64) float64 {
	const rM = SemiMajorM * (1 - eccentricity2)
	tan := math.Tan(latDeg * (math.Pi / 180))
	return distM*distM*distM*(1+tan*tan)/(12*rM*rM) + 2e-8
}

// Position is where the station stands, to 1e-9 degrees: what is kept of it gives the position back.
func (s Station) Position() Position {
	latRad := s.MeridianM / arcRadM
	for range 6 { // the arc's slope is within a hundredth of arcRadM, so each round gains two digits
		sin, cos := math.Sincos(latRad)
		latRad += (s.MeridianM - meridianArcM(latRad, sin, cos)) / arcRadM
	}
	return Position{LatDeg: latRad * (180 / math.Pi), LonDeg: wrapLonDeg(s.LonRad * (180 / math.Pi))}
}
