package geojson

import (
	"github.com/paulmach/orb"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/swing"
)

// addMoorings writes every mooring with what a list and a map show of it.
func addMoorings(s *office.Snapshot, f *features, b *Box) {
	h := s.Field.Harbor()
	for i := range h.Moorings {
		m := &h.Moorings[i]
		if !b.holds(m.Position) {
			continue
		}
		depth := s.Field.Depth(i)
		accuracy, _ := h.AccuracyOf(m)
		f.begin(m.Number)
		f.point(m.Position)
		f.properties()
		f.text("number", m.Number)
		f.text("area", m.Area)
		f.text("status", string(m.Status))
		f.boat(m.Boat)
		rode, _ := m.Tackle.RodeLength()
		f.metres("rode_m", rode)
		f.metres("depth_m", depth.DepthM)
		f.text("depth_from", string(depth.From))
		f.number("accuracy_m", float64(accuracy), 3)
		f.swing(s, i)
		f.close()
	}
}

// boat writes the properties of the boat that lies on a mooring; all null where none does.
func (f *features) boat(lies *geo.Boat) {
	boat := geo.Boat{}
	if lies != nil {
		boat = *lies
	}
	f.text("boat", boat.Name)
	f.text("boat_kind", boat.Kind)
	f.metres("loa_m", boat.LOA)
	f.metres("length_all_m", boat.LengthAll)
	f.metres("beam_m", boat.Beam)
	f.metres("draft_m", boat.Draft)
	f.metres("bow_height_m", boat.BowHeight)
}

// swing writes how a mooring swings and what the report finds of it.
func (f *features) swing(s *office.Snapshot, i int) {
	answer, found := s.Field.Swing(i), &s.Findings[i]
	f.radius(&answer)
	state := ""
	if answer.Radius.IsKnown() {
		state = string(s.Field.State(i))
	}
	f.text("state", state)
	f.number("conflicts", float64(found.Conflicts), 0)
	f.list("hazards", found.Hazards)
	f.list("troubles", found.Troubles)
	f.list("unknown", found.Unknown)
}

// radius writes the properties of a swing radius.
func (f *features) radius(a *swing.Answer) {
	f.metres("radius_m", a.Radius)
	f.text("radius_rule", string(a.Rule))
	f.flag("radius_bound", a.Bound)
	f.text("radius_basis", string(a.Basis))
}

// circleCorners is how many corners a circle that is drawn as a polygon has: its radius then falls short by 0.1 % at the middle of a side.
const circleCorners = 72

// addCircles writes every swing circle as a polygon.
func addCircles(s *office.Snapshot, f *features, _ *Box) {
	for i := range s.Field.Harbor().Moorings {
		m, answer := &s.Field.Harbor().Moorings[i], s.Field.Swing(i)
		radius, known := answer.Radius.Get()
		if !known {
			continue
		}
		ring := make(orb.Ring, 0, circleCorners+1)
		for c := range circleCorners {
			ring = append(ring, geo.Ahead(m.Position, -float64(c)*360/circleCorners, radius).Point())
		}
		f.begin(m.Number)
		f.multiPolygon(orb.MultiPolygon{{append(ring, ring[0])}})
		f.properties()
		f.text("number", m.Number)
		f.radius(&answer)
		f.text("state", string(s.Field.State(i)))
		f.number("centre_lon_deg", m.Position.LonDeg, 7)
		f.number("centre_lat_deg", m.Position.LatDeg, 7)
		f.number("corners", circleCorners, 0)
		f.close()
	}
}
