package rode

import (
	"math"
	"slices"
	"strings"

	"swingroom/geo"
)

// Windage is what wind and stream meet of a boat.
type Windage struct {
	FrontM2 float64 `json:"front_m2"` // above the water, head on
	SideM2  float64 `json:"side_m2"`  // above the water, from abeam
	UnderM2 float64 `json:"under_m2"` // below the water, from abeam; 0 without a draft on record
	Hull    Hull    `json:"-"`
	Motor   bool    `json:"motor"` // she has no rig
}

// Shares by which the areas of a boat follow from her length, beam, bow height and draft. Common practice, no source: a mean freeboard of
// 0.85 of the bow's height; a house of 0.06 (sail) or 0.12 (motor) of her length high; a mast of 1.3 lengths, 0.012 of a length thick, and
// as much again for rigging and furled sails.
const (
	freeboardRatio   = 0.85
	sailHouseRatio   = 0.06
	motorHouseRatio  = 0.12
	rigRatio         = 2 * 1.3 * 0.012
	furledMainRatio  = 0.35 * 0.03
	waterlineRatio   = 0.87
	sailUnderRatio   = 0.55
	motorUnderRatio  = 0.7
	sailBodyRatio    = 0.35 // draft of the hull itself over that of the keel
	motorBodyRatio   = 0.7
	blockRatio       = 0.42
	motorSideRatio   = 0.5
	sailSideRatio    = 0.4
	motorFrontRatio  = 0.8
	sailFrontRatio   = 0.6
	bowBelowTopRatio = 0.9
)

// motorWords are in the kind of a boat that has no rig.
var motorWords = []string{"motor", "power", "work", "skiff", "launch", "lobster", "trawler", "outboard", "runabout", "tug", "barge",
	"dinghy", "inflatable", "fishing", "cruiser"}

// IsMotor tells by a boat's kind, in the user's own words, whether she has no rig. One of whom nothing is known is taken to have one: it
// makes the larger load.
func IsMotor(kind string) bool {
	text := strings.ToLower(kind)
	for _, w := range motorWords {
		if strings.Contains(text, w) && !strings.Contains(text, "sail") {
			return true
		}
	}
	return false
}

// sailWords are in the kind of a boat that has a rig.
var sailWords = []string{"sail", "sloop", "ketch", "yawl", "schooner", "cutter", "catboat", "cat boat"}

// KindIsKnown tells whether a boat's kind, in the user's own words, says if she has a rig.
func KindIsKnown(kind string) bool {
	text := strings.ToLower(kind)
	return IsMotor(kind) || slices.ContainsFunc(sailWords, func(w string) bool { return strings.Contains(text, w) })
}

// WindageOf estimates the areas of a boat; missing names the fields without which it cannot. Without a draft only UnderM2 and Hull are
// empty.
func WindageOf(b geo.Boat) (w Windage, missing []string) { return WindageAs(b, IsMotor(b.Kind)) }

// WindageAs is WindageOf for a boat that is taken to be a motor boat, or one with a rig, whatever her kind says.
func WindageAs(b geo.Boat, motor bool) (w Windage, missing []string) {
	loa, known := b.LOA.Get()
	if !known {
		length, _ := b.SwingLength()
		if loa, known = length.Get(); !known {
			missing = append(missing, "loa_m")
		}
	}
	beam, ok := b.Beam.Get()
	if !ok {
		missing = append(missing, "beam_m")
	}
	bow, ok := b.BowHeight.Get()
	if !ok {
		missing = append(missing, "bow_height_m")
	}
	if len(missing) > 0 {
		return Windage{}, missing
	}
	lengthM, beamM, bowM := float64(loa), float64(beam), float64(bow)
	w.Motor = motor
	under, body := sailUnderRatio, sailBodyRatio
	if w.Motor {
		house := motorHouseRatio * lengthM
		w.FrontM2 = beamM*bowM*bowBelowTopRatio + motorFrontRatio*beamM*house
		w.SideM2 = lengthM*bowM*freeboardRatio + motorSideRatio*lengthM*house
		under, body = motorUnderRatio, motorBodyRatio
	} else {
		house, rigM2 := sailHouseRatio*lengthM, rigRatio*lengthM*lengthM
		w.FrontM2 = beamM*bowM*bowBelowTopRatio + sailFrontRatio*beamM*house + rigM2
		w.SideM2 = lengthM*bowM*freeboardRatio + sailSideRatio*lengthM*house + rigM2 + furledMainRatio*lengthM*lengthM
	}
	if draft := float64(b.Draft.Or(0)); draft > 0 {
		waterlineM := waterlineRatio * lengthM
		w.UnderM2 = under * waterlineM * draft
		w.Hull = Hull{Waterline: geo.Metres(waterlineM), Beam: beam, Draft: geo.Metres(draft),
			VolumeM3: blockRatio * waterlineM * beamM * body * draft}
	}
	return w, nil
}

