package clearance

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"sync"

	"swingroom/geo"
	"swingroom/geo/record"
	"swingroom/geo/swing"
)

// With gives a new field with m put in, or in place of the mooring with its number. The old field stays as it is; of the new one only what
// the change reaches is worked out again, and what else the two have in common is shared. A harbor's plane is kept even where the middle of
// the field moves a little. The error is that of m's record: geo.ErrInvalid.
func (f *Field) With(m geo.Mooring) (*Field, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	harbor := *f.harbor
	harbor.Moorings = slices.Clone(harbor.Moorings)
	g := &Field{
		harbor: &harbor, frame: f.frame, bed: f.bed, fixed: f.fixed, number: f.number, indexMu: &sync.Mutex{}, vessels: newVesselCache(),
		swings: slices.Clone(f.swings), depths: slices.Clone(f.depths), extremes: f.extremes, widestM: f.widestM, permits: f.permits ||
			m.Permit.Expires != "", tides: f.tides,
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
	if g.reassigned = f.reassigned; !ok || !record.Equal(&f.harbor.Moorings[i].Boat, &m.Boat) {
		g.reassigned = maps.Clone(f.reassigned)
		if g.reassigned == nil {
			g.reassigned = map[string]bool{}
		}
		g.reassigned[m.Number] = true
	}
	harbor.Moorings[i] = m
	g.swings[i], g.depths[i] = g.swing(&m)
	changed := []int{i}
	if f.extremesMove(g, i, ok) {
		g.extremes = g.findExtremes()
		changed = g.bounded(i)
	}
	f.indexMu.Lock()
	g.index, g.outer = f.index, f.outer
	for _, c := range changed {
		g.updateCircles(c)
	}
	f.indexMu.Unlock()
	g.once.Do(func() { g.report = f.reportWith(g, changed); g.states = g.statesBy(g.report) })
	if f.permits != g.permits { // then every boat without a last day is told
		return g.onDay(g.harbor), nil
	}
	return g, nil
}

// extremesMove reports whether a changed mooring may change what bounds the others of which something is not on record.
func (f *Field) extremesMove(g *Field, i int, onFile bool) bool {
	after := f.extremes
	after.take(g, i)
	if after != f.extremes {
		return true
	}
	if !onFile {
		return false
	}
	var before extremes
	before.take(f, i)
	return before.boatM == f.extremes.boatM || before.rodeM == f.extremes.rodeM || before.scopeRatio == f.extremes.scopeRatio ||
		before.depthM == f.extremes.depthM
}

// bounded are the moorings whose circle hangs on the field's extremes, and i.
func (f *Field) bounded(i int) []int {
	all := []int{i}
	for n := range f.harbor.Moorings {
		if n != i && len(f.swings[n].Missing) > 0 && f.swings[n].Basis != swing.ForNone {
			all = append(all, n)
		}
	}
	return all
}

// recircle works out the circles of one mooring of a field under way.
func (f *Field) updateCircles(i int) {
	m := &f.harbor.Moorings[i]
	rules := f.Rules(m)
	f.swings[i] = f.swingBy(m, &f.depths[i], rules)
	f.index = f.index.With(i, f.circle(m, &f.swings[i]))
	loose, _ := f.outerCircle(m, &f.depths[i], &f.swings[i], rules)
	loose.Position = m.Position
	f.outer = f.outer.With(i, loose)
	f.widestM = max(f.widestM, float64(f.swings[i].Radius.Or(0)))
}

// reportWith is f's report with everything that concerns the changed moorings of g taken from g.
func (f *Field) reportWith(g *Field, changed []int) *Report {
	old := f.Report()
	is := make(map[string]bool, len(changed))
	for _, i := range changed {
		is[g.harbor.Moorings[i].Number] = true
	}
	// What is told of a neighbour that may reach so far is of both.
	hers := func(x Finding) bool {
		return is[x.Mooring] || x.Verdict.Constraint == ByNeighbour && is[x.Verdict.Of] || x.Mooring == ""
	}
	report := &Report{
		Conflicts: slices.DeleteFunc(slices.Clone(old.Conflicts), func(k Conflict) bool { return is[k.A] || is[k.B] }),
		Hazards:   slices.DeleteFunc(slices.Clone(old.Hazards), func(h Hazard) bool { return is[h.Mooring] }),
		Troubles:  slices.DeleteFunc(slices.Clone(old.Troubles), hers),
		Unknown:   slices.DeleteFunc(slices.Clone(old.Unknown), hers),
	}
	report.addHarborWide(g.harborWide())
	for _, i := range changed {
		number := g.harbor.Moorings[i].Number
		for _, pair := range g.index.Conflicts(g.index.at[i], i, nil) {
			other := int(pair.B)
			if is[g.harbor.Moorings[other].Number] && other < i {
				continue // told from the other one
			}
			pair.A, pair.B = int32(min(i, other)), int32(max(i, other))
			if k, not := g.conflict(pair, g.pairSide(int(pair.A)), g.pairSide(int(pair.B))); not {
				report.Conflicts = append(report.Conflicts, k)
			}
		}
		report.take(number, g.found(i))
		g.reportOuter(report, i, is)
	}
	report.sort(g)
	return report
}

// tellLoose tells all moorings that are not changed of a changed one that could reach them.
func (f *Field) reportOuter(r *Report, i int, changed map[string]bool) {
	if f.outer.at[i].RadiusM <= 0 {
		return
	}
	for _, pair := range f.index.Conflicts(f.outer.at[i], i, nil) {
		m := &f.harbor.Moorings[pair.B]
		if changed[m.Number] {
			continue
		}
		j := f.onFile(int(pair.B))
		if j.keepsNone() || j.far {
			continue
		}
		j.outerNeighbours()
		for _, v := range j.verdicts {
			if v.Of == f.harbor.Moorings[i].Number {
				r.take(m.Number, []Verdict{v})
			}
		}
	}
}

// Neighbour is a mooring beside another one.
type Neighbour struct {
	index          int
	Number         string  `json:"number"`
	DistanceM      float64 `json:"distance_m"` // between the anchors
	BearingTrueDeg float64 `json:"bearing_true_deg"`
	// GapM is the clearance between the two circles, under 0 where they overlap; unknown where one has no radius.
	GapM  geo.Maybe[float64] `json:"gap_m"`
	State geo.Maybe[State]   `json:"state"` // by the way in which the two lie
	Lying geo.Lying          `json:"lying"` // by which State is judged
	// Unison is how near the hulls come when both lie to the same wind and stream, whatever decides; null where one of the circles is not
	// known or they are far apart.
	Unison *InUnison `json:"unison"`
}

// Neighbours gives the k moorings beside Harbor().Moorings[i] with the least clearance between the circles, least first; those whose radius
// is unknown come last, by distance.
func (f *Field) Neighbours(i, k int) []Neighbour {
	m, circle := &f.harbor.Moorings[i], &f.index.at[i]
	found := f.byGap(m.Position, circle, i, k)
	if len(found) < k { // those whose radius is not known come last
		found = f.index.Nearest(m.Position, 4*k+8, nil)
	}
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
		n.index = int(x.Index)
		all = append(all, n)
	}
	slices.SortStableFunc(all, func(a, b Neighbour) int {
		return cmp.Or(cmp.Compare(a.GapM.Or(math.Inf(1)), b.GapM.Or(math.Inf(1))), cmp.Compare(a.DistanceM, b.DistanceM))
	})
	all = all[:min(k, len(all))]
	for n := range all {
		f.addUnison(i, &all[n])
	}
	return all
}

// beside fills in how a neighbour and mooring i lie in unison, where their circles meet or nearly do.
func (f *Field) addUnison(i int, n *Neighbour) {
	const nearly = 10 // metres between two circles whose hulls are still told of
	gap, known := n.GapM.Get()
	if n.Lying = geo.Independent; !known || gap > nearly {
		return
	}
	pair := Pair{int32(i), int32(n.index), n.DistanceM, -gap}
	k, _ := f.judge(pair, f.pairSide(i), f.pairSide(n.index))
	if k.Unison == nil {
		u := f.inUnison(f.pairSide(i), f.pairSide(n.index))
		k.Unison = &u
	}
	n.Lying, n.Unison = k.Lying, k.Unison
	if k.Lying == geo.InUnison && gap < max(f.index.at[i].MarginM, f.index.at[n.index].MarginM) {
		n.State = geo.Known(k.State)
	}
}
