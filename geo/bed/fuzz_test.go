package bed

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
)

// FuzzBed reads six bytes a sounding: east and north in steps of 1 m or 1 mm, and the depth in decimetres.
func FuzzBed(f *testing.F) {
	f.Add([]byte{}, false)
	f.Add([]byte{0, 0, 0, 0, 10, 0, 9, 0, 0, 0, 20, 0, 0, 0, 9, 0, 30, 0, 9, 0, 9, 0, 40, 0}, false)
	f.Add([]byte{0, 0, 0, 0, 10, 0, 3, 0, 0, 0, 20, 0, 0, 0, 9, 0, 30, 0, 9, 0, 9, 0, 40, 0}, true)
	f.Fuzz(func(t *testing.T, raw []byte, fine bool) {
		stepM := 1.0
		if fine {
			stepM = 0.001
		}
		var flat []float64
		for ; len(raw) >= 6 && len(flat) < 3*200; raw = raw[6:] {
			number := func(i int) float64 { return float64(int16(binary.LittleEndian.Uint16(raw[i:]))) }
			p := meshFrame.Position(geo.Offset{EastM: number(0) * stepM, NorthM: number(2) * stepM})
			flat = append(flat, p.LonDeg, p.LatDeg, number(4)/10)
		}
		var triangle orb.Ring
		for _, corner := range []geo.Offset{{EastM: 2, NorthM: 2}, {EastM: 7, NorthM: 2}, {EastM: 2, NorthM: 7}, {EastM: 2, NorthM: 2}} {
			triangle = append(triangle, meshFrame.Position(corner).Point())
		}
		b, err := New(geom.NewMultiPointFlat(geom.XYZ, flat), geo.Shoreline{Land: orb.MultiPolygon{{triangle}}}, meshFrame, 100)
		if err != nil {
			t.Fatal(err)
		}
		if b.gap == "" {
			if err := b.fault(); err != nil {
				t.Fatal(err)
			}
		}
		for _, s := range b.sounds {
			circle := b.Shallowest(s.at, 5)
			if depth, known := circle.Depth.Get(); known && float64(depth) > s.depthM {
				t.Fatalf("a circle on the sounding of %g m has %g m", s.depthM, depth)
			} else if !known && circle.Gap != OnLand {
				t.Fatalf("a circle on a sounding has no depth: %+v", circle)
			}
			depth, err := b.Depth(s.at)
			if circle.Whole && err != nil && !b.OnLand(s.at) {
				t.Fatalf("the circle is whole, but its middle: %v", err)
			}
			if err == nil && math.IsNaN(float64(depth)) {
				t.Fatal("a depth that is no number")
			}
		}
		b.Lines([]geo.Metres{0, 1, 2})
		b.Bands([]geo.Metres{0, 1, 2})
	})
}
