package main

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/room"
)

type whatIfCommand struct {
	which        `embed:""`
	Area         string    `help:"The area that is tried." required:""`
	Rule         string    `help:"Another rule of swing radius."`
	Lying        string    `help:"independent or in_unison."`
	Margin       length    `help:"Another margin between circles." placeholder:"LENGTH"`
	Scope        float64   `help:"Every rode of the area cut to this many times the height from bed to bow at the high level."`
	Elastic      string    `help:"An elastic line of this material, by lines.ropes of harbor.json, in place of every chain."`
	ElasticRatio float64   `help:"Its length over the water at the high level." default:"1.25"`
	Gained       bool      `help:"Count too how many more boats find a place with the change than without it. It takes seconds."`
	Like         string    `help:"For --gained, the mooring whose boat and tackle make the class; the area's middle boat by length unless given." placeholder:"NUMBER"`
	Format       string    `help:"table or json." enum:"table,json" default:"table"`
	Units        geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (whatIfCommand) Help() string {
	return `Example:
  swingroom what-if --db harbor.db --area "Town Cove" --scope 3

The same area under another rule or tackle: conflicts that would be new, and those that would be gone. Nothing is saved.`
}

// Run prints the area as it is and as it would be.
func (c *whatIfCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	change := room.Change{Area: c.Area, ScopeRatio: c.Scope, Elastic: c.Elastic, ElasticRatio: c.ElasticRatio}
	if area, ok := field.Harbor().Area(c.Area); ok {
		change.Rules = geo.Known(tried(area.Rules, c.Rule, c.Lying, c.Margin, c.Scope))
	}
	w, err := room.Try(field, change)
	if err != nil {
		return err
	}
	var gained *room.CapacityGain
	if c.Gained || c.Like != "" {
		bar := newProgress(s.errOut, "counting places")
		g, err := w.Gained(s.ctx, c.Like, bar.set)
		bar.done()
		if err != nil && !room.Partial(err) {
			return err
		}
		gained = &g
	}
	if c.Format == "json" {
		return writeJSON(s.out, struct {
			*room.WhatIf
			Gained *room.CapacityGain `json:"gained"`
		}{w, gained})
	}
	u := unitsOf(c.Units, field)
	t := newTable(s.out, c.Area, "As it is", "With the change")
	for _, row := range []struct {
		name          string
		before, after any
	}{
		{"conflicts", w.Before.Conflicts, w.After.Conflicts}, {"of them certain", w.Before.Certain, w.After.Certain},
		{"hazards", w.Before.Hazards, w.After.Hazards},
		{"not fully checked", w.Before.Unknown, w.After.Unknown},
		{"water of all circles", fmt.Sprintf("%.1f ha", w.Before.CirclesM2/1e4), fmt.Sprintf("%.1f ha", w.After.CirclesM2/1e4)},
	} {
		t.row(row.name, fmt.Sprint(row.before), fmt.Sprint(row.after))
	}
	t.end("")
	fresh := newTable(s.out, "New conflict", "State", "Overlap", "Margin")
	for _, k := range w.New {
		fresh.row(k.A+" – "+k.B, words(string(k.State)), u.length(k.OverlapM), u.length(k.MarginM))
	}
	fresh.end("no new conflict")
	gone := newTable(s.out, "Gone", "State", "Overlap", "Margin")
	for _, k := range w.Gone {
		gone.row(k.A+" – "+k.B, words(string(k.State)), u.length(k.OverlapM), u.length(k.MarginM))
	}
	gone.end("no conflict would be gone")
	if gained != nil {
		fmt.Fprintf(s.out, "%s.\n", gained.Words)
	}
	fmt.Fprintf(s.out, "%s. Nothing is saved.\n", w.Words)
	return nil
}
