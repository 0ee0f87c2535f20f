package main

import (
	"io"
	"time"

	"swingroom/api/paper"
)

type chartCommand struct {
	which `embed:""`
	Area  string `help:"The area; empty for the moorings that are in none." required:""`
	Out   string `help:"The file that is written." required:"" placeholder:"FILE.pdf"`
	Paper string `help:"a4, letter, a3 or tabloid; by the units unless given." placeholder:"SIZE"`
	Scale string `help:"1000, 2500 or 5000; chosen so that the area fits on a page unless given." placeholder:"N"`
	unitsFlag
}

func (chartCommand) Help() string {
	return `Example:
  swingroom chart --db harbor.db --area "Town Cove" --scale 2500 --out cove.pdf

Every swing circle and number of the area, true to scale. Where the area does not fit on a page it is laid out in tiles, and the first page
shows which tile is which.`
}

// Run writes the chart.
func (c *chartCommand) Run(s *session) error {
	field, revision, err := c.fieldAt(s.ctx)
	if err != nil {
		return err
	}
	return writePDF(s, c.Out, c.Scale, func(w io.Writer, scale int) error {
		return paper.AreaChart(w, field, c.Area, paper.Options{Paper: paper.Paper(c.Paper), Scale: scale, Units: c.Units,
			At: time.Now(), Revision: revision})
	})
}
