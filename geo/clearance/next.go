package clearance

import (
	"slices"

	"swingroom/geo"
	"swingroom/geo/record"
)

// mostAlone is how many changed moorings are worked out one by one; more of them, and the field is worked out whole.
const maxOneByOne = 8

// Next gives the field of a harbor that has come from this one's by a change. Where only words of record differ (names, owners, notes,
// permits, dates) all is shared; where a few moorings differ only their neighbourhoods are worked out again; else it is NewField. Errors
// are those of NewField and of With.
func (f *Field) Next(h *geo.Harbor) (*Field, error) {
	changed, alike := f.Changed(h)
	if !alike || len(changed) > maxOneByOne {
		return NewField(h)
	}
	g := f
	var err error
	for _, i := range changed {
		if g, err = g.With(h.Moorings[i]); err != nil {
			return nil, err
		}
	}
	if !g.sameDates(h) || len(g.reassigned) > 0 { // who was only placed lies there now
		g = g.onDay(h)
	}
	next := &Field{
		harbor: h, frame: g.frame, bed: g.bed, fixed: g.fixed, number: g.number, swings: g.swings, depths: g.depths, index: g.index,
		outer: g.outer, indexMu: g.indexMu, vessels: g.vessels,
		extremes: g.extremes, widestM: g.widestM, permits: g.permits, tides: g.tides,
	}
	next.once.Do(func() { next.report, next.states = g.Report(), g.states })
	return next, nil
}

// sameDay reports whether all that hangs on a day, permits and the tide, is the same in another harbor.
func (f *Field) sameDates(h *geo.Harbor) bool {
	if f.harbor.Day != h.Day || f.harbor.Tide != h.Tide || len(f.harbor.Moorings) != len(h.Moorings) {
		return false
	}
	for i := range h.Moorings {
		if f.harbor.Moorings[i].Permit.Expires != h.Moorings[i].Permit.Expires {
			return false
		}
	}
	return true
}

// dated is the field of a harbor that differs in no more than words, the day and what hangs on it: its report tells permits and tide anew.
func (f *Field) onDay(h *geo.Harbor) *Field {
	g := &Field{
		harbor: h, frame: f.frame, bed: f.bed, fixed: f.fixed, number: f.number, swings: f.swings, depths: f.depths, index: f.index,
		outer: f.outer, indexMu: f.indexMu, vessels: f.vessels,
		extremes: f.extremes, widestM: f.widestM, permits: permitsOf(h), tides: tidesOf(h, f.tides),
	}
	g.once.Do(func() {
		old := f.Report()
		hangs := func(x Finding) bool {
			return x.Mooring == "" || x.Verdict.Reason == PermitOver || x.Verdict.Reason == PermitUnknown
		}
		r := &Report{Conflicts: slices.Clone(old.Conflicts), Hazards: slices.Clone(old.Hazards),
			Troubles: slices.DeleteFunc(slices.Clone(old.Troubles), hangs)}
		r.Unknown = slices.DeleteFunc(slices.Clone(old.Unknown), hangs)
		r.addHarborWide(g.harborWide())
		for i := range h.Moorings {
			j := g.onFile(i)
			j.permit()
			r.take(h.Moorings[i].Number, j.verdicts)
		}
		r.sort(g)
		g.report, g.states = r, g.statesBy(r)
	})
	return g
}

// permitsOf reports whether some mooring has a permit with a last day.
func permitsOf(h *geo.Harbor) bool {
	return slices.ContainsFunc(h.Moorings, func(m geo.Mooring) bool { return m.Permit.Expires != "" })
}

// Changed lists the moorings of h that may swing otherwise than here; alike is false where more than that differs.
func (f *Field) Changed(h *geo.Harbor) (changed []int, alike bool) {
	if len(h.Moorings) < len(f.harbor.Moorings) || len(f.harbor.Moorings) == 0 || !f.harbor.SameGround(h) {
		return nil, false
	}
	for i := range h.Moorings {
		if i >= len(f.harbor.Moorings) { // new ones at the end
			changed = append(changed, i)
			continue
		}
		a, b := &f.harbor.Moorings[i], &h.Moorings[i]
		if a.Number != b.Number {
			return nil, false
		}
		if !SameWater(a, b) {
			changed = append(changed, i)
		}
	}
	return changed, true
}

// SameWater reports whether two records of a mooring swing alike: they differ at most in words and dates. A field that is not known to be
// one of these counts.
func SameWater(a, b *geo.Mooring) bool {
	if record.Equal(a, b) {
		return true
	}
	x, y := withoutWords(*a), withoutWords(*b)
	return record.Equal(&x, &y)
}

// withoutWords is a mooring without what does not change how its boat swings.
func withoutWords(m geo.Mooring) geo.Mooring {
	m.Number, m.Note, m.Permit = "", "", geo.Permit{}
	if m.Boat != nil {
		boat := *m.Boat
		boat.Name, boat.Owner = "", ""
		m.Boat = &boat
	}
	m.Tackle = slices.Clone(m.Tackle)
	for i := range m.Tackle {
		m.Tackle[i].Installed, m.Tackle[i].Inspected = "", ""
	}
	return m
}

// ReachOf is the swing radius of a mooring that is tried, metres; unknown where something is not on record.
func ReachOf(f *Field, m geo.Mooring) geo.Maybe[float64] {
	_, answer, _ := f.tried(&m, f.Rules(&m))
	if radius, known := answer.Radius.Get(); known {
		return geo.Known(float64(radius))
	}
	return geo.Maybe[float64]{}
}
