package main

import (
	"fmt"
	"io"
	"time"

	"swingroom/api/office"
	"swingroom/geo"
)

type tideCommand struct {
	which
	From   string `help:"From when, such as ${moment}; now unless given." placeholder:"TIME"`
	Hours  int    `help:"How many hours." default:"25"`
	Format string `help:"table or json." enum:"table,json" default:"table"`
	unitsFlag
}

func (tideCommand) Help() string {
	return `Example:
  swingroom tide --db harbor.db --from "2026-07-01 04:00" --hours 48

Levels are above chart datum, predicted from the harmonic constants of tide.json. Weather is not in them.`
}

// maxTideHours is the longest span that is predicted: a month with all its springs and neaps.
const maxTideHours = 24 * 31

// Run prints the level at a time and the high and low waters that follow.
func (c *tideCommand) Run(s *session) error {
	harbor, _, err := c.read(s.ctx)
	if err != nil {
		return err
	}
	if c.Hours < 1 || c.Hours > maxTideHours {
		return fmt.Errorf("--hours %d; 1 to %d are expected", c.Hours, maxTideHours)
	}
	from := time.Now()
	if c.From != "" {
		if from, err = geo.ParseTime(c.From); err != nil {
			return err
		}
	}
	t, err := office.TideOf(harbor, from, c.Hours)
	if err != nil {
		return err
	}
	return s.print(c.Format, output{json: t, table: func(w io.Writer) {
		tideTable(w, orText(t.Station, harbor.Name), t, c.unitsOf(harbor))
	}})
}

func tideTable(w io.Writer, station string, t *office.TideTable, u units) {
	const clock = "Mon 2 Jan 2006 15:04 MST"
	way := "falling"
	if t.Rising {
		way = "rising"
	}
	fmt.Fprintf(w, "%s, %s: %s above chart datum, %s\n\n", station, t.From.Format(clock), u.length(float64(t.Level)), way)
	rows := newTable(w, "Water", "Time", "Level")
	for _, e := range t.Extremes {
		water := "low"
		if e.High {
			water = "high"
		}
		rows.row(water, e.At.Format(clock), u.length(float64(e.Level)))
	}
	rows.end("no high or low water in that span")
	fmt.Fprintln(w, t.Caution)
}
