package swing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// rope is a part of a tackle that stretches. What is not on record of it is taken as what stretches most.
type rope struct {
	place   int // in the tackle
	kind    geo.PartKind
	lengthM float64
	sizeM   float64        // 0: not on record
	kinds   []geo.RopeKind // of its material; all that there are where that is not known
}

// ropesOf are the parts of a tackle that stretch; none where only the rode as a whole is on record.
func ropesOf(m *geo.Mooring, own []geo.RopeKind) []rope {
	var all []rope
	for i := range m.Tackle {
		p := &m.Tackle[i]
		length, known := p.Length.Get()
		if p.Kind == geo.Rode && known {
			return nil
		}
		if p.Kind != geo.Pennant && p.Kind != geo.Rope && p.Kind != geo.Elastic || !(length > 0) {
			continue
		}
		r := rope{place: i, kind: p.Kind, lengthM: float64(length), sizeM: float64(p.Size.Or(0))}
		if kind, err := rode.RopeOf(own, p.Material); err == nil && strings.TrimSpace(p.Material) != "" {
			r.kinds = []geo.RopeKind{kind}
		} else {
			r.kinds = slices.Concat(own, rode.Ropes())
		}
		if r.maxStrain() > 0 {
			all = append(all, r)
		}
	}
	return all
}

func (r *rope) name() string { return strings.ReplaceAll(string(r.kind), "_", " ") }

// maxStrain is its strain when it breaks.
func (r *rope) maxStrain() float64 {
	most := 0.0
	for _, k := range r.kinds {
		most = max(most, rode.MaxStrainRatio(k))
	}
	return most
}

// strainAt is the most that it may stretch at a pull.
func (r *rope) strainAt(pullN float64) float64 {
	most := 0.0
	for _, k := range r.kinds {
		most = max(most, r.strainAs(k, pullN))
	}
	return most
}

// minStrain is the least that it stretches at a pull.
func (r *rope) minStrain(pullN float64) float64 {
	if len(r.kinds) != 1 {
		return 0
	}
	return r.strainAs(r.kinds[0], pullN)
}

func (r *rope) strainAs(k geo.RopeKind, pullN float64) float64 {
	square := r.sizeM * r.sizeM / float64(k.Size*k.Size)
	return rode.Stretch(k.Stretch).StrainRatio(pullN / square)
}

// maxWeightN is the most that it weighs, in air.
func (r *rope) maxWeightN() float64 {
	most := 0.0
	for _, k := range r.kinds {
		p := rode.RopePart("", k, geo.Metres(r.lengthM), geo.Metres(r.sizeM), false)
		most = max(most, p.WeightNPerM*r.lengthM)
	}
	return most
}

// stretchBound is a line with rope in it under a load, of which the pull in the rope is bounded.
//
// Along the line the slope sin θ has the mean h/L', L' being its length as it is stretched: so somewhere it is no more than h/L₁, L₁ being
// the length that the load alone stretches it to, and there the vertical pull is no more than H·h/X₁ with X₁ = sqrt(L₁² - h²). From there
// to any other place it grows by no more than all that the line weighs or floats with, and by what the buoy lifts or weighs: V <= H·h/X₁ +
// W. The higher the water the more, so h is that at the high level. A buoy that stays afloat gives another bound, without its lift: the
// part below it is no steeper at its foot than its own rise D over its own length.
type stretchBound struct {
	ropes    []rope
	loadN    float64
	weightN  float64 // of all parts, floating ones too
	lengthM  float64
	buoyN    float64 // its own weight
	liftN    float64 // the most that it lifts besides; at UnlimitedLift or above it: not known
	belowM   float64 // length of what lies below the buoy; 0: no buoy
	lowRopes []rope  // below the buoy
}

