package main

import (
	"fmt"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

type waitingCommand struct {
	which    `embed:""`
	Open     []string  `help:"Positions at which a mooring may be set, with semicolons: each is held against the list like a vacant mooring." sep:";" placeholder:"POSITION"`
	Area     string    `help:"Area of these openings; that in which each lies unless given."`
	Rode     length    `help:"Rode that would be laid there." placeholder:"LENGTH" xor:"tackle"`
	Scope    float64   `help:"Or the rode over the height from bed to bow at the high level, cut for each boat." xor:"tackle"`
	TackleOf string    `help:"Or the tackle of this mooring." placeholder:"NUMBER" xor:"tackle"`
	Format   string    `help:"table or json." enum:"table,json" default:"table"`
	Units    geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (waitingCommand) Help() string {
	return `Example:
  swingroom waiting --db harbor.db

Holds the waiting list of waiting.csv, in order of date, against the vacant moorings: the first who fits each, and why the others before were passed over; and then
one assignment for the whole list, in which nobody is left out for one who came later and large places are kept for large boats. Nothing is saved.`
}

// Run prints the offers and the assignment.
func (c *waitingCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	if len(field.Harbor().Waiting) == 0 {
		return fmt.Errorf("the waiting list is empty; waiting.csv brings it in")
	}
	openings, err := c.openings(field)
	if err != nil {
		return err
	}
	bar := newProgress(s.errOut, "holding the list against the places")
	serving, err := room.Serve(s.ctx, field, openings, bar.set)
	bar.done()
	if err != nil && !room.Partial(err) {
		return err
	}
	if c.Format == "json" {
		return writeJSON(s.out, serving)
	}
	u := unitsOf(c.Units, field)
	offers := newTable(s.out, "Vacant", "Area", "Takes up to", "First who fits", "Since", "Passed over")
	for _, o := range serving.Offers {
		largest := "–"
		if m := serving.LargestM[o.Mooring]; m > 0 {
			largest = u.length(m)
		}
		offers.row(o.Mooring, orText(o.Area, "–"), largest, orText(o.Name, "nobody"), orText(string(o.Since), "–"),
			fmt.Sprint(len(o.Passed)))
	}
	offers.end("there is no vacant mooring")
	reasons := newTable(s.out, "Passed over for", "Who", "Why")
	for _, o := range serving.Offers {
		for _, p := range o.Passed {
			reasons.row(o.Mooring, p.Name, p.Words.In(u.units()))
		}
	}
	reasons.end("nobody was passed over")
	given := newTable(s.out, "Whole list", "Since", "Mooring", "To spare", "")
	for _, g := range serving.Given {
		given.row(g.Name, string(g.Since), orText(g.Mooring, "none"), maybe(g.SpareM, u.length), g.Words)
	}
	given.end("")
	if serving.Ended {
		fmt.Fprintln(s.out, "The search was ended before all had been tried.")
	}
	fmt.Fprintln(s.out, "A proposal: the harbormaster assigns. A planning aid, not for navigation.")
	return nil
}

// openings are the positions that are held against the list.
func (c *waitingCommand) openings(f *clearance.Field) ([]room.Opening, error) {
	var tackle geo.Tackle
	if c.Rode.value.IsKnown() {
		tackle = geo.Tackle{{Kind: geo.Rode, Length: c.Rode.value}}
	}
	if c.TackleOf != "" {
		i, ok := f.Index(c.TackleOf)
		if !ok {
			return nil, fmt.Errorf("mooring %s: %w", c.TackleOf, geo.ErrNotFound)
		}
		tackle = f.Harbor().Moorings[i].Tackle
	}
	openings := make([]room.Opening, len(c.Open))
	for i, text := range c.Open {
		o, err := office.OpeningAt(f, text, c.Area)
		if err != nil {
			return nil, err
		}
		o.Tackle, o.ScopeRatio = tackle, c.Scope
		openings[i] = o
	}
	return openings, nil
}
