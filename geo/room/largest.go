package room

import (
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// LargestOfAll is the longest boat that each mooring of a field can take, in metres, as [Largest], in the order of Harbor().Moorings. A search that is stopped leaves 0 where it had not been.
func LargestOfAll(f *clearance.Field, ctl Control) []float64 {
	h := f.Harbor()
	c := &control{Control: ctl, total: len(h.Moorings)}
	all := make([]float64, len(h.Moorings))
	onAllCores(len(all), func(i int) {
		if !c.stop() {
			all[i] = Largest(f, &h.Moorings[i])
		}
		c.did(1)
	})
	return all
}

// Largest is the longest boat, in metres with everything fixed to her, that a mooring can take on its tackle: her draft and bow height as of the boat on it, or a tenth of her length each; by the full
// check, to 5 cm. Common practice, no source, for the tenth. 0 where not even a boat of 3 m fits.
func Largest(f *clearance.Field, m *geo.Mooring) float64 {
	return largest(f, m, func(b *geo.Boat) geo.Mooring { return on(m, b) })
}

func largest(f *clearance.Field, m *geo.Mooring, on func(b *geo.Boat) geo.Mooring) float64 {
	const least = 3.0
	most := 40.0
	rules := f.Harbor().Rules(m)
	for _, limit := range []geo.Maybe[geo.Metres]{m.LargestLOA, rules.LargestLOA} {
		most = min(most, float64(limit.Or(geo.Metres(most))))
	}
	fits := func(lengthM float64) bool {
		loa := geo.Metres(lengthM)
		boat := geo.Boat{LOA: geo.Known(loa), Beam: geo.Known(loa / 3), Draft: geo.Known(min(loa/10, m.LargestDraft.Or(loa/10))), BowHeight: geo.Known(loa / 10)}
		if m.Boat != nil {
			boat.Kind = m.Boat.Kind
			boat.Draft, boat.BowHeight = geo.Known(m.Boat.Draft.Or(loa/10)), geo.Known(m.Boat.BowHeight.Or(loa/10))
		}
		report, answer := f.Check(on(&boat))
		return answer.Radius.IsKnown() && len(report.Conflicts)+len(report.Hazards) == 0
	}
	switch {
	case !fits(least):
		return 0
	case fits(most):
		return most
	}
	return float64(longest(least, geo.Metres(most), func(l geo.Metres) bool { return fits(float64(l)) }))
}
