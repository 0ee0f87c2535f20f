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
	g := f.copied()
	g.permits = f.permits || m.Permit.Expires != ""
	i, onFile := g.put(m)
	if g.reassigned = f.reassigned; !onFile || !record.Equal(&f.harbor.Moorings[i].Boat, &m.Boat) {
		g.reassign(m.Number)
	}
	g.swings[i], g.depths[i] = g.swing(&m)
	changed := []int{i}
	if f.extremesMove(g, i, onFile) {
		g.extremes = g.findExtremes()
		changed = g.dependOnExtremes(i)
	}
	f.updateCircles(g, changed)
	g.once.Do(func() { g.report = f.reportWith(g, changed); g.states = g.statesBy(g.report) })
	if f.permits != g.permits { // then every boat without a last day is told
		return g.onDay(g.harbor), nil
	}
	return g, nil
}

// copied is a field whose moorings can be changed without a change to this one's.
func (f *Field) copied() *Field {
	harbor := *f.harbor
	harbor.Moorings = slices.Clone(harbor.Moorings)
	g := f.sharing(&harbor)
	g.indexMu, g.vessels = &sync.Mutex{}, newVesselCache()
	g.swings, g.depths = slices.Clone(f.swings), slices.Clone(f.depths)
	return g
}

// sharing is a field of another harbor that shares all with this one, but for the report and who was reassigned.
func (f *Field) sharing(h *geo.Harbor) *Field {
	return &Field{
		harbor: h, frame: f.frame, bed: f.bed, fixed: f.fixed, number: f.number, swings: f.swings, depths: f.depths, index: f.index,
		outer: f.outer, indexMu: f.indexMu, vessels: f.vessels, extremes: f.extremes, widestM: f.widestM, permits: f.permits,
		tides: f.tides,
	}
}

// put writes a mooring over the one with its number, or behind the last, of a field whose lists are its own.
func (f *Field) put(m geo.Mooring) (i int, onFile bool) {
	h := f.harbor
	if i, onFile = f.number[m.Number]; onFile {
		h.Moorings[i] = m
		return i, true
	}
	i = len(h.Moorings)
	h.Moorings, f.swings, f.depths = append(h.Moorings, m), append(f.swings, swing.Answer{}), append(f.depths, Depth{})
	f.number = make(map[string]int, len(h.Moorings))
	for n := range h.Moorings {
		f.number[h.Moorings[n].Number] = n
	}
	return i, false
}

// reassign notes that a mooring was given another boat.
func (f *Field) reassign(number string) {
	f.reassigned = maps.Clone(f.reassigned)
	if f.reassigned == nil {
		f.reassigned = map[string]bool{}
	}
	f.reassigned[number] = true
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
	return before.meets(&f.extremes)
}

// meets reports whether one of the extremes is that of another.
func (x *extremes) meets(y *extremes) bool {
	return x.boatM == y.boatM || x.rodeM == y.rodeM || x.scopeRatio == y.scopeRatio || x.depthM == y.depthM
}

// dependOnExtremes are the moorings whose circle depends on the field's extremes, and i.
func (f *Field) dependOnExtremes(i int) []int {
	all := []int{i}
	for n := range f.harbor.Moorings {
		if n != i && lacksRecord(&f.swings[n]) {
			all = append(all, n)
		}
	}
	return all
}

// updateCircles works out the circles of changed moorings of g, whose indexes are still those of f.
func (f *Field) updateCircles(g *Field, changed []int) {
	f.indexMu.Lock()
	defer f.indexMu.Unlock()
	for _, i := range changed {
		g.updateCirclesOf(i)
	}
}

// updateCirclesOf works out the circles of one mooring of a field that is being made.
func (f *Field) updateCirclesOf(i int) {
	m := &f.harbor.Moorings[i]
	rules := f.Rules(m)
	f.swings[i] = f.swingBy(m, &f.depths[i], rules)
	f.index = f.index.With(i, f.circle(m, &f.swings[i]))
	outer, _ := f.outerCircle(m, &f.depths[i], &f.swings[i], rules)
	outer.Position = m.Position
	f.outer = f.outer.With(i, outer)
	f.widestM = max(f.widestM, metres(f.swings[i].Radius))
}

