package rode

import (
	"math"

	"swingroom/geo"
)

// StreamFromAbeam is the force of a stream that meets an area of a hull from abeam.
func StreamFromAbeam(stream geo.MetresPerSecond, underM2 float64) geo.Newtons {
	return geo.Newtons(0.5 * seaDensity * float64(stream*stream) * underM2 * sideDragRatio)
}

// LiesTo says what a boat lies to.
type LiesTo string

// What a boat lies to: one of the two where it turns the boat at least three times as strongly as the other.
const (
	ToWind   LiesTo = "wind"
	ToStream LiesTo = "stream"
	ToBoth   LiesTo = "both"
	ToNone   LiesTo = "calm"
)

// Pull is what wind and stream do to a boat that lies to them.
type Pull struct {
	Load    geo.Newtons `json:"load_n"`   // horizontal, at the bow
	LoadDeg float64     `json:"load_deg"` // true direction in which it pulls: there the bow lies from the anchor
	// SternDeg is the true direction from bow to stern.
	SternDeg float64     `json:"stern_deg"`
	To       LiesTo      `json:"lies_to"`
	Wind     geo.Newtons `json:"wind_n"` // of the gust, on the boat as it lies
	Stream   geo.Newtons `json:"stream_n"`
}

// sideDragRatio is the drag coefficient of a hull from abeam, above and below the water; head on it is frontDragRatio. Common practice, no
// source.
const (
	sideDragRatio  = 1.0
	frontDragRatio = 1.0
)

// PullOf is how a boat lies in a weather and what pulls at its bow. Errors: geo.ErrUnknown where a stream meets a boat without a draft on
// record.
//
// The boat turns about its bow until the side forces of wind and stream balance. A side force goes with the area that it shows from abeam
// and with the sine of the angle at which they meet, and both act at about the middle of its length; so the stern points along the sum of
// the two directions, each weighed with 0.5 rho V² times the side area in its medium. As it lies, wind and stream each pull along their own
// direction, on an area between that of the front and that of the side by the square of the sine. A gust is the mean wind times the gust
// ratio.
func PullOf(b Windage, w geo.Weather) (Pull, error) {
	d, err := DragsOf(b, w.Stream)
	if err != nil {
		return Pull{}, err
	}
	gust := w.Wind * geo.MetresPerSecond(max(1, w.GustRatio))
	a := d.Balance(gust, geo.Toward(w.WindFromDeg+180, 1), geo.Toward(w.StreamToDeg, 1))
	return Pull{Load: a.Load, LoadDeg: bearingDeg(a.To), SternDeg: bearingDeg(a.Stern), To: liesTo(d.sideWindN(gust), d.sideStreamN),
		Wind: a.Wind, Stream: a.Stream}, nil
}

// liesTo tells by the side forces what turns the boat.
func liesTo(windN, streamN float64) LiesTo {
	switch {
	case windN+streamN == 0:
		return ToNone
	case windN >= 3*streamN:
		return ToWind
	case streamN >= 3*windN:
		return ToStream
	}
	return ToBoth
}

// Drags is what wind and a stream do to a boat, made ready for winds of every speed and direction.
type Drags struct {
	sideAtOneN, frontAtOneN   float64 // forces of a wind of 1 m/s from abeam and from ahead
	sideStreamN, alongStreamN float64
}

// DragsOf makes a boat ready for a stream. Error: geo.ErrUnknown where there is a stream and the draft is not on record.
func DragsOf(b Windage, stream geo.MetresPerSecond) (Drags, error) {
	d := Drags{sideAtOneN: float64(WindForce(1, b.SideM2, sideDragRatio)), frontAtOneN: float64(WindForce(1, b.FrontM2, frontDragRatio))}
	if !(stream > 0) {
		return d, nil
	}
	if b.UnderM2 == 0 {
		return Drags{}, geo.ErrUnknown
	}
	along, err := StreamForce(stream, b.Hull)
	d.sideStreamN, d.alongStreamN = float64(StreamFromAbeam(stream, b.UnderM2)), float64(along)
	return d, err
}

