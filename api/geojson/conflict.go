package geojson

import (
	"strconv"

	"github.com/paulmach/orb"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// addConflicts writes every conflict as a line from anchor to anchor, worst first.
func addConflicts(s *office.Snapshot, f *features, _ *Box) {
	writeConflicts(s.Field, s.Field.Report(), f)
}

func writeConflicts(field *clearance.Field, report *clearance.Report, f *features) {
	place := func(number string) orb.Point {
		i, _ := field.Index(number)
		return field.Harbor().Moorings[i].Position.Point()
	}
	for rank := range report.Conflicts {
		k := &report.Conflicts[rank]
		f.conflict(k, rank+1, orb.LineString{place(k.A), place(k.B)})
	}
}

// conflict writes one conflict as a line from anchor to anchor.
func (f *features) conflict(k *clearance.Conflict, rank int, line orb.LineString) {
	f.begin("conflict " + strconv.Itoa(rank))
	f.line(line)
	f.properties()
	f.text("a", k.A)
	f.text("b", k.B)
	f.number("distance_m", k.DistanceM, 3)
	f.number("overlap_m", k.OverlapM, 3)
	f.number("margin_m", k.MarginM, 3)
	f.number("accuracy_m", k.AccuracyM, 3)
	f.text("certainty", string(k.Certainty))
	f.text("state", string(k.State))
	f.inWords(geo.WordsOf(k.Sentence))
	f.flag("bound", k.Bound)
	f.text("lying", string(k.Lying))
	f.number("at_lon_deg", k.At.LonDeg, 7)
	f.number("at_lat_deg", k.At.LatDeg, 7)
	f.number("rank", float64(rank), 0)
	f.close()
}

// addHazards writes every hazard where it is worst, worst first.
func addHazards(s *office.Snapshot, f *features, b *Box) { writeHazards(s.Field.Report(), f, b) }

func writeHazards(report *clearance.Report, f *features, b *Box) {
	for rank, h := range report.Hazards {
		if !b.holds(h.At) {
			continue
		}
		f.begin("hazard " + strconv.Itoa(rank+1))
		f.point(h.At)
		f.properties()
		f.text("mooring", h.Mooring)
		f.text("kind", string(h.Kind))
		f.number("by_m", h.ByM, 3)
		f.text("certainty", string(h.Certainty))
		f.text("name", h.Name)
		f.text("reason", string(h.Reason))
		f.number("has_m", h.HasM, 3)
		f.number("needs_m", h.NeedsM, 3)
		f.inWords(geo.WordsOf(h.Sentence))
		f.flag("bound", h.Bound)
		f.number("rank", float64(rank+1), 0)
		f.close()
	}
}

// writeFindings writes each finding at its mooring; one of the whole harbor has no shape.
func writeFindings(field *clearance.Field, what string, all []clearance.Finding, f *features) {
	for rank, x := range all {
		v := &x.Verdict
		f.begin(what + " " + strconv.Itoa(rank+1))
		if i, known := field.Index(x.Mooring); known {
			f.point(field.Harbor().Moorings[i].Position)
		} else {
			f.nowhere()
		}
		f.properties()
		f.text("finding", what)
		f.text("mooring", x.Mooring)
		f.text("kind", string(v.Constraint.Kind()))
		f.text("constraint", string(v.Constraint))
		f.text("of", v.Of)
		f.text("reason", string(v.Reason))
		f.text("certainty", string(v.Certainty))
		f.inWords(geo.WordsOf(v.Sentence))
		f.number("rank", float64(rank+1), 0)
		f.close()
	}
}

// Report is a whole report as one FeatureCollection: conflicts as lines, hazards where they are worst, other troubles and what
// cannot be said at their moorings.
func Report(report *clearance.Report, field *clearance.Field) []byte {
	f := newFeatures(nil)
	writeConflicts(field, report, f)
	writeHazards(report, f, nil)
	writeFindings(field, "trouble", report.Troubles, f)
	writeFindings(field, "unsaid", report.Unknown, f)
	return f.end()
}
