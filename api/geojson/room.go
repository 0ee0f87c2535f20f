package geojson

import (
	"fmt"

	"github.com/paulmach/orb"

	"swingroom/api/office"
	"swingroom/geo/room"
)

// OpenWater is the whole water in which the anchor of one more boat may stand, a feature a polygon.
func OpenWater(w *office.OpenWater) []byte {
	f := newFeatures(nil)
	for i, polygon := range w.Polygons {
		shape := make(orb.Polygon, len(polygon))
		for k, ring := range polygon {
			for _, at := range ring {
				shape[k] = append(shape[k], w.Frame.Position(at).Point())
			}
		}
		f.begin(fmt.Sprint("water ", i+1))
		f.multiPolygon(orb.MultiPolygon{shape})
		f.properties()
		f.number("area_m2", w.AreaM2, 2)
		f.number("polygons_m2", w.PolygonsM2, 2)
		f.number("inside_m", w.InsideM, 4)
		f.close()
	}
	return f.end()
}

// Capacity is the places of a layout as points, for the work boat.
func Capacity(c *room.Capacity) []byte {
	f := newFeatures(nil)
	for i, p := range c.Positions {
		f.begin(fmt.Sprint("place ", i+1))
		f.point(p)
		f.properties()
		f.number("place", float64(i+1), 0)
		f.text("position_ddm", p.DDM())
		f.close()
	}
	return f.end()
}
