package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"swingroom/api"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

type checkCommand struct {
	which  `embed:""`
	Format string    `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
	FailOn string    `help:"Exit with 3 when something is found: never, certain, or any." enum:"never,certain,any" default:"never"`
}

func (checkCommand) Help() string {
	return `Example:
  swingroom check --db harbor.db --format json

The JSON is
  {"conflicts":[{"a","b","distance_m","overlap_m","certainty","state","margin_m","accuracy_m","at","bound","lying","unison"}...],
   "hazards":[{"mooring","kind","by_m","at","certainty","name","words","bound"}...],
   "unknown":[{"mooring","what","missing","words"}...]}
worst first. distance_m is between the anchors on the ellipsoid; overlap_m is the sum of the two radii less the distance, under 0 where
only the margin is short; where lying is in_unison it is that of the hulls, in the weather that unison tells; certainty is certain or possible by the accuracy of the two positions; state is touching, may_touch or
tight. kind is shore, shoal, fairway, closed_water or area_edge; by_m says by how much the circle reaches too far, or for a shoal by how
much the water is too shallow; at is the place where it is worst. unknown lists what could not be checked, and the record that is missing.`
}

// Run prints every conflict, hazard and gap of the field, worst first.
func (c *checkCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	report := field.Report()
	switch c.Format {
	case "json":
		err = writeJSON(s.out, report)
	case "geojson":
		_, err = s.out.Write(append(api.ReportGeoJSON(report, field), '\n'))
	case "csv":
		err = reportCSV(s.out, report)
	default:
		err = reportTable(s.out, report, unitsOf(c.Units, field))
	}
	if err != nil {
		return err
	}
	if c.found(report) {
		return errRefused
	}
	return nil
}

// found says whether the report holds what the user asked to fail on.
func (c *checkCommand) found(r *clearance.Report) bool {
	switch c.FailOn {
	case "any":
		return len(r.Conflicts)+len(r.Hazards) > 0
	case "certain":
		for _, k := range r.Conflicts {
			if k.Certainty == clearance.Certain {
				return true
			}
		}
		for _, h := range r.Hazards {
			if h.Certainty == clearance.Certain {
				return true
			}
		}
	}
	return false
}

func reportTable(w io.Writer, r *clearance.Report, u units) error {
	t := newTable(w, "Conflict", "State", "Certainty", "Overlap", "Margin", "Apart", "Judged by")
	for _, k := range r.Conflicts {
		t.row(k.A+" – "+k.B, words(string(k.State)), string(k.Certainty), u.length(k.OverlapM), u.length(k.MarginM), u.length(k.DistanceM), judgedBy(&k))
	}
	t.end("no conflicts")
	t = newTable(w, "Hazard", "Against", "Certainty", "By", "Worst at", "In words")
	for _, h := range r.Hazards {
		t.row(h.Mooring, words(string(h.Kind)), string(h.Certainty), u.length(h.ByM), h.At.DDM(), h.Sentence(u.units()))
	}
	t.end("no hazards")
	t = newTable(w, "Trouble", "Kind", "Of", "In words")
	for _, n := range r.Troubles {
		t.row(orText(n.Mooring, "(harbor)"), string(n.Verdict.Constraint.Kind()), words(n.Verdict.Of), n.Verdict.Sentence(u.units()))
	}
	t.end("no other troubles")
	t = newTable(w, "Cannot be said", "Kind", "In words")
	for _, n := range r.Unknown {
		t.row(orText(n.Mooring, "(harbor)"), string(n.Verdict.Constraint.Kind()), n.Verdict.Sentence(u.units()))
	}
	t.end("nothing is unknown")
	_, err := fmt.Fprintf(w, "%d conflicts, %d hazards, %d troubles of tackle, limits and records; %d things cannot be said. A planning aid, not for navigation.\n",
		len(r.Conflicts), len(r.Hazards), len(r.Troubles), len(r.Unknown))
	return err
}

// judgedBy says by what a pair is judged.
func judgedBy(k *clearance.Conflict) string {
	if k.Unison == nil {
		return "circles"
	}
	return k.Unison.Words()
}

func reportCSV(w io.Writer, r *clearance.Report) error {
	out := csv.NewWriter(w)
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	deg := func(v float64) string { return strconv.FormatFloat(v, 'f', 7, 64) }
	rows := [][]string{{"finding", "mooring", "other", "kind", "certainty", "by_m", "distance_m", "margin_m", "lat", "lon", "words"}}
	for _, k := range r.Conflicts {
		rows = append(rows, []string{"conflict", k.A, k.B, string(k.State), string(k.Certainty), num(k.OverlapM), num(k.DistanceM), num(k.MarginM), deg(k.At.LatDeg), deg(k.At.LonDeg), judgedBy(&k)})
	}
	for _, h := range r.Hazards {
		rows = append(rows, []string{"hazard", h.Mooring, h.Name, string(h.Kind), string(h.Certainty), num(h.ByM), "", "", deg(h.At.LatDeg), deg(h.At.LonDeg), h.Sentence(geo.UnitsMetres)})
	}
	for _, list := range []struct {
		name string
		all  []clearance.Finding
	}{{"trouble", r.Troubles}, {"unknown", r.Unknown}} {
		for _, n := range list.all {
			v := &n.Verdict
			by := ""
			if spare, known := v.Spare.Get(); known && v.Unit == "m" {
				by = num(-spare)
			}
			rows = append(rows, []string{list.name, n.Mooring, v.Of, string(v.Constraint), string(v.Certainty), by, "", "", "", "", v.Sentence(geo.UnitsMetres)})
		}
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
