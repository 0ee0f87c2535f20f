package main

import (
	"fmt"
	"io"
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

Tables of tackle by the length of the boat as towns and a club have printed them, each with its source. They differ widely and none is the
rule: take your own authority's into harbor.json.`
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
		for _, r := range c.rows(t) {
			file.Rows = append(file.Rows, rowFile(r))
		}
		files = append(files, file)
	}
	asFile := map[string]any{"lines": map[string]any{"tables": files}}
	return s.print(c.Format, output{json: asFile, table: func(w io.Writer) {
		for _, f := range files {
			f.print(w)
		}
		fmt.Fprintln(w, "Examples, none of them the rule. Local codes govern; work on tackle is for licensed practice.")
	}})
}

// rows are those of a table, or the one for a boat of the length that is asked for.
func (c *tablesCommand) rows(t geo.TackleTable) []geo.TackleRow {
	loa, known := c.LOA.value.Get()
	if !known {
		return t.Rows
	}
	if row, ok := t.For(loa); ok {
		return []geo.TackleRow{row}
	}
	return nil
}

func rowFile(r geo.TackleRow) tackleRowFile {
	inches := func(m geo.Maybe[geo.Metres]) float64 { return rounded(m.Or(0).Feet()*12, 4) }
	return tackleRowFile{rounded(r.UpTo.Feet(), 2), r.AnchorKind, r.Anchors, rounded(r.Anchor.Or(0).Pounds(), 1), inches(r.GroundChain),
		inches(r.TopChain), inches(r.Pennant)}
}

// print shows a table as people read it.
func (f *tackleTableFile) print(w io.Writer) {
	fmt.Fprintf(w, "%s (%s)\n", f.Name, f.Source)
	t := newTable(w, "Up to", "Anchor", "Ground chain", "Top chain", "Pennant")
	for _, r := range f.Rows {
		anchor := fmt.Sprintf("%s %g lb", r.Anchor, r.AnchorLb)
		if r.Anchors > 1 {
			anchor = fmt.Sprintf("%d × %s", r.Anchors, anchor)
		}
		t.row(fmt.Sprintf("%g ft", r.UpToFt), anchor, inchesOrNone(r.GroundIn), inchesOrNone(r.TopIn), inchesOrNone(r.PennantInch))
	}
	t.end("nothing for such a boat: the harbormaster says")
}

func inchesOrNone(in float64) string {
	if in == 0 {
		return "–"
	}
	return fmt.Sprintf("%g in", in)
}

// rounded takes off what the change of units leaves behind.
func rounded(v float64, digits int) float64 {
	scale := math.Pow10(digits)
	return math.Round(v*scale) / scale
}
