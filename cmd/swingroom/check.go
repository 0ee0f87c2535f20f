package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"swingroom/api/geojson"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

type checkCommand struct {
	which  `embed:""`
	Format string    `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
	Kind   string    `help:"Only troubles of these kinds, with commas: conflict, hazard, tackle, limit, record; unsaid for what cannot be said. All unless given." placeholder:"KINDS"`
	FailOn string    `help:"Exit with 3 when a trouble is found of those that are shown: never, certain, or any." enum:"never,certain,any" default:"never"`
}

func (checkCommand) Help() string {
	return `Examples:
  swingroom check --db harbor.db --format json
  swingroom check --db harbor.db --kind conflict,hazard --fail-on certain

Everything is told that is asked of a mooring and not kept, each of its kind: conflict with a neighbour; hazard: shore, shoal water, fairway,
closed water or the edge of its area; tackle: rode, anchor and parts; limit of the area or the place; record: what contradicts itself. Beside
these stands what cannot be said, and the record that is missing.

The JSON is
  {"conflicts":[{"a","b","distance_m","overlap_m","certainty","state","margin_m","accuracy_m","at","bound","lying","unison","words"}...],
   "hazards":[{"mooring","kind","reason","by_m","has_m","needs_m","at","certainty","name","bound","words"}...],
   "troubles":[{"mooring","verdict":{"constraint","kind","of","has","needs","spare","unit","reason","certainty","words",...}}...],
   "unknown":[{"mooring","verdict":{...,"missing"}}...]}
worst first. words is the sentence in feet and in metres. distance_m is between the anchors on the ellipsoid; overlap_m is the sum of the two
radii less the distance, under 0 where only the margin is short; where lying is in_unison it is that of the hulls, in the weather that unison
tells; certainty is certain or possible by the accuracy of the two positions; state is touching, may_touch or tight. by_m says by how much a
circle reaches too far, or for a shoal by how much the water is too shallow; at is the place where it is worst.`
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
	switch c.Format {
	case "json":
		err = writeJSON(s.out, report)
	case "geojson":
		_, err = s.out.Write(append(geojson.Report(report, field), '\n'))
	case "csv":
		err = reportCSV(s.out, report)
	default:
		err = reportTables(s.out, report, chosen, unitsOf(c.Units, field))
	}
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

func reportTables(w io.Writer, r *clearance.Report, chosen clearance.KindFilter, u units) error {
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
	counts, told := r.Counts(), []string{}
	for _, kind := range append(clearance.Kinds(), clearance.KindUnsaid) {
		if chosen.Has(kind) {
			told = append(told, counted(counts[kind], kind))
		}
	}
	_, err := fmt.Fprintf(w, "%s. A planning aid, not for navigation.\n", strings.Join(told, ", "))
	return err
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

func reportCSV(w io.Writer, r *clearance.Report) error {
	out := csv.NewWriter(w)
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	deg := func(v float64) string { return strconv.FormatFloat(v, 'f', 7, 64) }
	rows := [][]string{{"finding", "mooring", "other", "kind", "certainty", "by_m", "distance_m", "margin_m", "lat", "lon", "words"}}
	for _, k := range r.Conflicts {
		rows = append(rows, []string{string(clearance.KindConflict), k.A, k.B, string(k.State), string(k.Certainty), num(k.OverlapM),
			num(k.DistanceM), num(k.MarginM),
			deg(k.At.LatDeg), deg(k.At.LonDeg), k.Sentence(geo.UnitsMetres)})
	}
	for _, h := range r.Hazards {
		rows = append(rows, []string{string(clearance.KindHazard), h.Mooring, h.Name, string(h.Kind), string(h.Certainty), num(h.ByM), "",
			"",
			deg(h.At.LatDeg), deg(h.At.LonDeg), h.Sentence(geo.UnitsMetres)})
	}
	add := func(x clearance.Finding, kind clearance.Kind) {
		v, by := &x.Verdict, ""
		if spare, known := v.Spare.Get(); known && v.Unit == "m" {
			by = num(-spare)
		}
		rows = append(rows, []string{string(kind), x.Mooring, v.Of, string(v.Constraint), string(v.Certainty), by, "", "", "", "",
			v.Sentence(geo.UnitsMetres)})
	}
	for _, x := range r.Troubles {
		add(x, x.Verdict.Constraint.Kind())
	}
	for _, x := range r.Unknown {
		add(x, clearance.KindUnsaid)
	}
	for _, row := range rows {
		for i := range row {
			row[i] = plainCell(row[i])
		}
	}
	return out.WriteAll(rows)
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
