package clearance

import (
	"slices"

	"swingroom/geo"
	"swingroom/geo/record"
)

// maxOneByOne is how many changed moorings are worked out one by one; with more of them the field is worked out whole. Each copies the
// lists of the field, so that some ten of them cost as much as all at once.
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
	if !g.sameDates(h) || len(g.reassigned) > 0 { // who was only tried there has the mooring now
		g = g.onDay(h)
	}
	next := g.sharing(h)
	next.once.Do(func() { next.report, next.states = g.Report(), g.states })
	return next, nil
}

// sameDates reports whether all that depends on a day, permits and the tide, is the same in another harbor.
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

// onDay is the field of a harbor that differs in no more than words, the day and what depends on it: its report tells permits and tide
// anew.
func (f *Field) onDay(h *geo.Harbor) *Field {
	g := f.sharing(h)
	g.permits, g.tides = permitsOf(h), tidesOf(h, f.tides)
	g.once.Do(func() {
		r := f.Report().withoutDates()
		r.addVerdicts("", g.harborWide())
		for i := range h.Moorings {
			j := g.onFile(i)
			j.permit()
			r.addVerdicts(h.Moorings[i].Number, j.verdicts)
		}
		r.sort(g)
		g.report, g.states = r, g.statesBy(r)
	})
	return g
}

// withoutDates is a copy of the report without what depends on the day, and without what holds for the whole harbor.
func (r *Report) withoutDates() *Report {
	dated := func(x Finding) bool {
		return x.Mooring == "" || x.Verdict.Reason == PermitOver || x.Verdict.Reason == PermitUnknown
	}
	return &Report{Conflicts: slices.Clone(r.Conflicts), Hazards: slices.Clone(r.Hazards),
		Troubles: slices.DeleteFunc(slices.Clone(r.Troubles), dated), Unknown: slices.DeleteFunc(slices.Clone(r.Unknown), dated)}
}

// permitsOf reports whether some mooring has a permit with a last day.
func permitsOf(h *geo.Harbor) bool {
	return slices.ContainsFunc(h.Moorings, func(m geo.Mooring) bool { return m.Permit.Expires != "" })
}

// Changed lists the moorings of h that may swing otherwise than here; alike is false where more than that differs.
func (f *Field) Changed(h *geo.Harbor) (changed []int, alike bool) {
	on := f.harbor.Moorings
	if len(h.Moorings) < len(on) || len(on) == 0 || !f.harbor.SameGround(h) {
		return nil, false
	}
	for i := range h.Moorings {
		if i < len(on) && on[i].Number != h.Moorings[i].Number {
			return nil, false
		}
		if i >= len(on) || !SameWater(&on[i], &h.Moorings[i]) { // new ones stand at the end
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
	depth := f.depth(&m)
	answer := f.swingBy(&m, &depth, f.Rules(&m))
	return figure(answer.Radius, 1)
}
