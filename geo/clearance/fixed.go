package clearance

import (
	"swingroom/geo"
	"swingroom/geo/shape"
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

// tellM is how far from the circle something fixed is still told of, metres.
const reportedM = 100

// fixed holds the circle against everything fixed. The nearest of a kind is told even where it keeps off.
func (j *judgement) fixed() {
	j.shore()
	j.keepOuts()
	j.edge()
	j.shoal()
}

// lookM is how far from the anchor edges are looked for.
func (j *judgement) searchM(setbackM float64) float64 {
	if j.brief {
		return j.radiusM + setbackM
	}
	return j.radiusM + setbackM + reportedM
}

// edgeAt is the verdict on an edge at a distance from the anchor, that is within is true for an anchor on its wrong side.
func (j *judgement) edgeAt(k Constraint, of string, near shape.Nearest, within bool, reason Reason, setbackM float64) {
	hasM := near.DistanceM - j.radiusM
	if within {
		hasM = -near.DistanceM - j.radiusM
	}
	v, told := j.asked(k, of, hasM, setbackM)
	if !told {
		return
	}
	at := near.At
	switch {
	case within:
		v.Reason, at = reason, j.at
	case hasM < 0:
		v.Reason = Into
	case hasM < setbackM:
		v.Reason = InsideSetback
	default:
		v.Reason = KeepsOff
	}
	v.At = geo.Known(j.f.frame.Position(at))
	if !j.brief || j.inReport {
		v.Working = append(v.Working, step("D", "from the anchor to it", "", near.DistanceM), step("R", "swing radius", "", j.radiusM),
			step("G", "water left between", map[bool]string{true: "-D - R", false: "D - R"}[within], hasM),
			step("S", "water kept free beside it", "", setbackM))
	}
	j.add(v)
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
	setbackM := float64(j.f.harbor.Defaults.ShoreSetback)
	if edges.Inside(j.at, shape.AnyFeature) {
		near, _ := nearest(edges, j.at, shape.AnyFeature)
		j.edgeAt(ByShore, "", near, true, OnLand, setbackM)
	} else if near, ok := edges.Nearest(j.at, j.searchM(setbackM), shape.AnyFeature); ok {
		j.edgeAt(ByShore, "", near, false, "", setbackM)
	}
}

// nearest finds the nearest edge however far it is.
func nearest(edges *shape.Edges, at geo.Offset, feature int32) (shape.Nearest, bool) {
	for reachM := 100.0; reachM < 1e7; reachM *= 10 {
		if n, ok := edges.Nearest(at, reachM, feature); ok {
			return n, true
		}
	}
	return shape.Nearest{}, false
}

// keepOuts: the circle and the setback have to stay out of fairways and closed water. Each is judged by itself: two may have one name.
func (j *judgement) keepOuts() {
	edges := &j.f.fixed.keepOuts
	reached := !j.brief || edges.Inside(j.at, shape.AnyFeature) // in one, and so all are asked
	if !reached {
		edges.Features(j.at, j.radiusM+j.f.fixed.setbackM, func(int32) { reached = true })
	}
	for i := range j.f.harbor.KeepOuts {
		if !reached {
			return
		}
		k := &j.f.harbor.KeepOuts[i]
		kind, setbackM := ByFairway, float64(k.Setback)
		if k.Kind == geo.ClosedWater {
			kind = ByClosed
		}
		near, ok := edges.Nearest(j.at, j.searchM(setbackM), int32(i))
		inside := edges.Inside(j.at, int32(i))
		if inside && !ok {
			near, _ = nearest(edges, j.at, int32(i))
		}
		if ok || inside {
			j.edgeAt(kind, k.Name, near, inside, InsideZone, setbackM)
		}
	}
}

// edge: the whole swing has to stay inside the mooring's own area, not only the buoy.
func (j *judgement) edge() {
	area, ok := j.f.fixed.area[j.m.Area]
	if !ok {
		return
	}
	edges := &j.f.fixed.areas
	inside := edges.Inside(j.at, area)
	near, found := shape.Nearest{}, false
	if inside && j.brief {
		near, found = edges.Nearest(j.at, j.radiusM, area)
	} else {
		near, found = nearest(edges, j.at, area)
	}
	if found {
		j.edgeAt(ByAreaEdge, j.m.Area, near, !inside, OutsideArea, 0)
	}
}

// shoal: at the low level the keel keeps its margin over the whole circle. Certain when the shortage is there even in the circle that is
// smaller by the position's accuracy: then a slip of the survey cannot explain it.
func (j *judgement) shoal() {
	levels, levelsKnown := j.f.harbor.Levels.Get()
	_, empty := j.f.bed.Empty()
	switch {
	case (empty || !levelsKnown) && j.inReport: // told once for the harbor
		return
	case empty:
		j.add(unknown(ByShoal, "", NoSoundings, "soundings.csv"))
		return
	case !levelsKnown:
		j.add(unknown(ByShoal, "", NoLevels, "levels.low_m"))
		return
	}
	draft, known := j.boat.Draft.Get()
	if !known {
		j.add(unknown(ByShoal, "", NoDraft, j.field("draft_m", "largest_draft_m")))
		return
	}
	s := j.f.bed.Shallowest(j.at, geo.Metres(j.radiusM))
	if !s.Whole {
		v := unknown(ByShoal, "", NotSounded, "soundings.csv")
		v.Note = s.Why
		j.add(v)
	}
	shallowest, known := s.Depth.Get()
	if !known {
		return
	}
	waterM, needsM := float64(shallowest+levels.Low), float64(draft+j.rules.KeelMargin)
	v, told := j.asked(ByShoal, "", waterM, needsM)
	if !told {
		return
	}
	v.Reason, v.At = DeepEnough, geo.Known(j.f.frame.Position(s.At))
	v.Case = &Case{LevelM: geo.Known(levels.Low)}
	if waterM < needsM {
		v.Reason, v.Certainty = TooShallow, Possible
		inner := j.f.bed.Shallowest(j.at, geo.Metres(max(0, j.radiusM-j.accuracyM)))
		if water, known := inner.Depth.Get(); known && float64(water+levels.Low) < needsM && !v.Bound {
			v.Certainty = Certain
		}
	}
	if !j.brief || j.inReport {
		v.Working = append(v.Working, step("d", "shallowest of the circle, below chart datum", "", float64(shallowest)),
			step("w", "low level", "", float64(levels.Low)),
			step("W", "water", "d + w", waterM), step("T", "draft", "", float64(draft)),
			step("K", "water kept under the keel", "", float64(j.rules.KeelMargin)))
	}
	j.add(v)
}

// field names a field of the boat, or of the place that keeps its water for the largest one.
func (j *judgement) field(ofBoat, ofPlace string) string {
	if j.kept {
		return ofPlace
	}
	return ofBoat
}
