package geojson

import (
	"swingroom/api/office"
	"swingroom/geo"
)

// Found is the answer to a search as points.
func Found(found *office.Found) []byte {
	f := newFeatures(nil)
	for _, m := range found.Results {
		f.begin(m.Number)
		f.point(geo.Position{LatDeg: m.LatDeg, LonDeg: m.LonDeg})
		f.properties()
		f.text("number", m.Number)
		f.text("boat", m.Boat)
		f.text("area", m.Area)
		f.maybe("distance_m", m.DistanceM, 2)
		f.maybe("bearing_true_deg", m.BearingTrueDeg, 1)
		f.text("position_ddm", m.PositionDDM)
		f.close()
	}
	return f.end()
}
