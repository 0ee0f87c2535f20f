package clearance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"swingroom/geo"
	"swingroom/geo/bed"
	"swingroom/geo/shape"
	"swingroom/geo/swing"
)

// Field is a harbor with all that follows from it: its plane, its bed, every swing radius, the R-tree over the swing circles. It is
// immutable, and any number of goroutines may ask it at once.
type Field struct {
	harbor *geo.Harbor
	frame  geo.Frame
	bed    *bed.Bed
	fixed  *fixed
	number map[string]int
	swings []swing.Answer
	depths []Depth
	index  *Index
	copies *sync.Mutex // an R-tree is copied by one at a time
	crafts *crafts

	once   sync.Once
	report *Report
	states []State
}

// Depth is the depth at an anchor below chart datum, where it comes from, and why it is unknown.
type Depth struct {
	DepthM geo.Maybe[geo.Metres] `json:"depth_m"`
	From   swing.Source          `json:"from"`
	Why    string                `json:"why"`
}

// fixed is what swing circles can come against, as edges on the plane.
type fixed struct {
	shore    shape.Edges
	keepOuts shape.Edges // feature: number in Harbor.KeepOuts
	areas    shape.Edges // feature: number in Harbor.Areas
	area     map[string]int32
	setbackM float64 // the largest of the keep-outs'
}

// NewField works out a harbor's field. The error is that of the soundings: geo.ErrInvalid.
func NewField(h *geo.Harbor) (*Field, error) {
	f := &Field{
		harbor: h, frame: geo.NewFrame(h.Origin()), number: make(map[string]int, len(h.Moorings)), index: &Index{}, copies: &sync.Mutex{}, crafts: newCrafts(),
		swings: make([]swing.Answer, len(h.Moorings)), depths: make([]Depth, len(h.Moorings)),
	}
	var err error
	if f.bed, err = bed.New(h.Soundings, h.Shoreline, f.frame, h.Defaults.SoundingReach); err != nil {
		return nil, fmt.Errorf("harbor %s: %w", h.Name, err)
	}
	f.fixed = newFixed(h, f.frame)
	for i := range h.Moorings {
		f.number[h.Moorings[i].Number] = i
		f.swings[i], f.depths[i] = f.swing(&h.Moorings[i])
		f.index.Add(f.circle(&h.Moorings[i], &f.swings[i]))
	}
	f.index.Pack()
	return f, nil
}

func newFixed(h *geo.Harbor, frame geo.Frame) *fixed {
	x := &fixed{area: make(map[string]int32, len(h.Areas))}
	x.shore.AddPolygons(frame, h.Shoreline.Land, 0)
	x.shore.AddLines(frame, h.Shoreline.Lines, 0)
	for i, k := range h.KeepOuts {
		x.keepOuts.AddPolygons(frame, k.Shape, int32(i))
		x.setbackM = max(x.setbackM, float64(k.Setback))
	}
	for i, a := range h.Areas {
		x.areas.AddPolygons(frame, a.Shape, int32(i))
		x.area[a.Name] = int32(i)
	}
	return x
}

// swing works out one mooring's radius.
func (f *Field) swing(m *geo.Mooring) (swing.Answer, Depth) {
	depth := f.depth(m)
	return swing.Radius(f.input(m, &depth)), depth
}

// depth is that at a mooring's anchor. The card's counts before the bed's.
func (f *Field) depth(m *geo.Mooring) Depth {
	depth := Depth{DepthM: m.Depth, From: swing.OnRecord}
	if !m.Depth.IsKnown() {
		depth.From = swing.Computed
		if d, err := f.bed.Depth(f.frame.Project(m.Position)); err != nil {
			depth.Why = err.Error()
		} else {
			depth.DepthM = geo.Known(d)
		}
	}
	return depth
}

// input is what the answers about one mooring are worked out from.
func (f *Field) input(m *geo.Mooring, depth *Depth) swing.Input {
	return swing.Input{Mooring: m, Rules: f.harbor.Rules(m), Levels: f.harbor.Levels, Depth: depth.DepthM, DepthFrom: depth.From, Lines: f.harbor.Defaults.Lines}
}

func (f *Field) circle(m *geo.Mooring, answer *swing.Answer) Circle {
	accuracy, _ := f.harbor.AccuracyOf(m)
	return Circle{
		Position: m.Position, RadiusM: float64(answer.Radius.Or(0)), MarginM: float64(f.harbor.Rules(m).Margin),
		AccuracyM: float64(accuracy), Bound: answer.Bound,
	}
}

// Harbor is the harbor that the field is of.
func (f *Field) Harbor() *geo.Harbor { return f.harbor }

// Frame is the harbor's plane.
func (f *Field) Frame() geo.Frame { return f.frame }

// Bed is the harbor's bed.
func (f *Field) Bed() *bed.Bed { return f.bed }

// Index finds a mooring in Harbor().Moorings by its number.
func (f *Field) Index(number string) (int, bool) {
	i, ok := f.number[number]
	return i, ok
}

// Swing is the radius of Harbor().Moorings[i] with its working.
func (f *Field) Swing(i int) swing.Answer { return f.swings[i] }

// Depth is the depth at the anchor of Harbor().Moorings[i].
func (f *Field) Depth(i int) Depth { return f.depths[i] }

// Watch is where the buoy of Harbor().Moorings[i] can lie.
func (f *Field) Watch(i int) swing.Watch {
	return swing.WatchCircle(f.Input(i))
}

// Input is what the answers about Harbor().Moorings[i] alone are worked out from.
func (f *Field) Input(i int) swing.Input { return f.input(&f.harbor.Moorings[i], &f.depths[i]) }

