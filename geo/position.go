package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Position is a place on the WGS 84 ellipsoid, in degrees; north and east are positive.
type Position struct {
	LatDeg float64 `json:"lat_deg"`
	LonDeg float64 `json:"lon_deg"`
}

// PositionOf reads an orb point. This and [Position.Point] are the only places where the order
// longitude, latitude of GeoJSON and the order latitude, longitude of people meet.
func PositionOf(pt orb.Point) Position { return Position{LatDeg: pt.Lat(), LonDeg: pt.Lon()} }

// Point is the position in GeoJSON order.
func (p Position) Point() orb.Point { return orb.Point{p.LonDeg, p.LatDeg} }

// MaxLatDeg is the latitude, north and south, beyond which no position is taken: so near to a pole the longitudes run together, and neither
// the harbor's plane nor the index of circles is made for it. The sea there is frozen or land, and no mooring lies in it.
const MaxLatDeg = 89

// wantLat says what latitudes are taken.
const wantLat = "a latitude lies between 89° S and 89° N; nearer to a pole no harbor can be laid out"

// Validate refuses what is no place on Earth, and what lies within a degree of a pole. Longitudes from -180 to 180 both included.
func (p Position) Validate() error {
	pr := problems{noun: "position", name: p.DD()}
	if !(math.Abs(p.LatDeg) <= MaxLatDeg) { // so that NaN is refused too
		pr.add("lat", fmt.Sprintf("%g°", p.LatDeg), wantLat)
	}
	if math.IsNaN(p.LonDeg) || math.Abs(p.LonDeg) > 180 {
		pr.add("lon", fmt.Sprintf("%g°", p.LonDeg), "a longitude lies between 180° W and 180° E")
	}
	return pr.err()
}

// DD is the position in decimal degrees, latitude first: "44.123456, -68.765432". Six decimals are 0.11 m.
func (p Position) DD() string { return fmt.Sprintf("%.6f, %.6f", p.LatDeg, p.LonDeg) }

// DDM is the position in degrees and decimal minutes, as charts and receivers show it:
// "44° 07.407' N  068° 45.926' W". The thousandth of a minute of latitude is 1.852 m
// (published values, section 8, calculated), so four decimals are shown: 0.19 m.
func (p Position) DDM() string {
	return ddm(p.LatDeg, 2, "N", "S") + "  " + ddm(p.LonDeg, 3, "E", "W")
}

// DMS is the position in degrees, minutes and seconds: "44° 07' 24.44\" N  068° 45' 55.56\" W".
// Two decimals of a second are 0.31 m.
func (p Position) DMS() string {
	return dms(p.LatDeg, 2, "N", "S") + "  " + dms(p.LonDeg, 3, "E", "W")
}

func ddm(deg float64, width int, pos, neg string) string {
	letter := pos
	if deg < 0 {
		letter = neg
	}
	// Work in whole ten-thousandths of a minute so that 59.99996' carries into the degree.
	units := int64(math.Round(math.Abs(deg) * 60 * 1e4))
	d, rest := units/600000, units%600000
	return fmt.Sprintf("%0*d° %02d.%04d' %s", width, d, rest/10000, rest%10000, letter)
}

func dms(deg float64, width int, pos, neg string) string {
	letter := pos
	if deg < 0 {
		letter = neg
	}
	units := int64(math.Round(math.Abs(deg) * 3600 * 100))
	d, rest := units/360000, units%360000
	return fmt.Sprintf("%0*d° %02d' %02d.%02d\" %s", width, d, rest/6000, rest%6000/100, rest%100, letter)
}

// wrapLonDeg brings a longitude, or a difference of two, into [-180, 180].
func wrapLonDeg(lonDeg float64) float64 {
	if lonDeg >= -180 && lonDeg <= 180 {
		return lonDeg
	}
	return math.Remainder(lonDeg, 360)
}
