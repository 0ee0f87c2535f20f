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
	"swingroom/geo/room"
)

type sheetCommand struct {
	which     `embed:""`
	Number    string `help:"The mooring's number." required:""`
	Out       string `help:"The file that is written." required:"" placeholder:"FILE.pdf"`
	Paper     string `help:"a4 or letter; by the units unless given." placeholder:"SIZE"`
	Scale     string `help:"Scale of the chart extract: 250, 500, 1000, 2500 or 5000; chosen unless given." placeholder:"N"`
	Reason    string `help:"Why the mooring is assigned, to be printed." placeholder:"TEXT"`
	Fit       bool   `help:"With the fit check of the boat that lies there."`
	boatFlags `embed:""`
	Units     geo.Units `help:"feet or metres; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (sheetCommand) Help() string {
	return `Example:
  swingroom sheet --db harbor.db --number 217 --out 217.pdf

A chart extract true to a stated scale, with a bar to measure on the paper; the neighbours and their clearances; the working of the swing radius;
what was assumed and what is unknown; a place to sign.`
}

// Run writes the sheet.
func (c *sheetCommand) Run(s *session) error {
	field, revision, err := c.fieldOnFile(s.ctx)
	if err != nil {
		return err
	}
	o := paper.SheetOptions{Options: paper.Options{Paper: paper.Paper(c.Paper), Units: c.Units, At: time.Now(), Revision: revision},
		Reason: c.Reason}
	if boat := c.boat(); c.Fit || boat != (geo.Boat{}) {
		m, err := office.OnMooring(field, c.Number, boat)
		if err != nil {
			return err
		}
		fit, err := room.Fit(s.ctx, room.New(field), m, room.NewLengths(field))
		if err != nil && !room.Partial(err) {
			return err
		}
		o.Trial = office.TrialOf(&fit, unitsOf(c.Units, field).units())
	}
	return writePDF(s, c.Out, c.Scale, func(w io.Writer, scale int) error {
		o.Scale = scale
		return paper.MooringSheet(w, field, c.Number, o)
	})
}

// fieldOnFile loads the harbor with its revision, which is 0 for the demo.
func (w which) fieldOnFile(ctx context.Context) (*clearance.Field, int64, error) {
	if w.Demo {
		field, err := w.field(ctx)
		return field, 0, err
	}
	db, err := openExisting(ctx, w.DB)
	if err != nil {
		return nil, 0, err
	}
	defer db.Close()
	harbor, info, err := db.Harbor(ctx, w.Harbor)
	if err != nil {
		return nil, 0, err
	}
	field, err := clearance.NewField(harbor)
	return field, info.Revision, err
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
