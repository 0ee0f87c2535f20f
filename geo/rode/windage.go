package rode

import (
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
	Motor   bool    `json:"motor"` // it has no rig
}

// Shares by which the areas of a boat follow from its length, beam, bow height and draft. Common practice, no source: a mean freeboard of
// 0.85 of the bow's height; a house of 0.06 (sail) or 0.12 (motor) of its length high; a mast of 1.3 lengths, 0.012 of a length thick, and
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

// IsMotor tells by a boat's kind, in the user's own words, whether it has no rig. One of which nothing is known is taken to have one: it
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

// KindIsKnown tells whether a boat's kind, in the user's own words, says if it has a rig.
func KindIsKnown(kind string) bool {
	text := strings.ToLower(kind)
	return IsMotor(kind) || slices.ContainsFunc(sailWords, func(w string) bool { return strings.Contains(text, w) })
}

// WindageOf estimates the areas of a boat; missing names the fields without which it cannot. Without a draft only UnderM2 and Hull are
// empty.
func WindageOf(b geo.Boat) (w Windage, missing []string) { return WindageAs(b, IsMotor(b.Kind)) }

// WindageAs is WindageOf for a boat that is taken to be a motor boat, or one with a rig, whatever its kind says.
func WindageAs(b geo.Boat, motor bool) (w Windage, missing []string) {
	m, missing := measuresOf(b)
	if len(missing) > 0 {
		return Windage{}, missing
	}
	w = Windage{Motor: motor}
	w.FrontM2, w.SideM2 = m.aboveWaterM2(motor)
	if draftM := float64(b.Draft.Or(0)); draftM > 0 {
		w.UnderM2, w.Hull = m.underWater(motor, draftM)
	}
	return w, nil
}

// measures are those of a boat from which its areas are estimated.
type measures struct{ lengthM, beamM, bowM float64 }

// measuresOf names what is not on record of them.
func measuresOf(b geo.Boat) (m measures, missing []string) {
	length := b.LOA
	if !length.IsKnown() {
		length, _ = b.SwingLength()
	}
	take := func(to *float64, v geo.Maybe[geo.Metres], field string) {
		if !v.IsKnown() {
			missing = append(missing, field)
		}
		*to = float64(v.Or(0))
	}
	take(&m.lengthM, length, "loa_m")
	take(&m.beamM, b.Beam, "beam_m")
	take(&m.bowM, b.BowHeight, "bow_height_m")
	return m, missing
}

// aboveWaterM2 are the areas head on and from abeam of hull, house and rig.
func (m *measures) aboveWaterM2(motor bool) (frontM2, sideM2 float64) {
	frontM2 = m.beamM * m.bowM * bowBelowTopRatio
	sideM2 = m.lengthM * m.bowM * freeboardRatio
	if motor {
		houseM := motorHouseRatio * m.lengthM
		return frontM2 + motorFrontRatio*m.beamM*houseM, sideM2 + motorSideRatio*m.lengthM*houseM
	}
	houseM, rigM2 := sailHouseRatio*m.lengthM, rigRatio*m.lengthM*m.lengthM
	frontM2 += sailFrontRatio*m.beamM*houseM + rigM2
	sideM2 += sailSideRatio*m.lengthM*houseM + rigM2 + furledMainRatio*m.lengthM*m.lengthM
	return frontM2, sideM2
}

// underWater is the area from abeam and the hull below the water.
func (m *measures) underWater(motor bool, draftM float64) (underM2 float64, h Hull) {
	under, body := sailUnderRatio, sailBodyRatio
	if motor {
		under, body = motorUnderRatio, motorBodyRatio
	}
	waterlineM := waterlineRatio * m.lengthM
	return under * waterlineM * draftM, Hull{Waterline: geo.Metres(waterlineM), Beam: geo.Metres(m.beamM), Draft: geo.Metres(draftM),
		VolumeM3: blockRatio * waterlineM * m.beamM * body * draftM}
}
