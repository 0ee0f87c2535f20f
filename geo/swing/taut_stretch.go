package swing

import (
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
)

// tautStretch: R = sqrt(L'² - h²) + o, h at the low level and L' the rode with what its rope stretches under the design load. It is never
// less than what the line reaches under that load at any level from low to high. Where the pull cannot be told the rope is taken to stretch
// as far as it does before it breaks.
func (w *calculation) tautStretch() {
	l, lok := w.rode()
	h, hok := w.riseAtLow(true)
	o, ook := w.farthest()
	if !lok || !ook {
		return
	}
	s := stretchBound{ropes: ropesOf(w.in.Mooring, w.in.Lines.Ropes), lengthM: float64(l)}
	if len(s.ropes) == 0 || hok && l < h {
		w.finishTaut(l, h, o, hok)
		w.noteWholeRode()
		return
	}
	pullN, known := w.pullOf(&s)
	long := w.lengthened(&s, pullN, known)
	if !hok {
		w.radius(long+o, "L' + o", "upper bound: the height from bed to bow is not known, and the true radius is never larger")
		return
	}
	w.finishDrawn(long, "L'", h, o)
}

const wholeRodeNote = "; only the length of the rode as a whole is on record: what it stretches cannot be told"

// noteWholeRode adds to the last line of the working that a rode as a whole says nothing of stretch.
func (w *calculation) noteWholeRode() {
	n := len(w.answer.Working) - 1
	if n < 0 || lastPlace(w.in.Mooring.Tackle, geo.Rode) < 0 {
		return
	}
	last := &w.answer.Working[n]
	last.Note = strings.TrimPrefix(last.Note+wholeRodeNote, "; ")
}

// pullOf bounds the pull in the rope; known is false where a record is missing for it, which is told.
func (w *calculation) pullOf(s *stretchBound) (pullN float64, known bool) {
	boat, _ := w.boat()
	load, loadKnown := w.designLoad(boat)
	s.loadN = float64(load)
	onRecordM := s.lengthM
	s.lengthM = 0
	w.missingForPull(s.addLine(w.in.Mooring, w.in.Lines)...)
	water, waterKnown := w.waterAtHigh()
	if !loadKnown || !waterKnown || math.IsInf(s.weightN, 1) {
		s.lengthM, w.answer.Bound = onRecordM, true
		return 0, false
	}
	bow := boat.BowHeight.Or(0)
	p := s.pullAt(float64(water+bow), float64(water))
	if p.unlifted {
		w.missingForPull("buoy_size_m")
		return 0, false
	}
	w.riseSteps(water, bow, geo.Metres(s.lengthM))
	if math.IsInf(p.pullN, 1) {
		return 0, false
	}
	w.pullSteps(s, &p)
	return p.pullN, true
}

// missingForPull names fields without which the pull is not known, so that the radius is a bound.
func (w *calculation) missingForPull(fields ...string) {
	for _, field := range fields {
		w.answer.Bound = true
		w.missingOnce(field)
	}
}

// waterAtHigh is the depth of water over the anchor at the high level.
func (w *calculation) waterAtHigh() (water geo.Metres, known bool) {
	levels, levelsKnown := w.in.Levels.Get()
	depth, depthKnown := w.in.Depth.Get()
	return max(0, depth+levels.High), levelsKnown && depthKnown
}

// riseSteps is the working of the height from bed to bow at the high level.
func (w *calculation) riseSteps(water, bow, length geo.Metres) {
	w.addMetres("w_high", "high level above chart datum", "", w.in.Levels.Or(geo.Levels{}).High, Default)
	if !w.has("b") {
		w.addMetres("b", "bow height", "", bow, OnRecord)
	}
	w.addMetres("h2", "height from bed to bow at high water, no more than L", "min(d + w_high + b, L)", min(water+bow, length), Computed)
}

// pullSteps is the working of the pull.
func (w *calculation) pullSteps(s *stretchBound, p *pullBound) {
	w.addMetres("L_H", "rode as long as H alone draws it", "", geo.Metres(p.loadedM), Computed)
	t := Step{Symbol: "t", Name: "steepest that it can lead up at the high level", Formula: "h2 / sqrt(L_H² - h2²)", Value: p.steep.Ratio,
		From: Computed}
	if p.steep.lengthM != p.loadedM {
		w.addMetres("L_B", "of it, what lies below the buoy", "", geo.Metres(p.steep.lengthM), Computed)
		w.addMetres("h_B", "water that it leads up through", "", geo.Metres(p.steep.riseM), Computed)
		t.Name, t.Formula = "steepest that the line below the buoy can lead up at the high level", ""
	}
	w.add(t)
	weights := "weight of the line, and weight and lift of its buoy"
	if p.weightN < s.weightN+s.buoyN+s.liftN {
		weights = "weight of the line and of its buoy"
	}
	w.addNewtons("W", weights, "", p.weightN)
	w.addNewtons("T", "pull in the rope, at the most", "sqrt(H² + (H · t + W)²)", p.pullN)
}

// addNewtons adds a computed force to the working.
func (w *calculation) addNewtons(symbol, name, formula string, n float64) {
	w.add(Step{Symbol: symbol, Name: name, Formula: formula, Value: n, Unit: "N", From: Computed})
}

// lengthened is L': the rode with what its rope stretches by a pull, or before it breaks where the pull is not known.
func (w *calculation) lengthened(s *stretchBound, pullN float64, known bool) geo.Metres {
	long, symbols := s.lengthM, []string{"L"}
	for i := range s.ropes {
		r := &s.ropes[i]
		e := r.strainStep(pullN, known)
		e.Symbol = fmt.Sprintf("e%d", i+1)
		w.add(e)
		symbols = append(symbols, fmt.Sprintf("%s · %.2f", e.Symbol, r.lengthM))
		long += e.Value * r.lengthM
	}
	w.addMetres("L'", "rode with what its rope stretches", strings.Join(symbols, " + "), geo.Metres(long), Computed)
	return geo.Metres(long)
}

// strainStep is the strain of a rope by a pull, or before it breaks where the pull or its size is not known.
func (r *rope) strainStep(pullN float64, known bool) Step {
	switch {
	case !known || !(r.sizeM > 0):
		return Step{Name: fmt.Sprintf("strain of the %s when it breaks", r.name()), Value: r.maxStrain(), From: Assumed,
			Note: "without what is missing its pull is not known, and it stretches no farther"}
	case r.unknown():
		return Step{Name: fmt.Sprintf("strain of the %s at T", r.name()), Value: r.strainAt(pullN), From: Assumed,
			Note: "what it is made of is not known: the rope that stretches most is taken"}
	}
	return Step{Name: fmt.Sprintf("strain of the %s at T, by the curve of %s", r.name(), r.kinds[0].Material), Value: r.strainAt(pullN),
		From: Computed}
}

// supposedNote tells of [SupposedBoat].
const supposedNote = "the place is vacant: a boat of the largest length set for it is supposed, a third of it wide, a tenth high at the " +
	"bow and 0.16 of it deep unless a draft is set"

// boat is the one that lies there, or the one supposed for a vacant place.
func (w *calculation) boat() (geo.Boat, bool) {
	if b := w.in.Mooring.Boat; b != nil {
		return *b, true
	}
	boat, ok := SupposedBoat(w.in.Mooring)
	if ok {
		w.addAssumed("B", "beam of the boat supposed for the place", boat.Beam.Or(0), supposedNote)
	}
	return boat, ok
}
