package clearance

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
)

// Sentence tells a verdict in the reader's units. It is the one place where the words of a verdict are made.
func (v Verdict) Sentence(u geo.Units) string {
	text := v.clause(u)
	if v.Bound && !v.Fits.IsKnown() && v.Constraint != ByNeighbour && v.Constraint != ByRecord {
		text += "; the swing radius is only an upper bound, so the boat may still fit"
	}
	return text + v.whyCircles(u)
}

// whyCircles adds why two boats that lie in unison are judged by their circles all the same.
func (v *Verdict) whyCircles(u geo.Units) string {
	if v.Unison == nil || v.Fits.Or(false) || v.Unison.Why.In(u) == "" {
		return ""
	}
	return "; judged by circles: " + v.Unison.Why.In(u)
}

// clause is the sentence without what makes it uncertain.
func (v *Verdict) clause(u geo.Units) string {
	switch v.Constraint.Kind() {
	case KindConflict:
		return v.ofNeighbour(u)
	case KindHazard:
		return v.ofFixed(u)
	case KindLimit:
		return v.ofLimit(u)
	case KindTackle:
		return v.ofTackle(u)
	}
	return v.ofRecord(u)
}

// OfWords names what the verdict is about, for a table: a part or a field of the record in words, anything else by its own name.
func (v *Verdict) OfWords() string {
	switch {
	case v.Constraint == ByStrength:
		return v.partWords()
	case v.Constraint == ByRecord && v.Unit == "m":
		return FieldWords(v.Of)
	}
	return v.Of
}

// short is what is missing, never below 0.
func (v *Verdict) short(u geo.Units) string { return geo.Figure(math.Abs(v.Spare.Or(0)), v.Unit, u) }

func (v *Verdict) has(u geo.Units) string { return geo.Figure(v.Has.Or(0), v.Unit, u) }

// gap is what there is between two things, or by how much they overlap, never below 0.
func (v *Verdict) gap(u geo.Units) string { return geo.Figure(math.Abs(v.Has.Or(0)), v.Unit, u) }

func (v *Verdict) needs(u geo.Units) string { return geo.Figure(v.Needs.Or(0), v.Unit, u) }

func (v *Verdict) ofNeighbour(u geo.Units) string {
	what := "swing circles"
	if v.Lying == geo.InUnison {
		what = "hulls, lying to the same wind and stream,"
	}
	switch {
	case v.Reason == MayReach:
		return fmt.Sprintf("cannot be said beside %s: %s not on record there, and it could reach %s too far", v.Of, isAre(v.Missing),
			v.short(u))
	case v.Bound && !v.Fits.IsKnown() && (v.Reason == Overlaps || v.Reason == InsideMargin):
		return v.ofBoundNeighbour(what, u) + ofEither
	case v.Reason == Overlaps:
		return fmt.Sprintf("touches %s: the %s overlap by %s%s", v.Of, what, v.gap(u), v.margin(u))
	case v.Reason == InsideMargin:
		return fmt.Sprintf("comes too near %s: the %s keep %s apart where %s are needed", v.Of, what, v.gap(u), v.needs(u))
	}
	return fmt.Sprintf("keeps clear of %s: %s between the %s", v.Of, v.gap(u), strings.TrimSuffix(what, ","))
}

// ofBoundNeighbour tells of a neighbour that comes too near by figures that are only bounds.
func (v *Verdict) ofBoundNeighbour(what string, u geo.Units) string {
	if v.Reason == Overlaps {
		return fmt.Sprintf("could touch %s: the %s overlap by up to %s%s", v.Of, what, v.gap(u), v.margin(u))
	}
	return fmt.Sprintf("could come too near %s: the %s keep no more than %s apart for sure where %s are needed", v.Of, what, v.gap(u),
		v.needs(u))
}

// ofEither ends a sentence on a pair that cannot be judged for want of a record.
const ofEither = "; something of the two is not on record"

// margin adds the margin where one is asked.
func (v *Verdict) margin(u geo.Units) string {
	if v.Needs.Or(0) == 0 {
		return ""
	}
	return fmt.Sprintf(", and %s of margin are needed", v.needs(u))
}

