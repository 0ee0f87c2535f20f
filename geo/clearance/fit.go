package clearance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/shape"
	"swingroom/geo/swing"
)

// Constraint is one thing that is asked of a boat on a mooring.
type Constraint string

// The constraints, in the order in which they are told.
const (
	ByNeighbour  Constraint = "neighbour"
	ByShore      Constraint = "shore"
	ByShoal      Constraint = "shoal"
	ByFairway    Constraint = "fairway"
	ByClosed     Constraint = "closed_water"
	ByAreaEdge   Constraint = "area_edge"
	ByAreaLOA    Constraint = "area_largest_loa"
	ByAreaDraft  Constraint = "area_largest_draft"
	ByPlaceLOA   Constraint = "place_largest_loa"
	ByPlaceDraft Constraint = "place_largest_draft"
	ByPlaceLeast Constraint = "place_smallest_loa"
	ByScope      Constraint = "scope"
	ByAnchor     Constraint = "anchor"
	ByStrength   Constraint = "strength"
	ByTable      Constraint = "tackle_table"
	ByRecord     Constraint = "record"
)

// Verdict is one constraint with its figures. Where it is kept Spare is not below 0.
type Verdict struct {
	Constraint Constraint `json:"constraint"`
	Name       string     `json:"name"` // of the neighbour, fairway, area or part
	// Fits is unknown where it cannot be said; Words says what would have to be known.
	Fits  geo.Maybe[bool]    `json:"fits"`
	Have  geo.Maybe[float64] `json:"have"`
	Need  geo.Maybe[float64] `json:"need"`
	Most  bool               `json:"most"`  // Need is the most that may be, not the least
	Spare geo.Maybe[float64] `json:"spare"` // what is left over; below 0 what is missing
	Unit  string             `json:"unit"`  // "m", "N", "kg"
	Words string             `json:"words"`
	// Working are the figures that a person can redo it with.
	Working []swing.Step `json:"working"`
	// Unison is how near the hulls come when both lie to the same weather, where the circles come near each other; Lying is by which it is judged.
	Lying  geo.Lying `json:"lying,omitempty"`
	Unison *InUnison `json:"unison,omitempty"`
}

// Outcome is the answer of a fit check.
type Outcome string

// The outcomes. FitsIf is that of a boat that does not fit, for which there is a proved remedy.
const (
	Fits         Outcome = "fits"
	FitsIf       Outcome = "fits_if"
	DoesNotFit   Outcome = "does_not_fit"
	CannotBeSaid Outcome = "cannot_be_said"
)

// Fit is the fit check of a boat on a mooring: one verdict a constraint.
type Fit struct {
	Mooring  string       `json:"mooring"`
	Area     string       `json:"area"`
	Boat     geo.Boat     `json:"boat"`
	Outcome  Outcome      `json:"outcome"`
	Verdicts []Verdict    `json:"verdicts"`
	Swing    swing.Answer `json:"swing"`
	Words    string       `json:"words"`
}

// Against are the verdicts that say no, or cannot say, the worst first as they are told.
func (f *Fit) Against() []Verdict {
	return slices.DeleteFunc(slices.Clone(f.Verdicts), func(v Verdict) bool { return v.Fits.Or(false) })
}

// Fit checks a mooring with a boat, on file or only tried, against everything. m.Boat may not be nil.
func (f *Field) Fit(m geo.Mooring) Fit {
	rules := f.harbor.Rules(&m)
	depth := f.depth(&m)
	in := f.input(&m, &depth)
	answer := swing.Radius(in)
	c := checker{f: f, m: &m, rules: rules, depth: &depth, answer: &answer, circle: f.circle(&m, &answer), fit: Fit{Mooring: m.Number, Area: m.Area, Boat: *m.Boat, Swing: answer, Verdicts: []Verdict{}}}
	c.record()
	if radius, known := answer.Radius.Get(); known {
		c.radiusM = float64(radius)
		accuracy, _ := f.harbor.AccuracyOf(&m)
		c.at, c.accuracyM = f.frame.Project(m.Position), float64(accuracy)
		c.neighbours()
		c.fixed()
	}
	c.limits()
	c.least()
	c.scope()
	c.tackle()
	return c.done()
}

