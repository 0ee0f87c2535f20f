package exchange

import (
	"strings"

	"swingroom/geo"
)

// tide reads tide.json, in place of the constants on file.
func (r *reader) tide(text []byte) {
	f, ok := r.wholeObject(text)
	if !ok {
		return
	}
	var t geo.Tide
	t.Station, _ = f.text("station")
	t.Source, _ = f.text("source")
	mean := f.metres("mean_level")
	if !mean.IsKnown() {
		f.wrong("mean_level_m", "", "the mean level above chart datum is expected")
	}
	t.MeanLevel = mean.Or(0)
	list, _ := f.take("constituents")
	for _, c := range f.rows("constituents", list, "constituent", `{"name", "amplitude_m", "phase_deg"}`) {
		name, _ := c.text("name")
		amplitude := c.metres("amplitude")
		phase, hasPhase := c.number("phase_deg", "")
		if !amplitude.IsKnown() || !hasPhase {
			c.wrong("", name, "an amplitude (amplitude_m or amplitude_ft) and a Greenwich phase (phase_deg) are expected")
			continue
		}
		t.Constituents = append(t.Constituents, geo.Constituent{Name: strings.ToUpper(name), Amplitude: amplitude.Or(0), PhaseDeg: phase})
		c.left()
	}
	f.left()
	if f.good {
		r.h.Tide = &t
	}
}
