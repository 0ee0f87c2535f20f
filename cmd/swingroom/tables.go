package main

import (
	"fmt"
	"math"

	"swingroom/geo"
	"swingroom/geo/tackle"
)

type tablesCommand struct {
	LOA    length `help:"Only what each asks for a boat of that length overall." name:"loa" placeholder:"LENGTH"`
	Format string `help:"table, or json as harbor.json takes it." enum:"table,json" default:"table"`
}

func (tablesCommand) Help() string {
	return `Example:
  swingroom tables --loa 30ft

Tables of tackle by the length of the boat as towns and a club have printed them, each with its source. They differ widely and none is the rule: take your own authority's into harbor.json.`
}

// tackleTableFile and tackleRowFile are a table as harbor.json takes it.
type tackleTableFile struct {
	Name   string          `json:"name"`
	Source string          `json:"source"`
	Areas  []string        `json:"areas"`
	Rows   []tackleRowFile `json:"rows"`
}

type tackleRowFile struct {
	UpToFt      float64 `json:"up_to_ft"`
	Anchor      string  `json:"anchor,omitempty"`
	Anchors     int     `json:"anchors,omitempty"`
	AnchorLb    float64 `json:"anchor_lb,omitempty"`
	GroundIn    float64 `json:"ground_chain_size_in,omitempty"`
	TopIn       float64 `json:"top_chain_size_in,omitempty"`
	PennantInch float64 `json:"pennant_size_in,omitempty"`
}

// Run prints the tables.
func (c *tablesCommand) Run(s *session) error {
	var files []tackleTableFile
	for _, t := range tackle.Examples() {
		file := tackleTableFile{Name: t.Name, Source: t.Source, Areas: []string{}}
		rows := t.Rows
		if loa, known := c.LOA.value.Get(); known {
			rows = nil
			if row, ok := t.For(loa); ok {
				rows = []geo.TackleRow{row}
			}
		}
		for _, r := range rows {
			inch := func(m geo.Maybe[geo.Metres]) float64 { return rounded(m.Or(0).Feet()*12, 4) }
			file.Rows = append(file.Rows, tackleRowFile{rounded(r.UpTo.Feet(), 2), r.AnchorKind, r.Anchors,
				rounded(r.Anchor.Or(0).Pounds(), 1), inch(r.GroundChain), inch(r.TopChain), inch(r.Pennant)})
		}
		files = append(files, file)
	}
	if c.Format == "json" {
		return writeJSON(s.out, map[string]any{"lines": map[string]any{"tables": files}})
	}
	for _, f := range files {
		fmt.Fprintf(s.out, "%s (%s)\n", f.Name, f.Source)
		t := newTable(s.out, "Up to", "Anchor", "Ground chain", "Top chain", "Pennant")
		size := func(in float64) string {
			if in == 0 {
				return "–"
			}
			return fmt.Sprintf("%g in", in)
		}
		for _, r := range f.Rows {
			anchor := fmt.Sprintf("%s %g lb", r.Anchor, r.AnchorLb)
			if r.Anchors > 1 {
				anchor = fmt.Sprintf("%d × %s", r.Anchors, anchor)
			}
			t.row(fmt.Sprintf("%g ft", r.UpToFt), anchor, size(r.GroundIn), size(r.TopIn), size(r.PennantInch))
		}
		t.end("nothing for such a boat: the harbormaster says")
	}
	fmt.Fprintln(s.out, "Examples, none of them the rule. Local codes govern; work on tackle is for licensed practice.")
	return nil
}

// rounded takes off what the change of units leaves behind.
func rounded(v float64, digits int) float64 {
	scale := math.Pow10(digits)
	return math.Round(v*scale) / scale
}
