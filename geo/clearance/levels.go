package clearance

import (
	"fmt"
	"sync"
	"time"

	"swingroom/geo"
	"swingroom/geo/tide"
)

// tideYears is how far ahead the tide is looked at: the nodal cycle of 18.6 years, as the epoch over which the highest and lowest
// astronomical tide are told (NOAA tidal datums).
const tideYears = 19

// tides are the lowest and the highest water of the tide on file, worked out once and handed on from field to field.
type tides struct {
	of   *geo.Tide
	year int
	get  func() (lowest, highest tide.Extreme, ok bool)
}

// tidesOf are those of a harbor from the beginning of the year of its day; nil without a tide or a day.
func tidesOf(h *geo.Harbor, before *tides) *tides {
	day, err := h.Day.Begin()
	if h.Tide == nil || err != nil {
		return nil
	}
	if before != nil && before.of == h.Tide && before.year == day.Year() {
		return before
	}
	t := &tides{of: h.Tide, year: day.Year()}
	var lowest, highest tide.Extreme
	var ok bool
	once := sync.OnceFunc(func() {
		p, err := tide.New(*h.Tide)
		if ok = err == nil; ok {
			lowest, highest = p.Range(time.Date(t.year, 1, 1, 0, 0, 0, 0, time.UTC), tideYears)
		}
	})
	t.get = func() (tide.Extreme, tide.Extreme, bool) {
		once()
		return lowest, highest, ok
	}
	return t
}

// levelRoundingM is by how much the tide may pass a design level before it is told: levels are written to the centimetre.
const levelRoundingM = 0.01

// levels holds the design levels against the tide on file: low water governs the radius and the keel, high water the scope.
func (f *Field) levels() (troubles []Verdict) {
	levels, known := f.harbor.Levels.Get()
	if !known || f.tides == nil {
		return nil
	}
	lowest, highest, ok := f.tides.get()
	if !ok {
		return nil
	}
	if beyond := levels.Low - lowest.Level; beyond > levelRoundingM {
		troubles = append(troubles, beyondLevel(LevelsAboveLow, "levels.low_m", lowest, levels.Low, beyond))
	}
	if beyond := highest.Level - levels.High; beyond > levelRoundingM {
		troubles = append(troubles, beyondLevel(LevelsBelowHigh, "levels.high_m", highest, levels.High, beyond))
	}
	return troubles
}

// beyondLevel is the verdict on a design level that the tide passes.
func beyondLevel(reason Reason, field string, x tide.Extreme, design, beyond geo.Metres) Verdict {
	v := not(ByRecord, field, reason)
	v.figuresWith(float64(x.Level), float64(design), -float64(beyond), "m")
	v.Note = fmt.Sprintf("on %s, the next %d years looked at", geo.DateOf(x.At), tideYears)
	return v
}
