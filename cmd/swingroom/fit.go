package main

import (
	"fmt"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// boatFlags are a boat that is tried on a mooring in place of the one that lies there.
type boatFlags struct {
	LOA   length `help:"Length overall of the boat, as 9.2m or 30ft; the boat on the mooring unless given." name:"loa" placeholder:"LENGTH"`
	All   length `help:"Length with everything fixed to her." name:"length-all" placeholder:"LENGTH"`
	Beam  length `help:"Beam." placeholder:"LENGTH"`
	Draft length `help:"Draft." placeholder:"LENGTH"`
	Bow   length `help:"Height from the waterline to where the pennant is made fast." name:"bow-height" placeholder:"LENGTH"`
	Kind  string `help:"What she is: sloop, work boat, ..."`
}

func (b *boatFlags) boat() geo.Boat {
	return geo.Boat{Kind: b.Kind, LOA: b.LOA.value, LengthAll: b.All.value, Beam: b.Beam.value, Draft: b.Draft.value,
		BowHeight: b.Bow.value}
}

type fitCommand struct {
	which     `embed:""`
	Number    string `help:"Mooring on which the boat is tried." required:""`
	boatFlags `embed:""`
	Short     bool      `help:"Only the verdicts, no ways out."`
	Format    string    `help:"table or json." enum:"table,json" default:"table"`
	Units     geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (fitCommand) Help() string {
	return `Example:
  swingroom fit --db harbor.db --number 301 --loa 34ft --beam 11ft --draft 5ft --bow-height 4ft

Will this boat fit on that mooring? First the answer in one sentence; then what fails, what cannot be said and what is kept: neighbours, shore, shoal
water, fairway, edge of the area, limits of area and place, scope, anchor and the strength of every part; and where the boat does not fit, ways out,
each proved by the same check. Exit code 3 where it does not fit, 4 where it cannot be said.`
}

// Run prints the verdicts.
func (c *fitCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	m, err := office.OnMooring(field, c.Number, c.boat())
	if err != nil {
		return err
	}
	var fit room.Fitting
	if c.Short {
		fit = room.Fitting{Fit: field.Fit(m), Remedies: []room.Remedy{}}
	} else if fit, err = room.Fit(s.ctx, room.New(field), m, room.NewLengths(field)); err != nil && !room.Partial(err) {
		return err
	}
	if c.Format != "json" {
		c.print(s, field, &fit)
	} else if err := writeJSON(s.out, fit); err != nil {
		return err
	}
	switch fit.Outcome {
	case clearance.Fits:
		return nil
	case clearance.CannotBeSaid:
		return errUnsaid
	}
	return errRefused
}

func (c *fitCommand) print(s *session, field *clearance.Field, fit *room.Fitting) {
	u := unitsOf(c.Units, field)
	fmt.Fprintf(s.out, "%s\n\n", fit.Words.In(u.units()))
	t := newTable(s.out, "Constraint", "Of", "Verdict", "Has", "Needs", "To spare", "")
	figure := func(v clearance.Verdict, x geo.Maybe[float64]) string {
		return maybe(x, func(f float64) string {
			return u.figure(f, v.Unit)
		})
	}
	for _, v := range fit.Ordered() {
		verdict := "cannot be said"
		if fits, known := v.Fits.Get(); known {
			verdict = map[bool]string{true: "yes", false: "NO"}[fits]
		}
		why := ""
		if !v.Fits.Or(false) || !v.Has.IsKnown() { // the figures do not say why
			why = v.Sentence(u.units())
		}
		t.row(words(string(v.Constraint)), orText(v.OfWords(), "–"), verdict, figure(v, v.Has), figure(v, v.Needs), figure(v, v.Spare), why)
	}
	t.end("")
	if c.Short {
		return
	}
	if fit.LargestM > 0 {
		fmt.Fprintf(s.out, "The longest boat that %s takes by its water: %s.\n\n", fit.Mooring, u.length(fit.LargestM))
	}
	ways := newTable(s.out, "Way out", "")
	for _, w := range fit.Remedies {
		ways.row(words(string(w.Kind)), w.Words.In(u.units()))
		for _, x := range w.Remains {
			ways.row("", fmt.Sprintf("%s keeps a trouble that it has now: %s", x.Mooring, x.Verdict.Sentence(u.units())))
		}
	}
	if fit.Outcome != clearance.Fits {
		ways.end("no way out was found")
	}
	for _, why := range fit.Unsearched {
		fmt.Fprintf(s.out, "Not looked for to the end: %s.\n", why)
	}
	fmt.Fprintln(s.out, "A planning aid: the harbormaster's permit and local codes govern, and setting, hauling and diving are work for "+
		"licensed practice.")
}