func (d Drags) sideWindN(gust geo.MetresPerSecond) float64 { return d.sideAtOneN * float64(gust*gust) }

// Forces are those on a boat from abeam and along it: of a wind of 1 m/s, which grow with the square of its
// speed, and of the stream that [DragsOf] was given.
type Forces struct {
	WindAbeamN, WindAlongN     float64
	StreamAbeamN, StreamAlongN float64
}

// Forces are what decides how the boat lies.
func (d Drags) Forces() Forces {
	return Forces{d.sideAtOneN, d.frontAtOneN, d.sideStreamN, d.alongStreamN}
}

// Balance is how a boat lies, by directions of length 1 east and north: where the load pulls, and from bow to stern.
type Balance struct {
	To, Stern geo.Offset
	Load      geo.Newtons
	Wind      geo.Newtons // of the load, along the wind
	Stream    geo.Newtons
}

// Balance is how the boat lies in a gust; windTo and streamTo are where wind and stream go, of length 1. As [PullOf].
func (d Drags) Balance(gust geo.MetresPerSecond, windTo, streamTo geo.Offset) Balance {
	sideWindN, frontN := d.sideWindN(gust), d.frontAtOneN*float64(gust*gust)
	stern := d.sternTo(sideWindN, windTo, streamTo)
	windN := onHeadingN(frontN, sideWindN, stern, windTo)
	streamN := onHeadingN(d.alongStreamN, d.sideStreamN, stern, streamTo)
	load := weighted(windN, windTo, streamN, streamTo)
	loadN := length(load)
	b := Balance{To: stern, Stern: stern, Load: geo.Newtons(loadN), Wind: geo.Newtons(windN), Stream: geo.Newtons(streamN)}
	if loadN > 0 {
		b.To = divided(load, loadN)
	}
	return b
}

// sternTo is the direction from bow to stern in which the side forces of wind and stream balance.
func (d Drags) sternTo(sideWindN float64, windTo, streamTo geo.Offset) geo.Offset {
	const cancelledRatio = 1e-9 // of both together: less is what rounding leaves of forces that are equal and opposite
	sum := weighted(sideWindN, windTo, d.sideStreamN, streamTo)
	// Against each other and equal it may lie to either, and in a calm to none: then it is told as lying to the wind.
	if long := length(sum); long > cancelledRatio*(sideWindN+d.sideStreamN) {
		return divided(sum, long)
	}
	return windTo
}

// onHeadingN is the force of a wind or stream on a boat whose stern points somewhere: between that along it and that from abeam, by the
// square of the sine of the angle at which they meet.
func onHeadingN(alongN, abeamN float64, stern, flowTo geo.Offset) float64 {
	sin := stern.EastM*flowTo.NorthM - stern.NorthM*flowTo.EastM
	return alongN + (abeamN-alongN)*sin*sin
}

// weighted is the sum of two offsets, each times its weight.
func weighted(ka float64, a geo.Offset, kb float64, b geo.Offset) geo.Offset {
	return geo.Offset{EastM: ka*a.EastM + kb*b.EastM, NorthM: ka*a.NorthM + kb*b.NorthM}
}

// divided divides each part by itself: 1/by overflows for the smallest numbers.
func divided(o geo.Offset, by float64) geo.Offset {
	return geo.Offset{EastM: o.EastM / by, NorthM: o.NorthM / by}
}

func length(o geo.Offset) float64 { return math.Hypot(o.EastM, o.NorthM) }

// bearingDeg is the bearing of an offset from 0 up to 360.
func bearingDeg(to geo.Offset) float64 {
	deg := math.Atan2(to.EastM, to.NorthM) * (180 / math.Pi)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // the least below 0 rounds up to it
		deg = 0
	}
	return deg
}
