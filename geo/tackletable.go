package geo

import (
	"fmt"
	"slices"
	"strings"
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
	const rounding = 0.005 // tables are printed in whole feet
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
	if strings.TrimSpace(t.Name) == "" {
		pr.add("name", "", "a table needs a name")
	}
	if len(t.Rows) == 0 {
		pr.add("rows", "", "at least one row is wanted")
	}
	var before Metres
	for i, r := range t.Rows {
		field := fmt.Sprintf("row %d", i+1)
		if !(r.UpTo > before) || r.UpTo > maxBoatLength {
			pr.add(field, fmt.Sprintf("up to %.2f m", float64(r.UpTo)), "the lengths have to go from short to long")
		}
		before = r.UpTo
		if kg, known := r.Anchor.Get(); known && !(kg > 0 && kg <= 50000) {
			pr.add(field+" anchor_kg", fmt.Sprintf("%g kg", float64(kg)), "it has to lie between 0 and 50000 kg")
		}
		if r.Anchors < 0 || r.Anchors > 20 {
			pr.add(field+" anchors", fmt.Sprint(r.Anchors), "it has to lie between 1 and 20")
		}
		for name, size := range map[string]Maybe[Metres]{"ground_chain": r.GroundChain, "top_chain": r.TopChain, "pennant": r.Pennant} {
			pr.within(field+" "+name+"_size_m", size, 0.001, 0.5)
		}
	}
	return pr.err()
}
