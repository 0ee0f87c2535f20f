package clearance

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// Check tries a mooring that is not on file, or one in place of that with its number, against all the others and
// everything fixed. The field stays as it is. Only the neighbourhood is looked at.
func (f *Field) Check(m geo.Mooring) (Report, swing.Answer) {
	answer, depth := f.swing(&m)
	circle := f.circle(&m, &answer)
	except, ok := f.number[m.Number]
	if !ok {
		except = -1
	}
	report := Report{Conflicts: []Conflict{}, Hazards: []Hazard{}, Unknown: []Unknown{}}
	for _, pair := range f.index.Conflicts(circle, except, nil) {
		report.Conflicts = append(report.Conflicts, judge(pair, &circle, &f.index.at[pair.B], m.Number, f.harbor.Moorings[pair.B].Number))
	}
	found := f.findings(&m, &answer, &depth)
	report.Hazards = append(report.Hazards, found.hazards...)
	report.Unknown = append(append(report.Unknown, f.harborGaps()...), found.unknown...)
	sortConflicts(report.Conflicts)
	sortHazards(report.Hazards)
	return report, answer
}

// With gives a new field with m put in, or in place of the mooring with its number. The old field stays as it is; of the
// new one only the circle of m is worked out again, and what else the two have in common is shared. A harbor's plane is kept even where
// the middle of the field moves a little. The error is that of m's record: geo.ErrInvalid.
func (f *Field) With(m geo.Mooring) (*Field, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	harbor := *f.harbor
	harbor.Moorings = slices.Clone(harbor.Moorings)
	g := &Field{
		harbor: &harbor, frame: f.frame, bed: f.bed, fixed: f.fixed, number: f.number, copies: &sync.Mutex{},
		swings: slices.Clone(f.swings), depths: slices.Clone(f.depths),
	}
	i, ok := f.number[m.Number]
	if !ok {
		i = len(harbor.Moorings)
		harbor.Moorings, g.swings, g.depths = append(harbor.Moorings, m), append(g.swings, swing.Answer{}), append(g.depths, Depth{})
		g.number = make(map[string]int, len(harbor.Moorings))
		for n := range harbor.Moorings {
			g.number[harbor.Moorings[n].Number] = n
		}
	}
	harbor.Moorings[i] = m
	g.swings[i], g.depths[i] = g.swing(&m)
	f.copies.Lock()
	g.index = f.index.With(i, g.circle(&m, &g.swings[i]))
	f.copies.Unlock()
	g.once.Do(func() { g.report, g.states = f.reportWith(g, i) })
	return g, nil
}

// reportWith is f's report with everything that concerns mooring i of g taken from g.
func (f *Field) reportWith(g *Field, i int) (*Report, []State) {
	m := &g.harbor.Moorings[i]
	old := f.Report()
	report := &Report{
		Conflicts: slices.DeleteFunc(slices.Clone(old.Conflicts), func(k Conflict) bool { return k.A == m.Number || k.B == m.Number }),
		Hazards:   slices.DeleteFunc(slices.Clone(old.Hazards), func(h Hazard) bool { return h.Mooring == m.Number }),
		Unknown:   slices.DeleteFunc(slices.Clone(old.Unknown), func(u Unknown) bool { return u.Mooring == m.Number }),
	}
	if len(f.harbor.Moorings) == 0 {
		report.Unknown = g.harborGaps()
	}
	touched := []int{i}
	for _, k := range old.Conflicts {
		if k.A == m.Number || k.B == m.Number {
			touched = append(touched, g.number[k.A], g.number[k.B])
		}
	}
	for _, pair := range g.index.Conflicts(g.index.at[i], i, nil) {
		touched = append(touched, int(pair.B))
		pair.A, pair.B = min(int32(i), pair.B), max(int32(i), pair.B)
		report.Conflicts = append(report.Conflicts, g.judge(pair))
	}
	found := g.findings(m, &g.swings[i], &g.depths[i])
	report.Hazards = append(report.Hazards, found.hazards...)
	report.Unknown = append(report.Unknown, found.unknown...)
	slices.SortStableFunc(report.Unknown, func(a, b Unknown) int { return cmp.Compare(g.place(a.Mooring), g.place(b.Mooring)) })
	sortConflicts(report.Conflicts)
	sortHazards(report.Hazards)
	states := append(slices.Clone(f.states), make([]State, len(g.harbor.Moorings)-len(f.states))...)
	for _, t := range touched {
		states[t] = Clear
		for _, pair := range g.index.Conflicts(g.index.at[t], t, nil) {
			a, b := &g.index.at[t], &g.index.at[pair.B]
			states[t] = worse(states[t], stateOf(pair.OverlapM, max(a.MarginM, b.MarginM), math.Hypot(a.AccuracyM, b.AccuracyM)))
		}
	}
	return report, states
}

// place orders the harbor's own gaps before the moorings', and these as they are on file.
func (f *Field) place(number string) int {
	if number == "" {
		return -1
	}
	return f.number[number]
}

// Neighbour is a mooring beside another one.
type Neighbour struct {
	Number         string  `json:"number"`
	DistanceM      float64 `json:"distance_m"` // between the anchors
	BearingTrueDeg float64 `json:"bearing_true_deg"`
	// GapM is the clearance between the two circles, under 0 where they overlap; unknown where one has no radius.
	GapM  geo.Maybe[float64] `json:"gap_m"`
	State geo.Maybe[State]   `json:"state"`
}

// Neighbours gives the k moorings beside Harbor().Moorings[i] with the least clearance between the circles, least first; those whose radius is
// unknown come last, by distance.
func (f *Field) Neighbours(i, k int) []Neighbour {
	m, circle := &f.harbor.Moorings[i], &f.index.at[i]
	// Clearance and distance differ by the radii, so more than k of the nearest have to be looked at.
	found := f.index.Nearest(m.Position, 4*k+8, nil)
	all := make([]Neighbour, 0, len(found))
	for _, x := range found {
		if int(x.Index) == i {
			continue
		}
		other := &f.index.at[x.Index]
		_, bearing := geo.Geodesic(m.Position, other.Position)
		n := Neighbour{Number: f.harbor.Moorings[x.Index].Number, DistanceM: x.DistanceM, BearingTrueDeg: bearing}
		if circle.RadiusM > 0 && other.RadiusM > 0 {
			gap := x.DistanceM - circle.RadiusM - other.RadiusM
			n.GapM = geo.Known(gap)
			n.State = geo.Known(stateOf(-gap, max(circle.MarginM, other.MarginM), math.Hypot(circle.AccuracyM, other.AccuracyM)))
		}
		all = append(all, n)
	}
	slices.SortStableFunc(all, func(a, b Neighbour) int {
		return cmp.Or(cmp.Compare(a.GapM.Or(math.Inf(1)), b.GapM.Or(math.Inf(1))), cmp.Compare(a.DistanceM, b.DistanceM))
	})
	return all[:min(k, len(all))]
}