// reportWith is f's report with everything that concerns the changed moorings of g taken from g.
func (f *Field) reportWith(g *Field, changed []int) *Report {
	numbers := make(map[string]bool, len(changed))
	for _, i := range changed {
		numbers[g.harbor.Moorings[i].Number] = true
	}
	report := f.Report().without(numbers)
	report.addVerdicts("", g.harborWide())
	for _, i := range changed {
		report.Conflicts = g.appendConflicts(report.Conflicts, i, numbers)
		report.addVerdicts(g.harbor.Moorings[i].Number, g.shortcomings(i))
		g.reportOuter(report, i, numbers)
	}
	report.sort(g)
	return report
}

// without is a copy of the report without what concerns some moorings, and without what holds for the whole harbor.
func (r *Report) without(numbers map[string]bool) *Report {
	concerns := func(x Finding) bool {
		// What is told of a neighbour that may reach so far is about both.
		return numbers[x.Mooring] || x.Verdict.Constraint == ByNeighbour && numbers[x.Verdict.Of] || x.Mooring == ""
	}
	return &Report{
		Conflicts: slices.DeleteFunc(slices.Clone(r.Conflicts), func(k Conflict) bool { return numbers[k.A] || numbers[k.B] }),
		Hazards:   slices.DeleteFunc(slices.Clone(r.Hazards), func(h Hazard) bool { return numbers[h.Mooring] }),
		Troubles:  slices.DeleteFunc(slices.Clone(r.Troubles), concerns),
		Unknown:   slices.DeleteFunc(slices.Clone(r.Unknown), concerns),
	}
}

// appendConflicts appends the conflicts of a changed mooring; those with another changed one come from the first of the two.
func (f *Field) appendConflicts(all []Conflict, i int, changed map[string]bool) []Conflict {
	for _, pair := range f.index.Conflicts(f.index.at[i], i, nil) {
		other := int(pair.B)
		if changed[f.harbor.Moorings[other].Number] && other < i {
			continue
		}
		pair.A, pair.B = int32(min(i, other)), int32(max(i, other))
		if k, is := f.conflict(pair, f.pairSide(int(pair.A)), f.pairSide(int(pair.B))); is {
			all = append(all, k)
		}
	}
	return all
}

// reportOuter adds what the moorings that are not changed have to tell of a changed one that could reach them.
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
				r.addVerdicts(m.Number, []Verdict{v})
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
	at, circle := f.harbor.Moorings[i].Position, &f.index.at[i]
	found := f.byGap(at, circle, i, k)
	if len(found) < k { // those whose radius is not known come last
		found = f.index.Nearest(at, 4*k+8, nil)
	}
	all := make([]Neighbour, 0, len(found))
	for _, x := range found {
		if int(x.Index) != i {
			all = append(all, f.neighbour(circle, x))
		}
	}
	slices.SortStableFunc(all, compareNeighbours)
	all = all[:min(k, len(all))]
	for n := range all {
		f.addUnison(i, &all[n])
	}
	return all
}

// compareNeighbours puts the one with the less clearance first, and of those without any the nearer.
func compareNeighbours(a, b Neighbour) int {
	return cmp.Or(cmp.Compare(a.GapM.Or(math.Inf(1)), b.GapM.Or(math.Inf(1))), cmp.Compare(a.DistanceM, b.DistanceM))
}

// neighbour is a mooring beside a circle, judged by the circles.
func (f *Field) neighbour(circle *Circle, x Found) Neighbour {
	other := &f.index.at[x.Index]
	_, bearing := geo.Geodesic(circle.Position, other.Position)
	n := Neighbour{index: int(x.Index), Number: f.harbor.Moorings[x.Index].Number, DistanceM: x.DistanceM, BearingTrueDeg: bearing}
	if circle.RadiusM > 0 && other.RadiusM > 0 {
		gap := x.DistanceM - circle.RadiusM - other.RadiusM
		n.GapM = geo.Known(gap)
		n.State = geo.Known(stateOf(-gap, max(circle.MarginM, other.MarginM), math.Hypot(circle.AccuracyM, other.AccuracyM)))
	}
	return n
}

// unisonGapM is the gap between two circles up to which it is told how near the hulls come, in metres: beyond it the boats are so far apart
// that how they lie is of no interest. Chosen for the page's list of neighbours; nothing is judged by it.
const unisonGapM = 10

// addUnison fills in how a neighbour and mooring i lie in unison, where their circles meet or nearly do.
func (f *Field) addUnison(i int, n *Neighbour) {
	gap, known := n.GapM.Get()
	if n.Lying = geo.Independent; !known || gap > unisonGapM {
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