// addLine takes what weighs on it. missing names what is not on record for that.
func (s *stretchBound) addLine(m *geo.Mooring, own geo.Lines) (missing []string) {
	filled, parts := *m, m.Tackle
	for i := range s.ropes {
		r := &s.ropes[i]
		if len(r.kinds) > 1 {
			missing = append(missing, string(r.kind)+"_material")
			if &parts[0] == &m.Tackle[0] {
				parts = slices.Clone(parts)
			}
			parts[r.place].Material = "nylon" // its weight is added below, as the heaviest
		}
	}
	filled.Tackle = parts
	t, err := Line(&filled, own)
	if err != nil {
		for _, fe := range geo.FieldErrors(err) {
			missing = append(missing, fe.Field)
		}
		s.weightN = math.Inf(1)
		return missing
	}
	for i, p := range t.Line.Parts {
		s.weightN += math.Abs(p.WeightNPerM) * float64(p.Length)
		s.lengthM += float64(p.Length)
		if b := t.Line.Buoy; b != nil && i < b.Below {
			s.belowM += float64(p.Length)
		}
	}
	if b := t.Line.Buoy; b != nil {
		s.buoyN, s.liftN = b.WeightN, float64(b.Lift)
	}
	for i := range s.ropes {
		if r := &s.ropes[i]; len(r.kinds) > 1 {
			s.weightN += r.maxWeightN()
		}
		if t.Line.Buoy != nil && s.ropes[i].place < t.At[t.Line.Buoy.Below-1]+1 {
			s.lowRopes = append(s.lowRopes, s.ropes[i])
		}
	}
	return missing
}

// pullBound is the bound of the pullBound with what it is made of.
type pullBound struct {
	loadedM  float64 // the line as the load alone stretches it
	steep    steepness
	weightN  float64
	pullN    float64
	unlifted bool // the buoy's lift is not on record, and what lies below it is too short for it to float
}

// steepness is a rise over what the line reaches over it.
type steepness struct {
	riseM, lengthM float64
	Ratio          float64
}

func steep(riseM, lengthM float64) steepness {
	over := math.Sqrt((lengthM - riseM) * (lengthM + riseM))
	switch {
	case riseM <= 0:
		return steepness{riseM, lengthM, 0}
	case !(over > 0):
		return steepness{riseM, lengthM, math.Inf(1)}
	}
	return steepness{riseM, lengthM, riseM / over}
}

// pullAt bounds the pull where bed and bow are so far apart, and the water is so deep, pullAt the high level.
func (s *stretchBound) pullAt(riseM, waterM float64) pullBound {
	if s.loadN == 0 {
		return pullBound{loadedM: s.lengthM, weightN: s.weightN + s.buoyN + s.liftN, pullN: s.weightN + s.buoyN + s.liftN}
	}
	loaded := func(lengthM float64, ropes []rope) float64 {
		for i := range ropes {
			lengthM += ropes[i].lengthM * ropes[i].minStrain(s.loadN)
		}
		return lengthM
	}
	p := pullBound{loadedM: loaded(s.lengthM, s.ropes)}
	p.steep, p.weightN = steep(min(riseM, s.lengthM), p.loadedM), s.weightN+s.buoyN+s.liftN
	if s.belowM > 0 {
		below := steep(waterM, loaded(s.belowM, s.lowRopes))
		if below.Ratio < p.steep.Ratio {
			below = p.steep
		}
		if s.loadN*below.Ratio < s.loadN*p.steep.Ratio+s.liftN {
			p.steep, p.weightN = below, s.weightN+s.buoyN
		}
		p.unlifted = p.weightN >= float64(rode.UnlimitedLift)
	}
	p.pullN = math.Hypot(s.loadN, s.loadN*p.steep.Ratio+p.weightN)
	return p
}

// lengthUnder is the length of the line with all its rope stretched by a pull.
func (s *stretchBound) lengthUnder(pullN float64) float64 {
	lengthM := s.lengthM
	for i := range s.ropes {
		lengthM += s.ropes[i].lengthM * s.ropes[i].strainAt(pullN)
	}
	return lengthM
}

