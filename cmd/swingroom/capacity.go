package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/geo/room"
)

type capacityCommand struct {
	which
	roomFlags
	Layout string   `help:"${layout_help}" enum:"as_is,moved,hexagonal,square,free" default:"as_is"`
	Move   []string `help:"Moorings that are laid again, for --layout moved." placeholder:"NUMBERS"`
	Format string   `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	unitsFlag
}

func (capacityCommand) Help() string {
	return `Example:
  swingroom capacity --db harbor.db --area "Town Cove" --loa 24ft --draft 4ft --bow-height 3ft --rode 60ft

How many more boats of that class the area takes, with their positions for the work boat and a number that no layout can beat. It takes
seconds; Ctrl-C ends the search and prints the best so far.`
}

// Run prints how many go in.
func (c *capacityCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	q, err := c.ask(room.New(field))
	if err != nil {
		return err
	}
	bar := newProgress(s.errOut, "laying out")
	found, err := office.CapacityOf(s.ctx, q, c.Layout, c.Move, bar.set)
	bar.done()
	if err != nil && !room.Partial(err) {
		return err
	}
	return s.print(c.Format, output{
		json:    found,
		geojson: func() []byte { return geojson.Capacity(&found) },
		csv:     func(w io.Writer) error { return capacityCSV(w, &found) },
		table:   func(w io.Writer) { capacityTables(w, &found, c.unitsOf(field.Harbor())) },
	})
}

func capacityTables(w io.Writer, c *room.Capacity, u units) {
	fmt.Fprintf(w, "%d boats; no layout has more than %d (%s).\n", c.Count, c.UpperBound, c.Bound.In(u.units()))
	if spacing, known := c.SpacingM.Get(); known {
		fmt.Fprintf(w, "%d rows running %03.0f° true, places %s apart, rows %s apart.\n", c.Rows, c.RowsDeg.Or(0), u.length(spacing),
			u.length(c.RowGapM.Or(0)))
	}
	if c.Ended {
		fmt.Fprintln(w, "The search was ended before it was done: this is the best so far.")
	}
	fmt.Fprintln(w)
	movedTable(w, c, u)
	t := newTable(w, "Place", "Position")
	for i, p := range c.Positions {
		t.row(strconv.Itoa(i+1), p.DDM())
	}
	t.end("not one more goes in")
	fmt.Fprintln(w, "A planning aid, not for navigation: look at the bottom and ask the harbormaster before an anchor is set.")
}

// movedTable shows the moorings that are laid again, where there are any.
func movedTable(w io.Writer, c *room.Capacity, u units) {
	if len(c.Moved) > 0 {
		t := newTable(w, "Laid again", "At", "Moved by")
		for _, m := range c.Moved {
			t.row(m.Number, m.Position.DDM(), u.length(m.ByM))
		}
		t.end("")
	}
	for _, number := range c.Unplaced {
		fmt.Fprintf(w, "No place was found for %s.\n", number)
	}
}

func capacityCSV(w io.Writer, c *room.Capacity) error {
	rows := [][]string{{"place", "lat", "lon", "position"}}
	for i, p := range c.Positions {
		rows = append(rows, []string{strconv.Itoa(i + 1), degrees(p.LatDeg), degrees(p.LonDeg), p.DDM()})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
