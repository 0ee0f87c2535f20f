package clearance

import (
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// partWords name a kind of part, or what an anchor is.
func (v *Verdict) partWords() string {
	if v.Constraint == ByAnchor {
		return "anchor"
	}
	if v.Constraint == ByScope {
		return "rode"
	}
	return strings.ReplaceAll(v.Of, "_", " ")
}

func (v *Verdict) ofTackle(u geo.Units) string {
	part := v.partWords()
	switch {
	case len(v.Missing) > 0:
		return fmt.Sprintf("the %s cannot be checked: %s not on record%s", part, isAre(v.Missing), note(v.Note))
	case v.Reason == Worn:
		return fmt.Sprintf("the %s is worn: %s of its diameter is left, and below %s it is to be put away", part, v.has(u), v.needs(u))
	case v.Reason == Uplift:
		return fmt.Sprintf("the anchor is pulled upwards at %s%s, and what it holds beyond %s cannot be told", v.has(u), v.caseWords(u),
			v.needs(u))
	case v.Constraint == ByScope:
		return v.ofScope(u)
	case v.Constraint == ByTable:
		return fmt.Sprintf("the harbor's table asks %s of %s for this length, and %s is on record", v.needs(u), part, v.has(u))
	case !v.Has.IsKnown():
		return part + ": " + v.Note
	}
	return fmt.Sprintf("the %s holds %s, and the load there is %s%s%s", part, v.has(u), v.needs(u), v.caseWords(u), note(v.Note))
}

func (v *Verdict) ofScope(u geo.Units) string {
	how := "too short"
	if v.Fits.Or(false) {
		how = "long enough"
	}
	return fmt.Sprintf("the rode of %s is %s: %s are needed at high water", v.has(u), how, v.needs(u))
}

// caseWords tell the case in which a load is largest.
func (v *Verdict) caseWords(u geo.Units) string {
	if v.Case == nil {
		return ""
	}
	var parts []string
	if kn, known := v.Case.WindKn.Get(); known {
		parts = append(parts, fmt.Sprintf("%.0f kn of wind", kn))
	}
	if kn, known := v.Case.StreamKn.Get(); known && kn > 0 {
		parts = append(parts, fmt.Sprintf("%.1f kn of stream", kn))
	}
	if level, known := v.Case.LevelM.Get(); known {
		parts = append(parts, "a level of "+geo.Figure(float64(level), "m", u))
	}
	if len(parts) == 0 {
		return ""
	}
	return " in " + joined(parts)
}

// tackleClause is the part that fails, with how.
func (v *Verdict) tackleClause() string {
	how := "too light"
	switch {
	case v.Constraint == ByScope:
		how = "too short"
	case v.Reason == Worn:
		how = "worn"
	}
	return v.partWords() + "\x00" + how
}

// tackleClauses bring parts that fail alike together: "anchor, top chain and pennant too light".
func tackleClauses(parts []string) (clauses []string) {
	for _, how := range []string{"too short", "too light", "worn"} {
		var names []string
		for _, p := range parts {
			name, h, _ := strings.Cut(p, "\x00")
			if h == how && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		if len(names) > 0 {
			clauses = append(clauses, joined(names)+" "+how)
		}
	}
	return clauses
}

// openClause says in a few words what cannot be said though nothing is missing.
func (v *Verdict) openClause(u geo.Units) string {
	if v.Constraint.Kind() == KindTackle {
		return "the " + v.partWords() + " may not do"
	}
	return v.Sentence(u)
}

// ofRadius tells of a swing radius that is not known, or of one on record that is too small for the boat or the line.
func (v *Verdict) ofRadius(u geo.Units) string {
	switch {
	case v.Reason == RadiusUnknown:
		return "the swing radius is not known: " + isAre(v.Missing) + " not on record" + note(v.Told.In(u))
	case v.Reason == RadiusBound:
		return "the swing radius is only an upper bound: " + isAre(v.Missing) + " not on record" + note(v.Told.In(u))
	}
	whose := "the radius by the area's rule"
	if v.Of == "radius_m" {
		whose = "the stated radius"
	}
	if !v.Needs.IsKnown() {
		return fmt.Sprintf("%s of %s cannot be held against what the line reaches: %s not on record", whose, v.has(u), isAre(v.Missing))
	}
	text := v.contradiction(whose, u)
	if len(v.Missing) > 0 {
		text += "; " + isAre(v.Missing) + " not on record"
	}
	return text
}

// contradiction tells what a radius on record contradicts.
func (v *Verdict) contradiction(whose string, u geo.Units) string {
	needs := v.needs(u)
	if v.Bound {
		needs = "up to " + needs
	}
	switch swing.ContradictionKind(v.Reason) {
	case swing.ShorterThanBoat:
		return fmt.Sprintf("%s of %s is less than the boat's length of %s", whose, v.has(u), needs)
	case swing.ShorterThanLine:
		return fmt.Sprintf("%s of %s is less than the line and the boat reach: %s", whose, v.has(u), needs)
	}
	return fmt.Sprintf("%s takes the rope for rigid: %s, and %s as it stretches under the design load", whose, v.has(u), needs)
}