// maxLength is the line with its rope stretched by the pull, or as far as before it breaks where that is not bounded.
func (s *stretchBound) maxLength(p pullBound) float64 {
	if !p.unlifted && !math.IsInf(p.pullN, 1) {
		return s.lengthUnder(p.pullN)
	}
	lengthM := s.lengthM
	for i := range s.ropes {
		lengthM += s.ropes[i].lengthM * s.ropes[i].maxStrain()
	}
	return lengthM
}

// ByDepth is the radius by the rule that counts the stretch, metres, by the depth below chart datum, for searches that ask often; infinite
// where the rode is too short. It is a bound where that of [Radius] is. ok is false where there is no radius at all.
func ByDepth(in Input) (radiusM func(depthM float64) float64, ok bool) {
	l, known := rodeOf(in.Mooring)
	levels, levelsKnown := in.Levels.Get()
	if !known || !levelsKnown || in.Mooring.Boat == nil {
		return nil, false
	}
	length, _ := in.Mooring.Boat.SwingLength()
	if !length.IsKnown() {
		return nil, false
	}
	s := stretchBound{ropes: ropesOf(in.Mooring, in.Lines.Ropes)}
	brokenM, pulled := 0.0, true // as long as where its rope breaks
	if len(s.ropes) > 0 {
		load, missing := DesignLoadOf(*in.Mooring.Boat, in.Rules.Design)
		s.loadN = float64(load.Load)
		s.addLine(in.Mooring, in.Lines)
		pulled = missing == nil && !math.IsInf(s.weightN, 1)
		s.lengthM = float64(l)
		brokenM = s.maxLength(pullBound{unlifted: true})
	}
	low, high, bowM, rodeM := float64(levels.Low), float64(levels.High), float64(in.Mooring.Boat.BowHeight.Or(0)), float64(l)
	return func(depthM float64) float64 {
		h, longM := max(0, depthM+low)+bowM, rodeM
		if rodeM < h {
			return math.Inf(1)
		}
		switch water := max(0, depthM+high); {
		case !pulled:
			longM = brokenM
		case len(s.ropes) > 0:
			longM = s.maxLength(s.pullAt(water+bowM, water))
		}
		return math.Sqrt((longM-h)*(longM+h)) + float64(length.Or(0))
	}, true
}

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
		if n := len(w.answer.Working) - 1; slices.ContainsFunc(w.in.Mooring.Tackle, func(p geo.Part) bool {
			return p.Kind == geo.Rode
		}) && n >= 0 {
			w.answer.Working[n].Note = strings.TrimPrefix(w.answer.Working[n].Note+
				"; only the length of the rode as a whole is on record: what it stretches cannot be told", "; ")
		}
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

// pullOf bounds the pull in the rope; known is false where a record is missing for it, which is told.
func (w *calculation) pullOf(s *stretchBound) (pullN float64, known bool) {
	tell := func(fields []string) {
		for _, field := range fields {
			w.answer.Bound = true
			if !slices.Contains(w.answer.Missing, field) {
				w.missing(field)
			}
		}
	}
	boat, _ := w.boat()
	load, known := w.designLoad(boat)
	s.loadN = float64(load)
	lengthM := s.lengthM
	s.lengthM = 0
	tell(s.addLine(w.in.Mooring, w.in.Lines))
	levels, levelsKnown := w.in.Levels.Get()
	depth, depthKnown := w.in.Depth.Get()
	if !known || !levelsKnown || !depthKnown || math.IsInf(s.weightN, 1) {
		s.lengthM, w.answer.Bound = lengthM, true
		return 0, false
	}
	water, bow := float64(max(0, depth+levels.High)), float64(boat.BowHeight.Or(0))
	p := s.pullAt(water+bow, water)
	if p.unlifted {
		tell([]string{"buoy_size_m"})
		return 0, false
	}
	w.add(Step{Symbol: "w_high", Name: "high level above chart datum", Value: float64(levels.High), Unit: "m", From: Default})
	if !slices.ContainsFunc(w.answer.Working, func(s Step) bool { return s.Symbol == "b" }) {
		w.add(Step{Symbol: "b", Name: "bow height", Value: bow, Unit: "m", From: OnRecord})
	}
	w.add(Step{Symbol: "h2", Name: "height from bed to bow at high water, no more than L", Formula: "min(d + w_high + b, L)",
		Value: min(water+bow, s.lengthM), Unit: "m", From: Computed})
	if math.IsInf(p.pullN, 1) {
		return 0, false
	}
	w.pullSteps(s, &p)
	return p.pullN, true
}

