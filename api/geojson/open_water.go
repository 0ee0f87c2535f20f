package geojson

import (
	"fmt"

	"github.com/paulmach/orb"

	"swingroom/api/office"
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