// isAre names fields with their verb.
func isAre(fields []string) string {
	words := fieldsWords(fields)
	if words == "" {
		return "something is"
	}
	if strings.Contains(words, " and ") || words == FieldWords("soundings.csv") {
		return words + " are"
	}
	return words + " is"
}

// fixedNames name what a circle comes against.
var fixedNames = map[Constraint]string{ByShore: "the shore", ByFairway: "the fairway", ByClosed: "the closed water",
	ByAreaEdge: "the edge of"}

// fixedWords name what a circle comes against, with its own name where it has one.
func (v *Verdict) fixedWords() string {
	name := fixedNames[v.Constraint]
	if v.Of != "" {
		name += " " + v.Of
	}
	return name
}

func (v *Verdict) ofFixed(u geo.Units) string {
	what := v.fixedWords()
	switch v.Reason {
	case OnLand:
		return "the anchor stands on land"
	case InsideZone:
		return "the anchor stands inside " + what
	case OutsideArea:
		return "the anchor stands outside its area " + v.Of
	case Into:
		return v.reachesInto(u)
	case InsideSetback:
		return fmt.Sprintf("swings %s into %s: %s left", v.short(u), v.keptClear(u), v.gap(u))
	case KeepsOff:
		return fmt.Sprintf("keeps off %s by %s%s", what, v.gap(u), v.setback(u))
	case NoShoreline:
		return "not checked against " + what + ": there is no shoreline on record"
	}
	return v.ofShoal(u)
}

// reachesInto tells of a circle that reaches something fixed.
func (v *Verdict) reachesInto(u geo.Units) string {
	switch v.Constraint {
	case ByAreaEdge:
		return fmt.Sprintf("swings %s beyond %s", v.gap(u), v.fixedWords())
	case ByShore:
		return fmt.Sprintf("swings %s past the shoreline%s", v.gap(u), v.setback(u))
	}
	return fmt.Sprintf("swings %s into %s%s", v.gap(u), v.fixedWords(), v.setback(u))
}

// keptClear names the water of a setback: "the 20 ft kept clear off the shore".
func (v *Verdict) keptClear(u geo.Units) string {
	return fmt.Sprintf("the %s kept clear %s %s", v.needs(u), v.beside(), v.fixedWords())
}

// beside is how the water of a setback lies to what it is kept clear of.
func (v *Verdict) beside() string {
	if v.Constraint == ByShore {
		return "off"
	}
	return "beside"
}

// setback adds the water that is kept clear where any is.
func (v *Verdict) setback(u geo.Units) string {
	if v.Needs.Or(0) == 0 {
		return ""
	}
	return fmt.Sprintf(", and %s %s it are kept clear", v.needs(u), v.beside())
}

// ofShoal tells of the water under the keel.
func (v *Verdict) ofShoal(u geo.Units) string {
	const needed = "of water at the low level, where draft and keel need"
	switch {
	case v.Reason == TooShallow && v.Has.Or(0) < 0:
		return fmt.Sprintf("too shallow: the bed dries %s at the low level, where draft and keel need %s of water", v.gap(u), v.needs(u))
	case v.Reason == TooShallow:
		return fmt.Sprintf("too shallow: %s %s %s", v.has(u), needed, v.needs(u))
	case v.Reason == DeepEnough:
		return fmt.Sprintf("deep enough: %s %s %s", v.has(u), needed, v.needs(u))
	case v.Reason == NotSounded:
		return "part of the swing circle has no soundings" + note(v.Note)
	}
	return "the water under the keel cannot be checked: " + isAre(v.Missing) + " not on record"
}

