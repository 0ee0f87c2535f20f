package bed_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/bed"
	"swingroom/geo/shape"
)

func TestAConeHasRoundDepthLines(t *testing.T) {
	top := at(200, 200)
	b := build(t, surveyed(scattered(20000, 400, 5), func(p geo.Offset) float64 {
		return float64(p.Sub(top).Length()) / 10
	}), geo.Shoreline{}, 100)
	lines := b.Lines([]geo.Metres{10, 5, 5, geo.Metres(math.NaN())})
	if len(lines) != 2 || lines[0].Depth != 5 || lines[1].Depth != 10 {
		t.Fatalf("%d lines, want the rings at 5 and 10 m", len(lines))
	}
	for _, l := range lines {
		if l.Points[0] != l.Points[len(l.Points)-1] {
			t.Errorf("the ring at %g m is open", l.Depth)
		}
		for _, p := range l.Points {
			if r := float64(p.Sub(top).Length()); math.Abs(r-10*float64(l.Depth)) > 0.5 /* m: facets of a cone */ {
				t.Fatalf("depth line %g m at radius %g", l.Depth, r)
			}
		}
		// Shallow within, so with deep water on its left the ring runs clockwise.
		if area, want := areaM2(l.Points), -math.Pi*math.Pow(10*float64(l.Depth), 2); math.Abs(area-want) > -0.005*want /* facets */ {
			t.Errorf("the ring at %g m holds %g m², want %g", l.Depth, area, want)
		}
	}
}

// bumpy draws a bed of depths from 0 to 8 m, in whole metres as often as not, so that soundings lie right at the limits.
func bumpy(t *rapid.T) *bed.Bed {
	seed := rapid.Uint64().Draw(t, "seed")
	r := rand.New(rand.NewPCG(seed, 7))
	places := scattered(rapid.IntRange(5, 200).Draw(t, "soundings"), 100, seed)
	if rapid.Bool().Draw(t, "grid") {
		for i := range places {
			places[i] = at(math.Round(places[i].EastM/8)*8, math.Round(places[i].NorthM/8)*8)
		}
	}
	whole := rapid.Bool().Draw(t, "whole metres")
	shore := geo.Shoreline{}
	if rapid.Bool().Draw(t, "land") {
		shore.Land = orb.MultiPolygon{box(30, -10, 33, 60), box(60, 60, 66, 66)}
	}
	b, err := bed.New(surveyed(places, func(geo.Offset) float64 {
		d := r.Float64() * 8
		if whole {
			d = math.Floor(d)
		}
		return d
	}), shore, frame, geo.Metres(rapid.SampledFrom([]float64{12, 10000}).Draw(t, "reach")))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func covered(b *bed.Bed) []bed.Triangle {
	var all []bed.Triangle
	for _, t := range b.Triangles() {
		if !t.Far && !t.Off {
			all = append(all, t)
		}
	}
	return all
}

func TestDepthLinesLieAtTheirDepthWithDeepWaterOnTheLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := bumpy(t)
		for _, l := range b.Lines([]geo.Metres{2, 4, 6}) {
			if len(l.Points) < 2 {
				t.Fatalf("a line of %d places", len(l.Points))
			}
			for i := 1; i < len(l.Points); i++ {
				p, q := l.Points[i-1], l.Points[i]
				middle := p.Plus(q).Times(0.5)
				for _, on := range []geo.Offset{p, middle} {
					if d := surface(b, on); !slices.ContainsFunc(d, func(d float64) bool { return math.Abs(d-float64(l.Depth)) < 1e-6 }) {
						t.Fatalf("the line at %g m passes depths of %v", l.Depth, d)
					}
				}
				if float64(q.Sub(p).Length()) < 0.01 {
					continue // too short to step aside from
				}
				left := at(p.NorthM-q.NorthM, q.EastM-p.EastM).Times(1e-4 / float64(q.Sub(p).Length()))
				deep, shallow := surface(b, middle.Plus(left)), surface(b, middle.Sub(left))
				if len(deep) > 0 && slices.Max(deep) < float64(l.Depth)-1e-9 ||
					len(shallow) > 0 && slices.Min(shallow) > float64(l.Depth)+1e-9 {
					t.Fatalf("left of the line at %g m the bed has %v, right of it %v", l.Depth, deep, shallow)
				}
			}
		}
	})
}

