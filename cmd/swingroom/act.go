package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/alecthomas/kong"

	"swingroom/api/account"
	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// workCaution stands under what sends somebody out to lift an anchor, to dive or onto the ice.
const workCaution = "Local codes and the harbormaster's permit govern; lifting, diving and work on ice are for licensed practice.\n"

// actFlags are what every act takes: the file, who does it, and in which form it is told what has been done.
type actFlags struct {
	onFile
	Who    string `help:"Whose act it is, for the history." default:"${user}" placeholder:"NAME"`
	Format string `help:"table or json." enum:"table,json" default:"table"`
	unitsFlag
}

// Validate refuses a command line that is not UTF-8: other bytes would stand in the record as signs of replacement.
func (c *actFlags) Validate(line *kong.Context) error {
	for _, text := range line.Args {
		if !utf8.ValidString(text) {
			return usageError(fmt.Sprintf("%q is not a text in UTF-8", text))
		}
	}
	return nil
}

// reasonFlags are the reasons of an act that has to have one.
type reasonFlags struct {
	Why     string `help:"Why, for the history." required:"" placeholder:"TEXT"`
	Despite string `help:"Why it is done although the fit check does not say that it fits, for the history." placeholder:"TEXT"`
}

// reasons are those that an author gives.
func (r *reasonFlags) reasons() office.Author { return authorOf(r.Why, r.Despite) }

// authorOf is the author of an act with reasons; who it is is said by the other flags.
func authorOf(why, despite string) office.Author {
	return office.Author{Why: strings.TrimSpace(why), Despite: strings.TrimSpace(despite), Precondition: office.AnyRevision}
}

// act is what is done on a harbor on file.
type act func(ctx context.Context, h *office.Harbor, by office.Author) (office.Result, error)

// useCase is an act of the office's that is told what to do.
type useCase[I any] func(*office.Harbor, context.Context, office.Author, I) (office.Result, error)

// actOn is the act that does what a use case is told.
func actOn[I any](do useCase[I], in I) act {
	return func(ctx context.Context, h *office.Harbor, by office.Author) (office.Result, error) {
		return do(h, ctx, by, in)
	}
}

// carryOut does an act on the harbor on file and tells what has been done, with a caution where there is one. An error is told in the
// units that are shown.
func (c *actFlags) carryOut(s *session, by office.Author, do act, caution string) error {
	db, err := openExisting(s.ctx, c.DB)
	if err != nil {
		return err
	}
	defer db.Close()
	by.Person = account.Person{Name: strings.TrimSpace(c.Who), Role: account.Harbormaster}
	h, err := office.New(office.Options{Store: db}).Harbor(s.ctx, c.Harbor, by.Person)
	if err != nil {
		return err
	}
	done, err := do(s.ctx, h, by)
	if err != nil {
		return &errorInUnits{err, c.unitsOf(h.Field.Harbor()).units()}
	}
	return c.tell(s, h, &done, caution)
}

// tell tells what has been done. Where that cannot be written the error says that it is done all the same: who takes it for a failure would
// do it again.
func (c *actFlags) tell(s *session, h *office.Harbor, done *office.Result, caution string) error {
	err := s.print(c.Format, output{json: done, table: func(w io.Writer) {
		tellDone(w, h, done, c.unitsOf(h.Field.Harbor()))
		fmt.Fprint(w, caution)
	}})
	if err == nil {
		err = s.out.err
	}
	if err != nil {
		return fmt.Errorf("it is done (revision %d), and could not be told: %w", done.Revision, err)
	}
	return nil
}

// tellDone tells what an act has done, and what the fit check says of the moorings that have another boat or place.
func tellDone(w io.Writer, h *office.Harbor, done *office.Result, u units) {
	if done.Revision == h.Info.Revision {
		fmt.Fprintf(w, "Nothing has changed: %s stays at revision %d.\n", h.Slug(), done.Revision)
		return
	}
	fmt.Fprintf(w, "%s.\n\n", done.Words.In(u.units()))
	if len(done.Fits) > 0 {
		fitsTables(w, done.Fits, u)
	}
	fmt.Fprintf(w, "%s is at revision %d.\n", h.Slug(), done.Revision)
}

// fitsTables show what is against some boats where they lie, and what cannot be said of them.
func fitsTables(w io.Writer, fits []clearance.Fit, u units) {
	var troubles, unsaid []clearance.Finding
	for _, fit := range fits {
		for _, v := range fit.Against() {
			finding := clearance.Finding{Mooring: fit.Mooring, Verdict: v}
			if v.Fits.IsKnown() {
				troubles = append(troubles, finding)
			} else {
				unsaid = append(unsaid, finding)
			}
		}
	}
	findingsTable(w, "Trouble", "the fit check finds no trouble", troubles, u)
	findingsTable(w, "Cannot be said", "nothing is unknown", unsaid, u)
}

// errorInUnits tells an error in the units that are shown.
type errorInUnits struct {
	err   error
	units geo.Units
}

// Error tells it; what stands against a boat has a line for each reason.
func (e *errorInUnits) Error() string {
	var unfit *office.UnfitError
	if errors.As(e.err, &unfit) {
		return reasonLines(unfit, e.units)
	}
	return geo.ErrorIn(e.err, e.units)
}

func reasonLines(unfit *office.UnfitError, u geo.Units) string {
	lines := []string{"the boat does not fit:"}
	for _, reason := range unfit.Reasons {
		lines = append(lines, reason.In(u))
	}
	return strings.Join(lines, "\n  ")
}

// Unwrap gives the error itself.
func (e *errorInUnits) Unwrap() error { return e.err }
