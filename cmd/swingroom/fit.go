package main

import (
	"context"
	"fmt"
	"io"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

type fitCommand struct {
	which
	Number string `help:"Mooring on which the boat is tried; without a length the boat that lies there." required:""`
	boatFlags
	Short  bool   `help:"Only the verdicts, no remedies."`
	Format string `help:"table or json." enum:"table,json" default:"table"`
	unitsFlag
}

func (fitCommand) Help() string {
	return `Example:
  swingroom fit --db harbor.db --number 301 --loa 34ft --beam 11ft --draft 5ft --bow-height 4ft

Will this boat fit on that mooring? First the answer in one sentence; then what fails, what cannot be said and what is kept: neighbours,
shore, shoal water, fairway, edge of the area, limits of area and place, scope, anchor and the strength of every part; and where the boat
does not fit, remedies, each proved by the same check. Exit code 3 where it does not fit, 4 where it cannot be said.`
}

// Run prints the verdicts.
func (c *fitCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	fit, err := c.fitting(s, field)
	if err != nil {
		return err
	}
	err = s.print(c.Format, output{json: fit, table: func(w io.Writer) { c.tables(w, &fit, c.unitsOf(field.Harbor())) }})
	switch {
	case err != nil || fit.Outcome == clearance.Fits:
		return err
	case fit.Outcome == clearance.CannotBeSaid:
		return errUnsaid
	}
	return errRefused
}

// fitting checks the boat on the mooring, and looks for remedies unless only the verdicts are asked for.
func (c *fitCommand) fitting(s *session, field *clearance.Field) (room.Fitting, error) {
	m, err := office.OnMooring(field, c.Number, c.boat())
	if err != nil {
		return room.Fitting{}, err
	}
	if c.Short {
		return room.Fitting{Fit: field.Fit(m), Remedies: []room.Remedy{}}, nil
	}
	return fitWithRemedies(s.ctx, field, m)
}

// fitWithRemedies checks a mooring and looks for remedies. Stopped, it has what it has found.
func fitWithRemedies(ctx context.Context, field *clearance.Field, m geo.Mooring) (room.Fitting, error) {
	fit, err := room.Fit(ctx, room.New(field), m, room.NewLengths(field))
	if room.Partial(err) {
		err = nil
	}
	return fit, err
}

// tables show the answer, the verdicts, and the remedies where they have been looked for.
func (c *fitCommand) tables(w io.Writer, fit *room.Fitting, u units) {
	fmt.Fprintf(w, "%s\n\n", fit.Words.In(u.units()))
	t := newTable(w, "Constraint", "Of", "Verdict", "Has", "Needs", "To spare", "")
	for _, v := range fit.Ordered() {
		t.row(verdictCells(&v, u)...)
	}
	t.end("")
	if c.Short {
		return
	}
	if fit.LargestM > 0 {
		fmt.Fprintf(w, "The longest boat that %s takes by its water: %s.\n\n", fit.Mooring, u.length(fit.LargestM))
	}
	remediesTable(w, fit, u)
	for _, why := range fit.Unsearched {
		fmt.Fprintf(w, "Not looked for to the end: %s.\n", why)
	}
	fmt.Fprintln(w, "A planning aid: the harbormaster's permit and local codes govern, and setting, hauling and diving are work for "+
		"licensed practice.")
}

// verdictCells show one verdict, with the sentence where the figures do not say why.
func verdictCells(v *clearance.Verdict, u units) []string {
	figure := func(x geo.Maybe[float64]) string {
		return maybe(x, func(f float64) string { return u.figure(f, v.Unit) })
	}
	answer, why := "cannot be said", ""
	if fits, known := v.Fits.Get(); known && fits {
		answer = "yes"
	} else if known {
		answer = "NO"
	}
	if !v.Fits.Or(false) || !v.Has.IsKnown() {
		why = v.Sentence(u.units())
	}
	return []string{words(string(v.Constraint)), orText(v.OfWords(), "–"), answer, figure(v.Has), figure(v.Needs), figure(v.Spare), why}
}

// remediesTable lists what would make the boat fit.
func remediesTable(w io.Writer, fit *room.Fitting, u units) {
	t := newTable(w, "Remedy", "")
	for _, r := range fit.Remedies {
		t.row(words(string(r.Kind)), r.Words.In(u.units()))
		for _, x := range r.Remains {
			t.row("", fmt.Sprintf("%s keeps a trouble that it has now: %s", x.Mooring, x.Verdict.Sentence(u.units())))
		}
	}
	if fit.Outcome != clearance.Fits {
		t.end("no remedy was found")
	}
}