// FitTackle is the part of the fit check that is about anchor and parts. m.Boat may not be nil.
func (f *Field) FitTackle(m geo.Mooring) []Verdict {
	depth := f.depth(&m)
	c := checker{f: f, m: &m, rules: f.harbor.Rules(&m), depth: &depth, fit: Fit{Verdicts: []Verdict{}}}
	c.tackle()
	return c.fit.Verdicts
}

// checker carries one fit check.
type checker struct {
	f         *Field
	m         *geo.Mooring
	rules     geo.Rules
	depth     *Depth
	answer    *swing.Answer
	circle    Circle
	at        geo.Offset
	radiusM   float64
	accuracyM float64
	fit       Fit
}

func (c *checker) add(v Verdict) {
	if v.Working == nil {
		v.Working = []swing.Step{}
	}
	c.fit.Verdicts = append(c.fit.Verdicts, v)
}

// judged is a verdict of what there is against what is needed. Where the radius is only a bound a no cannot be said for sure.
func (c *checker) judged(k Constraint, name string, haveM, needM float64, words string, working ...swing.Step) Verdict {
	v := Verdict{Constraint: k, Name: name, Have: geo.Known(haveM), Need: geo.Known(needM), Spare: geo.Known(haveM - needM), Unit: "m", Words: words, Working: working}
	if haveM >= needM || !c.answer.Bound {
		v.Fits = geo.Known(haveM >= needM)
	} else {
		v.Words += "; the swing radius is only an upper bound, so it may still do"
	}
	return v
}

func step(symbol, name, formula string, valueM float64) swing.Step {
	s := swing.Step{Symbol: symbol, Name: name, Formula: formula, Value: valueM, Unit: "m", From: swing.Computed}
	if formula == "" {
		s.From = swing.OnRecord
	}
	return s
}

func unknown(k Constraint, name, words string) Verdict {
	return Verdict{Constraint: k, Name: name, Words: words}
}

// record tells what stands in the way of a swing radius.
func (c *checker) record() {
	for _, fault := range c.answer.Faults {
		c.add(Verdict{Constraint: ByRecord, Fits: geo.Known(false), Words: "an error in the record: " + fault})
	}
	if len(c.answer.Missing) > 0 {
		words := "her swing radius is not known; missing: " + strings.Join(c.answer.Missing, ", ")
		if c.answer.Bound {
			words = "her swing radius is only an upper bound; missing: " + strings.Join(c.answer.Missing, ", ")
		}
		if c.depth.Why != "" {
			words += " (" + c.depth.Why + ")"
		}
		c.add(unknown(ByRecord, "", words))
	}
	if d, far := c.f.far(c.m.Position); far {
		c.add(unknown(ByRecord, "", fmt.Sprintf("the mooring lies %.0f km from the middle of the field", d/1000)))
	}
}

// neighboursTold is how many neighbours that keep clear are told besides all that do not.
const neighboursTold = 4

// neighbours holds her circle against those beside it, the nearest first, and her hull where both may lie in unison.
func (c *checker) neighbours() {
	const looked = 32
	type beside struct {
		place int32
		gapM  float64
		distM float64
	}
	var all []beside
	for _, x := range c.f.index.Nearest(c.m.Position, looked, nil) {
		other := &c.f.harbor.Moorings[x.Index]
		if other.Number == c.m.Number {
			continue
		}
		if c.f.index.at[x.Index].RadiusM <= 0 {
			if other.Boat != nil && x.DistanceM < 2*c.radiusM+c.circle.MarginM {
				c.add(unknown(ByNeighbour, other.Number, fmt.Sprintf("%.1f m away, and its swing radius is not known; missing: %s", x.DistanceM, strings.Join(c.f.swings[x.Index].Missing, ", "))))
			}
			continue
		}
		all = append(all, beside{x.Index, x.DistanceM - c.radiusM - c.f.index.at[x.Index].RadiusM, x.DistanceM})
	}
	slices.SortFunc(all, func(a, b beside) int { return cmp.Compare(a.gapM, b.gapM) })
	for n, x := range all {
		marginM := max(c.circle.MarginM, c.f.index.at[x.place].MarginM)
		if n >= neighboursTold && x.gapM >= marginM {
			break
		}
		c.add(c.neighbour(x.place, x.distM, x.gapM, marginM))
	}
}

