package clearance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// Check tries a mooring that is not on file, or one in place of that with its number, against all the others and
// everything fixed. The field stays as it is. Only the neighbourhood is looked at.
func (f *Field) Check(m geo.Mooring) (Report, swing.Answer) { return f.CheckBy(m, f.harbor.Rules(&m)) }

// CheckBy is Check with rules in place of those of the mooring's area. Neighbours of which the radius is not known are told, since nobody can say that they keep clear.
func (f *Field) CheckBy(m geo.Mooring, rules geo.Rules) (Report, swing.Answer) {
	depth := f.depth(&m)
	in := f.input(&m, &depth)
	in.Rules = rules
	answer := swing.Radius(in)
	circle := f.circle(&m, &answer)
	circle.MarginM = float64(rules.Margin)
	except, ok := f.number[m.Number]
	if !ok {
		except = -1
	}
	report := Report{Conflicts: []Conflict{}, Hazards: []Hazard{}, Unknown: []Unknown{}}
	for _, pair := range f.index.Conflicts(circle, except, nil) {
		if k, is := f.conflict(pair, berth{&m, &depth, &circle, -1, rules}, f.berth(int(pair.B))); is {
			report.Conflicts = append(report.Conflicts, k)
		}
	}
	found := f.findings(&m, &answer, &depth, rules)
	report.Hazards = append(report.Hazards, found.hazards...)
	report.Unknown = append(append(append(report.Unknown, f.harborGaps()...), found.unknown...), f.unknownBeside(&m, &circle)...)
	sortConflicts(report.Conflicts)
	sortHazards(report.Hazards)
	return report, answer
}

// unknownBeside tells of neighbours with a boat whose radius is not known, as far away as two such boats could be that each swing as far as m's.
func (f *Field) unknownBeside(m *geo.Mooring, circle *Circle) (gaps []Unknown) {
	const near = 24 // moorings that are looked at
	for _, x := range f.index.Nearest(m.Position, near, nil) {
		other := &f.harbor.Moorings[x.Index]
		if x.DistanceM < 2*circle.RadiusM+circle.MarginM && f.index.at[x.Index].RadiusM <= 0 && other.Boat != nil && other.Number != m.Number {
			gaps = append(gaps, Unknown{Mooring: m.Number, What: "neighbour", Missing: f.swings[x.Index].Missing,
				Words: fmt.Sprintf("mooring %s, %.1f m away, has no known swing radius; missing: %s", other.Number, x.DistanceM, strings.Join(f.swings[x.Index].Missing, ", "))})
		}
	}
	return gaps
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
		harbor: &harbor, frame: f.frame, bed: f.bed, fixed: f.fixed, number: f.number, copies: &sync.Mutex{}, crafts: newCrafts(),
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
	for _, pair := range g.index.Conflicts(g.index.at[i], i, nil) {
		pair.A, pair.B = min(int32(i), pair.B), max(int32(i), pair.B)
		if k, is := g.conflict(pair, g.berth(int(pair.A)), g.berth(int(pair.B))); is {
			report.Conflicts = append(report.Conflicts, k)
		}
	}
	found := g.findings(m, &g.swings[i], &g.depths[i], g.harbor.Rules(m))
	report.Hazards = append(report.Hazards, found.hazards...)
	report.Unknown = append(report.Unknown, found.unknown...)
	slices.SortStableFunc(report.Unknown, func(a, b Unknown) int { return cmp.Compare(g.place(a.Mooring), g.place(b.Mooring)) })
	sortConflicts(report.Conflicts)
	sortHazards(report.Hazards)
	return report, g.statesBy(report.Conflicts)
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
	place          int
	Number         string  `json:"number"`
	DistanceM      float64 `json:"distance_m"` // between the anchors
	BearingTrueDeg float64 `json:"bearing_true_deg"`
	// GapM is the clearance between the two circles, under 0 where they overlap; unknown where one has no radius.
	GapM  geo.Maybe[float64] `json:"gap_m"`
	State geo.Maybe[State]   `json:"state"` // by the way in which the two lie
	Lying geo.Lying          `json:"lying"` // by which State is judged
	// Unison is how near the hulls come when both lie to the same wind and stream, whatever decides; null where one of the circles is not known or they are far apart.
	Unison *InUnison `json:"unison"`
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
		n.place = int(x.Index)
		all = append(all, n)
	}
	slices.SortStableFunc(all, func(a, b Neighbour) int {
		return cmp.Or(cmp.Compare(a.GapM.Or(math.Inf(1)), b.GapM.Or(math.Inf(1))), cmp.Compare(a.DistanceM, b.DistanceM))
	})
	all = all[:min(k, len(all))]
	for n := range all {
		f.beside(i, &all[n])
	}
	return all
}

// beside fills in how a neighbour and mooring i lie in unison, where their circles meet or nearly do.
func (f *Field) beside(i int, n *Neighbour) {
	const nearly = 10 // metres between two circles whose hulls are still told of
	gap, known := n.GapM.Get()
	if n.Lying = geo.Independent; !known || gap > nearly {
		return
	}
	pair := Pair{int32(i), int32(n.place), n.DistanceM, -gap}
	k, _ := f.judge(pair, f.berth(i), f.berth(n.place))
	if k.Unison == nil {
		u := f.inUnison(f.berth(i), f.berth(n.place))
		k.Unison = &u
	}
	n.Lying, n.Unison = k.Lying, k.Unison
	if k.Lying == geo.InUnison && gap < max(f.index.at[i].MarginM, f.index.at[n.place].MarginM) {
		n.State = geo.Known(k.State)
	}
}
