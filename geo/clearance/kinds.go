package clearance

import (
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
)

// KindUnsaid stands beside the kinds of trouble where some of them are chosen: what cannot be said for want of a record is no trouble yet.
const KindUnsaid Kind = "unsaid"

// KindFilter is the kinds of trouble that a reader has chosen. The zero value is all of them.
type KindFilter []Kind

// ParseKinds reads kinds with commas: "conflict,hazard"; an empty text is all. Errors: geo.ErrInvalid.
func ParseKinds(text string) (KindFilter, error) {
	var chosen KindFilter
	known := append(Kinds(), KindUnsaid)
	for _, word := range strings.Split(text, ",") {
		kind := Kind(strings.ToLower(strings.TrimSpace(word)))
		switch {
		case kind == "":
		case !slices.Contains(known, kind):
			return nil, fmt.Errorf("%w: kind %q; expected conflict, hazard, tackle, limit, record or unsaid", geo.ErrInvalid, word)
		default:
			chosen = append(chosen, kind)
		}
	}
	return chosen, nil
}

// Has reports whether a kind is chosen.
func (c KindFilter) Has(k Kind) bool { return len(c) == 0 || slices.Contains(c, k) }

// Only is the report with what is chosen of it.
func (r *Report) Only(c KindFilter) *Report {
	if len(c) == 0 {
		return r
	}
	only := &Report{Conflicts: []Conflict{}, Hazards: []Hazard{}, Troubles: []Finding{}, Unknown: []Finding{}}
	if c.Has(KindConflict) {
		only.Conflicts = r.Conflicts
	}
	if c.Has(KindHazard) {
		only.Hazards = r.Hazards
	}
	for _, x := range r.Troubles {
		if c.Has(x.Verdict.Constraint.Kind()) {
			only.Troubles = append(only.Troubles, x)
		}
	}
	if c.Has(KindUnsaid) {
		only.Unknown = r.Unknown
	}
	return only
}

// Counts are how many troubles there are of each kind, and how many things cannot be said.
func (r *Report) Counts() map[Kind]int {
	counts := map[Kind]int{KindConflict: len(r.Conflicts), KindHazard: len(r.Hazards), KindTackle: 0, KindLimit: 0, KindRecord: 0,
		KindUnsaid: len(r.Unknown)}
	for _, x := range r.Troubles {
		counts[x.Verdict.Constraint.Kind()]++
	}
	return counts
}

// Certain reports whether one of the troubles is certain.
func (r *Report) Certain() bool {
	return slices.ContainsFunc(r.Conflicts, func(k Conflict) bool { return k.Certainty == Certain }) ||
		slices.ContainsFunc(r.Hazards, func(h Hazard) bool { return h.Certainty == Certain }) ||
		slices.ContainsFunc(r.Troubles, func(x Finding) bool { return x.Verdict.Certainty == Certain })
}

// Troubled reports whether there is any trouble.
func (r *Report) Troubled() bool { return len(r.Conflicts)+len(r.Hazards)+len(r.Troubles) > 0 }