// neighbour is the verdict on one pair, by the way in which its boats lie; both ways are told where the circles come within nearlyM.
func (c *checker) neighbour(place int32, distM, gapM, marginM float64) Verdict {
	const nearlyM = 10
	other := &c.f.index.at[place]
	number := c.f.harbor.Moorings[place].Number
	v := c.judged(ByNeighbour, number, gapM, marginM, fmt.Sprintf("the circles keep %.1f m apart where %.1f m is asked", gapM, marginM),
		step("D", "between the anchors", "", distM), step("R1", "her swing radius", "", c.radiusM), step("R2", "that of "+number, "", other.RadiusM), step("G", "gap between the circles", "D - R1 - R2", gapM), step("M", "margin", "", marginM))
	v.Lying = geo.Independent
	if gapM < 0 {
		v.Words = fmt.Sprintf("the circles overlap by %.1f m where a gap of %.1f m is asked", -gapM, marginM)
	}
	if c.f.swings[place].Bound && !v.Fits.Or(true) {
		v.Fits = geo.Maybe[bool]{}
		v.Words += "; that of " + number + " is only an upper bound"
	}
	if gapM >= nearlyM {
		return v
	}
	me, it := berth{c.m, c.depth, &c.circle, -1, c.rules}, c.f.berth(int(place))
	if k, _ := c.f.judge(Pair{-1, place, distM, -gapM}, me, it); k.Lying == geo.InUnison && gapM < marginM {
		hullM := -k.OverlapM
		v = c.judged(ByNeighbour, number, hullM, marginM, fmt.Sprintf("lying in unison the hulls keep %.1f m apart at the least where %.1f m is asked; the circles alone would overlap by %.1f m (%s)", hullM, marginM, -gapM, k.Unison.Words()),
			append(v.Working, step("U", "least gap between the hulls", "swept over the design weathers", hullM))...)
		v.Lying, v.Unison = geo.InUnison, k.Unison
		return v
	} else if k.Unison != nil {
		v.Unison = k.Unison
		return v
	}
	u := c.f.inUnison(me, it)
	v.Unison = &u
	return v
}

// fixed holds her circle against everything fixed. The nearest of a kind is told even where it is far, up to tellM from the circle.
func (c *checker) fixed() {
	const tellM = 100
	f := c.f
	found := findings{}
	h := candidate{findings: &found, f: f, m: c.m, rules: c.rules, at: c.at, radiusM: c.radiusM, accuracyM: c.accuracyM, bound: c.answer.Bound}
	h.shore()
	h.keepOuts()
	h.edge()
	h.shoal()
	told := map[string]bool{}
	for _, z := range found.hazards {
		needM := c.needed(z)
		v := Verdict{Constraint: Constraint(z.Kind), Name: z.Name, Words: z.Words, Unit: "m", Need: geo.Known(needM), Have: geo.Known(needM - z.ByM), Spare: geo.Known(-z.ByM)}
		if !z.Bound {
			v.Fits = geo.Known(false)
		}
		c.add(v)
		told[string(z.Kind)+z.Name] = true
	}
	for _, u := range found.unknown {
		if u.What == "draft" || u.What == "depth" {
			c.add(unknown(ByShoal, "", u.Words))
			told[string(Shoal)] = true
		}
	}
	setback := float64(f.harbor.Defaults.ShoreSetback)
	if near, ok := f.fixed.shore.Nearest(c.at, c.radiusM+setback+tellM, shape.AnyFeature); ok && !told[string(Shore)] {
		c.add(c.fixedAt(ByShore, "", near.DistanceM, setback, "the shore"))
	}
	for i := range f.harbor.KeepOuts {
		k := &f.harbor.KeepOuts[i]
		kind := ByFairway
		if k.Kind == geo.ClosedWater {
			kind = ByClosed
		}
		if near, ok := f.fixed.keepOuts.Nearest(c.at, c.radiusM+float64(k.Setback)+tellM, int32(i)); ok && !told[string(kind)+k.Name] {
			c.add(c.fixedAt(kind, k.Name, near.DistanceM, float64(k.Setback), named(k)))
		}
	}
	if area, ok := f.fixed.area[c.m.Area]; ok && !told[string(AreaEdge)+c.m.Area] {
		if near, ok := nearest(&f.fixed.areas, c.at, area); ok {
			c.add(c.fixedAt(ByAreaEdge, c.m.Area, near.DistanceM, 0, "the edge of "+c.m.Area))
		}
	}
	if f.fixed.shore.Len() == 0 {
		c.add(unknown(ByShore, "", "there is no shoreline on record, so she is not checked against the shore"))
	}
	if !told[string(Shoal)] {
		c.water()
	}
}