// WinterWatch is where the winter marker of Harbor().Moorings[i] can lie.
func (f *Field) WinterWatch(i int) swing.Watch {
	return swing.WinterWatch(f.Input(i))
}

// ByRules are the radii of Harbor().Moorings[i] by the rules that can be chosen between.
func (f *Field) ByRules(i int) []swing.ByRule {
	return swing.ByRules(f.Input(i))
}

// DepthOf is the depth at the anchor of a mooring, on file or only tried: that of its card, or of the bed.
func (f *Field) DepthOf(m *geo.Mooring) geo.Maybe[geo.Metres] { return f.depth(m).DepthM }

// State is that of the worst conflict of Harbor().Moorings[i].
func (f *Field) State(i int) State {
	f.Report()
	return f.states[i]
}

// Nearest gives the k moorings nearest to a position, nearest first, with the bearing from the position to each.
func (f *Field) Nearest(p geo.Position, k int) []Near {
	found := f.index.Nearest(p, k, nil)
	near := make([]Near, len(found))
	for n, x := range found {
		m := &f.harbor.Moorings[x.Index]
		_, bearing := geo.Geodesic(p, m.Position)
		near[n] = Near{Index: int(x.Index), Number: m.Number, Distance: geo.Metres(x.DistanceM), BearingTrueDeg: bearing}
	}
	return near
}

// Report is every conflict, hazard and gap of the field, worst first. It is worked out once; treat it as immutable.
func (f *Field) Report() *Report {
	f.once.Do(func() {
		f.report = &Report{Conflicts: f.conflicts(), Hazards: []Hazard{}, Unknown: f.harborGaps()}
		f.states = f.statesBy(f.report.Conflicts)
		found := make([]findings, len(f.harbor.Moorings))
		split(len(found), func(_, from, to int) {
			for i := from; i < to; i++ {
				m := &f.harbor.Moorings[i]
				found[i] = f.findings(m, &f.swings[i], &f.depths[i], f.harbor.Rules(m))
			}
		})
		for _, x := range found {
			f.report.Hazards = append(f.report.Hazards, x.hazards...)
			f.report.Unknown = append(f.report.Unknown, x.unknown...)
		}
		sortHazards(f.report.Hazards)
	})
	return f.report
}

func (f *Field) conflicts() []Conflict {
	conflicts := f.judgeAll(Scan(f.index.at))
	sortConflicts(conflicts)
	return conflicts
}

// statesBy gives each mooring the state of its worst conflict.
func (f *Field) statesBy(conflicts []Conflict) []State {
	states := make([]State, len(f.harbor.Moorings))
	for i := range states {
		states[i] = Clear
	}
	for _, k := range conflicts {
		for _, number := range []string{k.A, k.B} {
			i := f.number[number]
			states[i] = worse(states[i], k.State)
		}
	}
	return states
}

// badness orders states from clear to touching.
func badness(s State) int { return slices.Index([]State{Clear, Tight, MayTouch, Touching}, s) }

func worse(a, b State) State {
	if badness(b) > badness(a) {
		return b
	}
	return a
}

// sortConflicts puts the worst first: what is certain before what is possible, then by what is missing to the margin.
func sortConflicts(all []Conflict) {
	slices.SortFunc(all, func(a, b Conflict) int {
		return cmp.Or(certainFirst(a.Certainty, b.Certainty), cmp.Compare(b.OverlapM+b.MarginM, a.OverlapM+a.MarginM), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
}

// sortHazards puts the worst first, as sortConflicts.
func sortHazards(all []Hazard) {
	slices.SortStableFunc(all, func(a, b Hazard) int {
		return cmp.Or(certainFirst(a.Certainty, b.Certainty), cmp.Compare(b.ByM, a.ByM), cmp.Compare(a.Mooring, b.Mooring))
	})
}

func certainFirst(a, b Certainty) int {
	rank := map[Certainty]int{Certain: 0, Possible: 1}
	return cmp.Compare(rank[a], rank[b])
}

// harborGaps are the gaps that hold for the whole harbor, told once and not by every mooring.
func (f *Field) harborGaps() []Unknown {
	gaps := []Unknown{}
	if len(f.harbor.Moorings) == 0 {
		return gaps
	}
	if !f.harbor.Levels.IsKnown() {
		gaps = append(gaps, Unknown{What: "levels", Missing: []string{"levels.low_m", "levels.high_m"},
			Words: "the design levels are not on record, so no taut radius and no depth under a keel can be worked out"})
	}
	if f.fixed.shore.Len() == 0 {
		gaps = append(gaps, Unknown{What: "shoreline", Missing: []string{"shoreline.geojson"}, Words: "there is no shoreline, so no circle is checked against the shore"})
	}
	if gap, empty := f.bed.Empty(); empty {
		gaps = append(gaps, Unknown{What: "soundings", Missing: []string{"soundings.csv"}, Words: string(gap) + ", so no circle is checked for shoal water"})
	} else if n := f.bed.Stray(); n > 0 {
		gaps = append(gaps, Unknown{What: "soundings", Missing: []string{"soundings.csv"},
			Words: fmt.Sprintf("%d soundings lie more than %.0f km from the middle of the field and are left out: is a sign wrong, or latitude and longitude swapped?", n, float64(geo.FrameReach)/1000)})
	}
	return gaps
}

// far says how far a position is from the harbor's plane, when that is too far for the plane to be used.
func (f *Field) far(p geo.Position) (distanceM float64, is bool) {
	d := float64(geo.Distance(f.frame.Origin(), p))
	return d, d > float64(geo.FrameReach) || math.IsNaN(d)
}
