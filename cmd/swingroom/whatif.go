package main

import (
	"fmt"
	"io"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

type whatIfCommand struct {
	which
	Area string `help:"The area that is tried." required:""`
	rulesFlags
	Scope        float64 `help:"Every rode of the area cut to this many times the height from bed to bow at the high level."`
	Elastic      string  `help:"An elastic line of this material, by lines.ropes of harbor.json, in place of every chain."`
	ElasticRatio float64 `help:"Its length over the water at the high level." default:"1.25"`
	Gained       bool    `help:"Count too how many more boats find a place with the change than without it. It takes seconds."`
	Like         string  `help:"${like_help}" placeholder:"NUMBER"`
	Format       string  `help:"table or json." enum:"table,json" default:"table"`
	unitsFlag
}

// rulesFlags are rules that are tried in place of an area's.
type rulesFlags struct {
	Rule   string `help:"A rule of swing radius tried in place of the area's."`
	Lying  string `help:"independent or in_unison, tried in place of the area's."`
	Margin length `help:"A margin between circles tried in place of the area's." placeholder:"LENGTH"`
}

// over are an area's rules with what is tried in their place, and whether anything is.
func (r *rulesFlags) over(rules geo.Rules, scope float64) (tried geo.Rules, changed bool) {
	if r.Rule != "" {
		rules.Swing = geo.SwingRule{Kind: geo.RuleKind(r.Rule), ScopeRatio: scope}
	}
	if r.Lying != "" {
		rules.Lying = geo.Lying(r.Lying)
	}
	rules.Margin = r.Margin.value.Or(rules.Margin)
	return rules, r.Rule != "" || r.Lying != "" || r.Margin.value.IsKnown()
}

func (whatIfCommand) Help() string {
	return `Example:
  swingroom what-if --db harbor.db --area "Town Cove" --scope 3

The same area under another rule or tackle: conflicts that would be new, and those that would be gone. Nothing is saved.`
}

// whatIfAnswer is what the command prints as JSON.
type whatIfAnswer struct {
	*room.WhatIf
	Gained *room.CapacityGain `json:"gained"`
}

// Run prints the area as it is and as it would be.
func (c *whatIfCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	change := room.Change{Area: c.Area, ScopeRatio: c.Scope, Elastic: c.Elastic, ElasticRatio: c.ElasticRatio}
	if area, ok := field.Harbor().Area(c.Area); ok {
		rules, _ := c.over(area.Rules, c.Scope)
		change.Rules = geo.Known(rules)
	}
	w, err := room.Try(field, change)
	if err != nil {
		return err
	}
	gained, err := c.gained(s, w)
	if err != nil {
		return err
	}
	return s.print(c.Format, output{json: whatIfAnswer{w, gained}, table: func(out io.Writer) {
		c.tables(out, w, c.unitsOf(field.Harbor()))
		if gained != nil {
			fmt.Fprintf(out, "%s.\n", gained.Words)
		}
		fmt.Fprintf(out, "%s. Nothing is saved.\n", w.Words)
	}})
}

// gained counts how many more boats find a place, where that is asked for.
func (c *whatIfCommand) gained(s *session, w *room.WhatIf) (*room.CapacityGain, error) {
	if !c.Gained && c.Like == "" {
		return nil, nil
	}
	bar := newProgress(s.errOut, "counting places")
	gained, err := w.Gained(s.ctx, c.Like, bar.set)
	bar.done()
	if err != nil && !room.Partial(err) {
		return nil, err
	}
	return &gained, nil
}

// tables put the area as it is beside the area with the change.
func (c *whatIfCommand) tables(out io.Writer, w *room.WhatIf, u units) {
	t := newTable(out, c.Area, "As it is", "With the change")
	count := func(name string, before, after int) { t.row(name, fmt.Sprint(before), fmt.Sprint(after)) }
	count("conflicts", w.Before.Conflicts, w.After.Conflicts)
	count("of them certain", w.Before.Certain, w.After.Certain)
	count("hazards", w.Before.Hazards, w.After.Hazards)
	count("not fully checked", w.Before.Unknown, w.After.Unknown)
	t.row("water of all circles", hectares(w.Before.CirclesM2), hectares(w.After.CirclesM2))
	t.end("")
	conflictsTable(out, "New conflict", "no new conflict", w.New, u)
	conflictsTable(out, "Gone", "no conflict would be gone", w.Gone, u)
}

func hectares(m2 float64) string { return fmt.Sprintf("%.1f ha", m2/1e4) }

func conflictsTable(out io.Writer, heading, empty string, all []clearance.Conflict, u units) {
	t := newTable(out, heading, "State", "Overlap", "Margin")
	for _, k := range all {
		t.row(k.A+" – "+k.B, words(string(k.State)), u.length(k.OverlapM), u.length(k.MarginM))
	}
	t.end(empty)
}
