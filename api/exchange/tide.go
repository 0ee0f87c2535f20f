package exchange

import (
	"strings"

	"swingroom/geo"
)

// tide reads tide.json, in place of the constants on file.
func (r *reader) tide(text []byte) {
	o, ok := r.wholeObject(text)
	if !ok {
		return
	}
	var t geo.Tide
	t.Station, _ = o.text("station")
	t.Source, _ = o.text("source")
	mean := figureAt(o, "mean_level", lengths)
	if !mean.IsKnown() {
		o.refuse("mean_level_m", "", "the mean level above chart datum is expected")
	}
	t.MeanLevel = mean.Or(0)
	readList(o, "constituents", "constituent", `{"name", "amplitude_m", "phase_deg"}`, &t.Constituents, (*object).constituent)
	o.reportUnknown()
	if o.good {
		r.h.Tide = &t
	}
}

// constituent takes one harmonic constituent.
func (o *object) constituent() geo.Constituent {
	name, _ := o.text("name")
	amplitude := figureAt(o, "amplitude", lengths)
	phaseDeg, hasPhase := o.number("phase_deg", "")
	if !amplitude.IsKnown() || !hasPhase {
		o.refuse("", name, "an amplitude (amplitude_m or amplitude_ft) and a Greenwich phase (phase_deg) are expected")
	}
	return geo.Constituent{Name: strings.ToUpper(name), Amplitude: amplitude.Or(0), PhaseDeg: phaseDeg}
}