// surface is the depth by barycentric coordinates on each covered triangle that has a place, which on an edge are two.
func surface(b *bed.Bed, p geo.Offset) (depthsM []float64) {
	for _, t := range covered(b) {
		a, c, d := t.Corners[0], t.Corners[1], t.Corners[2]
		whole := cross(a.At, c.At, d.At)
		u, v, w := cross(c.At, d.At, p)/whole, cross(d.At, a.At, p)/whole, cross(a.At, c.At, p)/whole
		if min(u, v, w) > -1e-9 {
			depthsM = append(depthsM, u*a.DepthM+v*c.DepthM+w*d.DepthM)
		}
	}
	return depthsM
}

func TestDepthLinesLeaveNoCrossingOut(t *testing.T) {
	// A line's length is the sum of its pieces, triangle by triangle.
	rapid.Check(t, func(t *rapid.T) {
		b := bumpy(t)
		const limitM = 3.5 // no whole metre: no ridge or flat lies right at it
		var want, got float64
		for _, triangle := range covered(b) {
			if part := clipDepth(clipDepth(triangle.Corners[:], limitM, false), limitM, true); len(part) == 2 {
				want += float64(part[1].At.Sub(part[0].At).Length())
			}
		}
		for _, l := range b.Lines([]geo.Metres{limitM}) {
			for i := 1; i < len(l.Points); i++ {
				got += float64(l.Points[i].Sub(l.Points[i-1]).Length())
			}
		}
		if math.Abs(got-want) > 1e-6 {
			t.Fatalf("lines of %g m, want %g m", got, want)
		}
	})
}

func TestBandsHaveTheAreaOfTheirTriangles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := bumpy(t)
		limits := []geo.Metres{2, 4, 6}
		got := map[geo.Maybe[geo.Metres]]float64{}
		for _, band := range b.Bands(limits) {
			got[band.From] += bandAreaM2(band)
		}
		var all, bands float64
		for i := range len(limits) + 1 {
			var from geo.Maybe[geo.Metres]
			if i > 0 {
				from = geo.Known(limits[i-1])
			}
			var want float64
			for _, triangle := range covered(b) {
				part := triangle.Corners[:]
				if i > 0 {
					part = clipDepth(part, float64(limits[i-1]), true)
				}
				if i < len(limits) {
					part = clipDepth(part, float64(limits[i]), false)
				}
				if flat := triangle.Corners; i > 0 && flat[0].DepthM == float64(limits[i-1]) && flat[1].DepthM == flat[0].DepthM &&
					flat[2].DepthM == flat[0].DepthM {
					part = flat[:] // right at a limit counts as deep
				} else if i < len(limits) && flat[0].DepthM == float64(limits[i]) && flat[1].DepthM == flat[0].DepthM &&
					flat[2].DepthM == flat[0].DepthM {
					part = nil
				}
				want += cornersAreaM2(part)
			}
			if math.Abs(got[from]-want) > 1e-5 /* m²: slivers that are left out */ {
				t.Fatalf("the band from %v has %g m², want %g", from, got[from], want)
			}
			bands += got[from]
		}
		for _, triangle := range covered(b) {
			all += cornersAreaM2(triangle.Corners[:])
		}
		if math.Abs(all-bands) > 1e-5 {
			t.Fatalf("the bands have %g m², the cover %g m²", bands, all)
		}
	})
}

func cornersAreaM2(polygon []bed.Corner) float64 {
	var twice float64
	for i := 2; i < len(polygon); i++ {
		twice += cross(polygon[0].At, polygon[i-1].At, polygon[i].At)
	}
	return twice / 2
}

func bandAreaM2(band bed.Band) float64 {
	var sum float64
	for _, polygon := range band.Polygons {
		for _, ring := range polygon {
			sum += areaM2(ring)
		}
	}
	return sum
}

func areaM2(ring []geo.Offset) float64 {
	var twice float64
	for i := 1; i < len(ring); i++ {
		twice += cross(ring[0], ring[i-1], ring[i])
	}
	return twice / 2
}

