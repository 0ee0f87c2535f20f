package office

import (
	"encoding/json"
	"fmt"
	"strings"

	"swingroom/geo"
)

// Dimensions are the lengths of a boat that is asked about or placed.
type Dimensions struct {
	LOA       geo.Maybe[geo.Metres] `json:"loa_m"`
	LengthAll geo.Maybe[geo.Metres] `json:"length_all_m"`
	Beam      geo.Maybe[geo.Metres] `json:"beam_m"`
	Draft     geo.Maybe[geo.Metres] `json:"draft_m"`
	BowHeight geo.Maybe[geo.Metres] `json:"bow_height_m"`
	Kind      string                `json:"boat_kind"`
}

// into sets what is said of a boat.
func (d *Dimensions) into(b *geo.Boat) {
	for _, x := range []struct {
		from geo.Maybe[geo.Metres]
		to   *geo.Maybe[geo.Metres]
	}{{d.LOA, &b.LOA}, {d.LengthAll, &b.LengthAll}, {d.Beam, &b.Beam}, {d.Draft, &b.Draft}, {d.BowHeight, &b.BowHeight}} {
		if x.from.IsKnown() {
			*x.to = x.from
		}
	}
	if d.Kind != "" {
		b.Kind = d.Kind
	}
}

// Boat is a boat with whose it is.
type Boat struct {
	Name  string `json:"boat"`
	Owner string `json:"owner"`
	Dimensions
}

// boat is the record of it.
func (b *Boat) boat() geo.Boat {
	record := geo.Boat{Name: strings.TrimSpace(b.Name), Owner: strings.TrimSpace(b.Owner)}
	b.into(&record)
	return record
}

// hasLength reports whether a boat's length is on record, without which nothing can be said of it.
func hasLength(b *geo.Boat) bool {
	length, _ := b.SwingLength()
	return length.IsKnown()
}

// Ground is the tackle that is laid: at most one of a rode, a scope, and the tackle of another mooring.
type Ground struct {
	Rode       geo.Maybe[geo.Metres] `json:"rode_m"`
	ScopeRatio float64               `json:"scope"` // the rode over the height from bed to bow at the high level; 0: not said
	TackleOf   string                `json:"tackle_of"`
}

// MaxScopeRatio is the longest rode that is laid, over the height from bed to bow: beyond it a typing error is likelier than a rode.
const MaxScopeRatio = 20

func checkScope(ratio float64) error {
	if ratio != 0 && !(ratio >= 1 && ratio <= MaxScopeRatio) {
		return fmt.Errorf("%w: scope=%g; from 1 to %d is expected", geo.ErrInvalid, ratio, MaxScopeRatio)
	}
	return nil
}

// tackle is what is laid; where a scope is said the rode is cut to the depth later. Errors: ErrIncomplete where more than one is said,
// geo.ErrInvalid, geo.ErrNotFound.
func (g *Ground) tackle(h *geo.Harbor) (geo.Tackle, float64, error) {
	if err := checkScope(g.ScopeRatio); err != nil {
		return nil, 0, err
	}
	number := strings.TrimSpace(g.TackleOf)
	said := 0
	for _, is := range []bool{g.Rode.IsKnown(), g.ScopeRatio != 0, number != ""} {
		if is {
			said++
		}
	}
	switch {
	case said > 1:
		return nil, 0, fmt.Errorf("%w: one of rode_m, scope and tackle_of is expected", ErrIncomplete)
	case g.Rode.IsKnown():
		return rodeOf(g.Rode), 0, nil
	case number != "":
		m, err := mooringOf(h, number)
		if err != nil {
			return nil, 0, err
		}
		return m.Tackle, 0, nil
	}
	return nil, g.ScopeRatio, nil
}

// rodeOf is a tackle of which only the length of the rode is known.
func rodeOf(length geo.Maybe[geo.Metres]) geo.Tackle {
	return geo.Tackle{{Kind: geo.Rode, Length: length}}
}

// Rules are rules that are tried in place of an area's.
type Rules struct {
	Rule   string                `json:"rule"`
	Margin geo.Maybe[geo.Metres] `json:"margin_m"`
	Lying  string                `json:"lying"`
}

// over are an area's rules with what is tried in their place, and whether anything is.
func (r *Rules) over(rules geo.Rules, scopeRatio float64) (geo.Rules, bool) {
	changed := false
	if r.Rule != "" {
		rules.Swing, changed = geo.SwingRule{Kind: geo.RuleKind(fold(r.Rule))}, true
		if rules.Swing.Kind == geo.ScopeRule {
			rules.Swing.ScopeRatio = scopeRatio
		}
	}
	if m, known := r.Margin.Get(); known {
		rules.Margin, changed = m, true
	}
	if r.Lying != "" {
		rules.Lying, changed = geo.Lying(strings.ReplaceAll(fold(r.Lying), " ", "_")), true
	}
	return rules, changed
}

// fold makes a keyword that people type comparable.
func fold(text string) string { return strings.ToLower(strings.TrimSpace(text)) }

// List is a list of words that is written as one text, with commas between them.
type List []string

// UnmarshalText reads it. Empty places are left out.
func (l *List) UnmarshalText(text []byte) error {
	*l = splitAt(string(text), ",")
	return nil
}

// Numbers is a list of numbers of moorings that is written as one text, with commas between them. An empty place stays in it, and is then
// no mooring's number: who has left one out must not be served without it.
type Numbers []string

// UnmarshalText reads it.
func (n *Numbers) UnmarshalText(text []byte) error {
	*n = nil
	if strings.TrimSpace(string(text)) == "" {
		return nil
	}
	for number := range strings.SplitSeq(string(text), ",") {
		*n = append(*n, strings.TrimSpace(number))
	}
	return nil
}

// Positions is a list of positions that is written as one text, with semicolons between them: commas stand within a position.
type Positions []string

// UnmarshalText reads it. Empty places are left out.
func (p *Positions) UnmarshalText(text []byte) error {
	*p = splitAt(string(text), ";")
	return nil
}

func splitAt(text, separator string) (parts []string) {
	for part := range strings.SplitSeq(text, separator) {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return parts
}

// Fields are fields of a record by their paths, each with its new value.
type Fields map[string]json.RawMessage

// Count is how many are asked for; unknown: as many as is usual.
type Count = geo.Maybe[int]

// within is a count from 1 to the most that one answer gives.
func within(name string, n Count, usual, most int) (int, error) {
	count := n.Or(usual)
	if count < 1 || count > most {
		return 0, fmt.Errorf("%w: %s=%d; a whole number from 1 to %d is expected", geo.ErrInvalid, name, count, most)
	}
	return count, nil
}
