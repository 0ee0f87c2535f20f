package clearance

import (
	"cmp"
	"encoding/json"
	"slices"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// Certainty says whether the accuracy of the surveys leaves a doubt.
type Certainty string

const (
	// Certain: what is missing is more than the accuracy of the positions.
	Certain Certainty = "certain"
	// Possible: it is less, or a radius is only an upper bound.
	Possible Certainty = "possible"
)

// State of a pair, or of a mooring by its worst trouble.
type State string

const (
	// Clear: farther apart than the margin; of a mooring: all that is asked of it is kept.
	Clear State = "clear"
	// Unsaid: of a mooring: nothing fails, and something cannot be said for want of a record.
	Unsaid State = "unsaid"
	// Trouble: of a mooring: no conflict, and something else is not kept.
	Trouble State = "trouble"
	// Tight: inside the margin, and apart by more than the accuracy of the surveys.
	Tight State = "tight"
	// MayTouch: the circles touch or not, within the accuracy of the surveys.
	MayTouch State = "may_touch"
	// Touching: the circles overlap by more than that.
	Touching State = "touching"
)

// Conflict is a pair of moorings whose swing circles overlap or come inside the margin.
type Conflict struct {
	A         string  `json:"a"`
	B         string  `json:"b"`
	DistanceM float64 `json:"distance_m"` // between the anchors, on the ellipsoid
	// OverlapM is the sum of the radii less the distance: under 0 it is the gap that is left, with its sign turned.
	OverlapM  float64      `json:"overlap_m"`
	Certainty Certainty    `json:"certainty"`
	State     State        `json:"state"`
	MarginM   float64      `json:"margin_m"`   // asked between the two circles
	AccuracyM float64      `json:"accuracy_m"` // of the distance: root of the sum of the squares of both positions'
	At        geo.Position `json:"at"`         // the middle of the shared water or of the gap
	// Bound is true when one of the radii is an upper bound because something is unknown, a pair that lies in unison is judged by its
	// circles for want of a record, or by a boat that is only supposed.
	Bound bool `json:"bound"`
	// Lying is how the pair is judged: by its circles, or in unison by the hulls. Then OverlapM is that of the hulls.
	Lying  geo.Lying `json:"lying"`
	Unison *InUnison `json:"unison"` // null: one of the two does not lie in unison
}

// MarshalJSON adds the sentence in both units.
func (k Conflict) MarshalJSON() ([]byte, error) {
	type plain Conflict
	return json.Marshal(struct {
		plain
		Words geo.Words `json:"words"`
	}{plain(k), geo.WordsOf(k.Sentence)})
}

// HazardKind says what a circle comes against.
type HazardKind string

// The hazards.
const (
	Shore    HazardKind = "shore"
	Shoal    HazardKind = "shoal"
	Fairway  HazardKind = "fairway"
	Closed   HazardKind = "closed_water"
	AreaEdge HazardKind = "area_edge"
)

// Hazard is a swing circle against something fixed.
type Hazard struct {
	Mooring string     `json:"mooring"`
	Kind    HazardKind `json:"kind"`
	Reason  Reason     `json:"reason"`
	// ByM: by how much the circle reaches too far; for a shoal, by how much the water is too shallow.
	ByM       float64      `json:"by_m"`
	HasM      float64      `json:"has_m"`   // water left between the circle and it; for a shoal the depth at the low level
	NeedsM    float64      `json:"needs_m"` // setback; for a shoal draft and keel margin
	At        geo.Position `json:"at"`      // where it is worst
	Certainty Certainty    `json:"certainty"`
	Name      string       `json:"name"` // of the fairway, closed water or area
	Bound     bool         `json:"bound"`
}

// MarshalJSON adds the sentence in both units.
func (h Hazard) MarshalJSON() ([]byte, error) {
	type plain Hazard
	return json.Marshal(struct {
		plain
		Words geo.Words `json:"words"`
	}{plain(h), geo.WordsOf(h.Sentence)})
}

// verdict is the hazard as the fit check tells it.
func (h *Hazard) verdict() Verdict {
	v := Verdict{Constraint: Constraint(h.Kind), Of: h.Name, Reason: h.Reason, Certainty: h.Certainty, Bound: h.Bound}
	v.figuresWith(h.HasM, h.NeedsM, -h.ByM, "m")
	return v
}

// Finding is a verdict of a mooring that is not kept, or cannot be said: of tackle, limits and records, or of what could not be checked.
type Finding struct {
	Mooring string  `json:"mooring"` // empty: it holds for the whole harbor
	Verdict Verdict `json:"verdict"`
}

// Report is everything that was found, worst first: [Field.Fit] of every mooring as it is on file.
type Report struct {
	Conflicts []Conflict `json:"conflicts"`
	Hazards   []Hazard   `json:"hazards"`
	Troubles  []Finding  `json:"troubles"` // of tackle, limits and records
	Unknown   []Finding  `json:"unknown"`  // what cannot be said, and the record that is missing
}

// Near is a mooring near a position.
type Near struct {
	Index          int        `json:"-"` // in Harbor.Moorings
	Number         string     `json:"number"`
	Distance       geo.Metres `json:"distance_m"`
	BearingTrueDeg float64    `json:"bearing_true_deg"` // from the position to the mooring
}

// Report is every trouble of the field. It is worked out once; treat it as immutable.
func (f *Field) Report() *Report {
	f.once.Do(func() {
		f.report = &Report{Conflicts: f.judgeAll(Scan(f.index.at)), Hazards: []Hazard{}, Troubles: []Finding{}, Unknown: []Finding{}}
		f.report.addVerdicts("", f.harborWide())
		found := make([][]Verdict, len(f.harbor.Moorings))
		split(len(found), func(_, from, to int) {
			for i := from; i < to; i++ {
				found[i] = f.shortcomings(i)
			}
		})
		for i, verdicts := range found {
			f.report.addVerdicts(f.harbor.Moorings[i].Number, verdicts)
		}
		f.report.sort(f)
		f.states = f.statesBy(f.report)
	})
	return f.report
}

// State is that of the worst trouble of Harbor().Moorings[i].
func (f *Field) State(i int) State {
	f.Report()
	return f.states[i]
}

// shortcomings are what is not kept, or cannot be said, of Harbor().Moorings[i], but for the pairs.
func (f *Field) shortcomings(i int) []Verdict {
	j := f.onFile(i)
	j.all()
	return j.verdicts
}

// onFile is the judgement of Harbor().Moorings[i] for the report: what is not kept alone.
func (f *Field) onFile(i int) *judgement {
	j := f.judgement(f.pairSide(i), &f.swings[i])
	j.brief, j.inReport = true, true
	return j
}

// addVerdicts sorts the verdicts of one mooring, or with an empty number those on the whole harbor, into the report.
func (r *Report) addVerdicts(number string, verdicts []Verdict) {
	for i := range verdicts {
		v := &verdicts[i]
		fits, said := v.Fits.Get()
		switch {
		case said && fits:
		case v.Constraint.Kind() == KindHazard && v.Has.IsKnown():
			r.Hazards = append(r.Hazards, v.hazard(number))
		case said:
			r.Troubles = append(r.Troubles, Finding{number, *v})
		default:
			r.Unknown = append(r.Unknown, Finding{number, *v})
		}
	}
}

// hazard is the verdict on something fixed as the report tells it.
func (v *Verdict) hazard(number string) Hazard {
	at, _ := v.At.Get()
	return Hazard{Mooring: number, Kind: HazardKind(v.Constraint), Reason: v.Reason, ByM: -v.Spare.Or(0), HasM: v.Has.Or(0),
		NeedsM: v.Needs.Or(0), At: at, Certainty: v.Certainty, Name: v.Of, Bound: v.Bound}
}

// severities are the states from clear to touching.
var severities = []State{Clear, Unsaid, Trouble, Tight, MayTouch, Touching}

// severity orders states from clear to touching.
func severity(s State) int { return slices.Index(severities, s) }

func worse(a, b State) State {
	if severity(b) > severity(a) {
		return b
	}
	return a
}

// statesBy gives each mooring the state of its worst trouble.
func (f *Field) statesBy(r *Report) []State {
	states := f.statesWithoutTrouble()
	note := func(number string, s State) {
		if i, ok := f.number[number]; ok {
			states[i] = worse(states[i], s)
		}
	}
	for i := range r.Conflicts {
		note(r.Conflicts[i].A, r.Conflicts[i].State)
		note(r.Conflicts[i].B, r.Conflicts[i].State)
	}
	for i := range r.Hazards {
		note(r.Hazards[i].Mooring, Trouble)
	}
	for i := range r.Troubles {
		note(r.Troubles[i].Mooring, Trouble)
	}
	for i := range r.Unknown {
		note(r.Unknown[i].Mooring, Unsaid)
	}
	return states
}

// statesWithoutTrouble are those of moorings of which the report tells nothing: clear, or unsaid where the harbor lacks what every circle
// is checked against.
func (f *Field) statesWithoutTrouble() []State {
	states := make([]State, len(f.harbor.Moorings))
	_, empty := f.bed.Empty()
	unchecked := empty || !f.harbor.Levels.IsKnown() || f.fixed.shore.Len() == 0
	for i := range states {
		if states[i] = Clear; unchecked && f.swings[i].Basis != swing.ForNone {
			states[i] = Unsaid
		}
	}
	return states
}

// sort puts the worst first: what is certain before what is possible, then by what is missing.
func (r *Report) sort(f *Field) {
	slices.SortFunc(r.Conflicts, compareConflicts)
	slices.SortStableFunc(r.Hazards, func(a, b Hazard) int {
		return cmp.Or(certainFirst(a.Certainty, b.Certainty), cmp.Compare(b.ByM, a.ByM), cmp.Compare(a.Mooring, b.Mooring))
	})
	for _, all := range [][]Finding{r.Troubles, r.Unknown} {
		slices.SortStableFunc(all, func(a, b Finding) int {
			return cmp.Or(cmp.Compare(kindRank(&a), kindRank(&b)), cmp.Compare(f.rank(a.Mooring), f.rank(b.Mooring)))
		})
	}
}

// shortM is by how much the gap of a pair falls short of the margin.
func (k *Conflict) shortM() float64 { return k.OverlapM + k.MarginM }

// compareConflicts puts the worst of two first.
func compareConflicts(a, b Conflict) int {
	return cmp.Or(certainFirst(a.Certainty, b.Certainty), cmp.Compare(b.shortM(), a.shortM()),
		cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
}

// kindRank puts what holds for the whole harbor first, then the kinds in their order.
func kindRank(x *Finding) int {
	if x.Mooring == "" {
		return -1
	}
	return slices.Index(Kinds(), x.Verdict.Constraint.Kind())
}

// rank orders moorings as they are on file.
func (f *Field) rank(number string) int {
	if number == "" {
		return -1
	}
	return f.number[number]
}

func certainFirst(a, b Certainty) int {
	rank := func(c Certainty) int {
		if c == Certain {
			return 0
		}
		return 1
	}
	return cmp.Compare(rank(a), rank(b))
}

// harborWide are the gaps and contradictions that hold for the whole harbor, told once and not by every mooring.
func (f *Field) harborWide() (gaps []Verdict) {
	if len(f.harbor.Moorings) == 0 {
		return nil
	}
	if !f.harbor.Levels.IsKnown() {
		gaps = append(gaps, unknown(ByRecord, "levels", NoLevels, "levels.low_m", "levels.high_m"))
	}
	gaps = append(gaps, f.levels()...)
	if f.fixed.shore.Len() == 0 {
		gaps = append(gaps, unknown(ByRecord, "shoreline", NoShoreline, "shoreline.geojson"))
	}
	return append(gaps, f.soundingGaps()...)
}

// soundingGaps tell that there are no soundings, or that some lie too far away to be used.
func (f *Field) soundingGaps() []Verdict {
	if gap, empty := f.bed.Empty(); empty {
		v := unknown(ByRecord, "soundings", NoSoundings, "soundings.csv")
		v.Note = string(gap)
		return []Verdict{v}
	}
	n := f.bed.Stray()
	if n == 0 {
		return nil
	}
	v := unknown(ByRecord, "soundings", SoundingsLeftOut, "soundings.csv")
	v.Has, v.Needs = geo.Known(float64(n)), geo.Known(float64(geo.FrameReach)/1000)
	return []Verdict{v}
}
