package clearance_test

import (
	"fmt"
	"slices"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// line is a verdict by its figures, to a tenth of a millimetre; of hulls in unison sameHulls compares the figures.
func line(mooring string, v clearance.Verdict) string {
	fits := "unsaid"
	if is, known := v.Fits.Get(); known {
		fits = fmt.Sprint(is)
	}
	spare := fmt.Sprintf("%.4f", v.Spare.Or(0))
	if v.Lying == geo.InUnison {
		spare = "hulls"
	}
	return fmt.Sprintf("%s %s %s %s %s %s", mooring, v.Constraint, v.Of, fits, v.Certainty, spare)
}

// ofFit are the verdicts of a fit check that are not kept or cannot be said, but for what the report tells once for the whole harbor.
func ofFit(fit clearance.Fit) (lines []string) {
	for _, v := range fit.Against() {
		switch v.Reason {
		case clearance.NoShoreline, clearance.NoSoundings, clearance.NoLevels:
			continue
		}
		lines = append(lines, line(fit.Mooring, v))
	}
	slices.Sort(lines)
	return lines
}

// ofReport are the same as the report tells them.
func ofReport(r *clearance.Report, number string) (lines []string) {
	for _, k := range r.Conflicts {
		if k.A != number && k.B != number {
			continue
		}
		other := k.A
		if other == number {
			other = k.B
		}
		v := clearance.Verdict{Constraint: clearance.ByNeighbour, Of: other, Certainty: k.Certainty,
			Spare: geo.Known(-k.OverlapM - k.MarginM), Lying: k.Lying}
		if !k.Bound {
			v.Fits = geo.Known(false)
		}
		lines = append(lines, line(number, v))
	}
	for _, h := range r.Hazards {
		if h.Mooring == number {
			v := clearance.Verdict{Constraint: clearance.Constraint(h.Kind), Of: h.Name, Certainty: h.Certainty, Spare: geo.Known(-h.ByM)}
			if !h.Bound {
				v.Fits = geo.Known(false)
			}
			lines = append(lines, line(number, v))
		}
	}
	for _, list := range [][]clearance.Finding{r.Troubles, r.Unknown} {
		for _, x := range list {
			if x.Mooring == number {
				lines = append(lines, line(number, x.Verdict))
			}
		}
	}
	slices.Sort(lines)
	return lines
}

// sameAsReport holds the fit check of every mooring of a field as it is on file against the report.
func sameAsReport(t testing.TB, f *clearance.Field) {
	t.Helper()
	r := f.Report()
	for i := range f.Harbor().Moorings {
		m := f.Harbor().Moorings[i]
		fit := f.Fit(m)
		if got, want := ofReport(r, m.Number), ofFit(fit); !slices.Equal(got, want) {
			t.Errorf("mooring %s\nreport: %q\nfit:    %q", m.Number, got, want)
		}
		if got := f.Outcome(m, f.Rules(&m)); got != fit.Outcome {
			t.Errorf("mooring %s: %s in short, %s in full", m.Number, got, fit.Outcome)
		}
		if clear := f.State(i) == clearance.Clear; clear != (fit.Outcome == clearance.Fits) {
			t.Errorf("mooring %s is drawn as %s, and %s", m.Number, f.State(i), fit.Outcome)
		}
	}
}

// The report is the fit check of every boat where it lies, constraint by constraint.
func TestTheReportIsTheFitCheckOfEveryBoatWhereItLies(t *testing.T) { sameAsReport(t, demoField(t)) }
