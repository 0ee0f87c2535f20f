package tide

import "math"

// The plane of the moon's orbit, degrees. Source: SP98 table 1, for 1900: the mean values in its formulas 65 to 71, which
// its node factors are divided by, belong to them.
const (
	obliquity   = 23.452 // of the ecliptic, omega
	inclination = 5.145  // of the moon's orbit to the ecliptic, i
)

// orbit is where the moon's orbit lies to the equator. SP98, explanation of table 6 (page 156).
type orbit struct {
	obliquityRad float64 // I, of the orbit to the equator, 18.3 to 28.6 degrees
	nuRad        float64 // right ascension of the crossing of orbit and equator
	xiRad        float64 // its longitude in the orbit
	perigeeRad   float64 // P, the perigee counted from the crossing
}

func orbitAt(sky longitudes) orbit {
	nodeRad := rad(math.Remainder(sky.nodeDeg, 360)) // so that half of it is in one branch of the tangent
	omega, i := rad(obliquity), rad(inclination)
	half := math.Tan(nodeRad / 2)
	// tan (N - xi + nu)/2 and tan (N - xi - nu)/2, page 156.
	sum := math.Atan(math.Cos((omega-i)/2) / math.Cos((omega+i)/2) * half)
	difference := math.Atan(math.Sin((omega-i)/2) / math.Sin((omega+i)/2) * half)
	xi := nodeRad - sum - difference
	return orbit{
		obliquityRad: math.Acos(math.Cos(i)*math.Cos(omega) - math.Sin(i)*math.Sin(omega)*math.Cos(nodeRad)),
		nuRad:        sum - difference,
		xiRad:        xi,
		perigeeRad:   rad(sky.perigeeDeg) - xi,
	}
}

// node gives the factor f and the angle u of a constituent. The numbers beside each are those of SP98's formulas; u is
// in its table 2.
type node func(orbit) (fRatio, uRad float64)

func nodeNone(orbit) (fRatio, uRad float64) { return 1, 0 }

func nodeMm(o orbit) (fRatio, uRad float64) { // 73
	return (2./3 - square(math.Sin(o.obliquityRad))) / 0.5021, 0
}

func nodeMf(o orbit) (fRatio, uRad float64) { // 74
	return square(math.Sin(o.obliquityRad)) / 0.1578, -2 * o.xiRad
}

func nodeO1(o orbit) (fRatio, uRad float64) { // 75
	return math.Sin(o.obliquityRad) * square(math.Cos(o.obliquityRad/2)) / 0.3800, 2*o.xiRad - o.nuRad
}

func nodeJ1(o orbit) (fRatio, uRad float64) { // 76
	return math.Sin(2*o.obliquityRad) / 0.7214, -o.nuRad
}

func nodeOO1(o orbit) (fRatio, uRad float64) { // 77
	return math.Sin(o.obliquityRad) * square(math.Sin(o.obliquityRad/2)) / 0.0164, -2*o.xiRad - o.nuRad
}

func nodeM2(o orbit) (fRatio, uRad float64) { // 78
	return square(square(math.Cos(o.obliquityRad/2))) / 0.9154, 2*o.xiRad - 2*o.nuRad
}

func nodeM3(o orbit) (fRatio, uRad float64) { // 149
	c := square(math.Cos(o.obliquityRad / 2))
	return c * c * c / 0.8758, 3*o.xiRad - 3*o.nuRad
}

// nodeM1 joins the two waves of nearly the same speed that are called M1: f 197 and 207, Q 203 in the quadrant of P. Here
// V has no p, so that u is xi - nu + Q (201); it turns once round with the perigee.
func nodeM1(o orbit) (fRatio, uRad float64) {
	fO1, _ := nodeO1(o)
	sin, cos := math.Sincos(o.perigeeRad)
	return fO1 * math.Sqrt(2.310+1.435*(cos*cos-sin*sin)), o.xiRad - o.nuRad + math.Atan2(0.483*sin, cos)
}

// nodeL2 likewise: R 214, 1/Ra 213, f 215.
func nodeL2(o orbit) (fRatio, uRad float64) {
	fM2, uM2 := nodeM2(o)
	sin, cos := math.Sincos(2 * o.perigeeRad)
	t := square(math.Tan(o.obliquityRad / 2))
	return fM2 * math.Sqrt(1-12*t*cos+36*t*t), uM2 - math.Atan2(sin, 1/(6*t)-cos)
}

// nodeK1 joins the moon's and the sun's share: nu' 224, f 227.
func nodeK1(o orbit) (fRatio, uRad float64) {
	s := math.Sin(2 * o.obliquityRad)
	sin, cos := math.Sincos(o.nuRad)
	return math.Sqrt(0.8965*s*s + 0.6001*s*cos + 0.1006), -math.Atan2(s*sin, s*cos+0.3347)
}

// nodeK2 likewise: 2nu" 232, f 235.
func nodeK2(o orbit) (fRatio, uRad float64) {
	s := square(math.Sin(o.obliquityRad))
	sin, cos := math.Sincos(2 * o.nuRad)
	return math.Sqrt(19.0444*s*s + 2.7702*s*cos + 0.0981), -math.Atan2(s*sin, s*cos+0.0727)
}

func square(ratio float64) float64 { return ratio * ratio }
