package rode

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// WindForce is 0.5 rho V² A C: the force of the wind on an area in m² with a drag coefficient. Source: UFC 4-159-03, section 4-4.1,
// equation 2. For gusts, V is the mean speed times the gust factor.
func WindForce(wind geo.MetresPerSecond, areaM2, dragRatio float64) geo.Newtons {
	return geo.Newtons(0.5 * airDensity * float64(wind*wind) * areaM2 * dragRatio)
}

// Hull is what the stream meets.
type Hull struct {
	Waterline geo.Metres // length of the waterline
	Beam      geo.Metres
	Draft     geo.Metres
	VolumeM3  float64 // of the water that it displaces, m³
}

// seaViscosity is the kinematic viscosity of sea water at 15 °C, m²/s. ITTC 7.5-02-01-03, from memory.
const seaViscosity = 1.19e-6

// StreamForce is the force of a stream along the hull: form and friction. Source: UFC 4-159-03, equations 15 to 20, form 0.5 rho V² B T
// 0.1, friction 0.075/(log10 Re - 2)² on a wetted surface of 1.7 T L + volume/T. The propeller is left out.
func StreamForce(stream geo.MetresPerSecond, h Hull) (geo.Newtons, error) {
	if !(h.Waterline > 0 && h.Beam > 0 && h.Draft > 0 && h.VolumeM3 >= 0) || !(stream >= 0) {
		return 0, fmt.Errorf("%w: the force of a stream needs waterline, beam and draft above 0", geo.ErrInvalid)
	}
	if stream == 0 {
		return 0, nil
	}
	const formRatio = 0.1
	q := 0.5 * seaDensity * float64(stream*stream)
	form := q * float64(h.Beam*h.Draft) * formRatio
	return geo.Newtons(form + q*h.wettedM2()*frictionRatio(stream, h.Waterline)), nil
}

// wettedM2 is the surface of the hull that the stream runs along.
func (h *Hull) wettedM2() float64 {
	return 1.7*float64(h.Draft*h.Waterline) + h.VolumeM3/float64(h.Draft)
}

// frictionRatio is the coefficient of friction of a stream along a hull.
func frictionRatio(stream geo.MetresPerSecond, waterline geo.Metres) float64 {
	// Under Re = 1e4 the formula for friction runs away; no boat's hull is slower than that in a stream one can see.
	const minReynolds = 1e4
	reynolds := math.Max(minReynolds, float64(stream)*float64(waterline)/seaViscosity)
	return 0.075 / math.Pow(math.Log10(reynolds)-2, 2)
}

// designRow is a row of the design loads: a boat no longer and no wider, and the load in pounds force at 30 knots.
type designRow struct{ loaFt, sailBeamFt, motorBeamFt, loadLb float64 }

// designRows are the design loads of ABYC H-40 table 1 at 30 knots (the working load), which two public prints give alike; lengths and
// loads as printed there, beams from memory. The other rows follow by the square of the speed within the table's rounding, but for the
// storm rows, on which the prints disagree.
var designRows = []designRow{
	{20, 7, 8, 360},
	{25, 8, 9, 490},
	{30, 9, 11, 700},
	{35, 10, 13, 900},
	{40, 11, 14, 1200},
	{50, 13, 16, 1600},
	{60, 15, 18, 2000},
}

func (r *designRow) beamFt(motor bool) float64 {
	if motor {
		return r.motorBeamFt
	}
	return r.sailBeamFt
}

const (
	// designRowsKn is the wind of the rows, knots.
	designRowsKn = 30
	// DesignTopKn is where the table of design loads ends, knots.
	DesignTopKn = 60
	// roundingKn keeps a speed of 60 kn that was converted to m/s and back within the table.
	roundingKn = 1e-9
)

// DesignTopBoat is the largest boat of the table of design loads, length and beam.
func DesignTopBoat(motor bool) (loa, beam geo.Metres) {
	last := &designRows[len(designRows)-1]
	return geo.Feet(last.loaFt), geo.Feet(last.beamFt(motor))
}

// DesignLoad is the load for which the tackle of a boat is laid out in a wind, from a table by length overall and beam: whichever gives the
// larger load counts, and a boat between two rows takes the larger. motor takes the beams of motor boats. The table's 30 knot row is scaled
// by the square of the speed. geo.ErrUnknown without length or beam; geo.ErrInvalid beyond the table: over 60 knots, or a boat larger than
// its last row.
func DesignLoad(loa, beam geo.Maybe[geo.Metres], motor bool, wind geo.MetresPerSecond) (geo.Newtons, error) {
	length, known := loa.Get()
	width, beamKnown := beam.Get()
	switch kn := wind.Knots(); {
	case !known:
		return 0, fmt.Errorf("%w: loa_m, for the table of design loads", geo.ErrUnknown)
	case !beamKnown:
		return 0, fmt.Errorf("%w: beam_m, for the table of design loads", geo.ErrUnknown)
	case !(kn >= 0 && kn <= DesignTopKn+roundingKn):
		return 0, fmt.Errorf("%w: a wind of %.0f kn; the table of design loads ends at %d kn", geo.ErrInvalid, kn, DesignTopKn)
	}
	row, ok := designRowFor(length, width, motor)
	if !ok {
		longest, _ := DesignTopBoat(motor)
		words := geo.Tell("a boat of %s by %s; the table of design loads ends at %s", length, width, longest)
		return 0, &geo.Told{Kind: geo.ErrInvalid, Words: words}
	}
	ratio := wind.Knots() / designRowsKn
	return geo.PoundsForce(row.loadLb * ratio * ratio), nil
}

// designRowFor is the first row for a boat no longer and no wider; ok is false for a boat larger than the last.
func designRowFor(length, width geo.Metres, motor bool) (row *designRow, ok bool) {
	const roundingFt = 1e-6 // 30 ft in metres is still 30 ft
	for i := range designRows {
		row = &designRows[i]
		if length.Feet() <= row.loaFt+roundingFt && width.Feet() <= row.beamFt(motor)+roundingFt {
			return row, true
		}
	}
	return nil, false
}
