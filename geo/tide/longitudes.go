package tide

// longitudes are the mean longitudes of SP98 table 1, in degrees, not reduced to one turn.
type longitudes struct {
	moonDeg       float64 // s
	sunDeg        float64 // h
	perigeeDeg    float64 // p, of the moon
	nodeDeg       float64 // N, the ascending one of the moon
	sunPerigeeDeg float64 // p1
	sunHourDeg    float64 // T, the hour angle of the mean sun at Greenwich
}

const (
	// julianCentury in days; exact by definition.
	julianCentury = 36525
	// tableEpoch of SP98 table 1 is Greenwich mean noon of 1899-12-31, in days before 1970-01-01 00:00 (calendar count).
	tableEpoch = 25567.5
)

// cubic is a longitude in degrees by Julian centuries: its value at the epoch and the factors of the first, second and third power.
type cubic [4]float64

func (k *cubic) at(centuries float64) float64 {
	return k[0] + centuries*(k[1]+centuries*(k[2]+centuries*k[3]))
}

// SP98 table 1; its figures are degrees, minutes and seconds, and seconds per Julian century. From 1950 to 2050 they stay within 0.025
// degrees of the newer ones of J. Meeus, Astronomical Algorithms, chapters 25 and 47, by which M2 would come up to 6 seconds later or
// sooner.
var (
	moonCubic       = cubic{dms(270, 26, 14.72), 1336*360 + dms(0, 0, 1108411.20), dms(0, 0, 9.09), dms(0, 0, 0.0068)}
	sunCubic        = cubic{dms(279, 41, 48.04), dms(0, 0, 129602768.13), dms(0, 0, 1.089)}
	perigeeCubic    = cubic{dms(334, 19, 40.87), 11*360 + dms(0, 0, 392515.94), dms(0, 0, -37.24), dms(0, 0, -0.045)}
	nodeCubic       = cubic{dms(259, 10, 57.12), -5*360 + dms(0, 0, -482912.63), dms(0, 0, 7.58), dms(0, 0, 0.008)}
	sunPerigeeCubic = cubic{dms(281, 13, 15.00), dms(0, 0, 6189.03), dms(0, 0, 1.63), dms(0, 0, 0.012)}
)

// longitudesAt is for the midnight at the start of a UTC day, counted from 1970-01-01.
func longitudesAt(number int64) longitudes {
	c := (float64(number) + tableEpoch) / julianCentury
	return longitudes{
		moonDeg:       moonCubic.at(c),
		sunDeg:        sunCubic.at(c),
		perigeeDeg:    perigeeCubic.at(c),
		nodeDeg:       nodeCubic.at(c),
		sunPerigeeDeg: sunPerigeeCubic.at(c),
		sunHourDeg:    180, // at midnight
	}
}

// Mean advance in a day, degrees: the first-order terms of the same table.
const (
	sunHourDaily    = 360
	moonDaily       = (1336*360 + 1108411.20/3600) / julianCentury
	sunDaily        = 129602768.13 / 3600 / julianCentury
	perigeeDaily    = (11*360 + 392515.94/3600) / julianCentury
	sunPerigeeDaily = 6189.03 / 3600 / julianCentury
)

// dms is an angle in degrees, minutes and seconds of arc.
func dms(wholeDeg, minutesOfDeg, secondsOfDeg float64) float64 {
	return wholeDeg + minutesOfDeg/60 + secondsOfDeg/3600
}
