package bed

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	geom "github.com/twpayne/go-geom"
	"pgregory.net/rapid"

	"swingroom/geo"
)

var meshFrame = geo.NewFrame(geo.Position{LatDeg: 44.2, LonDeg: -41.5})

// hardPlaces are soundings as they come in practice, where triangulation goes wrong if it goes wrong anywhere.
func hardPlaces(r *rand.Rand) map[string][]geo.Position {
	at := func(eastM, northM float64) geo.Position {
		return meshFrame.Position(geo.Offset{EastM: eastM, NorthM: northM})
	}
	rounded := func(p geo.Position, parts float64) geo.Position {
		return geo.Position{LatDeg: math.Round(p.LatDeg*parts) / parts, LonDeg: math.Round(p.LonDeg*parts) / parts}
	}
	all := map[string][]geo.Position{}
	add := func(name string, p geo.Position) { all[name] = append(all[name], p) }
	for i := range 100 {
		for j := range 100 {
			add("a grid by degrees", geo.Position{LatDeg: 44.2 + float64(i)*1e-4, LonDeg: -41.5 + float64(j)*1e-4})
			add("a grid by metres", at(float64(i)*10, float64(j)*10))
		}
	}
	for line := range 10 {
		turnRad := r.Float64() * 2 * math.Pi
		for i := range 1000 {
			sin, cos := math.Sincos(turnRad)
			add("survey lines at 0.5 m, seven decimals", rounded(at(float64(line)*30+float64(i)/2*cos, float64(i)/2*sin), 1e7))
		}
	}
	for line := range 4 {
		for i := range 2500 {
			add("rows along parallels, six decimals", rounded(geo.Position{LatDeg: 44.2 + float64(line)*0.01,
				LonDeg: -41.5 + float64(i)*4e-5}, 1e6))
		}
	}
	for i := range 40 {
		for j := range 180 {
			sin, cos := math.Sincos(float64(j) * math.Pi / 90)
			add("rings about one place", at(float64(i)*7*cos, float64(i)*7*sin))
		}
	}
	for range 100 {
		east, north := r.Float64()*20000, r.Float64()*20000
		for range 100 {
			add("clusters at about the width of one place", at(east+float64(r.IntN(20))*0.006, north+float64(r.IntN(20))*0.006))
		}
	}
	for range 10000 {
		add("a strip 5 cm wide", at(r.Float64()*30000, r.Float64()*0.05))
		add("scattered", at(r.Float64()*3000, r.Float64()*3000))
	}
	for j := range 10000 {
		sin, cos := math.Sincos(float64(j) / 10000 * 2 * math.Pi)
		add("one great circle", at(30000*cos, 30000*sin))
	}
	return all
}

func bedOf(t testing.TB, places []geo.Position, depthM func() float64) *Bed {
	t.Helper()
	var flat []float64
	for _, p := range places {
		flat = append(flat, p.LonDeg, p.LatDeg, depthM())
	}
	b, err := New(geom.NewMultiPointFlat(geom.XYZ, flat), geo.Shoreline{}, meshFrame, 1e6)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// fault finds what a triangulation must not have: a sounding left out, a triangle turned over, a cover that is not the hull.
func (b *Bed) fault() error {
	m := &b.mesh
	for i, e := range m.edgeAt {
		if e < 0 {
			return fmt.Errorf("sounding %d of %d is no corner", i, len(m.edgeAt))
		}
	}
	var triangles, hull float64
	for e := int32(0); int(e) < len(m.corner); e += 3 {
		twice := orient(m.from(e), m.to(e), m.to(next(e)))
		if twice <= 0 {
			return fmt.Errorf("triangle %d has area %g", e/3, twice/2)
		}
		triangles += twice
	}
	for _, e := range m.hull {
		hull += orient(m.sounds[0].at, m.from(e), m.to(e))
	}
	if math.Abs(triangles-hull) > 1e-9*hull+1e-9 /* rounding of sums */ {
		return fmt.Errorf("triangles %g m², hull %g m²", triangles/2, hull/2)
	}
	// Euler: f = 2n - 2 - h for triangles on n corners, h of them on the hull.
	if want := 2*len(m.sounds) - 2 - len(m.hull); len(m.gap) != want {
		return fmt.Errorf("%d triangles, want %d", len(m.gap), want)
	}
	return nil
}

func TestEverySoundingIsACornerOfASoundMesh(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for name, places := range hardPlaces(r) {
		t.Run(name, func(t *testing.T) {
			b := bedOf(t, places, func() float64 { return r.Float64() * 10 })
			if b.gap != "" {
				t.Fatal(b.gap)
			}
			if err := b.fault(); err != nil {
				t.Error(err)
			}
			for i, s := range b.sounds {
				if i%97 == 0 {
					d, err := b.Depth(s.at)
					if unknown := (*Unknown)(nil); errors.As(err, &unknown) && unknown.Gap == Outside && b.peeled(i) {
						continue
					}
					if err != nil || math.Abs(float64(d)-s.depthM) > 1e-6 /* m: steep slivers magnify rounding */ {
						t.Fatalf("at the sounding of %g m the bed has %v, %v", s.depthM, d, err)
					}
				}
			}
		})
	}
}

// peeled reports a sounding that was a corner of a sliver at the edge.
func (b *Bed) peeled(i int) bool {
	for e, corner := range b.mesh.corner {
		if corner == int32(i) && b.mesh.gap[e/3] == gapSliver {
			return true
		}
	}
	return false
}

func TestSmallMeshesAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Few values, so that duplicates, rows and cocircular places abound.
		value := rapid.SampledFrom([]float64{0, 10, 20, 30, 40, 0.003, 0.012, 10.004, 20 + 1e-9})
		n := rapid.IntRange(1, 40).Draw(t, "soundings")
		var flat []float64
		for range n {
			p := meshFrame.Position(geo.Offset{EastM: value.Draw(t, "east"), NorthM: value.Draw(t, "north")})
			flat = append(flat, p.LonDeg, p.LatDeg, value.Draw(t, "depth"))
		}
		b, err := New(geom.NewMultiPointFlat(geom.XYZ, flat), geo.Shoreline{}, meshFrame, 1e6)
		if err != nil {
			t.Fatal(err)
		}
		if b.gap != "" {
			if b.gap != Collinear {
				t.Fatal(b.gap)
			}
			return
		}
		if err := b.fault(); err != nil {
			t.Fatal(err)
		}
	})
}

func TestThinKeepsTheShallowestOfOnePlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "soundings")
		coordinate := rapid.Float64Range(-0.05, 0.05)
		all := make([]sounding, n)
		for i := range all {
			all[i] = sounding{geo.Offset{EastM: coordinate.Draw(t, "east"), NorthM: coordinate.Draw(t, "north")},
				float64(rapid.IntRange(-2, 9).Draw(t, "depth"))}
		}
		kept := keepShallowest(slices.Clone(all))
		for i, s := range kept {
			for _, o := range kept[:i] {
				if d := float64(s.at.Sub(o.at).Length()); d < sameM {
					t.Fatalf("two are kept %g m apart", d)
				}
			}
		}
		for _, s := range all {
			if !slices.ContainsFunc(kept, func(k sounding) bool {
				return k.depthM <= s.depthM && float64(k.at.Sub(s.at).Length()) < 3*sameM
			}) {
				t.Fatalf("%v has gone and no shallower one stands for it", s)
			}
		}
		rand.Shuffle(n, func(i, j int) { all[i], all[j] = all[j], all[i] })
		if !slices.Equal(keepShallowest(all), kept) {
			t.Fatal("another order keeps others")
		}
	})
}

func TestNearestIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		sounds := make([]sounding, rapid.IntRange(1, 500).Draw(t, "soundings"))
		grid := rapid.Bool().Draw(t, "grid")
		for i := range sounds {
			sounds[i] = sounding{geo.Offset{EastM: r.Float64() * 100, NorthM: r.Float64() * 100}, float64(i)}
			if grid {
				sounds[i].at = geo.Offset{EastM: float64(r.IntN(10)), NorthM: float64(r.IntN(3))}
			}
		}
		tree := newKDTree(slices.Clone(sounds))
		p := geo.Offset{EastM: r.Float64()*150 - 25, NorthM: r.Float64()*150 - 25}
		distanceM := func(s sounding) float64 { return float64(s.at.Sub(p).Length()) }
		want := distanceM(slices.MinFunc(sounds, func(a, b sounding) int { return cmp.Compare(distanceM(a), distanceM(b)) }))
		i, got := tree.nearest(p)
		if math.Abs(got-want) > 1e-12*want || math.Abs(distanceM(tree[i])-want) > 1e-12*want {
			t.Fatalf("nearest at %g m, want %g", got, want)
		}
		radiusM := r.Float64() * 30
		var within, all []sounding
		tree.within(p, radiusM, func(s sounding) { within = append(within, s) })
		for _, s := range sounds {
			if d := s.at.Sub(p); d.EastM*d.EastM+d.NorthM*d.NorthM <= radiusM*radiusM {
				all = append(all, s)
			}
		}
		slices.SortFunc(within, shallower)
		if slices.SortFunc(all, shallower); !slices.Equal(within, all) {
			t.Fatalf("within %g m: %v, want %v", radiusM, within, all)
		}
	})
}

func TestFarthestFromTheCornersIsTheFarthest(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 300 {
		m := mesh{corner: []int32{0, 1, 2}, sounds: make([]sounding, 3)}
		for i := range m.sounds {
			m.sounds[i].at = geo.Offset{EastM: r.Float64() * 10, NorthM: r.Float64() * r.Float64() * 10}
		}
		a, b, c := m.sounds[0].at, m.sounds[1].at, m.sounds[2].at
		got, most := m.farthestM(0), 0.0
		const steps = 150
		for i := range steps + 1 {
			for j := range steps + 1 - i {
				u, v := float64(i)/steps, float64(j)/steps
				p := a.Times(u).Plus(b.Times(v)).Plus(c.Times(1 - u - v))
				most = max(most, float64(min(p.Sub(a).Length(), p.Sub(b).Length(), p.Sub(c).Length())))
			}
		}
		side := float64(max(b.Sub(a).Length(), c.Sub(b).Length(), a.Sub(c).Length()))
		if most > got+1e-9 || got > most+side/steps /* the samples' spacing */ {
			t.Errorf("%v %v %v: farthest %g, sampled %g", a, b, c, got, most)
		}
	}
}
