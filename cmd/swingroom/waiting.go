package main

import (
	"errors"
	"fmt"
	"io"

	"swingroom/api/office"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

type waitingCommand struct {
	which
	Open []string `help:"${open_help}" sep:";" placeholder:"POSITION"`
	Area string   `help:"Area of these openings; that in which each lies unless given."`
	groundFlags
	Format string `help:"table or json." enum:"table,json" default:"table"`
	unitsFlag
}

func (waitingCommand) Help() string {
	return `Example:
  swingroom waiting --db harbor.db

Holds the waiting list of waiting.csv, in order of date, against the vacant moorings: the first who fits each, and why the others before
were passed over; and then one assignment for the whole list, in which nobody is left out for one who came later and large places are kept
for large boats. Nothing is saved.`
}

// Run prints the offers and the assignment.
func (c *waitingCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	if len(field.Harbor().Waiting) == 0 {
		return errors.New("the waiting list is empty; waiting.csv brings it in")
	}
	openings, err := c.openings(field)
	if err != nil {
		return err
	}
	bar := newProgress(s.errOut, "holding the list against the places")
	assignments, err := room.Serve(s.ctx, field, openings, bar.set)
	bar.done()
	if err != nil && !room.Partial(err) {
		return err
	}
	return s.print(c.Format, output{json: assignments, table: func(w io.Writer) {
		assignmentTables(w, &assignments, c.unitsOf(field.Harbor()))
	}})
}

func assignmentTables(w io.Writer, a *room.Assignments, u units) {
	offersTable(w, a, u)
	passedTable(w, a.Offers, u)
	given := newTable(w, "Whole list", "Since", "Mooring", "To spare", "")
	for _, g := range a.Given {
		given.row(g.Name, string(g.Since), orText(g.Mooring, "none"), maybe(g.SpareM, u.length), g.Words)
	}
	given.end("")
	if a.Ended {
		fmt.Fprintln(w, "The search was ended before all had been tried.")
	}
	fmt.Fprintln(w, "A proposal: the harbormaster assigns. A planning aid, not for navigation.")
}

// offersTable shows for each vacant mooring the first who fits.
func offersTable(w io.Writer, a *room.Assignments, u units) {
	t := newTable(w, "Vacant", "Area", "Takes up to", "First who fits", "Since", "Passed over")
	for _, o := range a.Offers {
		largest := "–"
		if m := a.LargestM[o.Mooring]; m > 0 {
			largest = u.length(m)
		}
		t.row(o.Mooring, orText(o.Area, "–"), largest, orText(o.Name, "nobody"), orText(string(o.Since), "–"), fmt.Sprint(len(o.Passed)))
	}
	t.end("there is no vacant mooring")
}

// passedTable says for each vacant mooring why those before were passed over.
func passedTable(w io.Writer, offers []room.Offer, u units) {
	t := newTable(w, "Passed over for", "Who", "Why")
	for _, o := range offers {
		for _, p := range o.Passed {
			t.row(o.Mooring, p.Name, p.Words.In(u.units()))
		}
	}
	t.end("nobody was passed over")
}

// openings are the positions that are held against the list.
func (c *waitingCommand) openings(f *clearance.Field) ([]room.Opening, error) {
	tackle, err := c.tackle(f)
	if err != nil {
		return nil, err
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