// StreamFromAbeam is the force of a stream that meets an area of a hull from abeam.
func StreamFromAbeam(stream geo.MetresPerSecond, underM2 float64) geo.Newtons {
	return geo.Newtons(0.5 * seaDensity * float64(stream*stream) * underM2 * sideDragRatio)
}

// LiesTo says what a boat lies to.
type LiesTo string

// What a boat lies to: one of the two where it turns her at least three times as strongly as the other.
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
	// SternDeg is the true direction from her bow to her stern.
	SternDeg float64     `json:"stern_deg"`
	To       LiesTo      `json:"lies_to"`
	Wind     geo.Newtons `json:"wind_n"` // of the gust, on her as she lies
	Stream   geo.Newtons `json:"stream_n"`
}

// sideDragRatio is the drag coefficient of a hull from abeam, above and below the water; head on it is frontDragRatio. Common practice, no
// source.
const (
	sideDragRatio  = 1.0
	frontDragRatio = 1.0
)

// PullOf is how a boat lies in a weather and what pulls at her bow. Errors: geo.ErrUnknown where a stream meets a boat without a draft on
// record.
//
// She turns about her bow until the side forces of wind and stream balance. A side force goes with the area that she shows from abeam and
// with the sine of the angle at which it meets her, and both act at about the middle of her length; so her stern points along the sum of
// the two directions, each weighed with 0.5 rho V² times her side area in its medium. As she lies, wind and stream each pull along their
// own direction, on an area between that of her front and that of her side by the square of the sine. A gust is the mean wind times the
// gust ratio.
func PullOf(b Windage, w geo.Weather) (Pull, error) {
	d, err := DragsOf(b, w.Stream)
	if err != nil {
		return Pull{}, err
	}
	gust := w.Wind * geo.MetresPerSecond(max(1, w.GustRatio))
	a := d.Lie(gust, geo.Toward(w.WindFromDeg+180, 1), geo.Toward(w.StreamToDeg, 1))
	p := Pull{Load: a.Load, LoadDeg: bearingDeg(a.To), SternDeg: bearingDeg(a.Stern), To: ToBoth, Wind: a.Wind, Stream: a.Stream}
	switch side := d.sideWindN(gust); {
	case side+d.sideStreamN == 0:
		p.To = ToNone
	case side >= 3*d.sideStreamN:
		p.To = ToWind
	case d.sideStreamN >= 3*side:
		p.To = ToStream
	}
	return p, nil
}

// Drags is what wind and a stream do to a boat, made ready for winds of every speed and direction.
type Drags struct {
	sideAtOneN, frontAtOneN   float64 // forces of a wind of 1 m/s from abeam and from ahead
	sideStreamN, alongStreamN float64
}

// DragsOf makes a boat ready for a stream. Error: geo.ErrUnknown where there is a stream and her draft is not on record.
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

// Aligned is how a boat lies, by directions of length 1 east and north: where the load pulls, and from bow to stern.
type Aligned struct {
	To, Stern geo.Offset
	Load      geo.Newtons
	Wind      geo.Newtons // of the load, along the wind
	Stream    geo.Newtons
}

// Lie is how she lies in a gust; windTo and streamTo are where wind and stream go, of length 1. As [PullOf].
func (d Drags) Lie(gust geo.MetresPerSecond, windTo, streamTo geo.Offset) Aligned {
	sideWindN := d.sideWindN(gust)
	sum := geo.Offset{EastM: sideWindN*windTo.EastM + d.sideStreamN*streamTo.EastM,
		NorthM: sideWindN*windTo.NorthM + d.sideStreamN*streamTo.NorthM}
	a := Aligned{Stern: windTo}
	// Against each other and equal she may lie to either, and in a calm to none: then she is told as lying to the wind.
	if long := length(sum); long > 1e-9*(sideWindN+d.sideStreamN) {
		a.Stern = geo.Offset{EastM: sum.EastM / long, NorthM: sum.NorthM / long} // 1 over the least of numbers is beyond all of them
	}
	sin := a.Stern.EastM*windTo.NorthM - a.Stern.NorthM*windTo.EastM
	front := d.frontAtOneN * float64(gust*gust)
	windN := front + (sideWindN-front)*sin*sin
	sin = a.Stern.EastM*streamTo.NorthM - a.Stern.NorthM*streamTo.EastM
	streamN := d.alongStreamN + (d.sideStreamN-d.alongStreamN)*sin*sin
	load := geo.Offset{EastM: windN*windTo.EastM + streamN*streamTo.EastM, NorthM: windN*windTo.NorthM + streamN*streamTo.NorthM}
	loadN := length(load)
	a.Load, a.Wind, a.Stream, a.To = geo.Newtons(loadN), geo.Newtons(windN), geo.Newtons(streamN), a.Stern
	if loadN > 0 {
		a.To = geo.Offset{EastM: load.EastM / loadN, NorthM: load.NorthM / loadN}
	}
	return a
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
