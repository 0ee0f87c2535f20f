package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"swingroom/api/geojson"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

type checkCommand struct {
	which
	Format string `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	unitsFlag
	Kind   string `help:"${kind_help}" placeholder:"KINDS"`
	FailOn string `help:"${fail_on_help}" enum:"never,certain,any" default:"never"`
}

func (checkCommand) Help() string {
	return `Examples:
  swingroom check --db harbor.db --format json
  swingroom check --db harbor.db --kind conflict,hazard --fail-on certain

Everything is told that is asked of a mooring and not kept, each of its kind: conflict with a neighbour; hazard: shore, shoal water,
fairway, closed water or the edge of its area; tackle: rode, anchor and parts; limit of the area or the place; record: what contradicts
itself. Beside these stands what cannot be said, and the record that is missing.

The JSON is
  {"conflicts":[{"a","b","distance_m","overlap_m","certainty","state","margin_m","accuracy_m","at","bound","lying","unison","words"}...],
   "hazards":[{"mooring","kind","reason","by_m","has_m","needs_m","at","certainty","name","bound","words"}...],
   "troubles":[{"mooring","verdict":{"constraint","kind","of","has","needs","spare","unit","reason","certainty","words",...}}...],
   "unknown":[{"mooring","verdict":{...,"missing"}}...]}
worst first. words is the sentence in feet and in metres. distance_m is between the anchors on the ellipsoid; overlap_m is the sum of the
two radii less the distance, under 0 where only the margin is short; where lying is in_unison it is that of the hulls, in the weather that
unison tells; certainty is certain or possible by the accuracy of the two positions; state is touching, may_touch or tight. by_m says by how
much a circle reaches too far, or for a shoal by how much the water is too shallow; at is the place where it is worst.`
}

// Run prints every trouble of the field, worst first, and what cannot be said.
func (c *checkCommand) Run(s *session) error {
	chosen, err := clearance.ParseKinds(c.Kind)
	if err != nil {
		return err
	}
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	report := field.Report().Only(chosen)
	err = s.print(c.Format, output{
		json:    report,
		geojson: func() []byte { return geojson.Report(report, field) },
		csv:     func(w io.Writer) error { return reportCSV(w, report) },
		table:   func(w io.Writer) { reportTables(w, report, chosen, c.unitsOf(field.Harbor())) },
	})
	if err != nil {
		return err
	}
	if c.FailOn == "any" && report.Troubled() || c.FailOn == "certain" && report.Certain() {
		return errRefused
	}
	return nil
}

// kindNames name the kinds of trouble in counts, for one and for several.
var kindNames = map[clearance.Kind][2]string{
	clearance.KindConflict: {"conflict", "conflicts"}, clearance.KindHazard: {"hazard", "hazards"},
	clearance.KindTackle: {"of tackle", "of tackle"},
	clearance.KindLimit:  {"of limits", "of limits"}, clearance.KindRecord: {"of records", "of records"},
	clearance.KindUnsaid: {"cannot be said", "cannot be said"},
}

// counted is how many troubles of a kind there are.
func counted(n int, kind clearance.Kind) string {
	if n == 1 {
		return "1 " + kindNames[kind][0]
	}
	return fmt.Sprintf("%d %s", n, kindNames[kind][1])
}

// reportTables print a table of each kind that is asked for, and the counts.
func reportTables(w io.Writer, r *clearance.Report, chosen clearance.KindFilter, u units) {
	if chosen.Has(clearance.KindConflict) {
		t := newTable(w, "Conflict", "State", "Overlap", "Margin", "Apart", "Judged by")
		for _, k := range r.Conflicts {
			t.row(k.A+" – "+k.B, stateWords(&k), u.length(k.OverlapM), u.length(k.MarginM), u.length(k.DistanceM), judgedBy(&k, u.units()))
		}
		t.end("no conflicts")
	}
	if chosen.Has(clearance.KindHazard) {
		t := newTable(w, "Hazard", "Against", "Certainty", "By", "Worst at", "In words")
		for _, h := range r.Hazards {
			t.row(h.Mooring, words(string(h.Kind)), string(h.Certainty), u.length(h.ByM), h.At.DDM(), h.Sentence(u.units()))
		}
		t.end("no hazards")
	}
	if chosen.Has(clearance.KindTackle) || chosen.Has(clearance.KindLimit) || chosen.Has(clearance.KindRecord) {
		findingsTable(w, "Trouble", "no trouble of tackle, limits or records", r.Troubles, u)
	}
	if chosen.Has(clearance.KindUnsaid) {
		findingsTable(w, "Cannot be said", "nothing is unknown", r.Unknown, u)
	}
	fmt.Fprintf(w, "%s. A planning aid, not for navigation.\n", countsOf(r, chosen))
}

// countsOf tells how many troubles there are of each kind that is asked for.
func countsOf(r *clearance.Report, chosen clearance.KindFilter) string {
	counts, told := r.Counts(), []string{}
	for _, kind := range append(clearance.Kinds(), clearance.KindUnsaid) {
		if chosen.Has(kind) {
			told = append(told, counted(counts[kind], kind))
		}
	}
	return strings.Join(told, ", ")
}

func findingsTable(w io.Writer, heading, empty string, all []clearance.Finding, u units) {
	t := newTable(w, heading, "Kind", "In words")
	for _, x := range all {
		t.row(orText(x.Mooring, "(harbor)"), string(x.Verdict.Constraint.Kind()), x.Verdict.Sentence(u.units()))
	}
	t.end(empty)
}

// stateWords tell how near a pair comes and how sure that is. The certainty is about the margin: a pair within the accuracy of the
// positions may touch, though its margin is certain not to be kept.
func stateWords(k *clearance.Conflict) string {
	switch {
	case k.State == clearance.Touching && k.Certainty == clearance.Certain:
		return "touching"
	case k.State == clearance.Tight && k.Certainty == clearance.Certain:
		return "inside the margin"
	case k.State == clearance.Tight:
		return "may be inside the margin"
	case k.Certainty == clearance.Certain:
		return "inside the margin, may touch"
	}
	return "may touch"
}

// judgedBy says by what a pair is judged.
func judgedBy(k *clearance.Conflict, u geo.Units) string {
	if k.Unison == nil {
		return "circles"
	}
	return k.Unison.Words().In(u)
}

// reportColumns are the headings of the report as CSV.
var reportColumns = []string{"finding", "mooring", "other", "kind", "certainty", "by_m", "distance_m", "margin_m", "lat", "lon", "words"}

func reportCSV(w io.Writer, r *clearance.Report) error {
	rows := [][]string{reportColumns}
	for _, k := range r.Conflicts {
		rows = append(rows, conflictCells(&k))
	}
	for _, h := range r.Hazards {
		rows = append(rows, []string{string(clearance.KindHazard), h.Mooring, h.Name, string(h.Kind), string(h.Certainty), fixed(h.ByM, 3),
			"", "", degrees(h.At.LatDeg), degrees(h.At.LonDeg), h.Sentence(geo.UnitsMetres)})
	}
	for _, x := range r.Troubles {
		rows = append(rows, findingCells(&x, x.Verdict.Constraint.Kind()))
	}
	for _, x := range r.Unknown {
		rows = append(rows, findingCells(&x, clearance.KindUnsaid))
	}
	for _, row := range rows {
		for i := range row {
			row[i] = plainCell(row[i])
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func conflictCells(k *clearance.Conflict) []string {
	return []string{string(clearance.KindConflict), k.A, k.B, string(k.State), string(k.Certainty), fixed(k.OverlapM, 3),
		fixed(k.DistanceM, 3), fixed(k.MarginM, 3), degrees(k.At.LatDeg), degrees(k.At.LonDeg), k.Sentence(geo.UnitsMetres)}
}

// findingCells are a trouble, or what cannot be said, by how much where that is a length.
func findingCells(x *clearance.Finding, kind clearance.Kind) []string {
	v, by := &x.Verdict, ""
	if spare, known := v.Spare.Get(); known && v.Unit == "m" {
		by = fixed(-spare, 3)
	}
	return []string{string(kind), x.Mooring, v.Of, string(v.Constraint), string(v.Certainty), by, "", "", "", "",
		v.Sentence(geo.UnitsMetres)}
}
