package main

import (
	"fmt"
	"time"

	"swingroom/api/office"
	"swingroom/geo"
)

type tideCommand struct {
	which  `embed:""`
	From   string    `help:"From when, as 2026-07-01T09:30-04:00, or 2026-07-01 09:30 in UTC; now unless given." placeholder:"TIME"`
	Hours  int       `help:"How many hours." default:"25"`
	Format string    `help:"table or json." enum:"table,json" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (tideCommand) Help() string {
	return `Example:
  swingroom tide --db harbor.db --from "2026-07-01 04:00" --hours 48

Levels are above chart datum, predicted from the harmonic constants of tide.json. Weather is not in them.`
}

// Run prints the level at a time and the high and low waters that follow.
func (c *tideCommand) Run(s *session) error {
	harbor, err := c.read(s.ctx)
	if err != nil {
		return err
	}
	if c.Hours < 1 || c.Hours > 24*31 {
		return fmt.Errorf("--hours %d; 1 to 744 are wanted", c.Hours)
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
	if c.Format == "json" {
		return writeJSON(s.out, t)
	}
	u := units{feet: c.Units == geo.UnitsFeet || c.Units == "" && harbor.Units == geo.UnitsFeet}
	way := "falling"
	if t.Rising {
		way = "rising"
	}
	const clock = "Mon 2 Jan 2006 15:04 MST"
	fmt.Fprintf(s.out, "%s, %s: %s above chart datum, %s\n\n", orText(t.Station, harbor.Name), t.From.Format(clock),
		u.length(float64(t.Level)), way)
	rows := newTable(s.out, "Water", "Time", "Level")
	for _, e := range t.Extremes {
		rows.row(map[bool]string{true: "high", false: "low"}[e.High], e.At.Format(clock), u.length(float64(e.Level)))
	}
	rows.end("no high or low water in that span")
	fmt.Fprintln(s.out, t.Caution)
	return nil
}
