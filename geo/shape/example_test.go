package shape_test

import (
	"fmt"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// Does a place lie inside a polygon, how far is the nearest edge of it, and does a line cross one?
func Example() {
	frame := geo.NewFrame(geo.Position{LatDeg: 44.2, LonDeg: -41.5})
	var ring orb.Ring
	for _, corner := range []geo.Offset{{}, {EastM: 100}, {EastM: 100, NorthM: 80}, {NorthM: 80}, {}} {
		ring = append(ring, frame.Position(corner).Point())
	}
	const channel = 7 // the caller's own number for it
	var edges shape.Edges
	edges.AddPolygons(frame, orb.MultiPolygon{{ring}}, channel)

	at := geo.Offset{EastM: 30, NorthM: 10}
	fmt.Println("inside:", edges.Inside(at, shape.AnyFeature))
	near, _ := edges.Nearest(at, 50, channel)
	fmt.Printf("nearest edge: %.0f m, at %.0f m east and %.0f m north\n", near.DistanceM, near.At.EastM, near.At.NorthM)
	fmt.Println("a line to 30 m south crosses:", edges.Crosses(at, geo.Offset{EastM: 30, NorthM: -30}))
	// Output:
	// inside: true
	// nearest edge: 10 m, at 30 m east and 0 m north
	// a line to 30 m south crosses: true
}
