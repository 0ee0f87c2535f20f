package clearance

import (
	"swingroom/geo"
	"swingroom/geo/bed"
	"swingroom/geo/shape"
	"swingroom/geo/swing"
)

// Reasons of a verdict on something fixed.
const (
	OnLand        Reason = "on_land"        // the anchor stands on land
	InsideZone    Reason = "inside"         // the anchor stands in the fairway or closed water
	OutsideArea   Reason = "outside_area"   // the anchor stands outside its own area
	Into          Reason = "into"           // the circle reaches it
	InsideSetback Reason = "inside_setback" // the circle stays off it, but comes into the water kept free beside it
	KeepsOff      Reason = "keeps_off"
	TooShallow    Reason = "too_shallow"
	DeepEnough    Reason = "deep_enough"
	NoDraft       Reason = "no_draft"
	NotSounded    Reason = "not_sounded"  // part of the circle has no depth
	NoSoundings   Reason = "no_soundings" // of the whole harbor
	NoLevels      Reason = "no_levels"
	NoShoreline   Reason = "no_shoreline"
)

// reportedM is how far from the circle something fixed is still told of, metres: within it a harbormaster who looks at the map sees it
// beside the circle.
const reportedM = 100

// fixed holds the circle against everything fixed. The nearest of a kind is told even where it keeps off.
func (j *judgement) fixed() {
	j.shore()
	j.keepOuts()
	j.edge()
	j.shoal()
}

// searchM is how far from the anchor edges are looked for.
func (j *judgement) searchM(setbackM float64) float64 {
	if j.brief {
		return j.radiusM + setbackM
	}
	return j.radiusM + setbackM + reportedM
}

// fixedEdge is the nearest edge of something fixed.
type fixedEdge struct {
	constraint Constraint
	of         string
	number     int // in Harbor.KeepOuts, of which several may have one name
	nearest    shape.Nearest
	wrongSide  bool   // of the anchor: on land, in the fairway, outside the area
	reason     Reason // of a verdict on an anchor that is on the wrong side
	setbackM   float64
}

// edgeAt is the verdict on an edge near the anchor.
func (j *judgement) edgeAt(e fixedEdge) {
	hasM := e.nearest.DistanceM - j.radiusM
	if e.wrongSide {
		hasM = -e.nearest.DistanceM - j.radiusM
	}
	v, told := j.asked(e.constraint, e.of, hasM, e.setbackM)
	if !told {
		return
	}
	v.KeepOut = e.number
	at := e.nearest.At
	switch {
	case e.wrongSide:
		v.Reason, at = e.reason, j.at
	case hasM < 0:
		v.Reason = Into
	case hasM < e.setbackM:
		v.Reason = InsideSetback
	default:
		v.Reason = KeepsOff
	}
	v.At = geo.Known(j.f.frame.Position(at))
	if !j.brief || j.inReport {
		v.Working = append(v.Working, e.steps(j.radiusM, hasM)...)
	}
	j.add(v)
}

// steps are the figures of a verdict on an edge.
func (e *fixedEdge) steps(radiusM, hasM float64) []swing.Step {
	formula := "D - R"
	if e.wrongSide {
		formula = "-D - R"
	}
	return []swing.Step{step("D", "from the anchor to it", "", e.nearest.DistanceM), step("R", "swing radius", "", radiusM),
		step("G", "water left between", formula, hasM), step("S", "water kept clear beside it", "", e.setbackM)}
}

// shore: the circle and the setback have to stay off the edge of the land.
func (j *judgement) shore() {
	edges := &j.f.fixed.shore
	if edges.Len() == 0 {
		if !j.inReport {
			j.add(unknown(ByShore, "", NoShoreline, "shoreline.geojson"))
		}
		return
	}
	e := fixedEdge{constraint: ByShore, reason: OnLand, setbackM: float64(j.f.harbor.Defaults.ShoreSetback)}
	found := false
	if e.wrongSide = edges.Inside(j.at, shape.AnyFeature); e.wrongSide {
		e.nearest, found = nearest(edges, j.at, shape.AnyFeature)
	} else {
		e.nearest, found = edges.Nearest(j.at, j.searchM(e.setbackM), shape.AnyFeature)
	}
	if found {
		j.edgeAt(e)
	}
}

// nearest finds the nearest edge however far it is: the search widens from about a circle to a quarter of the Earth round.
func nearest(edges *shape.Edges, at geo.Offset, feature int32) (shape.Nearest, bool) {
	for reachM := 100.0; reachM < 1e7; reachM *= 10 {
		if n, ok := edges.Nearest(at, reachM, feature); ok {
			return n, true
		}
	}
	return shape.Nearest{}, false
}

// keepOuts: the circle and the setback have to stay out of fairways and closed water. Each is judged by itself, under its number in
// Harbor.KeepOuts: two may have one name.
func (j *judgement) keepOuts() {
	if !j.nearKeepOuts() {
		return
	}
	for i := range j.f.harbor.KeepOuts {
		j.keepOut(i)
	}
}

