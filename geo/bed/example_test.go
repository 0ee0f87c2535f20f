package bed_test

import (
	"errors"
	"fmt"

	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
	"swingroom/geo/bed"
)

// fourSoundings are the corners of a square of 100 m, deeper toward the east.
func fourSoundings() (*geom.MultiPoint, geo.Frame) {
	frame := geo.NewFrame(geo.Position{LatDeg: 44.2, LonDeg: -41.5})
	var flat []float64
	for _, s := range []struct{ eastM, northM, depthM float64 }{{0, 0, 2}, {100, 0, 6}, {100, 100, 6}, {0, 100, 2}} {
		p := frame.Position(geo.Offset{EastM: s.eastM, NorthM: s.northM})
		flat = append(flat, p.LonDeg, p.LatDeg, s.depthM)
	}
	return geom.NewMultiPointFlat(geom.XYZ, flat), frame
}

func ExampleBed_Depth() {
	soundings, frame := fourSoundings()
	b, err := bed.New(soundings, geo.Shoreline{}, frame, 75)
	if err != nil {
		fmt.Println(err)
		return
	}
	depth, _ := b.Depth(geo.Offset{EastM: 25, NorthM: 50})
	fmt.Printf("%.2f m below chart datum\n", depth)
	_, err = b.Depth(geo.Offset{EastM: -5, NorthM: 50})
	fmt.Println(err, errors.Is(err, geo.ErrUnknown))
	// Output:
	// 3.00 m below chart datum
	// depth unknown: outside the soundings true
}

func ExampleBed_Shallowest() {
	soundings, frame := fourSoundings()
	b, err := bed.New(soundings, geo.Shoreline{}, frame, 75)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := b.Shallowest(geo.Offset{EastM: 50, NorthM: 50}, 25)
	fmt.Printf("%.2f m, at %.0f m east; the whole circle: %v\n", s.Depth.Or(0), s.At.EastM, s.Whole)
	s = b.Shallowest(geo.Offset{EastM: 20, NorthM: 50}, 25)
	fmt.Printf("%.2f m; the whole circle: %v, part is %s\n", s.Depth.Or(0), s.Whole, s.Why)
	// Output:
	// 3.00 m, at 25 m east; the whole circle: true
	// 2.00 m; the whole circle: false, part is outside the soundings
}

func ExampleBed_Lines() {
	soundings, frame := fourSoundings()
	b, err := bed.New(soundings, geo.Shoreline{}, frame, 75)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range b.Lines([]geo.Metres{3, 5}) {
		first, last := l.Points[0], l.Points[len(l.Points)-1]
		fmt.Printf("%g m: from %.0f, %.0f to %.0f, %.0f\n", l.Depth, first.EastM, first.NorthM, last.EastM, last.NorthM)
	}
	// Output:
	// 3 m: from 25, 100 to 25, 0
	// 5 m: from 75, 100 to 75, 0
}
