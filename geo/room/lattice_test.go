package room

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
)

// In a box whose sides are whole multiples of the spacing a square lattice fits with its corners in the corners; in a triangle a hexagonal
// one.
func TestTheLatticesThatFitExactlyAreFound(t *testing.T) {
	const spacingM = 20.0
	h := math.Sqrt(3) / 2
	for _, c := range []struct {
		name   string
		layout Layout
		ring   []float64 // of the anchors' water, in spacings
		want   int
	}{
		{"5 by 4 meshes", Square, []float64{0, 0, 5, 0, 5, 4, 0, 4}, 30},
		{"a triangle of 6 meshes to a side", Hexagonal, []float64{0, 0, 6, 0, 3, 6 * h}, 28},
		{"a parallelogram of 5 by 4 meshes", Hexagonal, []float64{0, 0, 5, 0, 7, 4 * h, 2, 4 * h}, 30},
		{"the same turned by 17 degrees", Hexagonal, turned(17, 0, 0, 5, 0, 7, 4*h, 2, 4*h), 30},
	} {
		corners := make([]float64, len(c.ring))
		for i := range corners {
			corners[i] = c.ring[i] * spacingM
		}
		water := zoneOf(true, -0.5, ringOf(corners...)) // half a metre of play: the search shifts by chance
		water.own = false
		p := boxed(&plan{zones: []zone{water}})
		p.low, p.high = p.low.Sub(geo.Offset{EastM: 0.5, NorthM: 0.5}), p.high.Plus(geo.Offset{EastM: 0.5, NorthM: 0.5})
		p.radius.fixedM = spacingM / 2
		y, b := p.site(context.Background(), []boatClass{{}}, nil)
		tt, layout := y.lattice(context.Background(), c.layout, &progress{})
		if len(layout) != c.want || b.max < c.want {
			t.Errorf("%s: %d, want %d; bound %d; %+v", c.name, len(layout), c.want, b.max, tt)
		}
	}
}

func turned(byDeg float64, corners ...float64) []float64 {
	sin, cos := math.Sincos(byDeg * math.Pi / 180)
	for i := 0; i < len(corners); i += 2 {
		corners[i], corners[i+1] = corners[i]*cos-corners[i+1]*sin, corners[i]*sin+corners[i+1]*cos
	}
	return corners
}

func TestALatticeVisitsEveryOfItsPlacesInABox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		layout := rapid.SampledFrom([]Layout{Hexagonal, Square}).Draw(t, "layout")
		l := newLattice(layout, geo.Offset{EastM: f(-50, 50, "e"), NorthM: f(-50, 50, "n")}, f(5, 20, "spacing"), f(0, 90, "rows"),
			f(0, 1, "along"), f(0, 1, "across"))
		low, high := geo.Offset{EastM: -60, NorthM: -40}, geo.Offset{EastM: 70, NorthM: 30}
		const many, rounding = 60, 1e-6 // places on the very edge may count or not
		least, most := 0, 0
		for i := -many; i <= many; i++ {
			for j := -many; j <= many; j++ {
				at := l.origin.Plus(l.along.Times(float64(i))).Plus(l.across.Times(float64(j)))
				depthM := min(at.EastM-low.EastM, high.EastM-at.EastM, at.NorthM-low.NorthM, high.NorthM-at.NorthM)
				if depthM > rounding {
					least++
				}
				if depthM > -rounding {
					most++
				}
			}
		}
		got := 0
		l.visit(box{low, high}, func(int, geo.Offset) { got++ })
		if got < least || got > most {
			t.Fatalf("%d places, want %d to %d", got, least, most)
		}
	})
}