// nearKeepOuts reports whether any fairway or closed water may have to be told of.
func (j *judgement) nearKeepOuts() bool {
	edges := &j.f.fixed.keepOuts
	near := !j.brief || edges.Inside(j.at, shape.AnyFeature)
	if !near {
		edges.Features(j.at, j.radiusM+j.f.fixed.setbackM, func(int32) { near = true })
	}
	return near
}

// keepOut holds the circle against Harbor.KeepOuts[i].
func (j *judgement) keepOut(i int) {
	k := &j.f.harbor.KeepOuts[i]
	e := fixedEdge{constraint: ByFairway, of: k.Name, number: i, reason: InsideZone, setbackM: float64(k.Setback)}
	if k.Kind == geo.ClosedWater {
		e.constraint = ByClosed
	}
	edges, found := &j.f.fixed.keepOuts, false
	e.nearest, found = edges.Nearest(j.at, j.searchM(e.setbackM), int32(i))
	if e.wrongSide = edges.Inside(j.at, int32(i)); e.wrongSide && !found {
		e.nearest, _ = nearest(edges, j.at, int32(i))
	}
	if found || e.wrongSide {
		j.edgeAt(e)
	}
}

// edge: the whole swing has to stay inside the mooring's own area, not only the buoy.
func (j *judgement) edge() {
	area, ok := j.f.fixed.area[j.m.Area]
	if !ok {
		return
	}
	edges, found := &j.f.fixed.areas, false
	e := fixedEdge{constraint: ByAreaEdge, of: j.m.Area, reason: OutsideArea, wrongSide: !edges.Inside(j.at, area)}
	if !e.wrongSide && j.brief {
		e.nearest, found = edges.Nearest(j.at, j.radiusM, area)
	} else {
		e.nearest, found = nearest(edges, j.at, area)
	}
	if found {
		j.edgeAt(e)
	}
}

// shoal: at the low level the keel keeps its margin over the whole circle.
func (j *judgement) shoal() {
	if j.lacksForShoal() {
		return
	}
	s := j.f.bed.Shallowest(j.at, geo.Metres(j.radiusM))
	if !s.Whole {
		v := unknown(ByShoal, "", NotSounded, "soundings.csv")
		v.Note = s.Why
		j.add(v)
	}
	if s.Depth.IsKnown() {
		j.underKeel(s, j.f.harbor.Levels.Or(geo.Levels{}).Low, j.boat.Draft.Or(0))
	}
}

// lacksForShoal tells what is missing for the water under the keel; what holds for the whole harbor is told by the report once.
func (j *judgement) lacksForShoal() bool {
	_, empty := j.f.bed.Empty()
	levels := j.f.harbor.Levels.IsKnown()
	switch {
	case (empty || !levels) && j.inReport:
	case empty:
		j.add(unknown(ByShoal, "", NoSoundings, "soundings.csv"))
	case !levels:
		j.add(unknown(ByShoal, "", NoLevels, "levels.low_m"))
	case !j.boat.Draft.IsKnown():
		j.add(unknown(ByShoal, "", NoDraft, j.field("draft_m", "largest_draft_m")))
	default:
		return false
	}
	return true
}

// underKeel judges the water over the shallowest spot of the circle.
func (j *judgement) underKeel(s bed.Shallowest, low, draft geo.Metres) {
	waterM, needsM := float64(s.Depth.Or(0)+low), float64(draft+j.rules.KeelMargin)
	v, told := j.asked(ByShoal, "", waterM, needsM)
	if !told {
		return
	}
	v.Reason, v.At = DeepEnough, geo.Known(j.f.frame.Position(s.At))
	v.Case = &Case{LevelM: geo.Known(low)}
	if waterM < needsM {
		v.Reason, v.Certainty = TooShallow, Possible
		if !v.Bound && j.surelyShallow(low, needsM) {
			v.Certainty = Certain
		}
	}
	if !j.brief || j.inReport {
		v.Working = append(v.Working, keelSteps(metres(s.Depth), float64(low), waterM, float64(draft), float64(j.rules.KeelMargin))...)
	}
	j.add(v)
}

// keelSteps are the figures of the water under the keel.
func keelSteps(depthM, lowM, waterM, draftM, marginM float64) []swing.Step {
	return []swing.Step{step("d", "shallowest of the circle, below chart datum", "", depthM), step("w", "low level", "", lowM),
		step("W", "water", "d + w", waterM), step("T", "draft", "", draftM), step("K", "water kept under the keel", "", marginM)}
}

// surelyShallow reports whether the water is too shallow even in the circle that is smaller by the position's accuracy: then a slip of the
// survey cannot explain it.
func (j *judgement) surelyShallow(low geo.Metres, needsM float64) bool {
	inner := j.f.bed.Shallowest(j.at, geo.Metres(max(0, j.radiusM-j.accuracyM)))
	water, known := inner.Depth.Get()
	return known && float64(water+low) < needsM
}

// field names a field of the boat, or of the place that keeps its water for the largest one.
func (j *judgement) field(ofBoat, ofPlace string) string {
	if j.kept {
		return ofPlace
	}
	return ofBoat
}