func TestBandsAreProperPolygons(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, band := range bumpy(t).Bands([]geo.Metres{2, 4, 6}) {
			for _, polygon := range band.Polygons {
				for i, ring := range polygon {
					if ring[0] != ring[len(ring)-1] || len(ring) < 4 {
						t.Fatalf("ring %d of a polygon is open or has but %d places", i, len(ring))
					}
					if (areaM2(ring) > 0) != (i == 0) {
						t.Fatalf("ring %d of a polygon has area %g", i, areaM2(ring))
					}
					seen := map[geo.Offset]bool{}
					for _, p := range ring[1:] {
						if seen[p] {
							t.Fatalf("a ring touches itself at %v", p)
						}
						seen[p] = true
					}
				}
			}
		}
	})
}

func TestNeighbouringBandsShareTheirBorderToTheBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := bumpy(t)
		type side struct{ from, to geo.Offset }
		single := map[side]bool{}
		for _, band := range b.Bands([]geo.Metres{2, 4, 6}) {
			for _, polygon := range band.Polygons {
				for _, ring := range polygon {
					for i := 1; i < len(ring); i++ {
						if back := (side{ring[i], ring[i-1]}); single[back] {
							delete(single, back)
						} else {
							single[side{ring[i-1], ring[i]}] = true
						}
					}
				}
			}
		}
		// What has no neighbour lies on the outline of the cover.
		var outline []side
		for _, band := range b.Bands(nil) {
			for _, polygon := range band.Polygons {
				for _, ring := range polygon {
					for i := 1; i < len(ring); i++ {
						outline = append(outline, side{ring[i-1], ring[i]})
					}
				}
			}
		}
		for s := range single {
			middle, nearest := s.from.Plus(s.to).Times(0.5), math.Inf(1)
			for _, o := range outline {
				nearest = min(nearest, float64(shape.ClosestOn(o.from, o.to, middle).Sub(middle).Length()))
			}
			if nearest > 1e-4 /* m: the width of slivers that are left out */ {
				t.Fatalf("the side %v is no neighbour's and %g m from the outline", s, nearest)
			}
		}
	})
}

func TestARidgeAtALimitHasNoLineAndAFlatHasOne(t *testing.T) {
	// Depths by row from south to north; the line at 2 m.
	for _, tc := range []struct {
		name   string
		depths []float64
		lines  int
		bands  int // of water from 2 m on
	}{
		{"a ridge that reaches 2 m", []float64{5, 2, 5}, 0, 1},
		{"a trough down to 2 m", []float64{1, 2, 1}, 0, 0},
		{"a step down through 2 m", []float64{1, 2, 5}, 1, 1},
		{"a flat of 2 m below shallow water", []float64{1, 2, 2}, 1, 1},
		{"a flat of 2 m above deep water", []float64{2, 2, 5}, 0, 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var places []geo.Offset
			for i := range tc.depths {
				for j := range 5 {
					places = append(places, at(float64(j)*10, float64(i)*10))
				}
			}
			b := build(t, surveyed(places, func(p geo.Offset) float64 {
				return tc.depths[int(math.Round(p.NorthM/10))]
			}), geo.Shoreline{}, 20)
			if lines := b.Lines([]geo.Metres{2}); len(lines) != tc.lines {
				t.Errorf("%d lines, want %d: %v", len(lines), tc.lines, lines)
			}
			deep := 0
			for _, band := range b.Bands([]geo.Metres{2}) {
				if band.From.IsKnown() {
					deep += len(band.Polygons)
				}
			}
			if deep != tc.bands {
				t.Errorf("%d polygons from 2 m on, want %d", deep, tc.bands)
			}
		})
	}
}

func TestABedWithoutASurfaceDrawsNothing(t *testing.T) {
	for _, places := range [][]geo.Offset{nil, {at(0, 0)}, {at(0, 0), at(10, 0), at(20, 0)}} {
		b := build(t, surveyed(places, slope), geo.Shoreline{}, 100)
		if l, bands := b.Lines([]geo.Metres{5}), b.Bands([]geo.Metres{5}); len(l) != 0 || len(bands) != 0 {
			t.Errorf("%d soundings: %v, %v", len(places), l, bands)
		}
	}
}
