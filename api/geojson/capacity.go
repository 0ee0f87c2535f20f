package geojson

import (
	"fmt"

	"swingroom/geo/room"
)

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
