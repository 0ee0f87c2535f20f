package geo

import (
	"fmt"
	"math"
	"slices"
)

// TackleTable is what a harbor asks of tackle by the length of the boat. Such tables differ from town to town, so a harbor keeps its own.
type TackleTable struct {
	Name   string `json:"name"`
	Source string `json:"source"`
	// Areas for which it holds, by name; none: the whole harbor.
	Areas []string    `json:"areas,omitempty"`
	Rows  []TackleRow `json:"rows"` // from short boats to long ones
}

// TackleRow is the least that is asked for boats up to a length. What is not known is not asked.
type TackleRow struct {
	UpTo        Metres           `json:"up_to_m"`
	AnchorKind  string           `json:"anchor,omitempty"` // "mushroom"; empty: any
	Anchors     int              `json:"anchors,omitempty"`
	Anchor      Maybe[Kilograms] `json:"anchor_kg"` // each of them
	GroundChain Maybe[Metres]    `json:"ground_chain_size_m"`
	TopChain    Maybe[Metres]    `json:"top_chain_size_m"`
	Pennant     Maybe[Metres]    `json:"pennant_size_m"`
}

// For finds the row for a boat's length overall: the first that goes so far. ok is false beyond the last.
func (t TackleTable) For(loa Metres) (row TackleRow, ok bool) {
	const rounding = 0.005 // metres: tables are printed in whole feet, and a length in metres is written to the centimetre
	for _, r := range t.Rows {
		if loa <= r.UpTo+rounding {
			return r, true
		}
	}
	return row, false
}

// TableFor is the table that holds for an area: one that names it, or else one that names none.
func (l Lines) TableFor(area string) (TackleTable, bool) {
	for _, named := range []bool{true, false} {
		for _, t := range l.Tables {
			if named && slices.Contains(t.Areas, area) || !named && len(t.Areas) == 0 {
				return t, true
			}
		}
	}
	return TackleTable{}, false
}

// Validate returns every FieldError of the table, joined.
func (t TackleTable) Validate() error {
	pr := problems{noun: "tackle table", name: t.Name}
	pr.required("name", t.Name, "a table needs a name")
	if len(t.Rows) == 0 {
		pr.add("rows", "", "expected at least one row")
	}
	var before Metres
	for i, r := range t.Rows {
		field := fmt.Sprintf("row %d", i+1)
		if !(r.UpTo > before) || r.UpTo > maxBoatLength {
			pr.add(field, fmt.Sprintf("up to %.2f m", float64(r.UpTo)), "the lengths have to go from short to long")
		}
		before = r.UpTo
		r.problems(&pr, field)
	}
	return pr.err()
}

// problems notes what is wrong with what a row asks.
func (r TackleRow) problems(pr *problems, field string) {
	pr.mass(field+" anchor_kg", r.Anchor, math.SmallestNonzeroFloat64)
	if r.Anchors < 0 || r.Anchors > 20 {
		pr.add(field+" anchors", fmt.Sprint(r.Anchors), "it has to lie between 1 and 20")
	}
	pr.within(field+" ground_chain_size_m", r.GroundChain, 0.001, 0.5)
	pr.within(field+" top_chain_size_m", r.TopChain, 0.001, 0.5)
	pr.within(field+" pennant_size_m", r.Pennant, 0.001, 0.5)
}
