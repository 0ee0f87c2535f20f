package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"swingroom/api/office"
	"swingroom/api/paper"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

type sheetCommand struct {
	which
	Number string `help:"The mooring's number." required:""`
	Out    string `help:"The file that is written." required:"" placeholder:"FILE.pdf"`
	Paper  string `help:"a4 or letter; by the units unless given." placeholder:"SIZE"`
	Scale  string `help:"Scale of the chart extract: 250, 500, 1000, 2500 or 5000; chosen unless given." placeholder:"N"`
	Reason string `help:"Why the mooring is assigned, to be printed." placeholder:"TEXT"`
	Fit    bool   `help:"With the fit check of the boat that lies there."`
	boatFlags
	unitsFlag
}

func (sheetCommand) Help() string {
	return `Example:
  swingroom sheet --db harbor.db --number 217 --out 217.pdf

A chart extract true to a stated scale, with a bar to measure on the paper; the neighbours and their clearances; the working of the swing
radius; what was assumed and what is unknown; a place to sign.`
}

// Run writes the sheet.
func (c *sheetCommand) Run(s *session) error {
	field, revision, err := c.fieldAt(s.ctx)
	if err != nil {
		return err
	}
	o := paper.SheetOptions{Options: paper.Options{Paper: paper.Paper(c.Paper), Units: c.Units, At: time.Now(), Revision: revision},
		Reason: c.Reason}
	if boat := c.boat(); c.Fit || boat != (geo.Boat{}) {
		if o.Trial, err = c.trial(s.ctx, field, boat); err != nil {
			return err
		}
	}
	return writePDF(s, c.Out, c.Scale, func(w io.Writer, scale int) error {
		o.Scale = scale
		return paper.MooringSheet(w, field, c.Number, o)
	})
}

// trial is the fit check of a boat on the mooring, to be printed; without a length it is the boat that lies there.
func (c *sheetCommand) trial(ctx context.Context, field *clearance.Field, boat geo.Boat) (*paper.Trial, error) {
	m, err := office.OnMooring(field, c.Number, boat)
	if err != nil {
		return nil, err
	}
	fit, err := fitWithRemedies(ctx, field, m)
	if err != nil {
		return nil, err
	}
	return office.TrialOf(&fit, c.unitsOf(field.Harbor()).units()), nil
}

// writePDF draws a document and only then touches the file, so that a wrong option leaves what was there.
func writePDF(s *session, path, scaleText string, draw func(w io.Writer, scale int) error) error {
	scale, err := paper.ParseScale(scaleText)
	if err != nil {
		return err
	}
	var body bytes.Buffer
	if err := draw(&body, scale); err != nil {
		return err
	}
	if err := os.WriteFile(path, body.Bytes(), 0o644); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s is written. Print it at actual size, and measure its bar.\n", path)
	return nil
}