// needed is what is asked where a circle comes against something: the setback, or over a shoal draft and keel margin.
func (c *checker) needed(z Hazard) float64 {
	switch z.Kind {
	case Shore:
		return float64(c.f.harbor.Defaults.ShoreSetback)
	case Shoal:
		return float64(c.m.Boat.Draft.Or(0) + c.rules.KeelMargin)
	case Fairway, Closed:
		for i := range c.f.harbor.KeepOuts {
			if k := &c.f.harbor.KeepOuts[i]; k.Name == z.Name {
				return float64(k.Setback)
			}
		}
	}
	return 0
}

func (c *checker) fixedAt(k Constraint, name string, distM, setbackM float64, what string) Verdict {
	return c.judged(k, name, distM-c.radiusM, setbackM, fmt.Sprintf("%s is %.1f m from the anchor, her swing radius is %.1f m%s", what, distM, c.radiusM, setbackWords(setbackM)),
		step("D", "from the anchor", "", distM), step("R", "her swing radius", "", c.radiusM), step("G", "what is left", "D - R", distM-c.radiusM), step("S", "setback", "", setbackM))
}

// water tells the least water over the whole circle at the low level, where it is enough.
func (c *checker) water() {
	levels, known := c.f.harbor.Levels.Get()
	if _, empty := c.f.bed.Empty(); empty || !known {
		c.add(unknown(ByShoal, "", "there are no soundings or no design levels on record, so the water under her keel is not checked"))
		return
	}
	shallowest, known := c.f.bed.Shallowest(c.at, geo.Metres(c.radiusM)).Depth.Get()
	if !known {
		return
	}
	draft, keel := float64(c.m.Boat.Draft.Or(0)), float64(c.rules.KeelMargin)
	water := float64(shallowest + levels.Low)
	c.add(c.judged(ByShoal, "", water, draft+keel, fmt.Sprintf("at the low level %.1f m of water at the shallowest of her circle, where draft and keel margin need %.1f m", water, draft+keel),
		step("d", "shallowest of the circle, below chart datum", "", float64(shallowest)), step("w", "low level", "", float64(levels.Low)), step("W", "water", "d + w", water), step("T", "draft", "", draft), step("K", "keel margin", "", keel)))
}

// limits are what is set for the area and the place.
func (c *checker) limits() {
	length, _ := c.m.Boat.SwingLength()
	for _, x := range []struct {
		k          Constraint
		name, what string
		limit, got geo.Maybe[geo.Metres]
		field      string
	}{
		{ByAreaLOA, c.m.Area, "longest boat of the area", c.rules.LargestLOA, length, "loa_m"}, {ByAreaDraft, c.m.Area, "deepest boat of the area", c.rules.LargestDraft, c.m.Boat.Draft, "draft_m"},
		{ByPlaceLOA, c.m.Number, "longest boat of the place", c.m.LargestLOA, length, "loa_m"}, {ByPlaceDraft, c.m.Number, "deepest boat of the place", c.m.LargestDraft, c.m.Boat.Draft, "draft_m"},
	} {
		limit, set := x.limit.Get()
		got, known := x.got.Get()
		switch {
		case !set:
		case !known:
			c.add(unknown(x.k, x.name, x.field+" of the boat is not on record"))
		default:
			v := Verdict{Constraint: x.k, Name: x.name, Fits: geo.Known(got <= limit), Have: geo.Known(float64(got)), Need: geo.Known(float64(limit)), Spare: geo.Known(float64(limit - got)), Most: true, Unit: "m"}
			v.Words = fmt.Sprintf("%s: %.2f m; she has %.2f m", x.what, float64(limit), float64(got))
			c.add(v)
		}
	}
}

