package clearance

import (
	"fmt"
	"math"
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
	// outer are the circles beyond which moorings can certainly not reach whose own circle is only likely to hold, by the same numbers;
	// none of the others.
	outer    *Index
	extremes extremes
	widestM  float64     // the widest circle
	tides    *tides      // nil: no tide is on file, or no day
	permits  bool        // some mooring has a permit with a last day
	indexMu  *sync.Mutex // an R-tree is copied by one at a time
	vessels  *vesselCache

	reassigned map[string]bool // moorings that With gave another boat: it is only tried there, and has no permit yet

	once   sync.Once
	report *Report
	states []State
}

// Depth is the depth at an anchor below chart datum, where it comes from, and why it is unknown. The card's counts before the bed's; where
// the two contradict each other the shallower counts for the swing, and the deeper for the scope.
type Depth struct {
	DepthM  geo.Maybe[geo.Metres] `json:"depth_m"`
	From    swing.Source          `json:"from"`
	Why     geo.Words             `json:"why"`
	Bed     geo.Maybe[geo.Metres] `json:"soundings_m"` // by the soundings alone
	Deepest geo.Maybe[geo.Metres] `json:"deepest_m"`
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
		harbor: h, frame: geo.NewFrame(h.Origin()), number: make(map[string]int, len(h.Moorings)), index: &Index{}, outer: &Index{},
		indexMu: &sync.Mutex{}, vessels: newVesselCache(), permits: permitsOf(h), tides: tidesOf(h, nil),
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
	}
	f.extremes = f.findExtremes()
	f.addCircles()
	return f, nil
}

// addCircles puts the circles of all moorings into the indexes, once the extremes of the field are known.
func (f *Field) addCircles() {
	for i := range f.harbor.Moorings {
		m := &f.harbor.Moorings[i]
		rules := f.Rules(m)
		f.bound(m, &f.depths[i], &f.swings[i], rules)
		f.index.Add(f.circle(m, &f.swings[i]))
		outer, _ := f.outerCircle(m, &f.depths[i], &f.swings[i], rules)
		outer.Position = m.Position
		f.outer.Add(outer)
		f.widestM = max(f.widestM, metres(f.swings[i].Radius))
	}
	f.outer.Pack()
	f.index.Pack()
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

// Rules are those that hold for a mooring: its area's, or the harbor's. One without an area on record in a harbor that has areas takes the
// rule of the area in which it lies, with the largest margin of all, and its boat lies in any direction: what is not on record may not make
// the answer better.
func (f *Field) Rules(m *geo.Mooring) geo.Rules {
	if m.Area != "" || len(f.harbor.Areas) == 0 {
		return f.harbor.Rules(m)
	}
	rules := f.harbor.Defaults.Rules
	margin := rules.Margin
	if a, ok := f.harbor.Area(f.AreaAt(m.Position)); ok {
		rules = a.Rules
	}
	for i := range f.harbor.Areas {
		margin = max(margin, f.harbor.Areas[i].Rules.Margin)
	}
	rules.Margin, rules.Lying = margin, geo.Independent
	return rules
}

// swing works out one mooring's radius.
func (f *Field) swing(m *geo.Mooring) (swing.Answer, Depth) {
	depth := f.depth(m)
	return swing.Radius(f.input(m, &depth, f.Rules(m))), depth
}

// swingBy is the radius of a mooring under some rules, bounded where something is not on record.
func (f *Field) swingBy(m *geo.Mooring, depth *Depth, rules geo.Rules) swing.Answer {
	answer := swing.Radius(f.input(m, depth, rules))
	f.bound(m, depth, &answer, rules)
	return answer
}

// depth is that at a mooring's anchor.
func (f *Field) depth(m *geo.Mooring) Depth {
	depth := Depth{DepthM: m.Depth, From: swing.OnRecord}
	d, err := f.bed.Depth(f.frame.Project(m.Position))
	if err == nil {
		depth.Bed = geo.Known(d)
	}
	card, known := m.Depth.Get()
	switch {
	case !known && err != nil:
		depth.From, depth.Why = swing.Computed, geo.ErrorWords(err)
	case !known:
		depth.From, depth.DepthM = swing.Computed, depth.Bed
	case err == nil && differ(card, d):
		if d < card {
			depth.From, depth.DepthM = swing.Computed, depth.Bed
		}
		depth.Deepest = geo.Known(max(card, d))
		return depth
	}
	depth.Deepest = depth.DepthM
	return depth
}

// input is what the answers about one mooring are worked out from.
func (f *Field) input(m *geo.Mooring, depth *Depth, rules geo.Rules) swing.Input {
	return swing.Input{Mooring: m, Rules: rules, Levels: f.harbor.Levels, Depth: depth.DepthM, DepthFrom: depth.From,
		Lines: f.harbor.Defaults.Lines}
}

// circle is the swing circle of a mooring, under the margin of its rules.
func (f *Field) circle(m *geo.Mooring, answer *swing.Answer) Circle {
	return Circle{
		Position: m.Position, RadiusM: metres(answer.Radius), MarginM: float64(f.Rules(m).Margin), AccuracyM: f.accuracyM(m),
		Bound: answer.Bound,
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
func (f *Field) Input(i int) swing.Input {
	return f.input(&f.harbor.Moorings[i], &f.depths[i], f.Rules(&f.harbor.Moorings[i]))
}

// KeepsClearM is how far from the anchor of Harbor().Moorings[i] another circle has to stay so that the two are sure not to meet, metres,
// without a margin: its radius, or where something is not on record the farthest that it could reach. 0: it keeps no water.
func (f *Field) KeepsClearM(i int) float64 { return max(f.index.at[i].RadiusM, f.outer.at[i].RadiusM) }

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

// far says how far a position is from the harbor's plane, when that is too far for the plane to be used.
func (f *Field) far(p geo.Position) (distanceM float64, is bool) {
	d := float64(geo.Distance(f.frame.Origin(), p))
	return d, d > float64(geo.FrameReach) || math.IsNaN(d)
}
