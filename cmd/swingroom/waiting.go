package main

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/room"
)

type waitingCommand struct {
	which  `embed:""`
	Format string    `help:"table or json." enum:"table,json" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
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
	serving := room.Serve(field, nil)
	if c.Format == "json" {
		return writeJSON(s.out, serving)
	}
	u := unitsOf(c.Units, field)
	offers := newTable(s.out, "Vacant", "Area", "Takes up to", "First who fits", "Since", "Passed over")
	for _, o := range serving.Offers {
		offers.row(o.Mooring, orText(o.Area, "–"), u.length(serving.LargestM[o.Mooring]), orText(o.Name, "nobody"), orText(o.Since, "–"), fmt.Sprint(len(o.Passed)))
	}
	offers.end("there is no vacant mooring")
	reasons := newTable(s.out, "Passed over for", "Who", "Why")
	for _, o := range serving.Offers {
		for _, p := range o.Passed {
			reasons.row(o.Mooring, p.Name, p.Words)
		}
	}
	reasons.end("nobody was passed over")
	given := newTable(s.out, "Whole list", "Since", "Mooring", "To spare", "")
	for _, g := range serving.Given {
		given.row(g.Name, g.Since, orText(g.Mooring, "none"), maybe(g.SpareM, u.length), g.Words)
	}
	given.end("")
	fmt.Fprintln(s.out, "A proposal: the harbormaster assigns. A planning aid, not for navigation.")
	return nil
}