// least: a place that is kept for longer boats.
func (c *checker) least() {
	limit, set := c.m.SmallestLOA.Get()
	if !set {
		return
	}
	length, field := c.m.Boat.SwingLength()
	got, known := length.Get()
	if !known {
		c.add(unknown(ByPlaceLeast, c.m.Number, field+" of the boat is not on record"))
		return
	}
	c.add(Verdict{Constraint: ByPlaceLeast, Name: c.m.Number, Fits: geo.Known(got >= limit), Have: geo.Known(float64(got)), Need: geo.Known(float64(limit)), Spare: geo.Known(float64(got - limit)), Unit: "m",
		Words: fmt.Sprintf("the place is kept for boats of %.2f m and more; she has %.2f m", float64(limit), float64(got))})
}

// scope at the high level: by the area's rule where it has one, or else the rode has to reach at all.
func (c *checker) scope() {
	levels, levelsKnown := c.f.harbor.Levels.Get()
	depth, depthKnown := c.depth.DepthM.Get()
	bow, bowKnown := c.m.Boat.BowHeight.Get()
	if c.m.StatedRadius.IsKnown() && !depthKnown {
		return
	}
	length, missing := c.m.Tackle.RodeLength()
	rode, rodeKnown := length.Get()
	for _, x := range []struct {
		known bool
		field string
	}{{levelsKnown, "the design levels"}, {depthKnown, "the depth"}, {bowKnown, "bow_height_m of the boat"}, {rodeKnown, string(missing) + "_m of the tackle"}} {
		if !x.known {
			c.add(unknown(ByScope, "", "the scope at the high level cannot be worked out; missing: "+x.field))
			return
		}
	}
	rise := float64(max(0, depth+levels.High) + bow)
	ratio := 1.0
	if c.rules.Swing.Kind == geo.ScopeRule {
		ratio = c.rules.Swing.ScopeRatio
	}
	words := fmt.Sprintf("a rode of %.1f m over %.1f m from bed to bow at the high level is a scope of %.1f", float64(rode), rise, float64(rode)/math.Max(rise, 1e-9))
	if ratio > 1 {
		words += fmt.Sprintf(", and %.1f is asked", ratio)
	} else {
		words += "; it has to reach, and no more is asked by the area's rule"
	}
	c.add(Verdict{Constraint: ByScope, Fits: geo.Known(float64(rode) >= ratio*rise), Have: geo.Known(float64(rode)), Need: geo.Known(ratio * rise), Spare: geo.Known(float64(rode) - ratio*rise), Unit: "m", Words: words,
		Working: []swing.Step{step("L", "rode", "", float64(rode)), step("d", "depth below chart datum", "", float64(depth)), step("w", "high level", "", float64(levels.High)), step("b", "bow height", "", float64(bow)), step("h", "from bed to bow", "d + w + b", rise)}})
}

// done sums up.
func (c *checker) done() Fit {
	no, open := 0, 0
	for _, v := range c.fit.Verdicts {
		fits, known := v.Fits.Get()
		switch {
		case !known:
			open++
		case !fits:
			no++
		}
	}
	switch {
	case no > 0:
		c.fit.Outcome, c.fit.Words = DoesNotFit, fmt.Sprintf("She does not fit: %d of %d constraints are not kept.", no, len(c.fit.Verdicts))
	case open > 0:
		c.fit.Outcome, c.fit.Words = CannotBeSaid, fmt.Sprintf("It cannot be said: %d of %d constraints lack a record.", open, len(c.fit.Verdicts))
	default:
		c.fit.Outcome, c.fit.Words = Fits, fmt.Sprintf("She fits: all %d constraints are kept.", len(c.fit.Verdicts))
	}
	return c.fit
}
