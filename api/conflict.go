package api

import (
	"strconv"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

func (q *request) check() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	return q.writeJSON(s.field.Report())
}

// addConflicts writes every conflict as a line from anchor to anchor, worst first.
func addConflicts(s *snapshot, f *features, _ *bbox) {
	writeConflicts(s.field, s.field.Report(), f)
}

func writeConflicts(field *clearance.Field, report *clearance.Report, f *features) {
	for rank, k := range report.Conflicts {
		i, _ := field.Index(k.A)
		j, _ := field.Index(k.B)
		one, two := field.Harbor().Moorings[i].Position, field.Harbor().Moorings[j].Position
		f.begin("conflict " + strconv.Itoa(rank+1))
		f.line(orb.LineString{one.Point(), two.Point()})
		f.properties()
		f.text("a", k.A)
		f.text("b", k.B)
		f.number("distance_m", k.DistanceM, 3)
		f.number("overlap_m", k.OverlapM, 3)
		f.number("margin_m", k.MarginM, 3)
		f.number("accuracy_m", k.AccuracyM, 3)
		f.text("certainty", string(k.Certainty))
		f.text("state", string(k.State))
		f.flag("bound", k.Bound)
		f.text("lying", string(k.Lying))
		f.number("at_lon_deg", k.At.LonDeg, 7)
		f.number("at_lat_deg", k.At.LatDeg, 7)
		f.number("rank", float64(rank+1), 0)
		f.close()
	}
}

// addHazards writes every hazard where it is worst, worst first.
func addHazards(s *snapshot, f *features, b *bbox) { writeHazards(s.field.Report(), f, b) }

func writeHazards(report *clearance.Report, f *features, b *bbox) {
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
		f.text("words_feet", h.Sentence(geo.UnitsFeet))
		f.text("words_metres", h.Sentence(geo.UnitsMetres))
		f.flag("bound", h.Bound)
		f.number("rank", float64(rank+1), 0)
		f.close()
	}
}

// ReportGeoJSON is a whole report as one FeatureCollection: conflicts as lines, hazards as points.
func ReportGeoJSON(report *clearance.Report, field *clearance.Field) []byte {
	f := newFeatures(nil)
	writeConflicts(field, report, f)
	writeHazards(report, f, nil)
	return f.end()
}