// note adds a remark in brackets.
func note(text string) string {
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

// limitNames name what is set for an area or a place.
var limitNames = map[Constraint]string{ByAreaLOA: "longest boat of ", ByAreaDraft: "deepest boat of ", ByPlaceLOA: "longest boat of place ",
	ByPlaceDraft: "deepest boat of place ", ByPlaceMinLOA: "shortest boat of place "}

func (v *Verdict) ofLimit(u geo.Units) string {
	what := limitNames[v.Constraint] + v.Of
	switch v.Reason {
	case NotOnRecord:
		return fmt.Sprintf("the limit for the %s cannot be checked: %s not on record", what, isAre(v.Missing))
	case OverLimit:
		return fmt.Sprintf("%s is over the limit: %s is the %s", v.has(u), v.needs(u), what)
	case UnderLimit:
		return fmt.Sprintf("%s is under the limit: %s is the %s", v.has(u), v.needs(u), what)
	}
	return fmt.Sprintf("%s is within the limit: %s is the %s", v.has(u), v.needs(u), what)
}

// recordSentences are those that hold no figures.
var recordSentences = map[Reason]string{
	PermitUnknown: "the last day of the permit is not on record",
	NoLevels:      "the tide levels are not set, so no radius at low water and no depth under a keel can be worked out",
	NoShoreline:   "there is no shoreline, so no circle is checked against the shore",
}

func (v *Verdict) ofRecord(u geo.Units) string {
	if text, ok := recordSentences[v.Reason]; ok {
		return text
	}
	switch v.Reason {
	case RecordFault:
		return "an error in the record: " + v.Told.In(u)
	case NoArea, OtherArea:
		return v.ofArea()
	case PermitOver:
		return "the permit ended on " + v.Note
	case NoSoundings:
		return v.Note + ", so no circle is checked for shoal water"
	case FarAway, SoundingsLeftOut:
		return v.ofFarAway(u) + ": is a sign wrong, or latitude and longitude swapped?"
	case DepthsDiffer, LevelsAboveLow, LevelsBelowHigh:
		return v.ofLevels(u)
	}
	return v.ofRadius(u)
}

// ofFarAway tells of what lies too far from the field to belong to it.
func (v *Verdict) ofFarAway(u geo.Units) string {
	if v.Reason == FarAway {
		return fmt.Sprintf("lies %s from the middle of the field", v.has(u))
	}
	return fmt.Sprintf("%.0f soundings lie more than %.0f km from the middle of the field and are left out", v.Has.Or(0), v.Needs.Or(0))
}

// ofLevels tells of depths and levels that contradict each other.
func (v *Verdict) ofLevels(u geo.Units) string {
	switch v.Reason {
	case LevelsAboveLow:
		return fmt.Sprintf("the tide on file falls to %s, below the design low of %s", v.has(u), v.needs(u)) + note(v.Note)
	case LevelsBelowHigh:
		return fmt.Sprintf("the tide on file rises to %s, above the design high of %s", v.has(u), v.needs(u)) + note(v.Note)
	}
	return fmt.Sprintf("the card says a depth of %s and the soundings say %s; the shallower counts for the swing until one is corrected",
		v.has(u), v.needs(u))
}

// ofArea tells of a mooring without an area, or in another one than on record.
func (v *Verdict) ofArea() string {
	switch {
	case v.Reason == OtherArea:
		return fmt.Sprintf("on record for %s, and it lies in %s", v.Note, v.Of)
	case v.Of != "":
		return "no area is on record: it lies in " + v.Of
	case v.Note != "":
		return "no area is on record, and it lies in more than one: " + v.Note
	}
	return "no area is on record, and it lies in none"
}

// Sentence tells a conflict in the reader's units.
func (k Conflict) Sentence(u geo.Units) string {
	v := Verdict{Constraint: ByNeighbour, Of: k.B, Lying: k.Lying, Reason: InsideMargin, Bound: k.Bound}
	v.figures(-k.OverlapM, k.MarginM, "m")
	if k.OverlapM > 0 {
		v.Reason = Overlaps
	}
	return k.A + " " + v.ofNeighbour(u)
}

// Sentence tells a hazard in the reader's units.
func (h Hazard) Sentence(u geo.Units) string {
	v := h.verdict()
	return v.ofFixed(u)
}

// sentence is the answer in one line: what stands against the boat, the weightiest first.
func (f *Fit) sentence(u geo.Units) string {
	against := f.Against()
	if len(against) == 0 {
		return "This boat fits here."
	}
	var no, open []Verdict
	for _, v := range against {
		if v.Fits.IsKnown() {
			no = append(no, v)
		} else {
			open = append(open, v)
		}
	}
	if len(no) == 0 {
		return "Cannot be said: " + strings.Join(openClauses(open, u), "; ") + "."
	}
	text := strings.Join(noClauses(no, u), "; ")
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

// noClauses tell the noes, each kind once.
func noClauses(no []Verdict, u geo.Units) (clauses []string) {
	var touched, near, tackle, records, hazards []string
	for i := range no {
		v := &no[i]
		switch {
		case v.Constraint == ByNeighbour && v.Reason == Overlaps:
			touched = append(touched, v.Of)
		case v.Constraint == ByNeighbour:
			near = append(near, v.Of)
		case v.Constraint.Kind() == KindTackle:
			tackle = append(tackle, v.tackleClause())
		case v.Constraint == ByRecord:
			records = append(records, v.Sentence(u))
		case v.Constraint.Kind() == KindLimit:
			clauses = append(clauses, v.limitClause(u))
		case v.Constraint.Kind() == KindHazard:
			hazards = append(hazards, v.hazardClause(u))
		}
	}
	return slices.Concat(clauses, counted("touches", touched), counted("comes too near", near), alike(hazards), tackleClauses(tackle),
		records)
}

// alike brings clauses of the same words together: two fairways may have one name.
func alike(clauses []string) (once []string) {
	count := map[string]int{}
	for _, c := range clauses {
		if count[c]++; count[c] == 1 {
			once = append(once, c)
		}
	}
	for i, c := range once {
		if n := count[c]; n > 1 {
			once[i] = fmt.Sprintf("%s (%d of that name)", c, n)
		}
	}
	return once
}

// counted names one neighbour, or says how many there are.
func counted(verb string, numbers []string) []string {
	switch len(numbers) {
	case 0:
		return nil
	case 1:
		return []string{verb + " " + numbers[0]}
	}
	return []string{fmt.Sprintf("%s %d neighbours", verb, len(numbers))}
}

func (v *Verdict) limitClause(u geo.Units) string {
	atMost := v.needs(u) + " at most"
	switch v.Constraint {
	case ByAreaLOA:
		return fmt.Sprintf("too long for %s (%s)", v.Of, atMost)
	case ByAreaDraft:
		return fmt.Sprintf("too deep for %s (%s)", v.Of, atMost)
	case ByPlaceLOA:
		return fmt.Sprintf("too long for this place (%s)", atMost)
	case ByPlaceDraft:
		return fmt.Sprintf("too deep for this place (%s)", atMost)
	}
	return fmt.Sprintf("too short for this place (%s at least)", v.needs(u))
}

func (v *Verdict) hazardClause(u geo.Units) string {
	switch {
	case v.Reason == TooShallow:
		return fmt.Sprintf("too shallow by %s", v.short(u))
	case v.Reason == InsideSetback:
		return "swings into " + v.keptClear(u)
	case v.Reason == Into && v.Constraint == ByAreaEdge:
		return fmt.Sprintf("swings %s out of %s", v.gap(u), v.Of)
	case v.Reason == Into && v.Constraint == ByShore:
		return "swings past the shoreline"
	case v.Reason == Into:
		return "swings into " + v.fixedWords()
	}
	return v.ofFixed(u)
}

// openClauses tell what cannot be said: the neighbours, and the fields that are missing.
func openClauses(open []Verdict, u geo.Units) (clauses []string) {
	var fields, beside, others []string
	for i := range open {
		v := &open[i]
		switch {
		case v.Constraint == ByNeighbour:
			beside = append(beside, v.Of)
		case len(v.Missing) > 0:
			fields = append(fields, v.Missing...)
		default:
			others = append(others, v.openClause(u))
		}
	}
	if len(fields) > 0 {
		clauses = append(clauses, isAre(fields)+" not on record")
	}
	slices.Sort(others)
	clauses = append(clauses, slices.Compact(others)...)
	return append(clauses, counted("it could touch", beside)...)
}