// pullSteps is the working of the pull.
func (w *calculation) pullSteps(s *stretchBound, p *pullBound) {
	w.add(Step{Symbol: "L_H", Name: "rode as long as H alone draws it", Value: p.loadedM, Unit: "m", From: Computed})
	t := Step{Symbol: "t", Name: "steepest that it can lead up at the high level", Formula: "h2 / sqrt(L_H² - h2²)", Value: p.steep.Ratio,
		From: Computed}
	what := "weight of the line, and weight and lift of its buoy"
	if p.weightN < s.weightN+s.buoyN+s.liftN {
		what = "weight of the line and of its buoy"
	}
	if p.steep.lengthM != p.loadedM {
		w.add(Step{Symbol: "L_B", Name: "of it, what lies below the buoy", Value: p.steep.lengthM, Unit: "m", From: Computed})
		w.add(Step{Symbol: "h_B", Name: "water that it leads up through", Value: p.steep.riseM, Unit: "m", From: Computed})
		t.Name, t.Formula = "steepest that the line below the buoy can lead up at the high level", ""
	}
	w.add(t)
	w.add(Step{Symbol: "W", Name: what, Value: p.weightN, Unit: "N", From: Computed})
	w.add(Step{Symbol: "T", Name: "pull in the rope, at the most", Formula: "sqrt(H² + (H · t + W)²)", Value: p.pullN, Unit: "N",
		From: Computed})
}

// lengthened is L': the rode with what its rope stretches by a pull, or before it breaks where the pull is not known.
func (w *calculation) lengthened(s *stretchBound, pullN float64, known bool) geo.Metres {
	long, symbols := s.lengthM, []string{"L"}
	for i := range s.ropes {
		r := &s.ropes[i]
		e := Step{Symbol: fmt.Sprintf("e%d", i+1), Name: fmt.Sprintf("strain of the %s at T, by the curve of %s", r.name(),
			r.kinds[0].Material), Value: r.maxStrain(), From: Computed}
		if len(r.kinds) > 1 {
			e.Name, e.From, e.Note = fmt.Sprintf("strain of the %s at T", r.name()), Assumed,
				"what it is made of is not known: the rope that stretches most is taken"
		}
		if known && r.sizeM > 0 {
			e.Value = r.strainAt(pullN)
		} else {
			e.Name, e.From, e.Note = fmt.Sprintf("strain of the %s when it breaks", r.name()), Assumed,
				"without what is missing its pull is not known, and it stretches no farther"
		}
		w.add(e)
		symbols = append(symbols, fmt.Sprintf("e%d · %.2f", i+1, r.lengthM))
		long += e.Value * r.lengthM
	}
	w.add(Step{Symbol: "L'", Name: "rode with what its rope stretches", Formula: strings.Join(symbols, " + "), Value: long, Unit: "m",
		From: Computed})
	return geo.Metres(long)
}

// boat is the one that lies there, or the one supposed for a vacant place.
func (w *calculation) boat() (geo.Boat, bool) {
	m := w.in.Mooring
	if m.Boat != nil {
		return *m.Boat, true
	}
	boat, ok := SupposedBoat(m)
	if ok {
		w.add(Step{Symbol: "B", Name: "beam of the boat supposed for the place", Value: float64(boat.Beam.Or(0)), Unit: "m", From: Assumed,
			Note: "the place is vacant: a boat of the largest length set for it is supposed, a third of it wide, a tenth high at the " +
				"bow and 0.16 of it deep unless a draft is set"})
	}
	return boat, ok
}
