package swing_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// failer is a test, a benchmark or a property.
type failer interface {
	Helper()
	Fatal(args ...any)
}

// moored is a boat on chain and a nylon pennant in 4 m of water.
func moored(t failer, number string, kind string, loa, draft, ground, top float64) *swing.Craft {
	t.Helper()
	known := func(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }
	m := geo.Mooring{Number: number, Status: geo.Occupied,
		Boat: &geo.Boat{Kind: kind, LOA: known(loa), Beam: known(loa / 3), Draft: known(draft), BowHeight: known(1.1)},
		Tackle: geo.Tackle{{Kind: geo.GroundChain, Length: known(ground), Size: known(0.016)}, {Kind: geo.TopChain, Length: known(top), Size: known(0.013)},
			{Kind: geo.Buoy, Size: known(0.5)}, {Kind: geo.Pennant, Length: known(4), Size: known(0.019), Material: "nylon"}}}
	c, err := swing.NewCraft(swing.Input{Mooring: &m, Depth: known(4), Levels: geo.Known(levels)})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

var levels = geo.Levels{Low: -0.3, High: 3.5}

func poses(t failer, s *swing.Sweep, c *swing.Craft, east, north float64) *swing.Poses {
	t.Helper()
	p, err := s.Poses(c, geo.Offset{EastM: east, NorthM: north})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func design(streamKn, streamDeg, scatterDeg float64) geo.Design {
	d := geo.Design{Wind: geo.Known(geo.Knots(36)), ScatterDeg: geo.Known(scatterDeg)}
	if streamKn > 0 {
		d.Stream, d.StreamDeg = geo.Known(geo.Knots(streamKn)), geo.Known(streamDeg)
	}
	return d
}

// Two boats alike, and no scatter: whatever the weather they lie alike, so the gap is that of one hull and the same hull shifted by the anchors' distance, in some direction.
func TestAlikeBoatsKeepTheirAnchorsDistance(t *testing.T) {
	s := swing.NewSweep(design(1.5, 30, 0), levels)
	a, b := moored(t, "1", "sloop", 10, 1.8, 9, 6), moored(t, "2", "sloop", 10, 1.8, 9, 6)
	for _, apart := range []float64{9, 14, 20, 33} {
		want := math.Inf(1)
		for deg := 0.0; deg < 360; deg++ {
			want = min(want, swing.HullGap(swing.Outline(geo.Offset{}, deg, a.Length, a.Beam), swing.Outline(geo.Offset{EastM: apart}, deg, a.Length, a.Beam)))
		}
		c, ok, err := s.Closest(poses(t, s, a, 0, 0), poses(t, s, b, apart, 0))
		if err != nil || !ok || math.Abs(c.GapM-want) > 0.02 {
			t.Errorf("%g m apart: gap %.3f m in %+v, want %.3f m", apart, c.GapM, c.Weather, want)
		}
	}
}

// What tells boats apart without a sweep has to do so for boats that lie well apart, and may not for those that do not.
func TestKeepsTellsPlainCasesApart(t *testing.T) {
	s := swing.NewSweep(design(1.2, 20, 15), levels)
	a, b := moored(t, "1", "sloop", 10, 1.8, 9, 6), moored(t, "2", "work boat", 9, 0.7, 10, 7)
	for _, c := range []struct {
		apartM float64
		want   bool
	}{{20, false}, {60, true}} {
		if got := s.Keeps(poses(t, s, a, 0, 0), poses(t, s, b, c.apartM, 0), 1); got != c.want {
			t.Errorf("%g m apart: told apart %v, want %v", c.apartM, got, c.want)
		}
	}
}

// A long line to windward of a short one: what must be found is about the difference of the reaches less.
func TestALongLineComesDownOnAShortOne(t *testing.T) {
	s := swing.NewSweep(design(0, 0, 0), levels)
	long, short := moored(t, "1", "sloop", 10, 1.8, 22, 10), moored(t, "2", "sloop", 10, 1.8, 7, 5)
	c, ok, err := s.Closest(poses(t, s, long, 0, 0), poses(t, s, short, 30, 0))
	if err != nil || !ok {
		t.Fatal("no case")
	}
	if from := math.Abs(math.Remainder(c.Weather.WindFromDeg-270, 360)); from > 25 {
		t.Errorf("they come closest in a wind from %.0f°, want about west", c.Weather.WindFromDeg)
	}
	ma, _ := long.At(c.Weather.Level)
	mb, _ := short.At(c.Weather.Level)
	la, _ := ma.Lie(c.Weather)
	lb, _ := mb.Lie(c.Weather)
	inLine := 30 - float64(la.Reach) - 10 + float64(lb.Reach)
	if c.GapM > inLine+0.1 {
		t.Errorf("gap %.2f m; in line with the wind it is no more than %.2f m", c.GapM, inLine)
	}
}

// The sweep against plain sampling of every case: nothing that it passes over is closer than what it finds, but for what the curve of the reach rounds.
func TestClosestIsTheSmallestOfAllCases(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		d := design(draw(0, 2, "stream"), draw(0, 360, "set"), draw(0, 30, "scatter"))
		s := swing.NewSweep(d, levels)
		kinds := rapid.SampledFrom([]string{"sloop", "work boat"})
		one := func(number string) *swing.Craft {
			return moored(t, number, kinds.Draw(t, "kind"+number), draw(5, 14, "loa"+number), draw(0.4, 2.2, "draft"+number), draw(6, 20, "ground"+number), draw(3, 9, "top"+number))
		}
		a, b := one("1"), one("2")
		at := geo.Toward(draw(0, 360, "bearing"), geo.Metres(draw(10, 45, "apart")))
		pa, errA := s.Poses(a, geo.Offset{})
		pb, errB := s.Poses(b, at)
		if errA != nil || errB != nil {
			t.Skip("a line too short")
		}
		got, ok, err := s.Closest(pa, pb)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			t.Skip("no level for both")
		}
		if s.Keeps(pa, pb, got.GapM) {
			t.Fatalf("told apart by more than %.3f m, which is their gap", got.GapM)
		}
		if again := swing.HullGap(got.A, got.B); math.Abs(again-got.GapM) > 1e-9 {
			t.Fatalf("the outlines are %.3f m apart, told %.3f m", again, got.GapM)
		}
		// A few dozen cases at random, worked in full.
		streams := []geo.MetresPerSecond{0}
		if d.Stream.IsKnown() {
			streams = append(streams, d.Stream.Or(0), -d.Stream.Or(0))
		}
		for range 40 {
			w := geo.Weather{WindFromDeg: 5 * float64(rapid.IntRange(0, 71).Draw(t, "wind")), Wind: d.MeanWind() * geo.MetresPerSecond(rapid.IntRange(1, 6).Draw(t, "speed")) / 6, GustRatio: d.Gust(),
				Level: rapid.SampledFrom([]geo.Metres{levels.Low, levels.High}).Draw(t, "level")}
			if w.Stream = rapid.SampledFrom(streams).Draw(t, "stream"); w.Stream != 0 {
				if w.StreamToDeg = d.StreamDeg.Or(0); w.Stream < 0 {
					w.Stream, w.StreamToDeg = -w.Stream, w.StreamToDeg+180
				}
			}
			ma, errA := a.At(w.Level)
			mb, errB := b.At(w.Level)
			if errA != nil || errB != nil {
				continue
			}
			turn := func(m *swing.Moored, name string, at geo.Offset) []geo.Offset {
				l, err := m.Lie(w)
				if err != nil {
					t.Fatal(err)
				}
				by := d.Scatter() * float64(rapid.IntRange(-1, 1).Draw(t, name))
				l.LoadDeg, l.SternDeg = l.LoadDeg+by, l.SternDeg+by
				return swing.Outline(at.Plus(l.Bow()), l.SternDeg, m.Length, m.Beam)
			}
			const rounding = 0.06 // m: what the curve of the reach may be out by, for both
			if gap := swing.HullGap(turn(ma, "turn a", geo.Offset{}), turn(mb, "turn b", at)); gap < got.GapM-rounding {
				t.Fatalf("%.3f m in %+v, told %.3f m in %+v", gap, w, got.GapM, got.Weather)
			}
		}
	})
}

func BenchmarkClosest(b *testing.B) {
	for _, bc := range []struct {
		name     string
		streamKn float64
	}{{"wind", 0}, {"wind_and_stream", 1.2}} {
		s := swing.NewSweep(design(bc.streamKn, 20, 20), levels)
		one, two := moored(b, "1", "sloop", 10, 1.8, 9, 6), moored(b, "2", "work boat", 8, 0.7, 10, 7)
		b.Run(bc.name+"/poses", func(b *testing.B) {
			for b.Loop() {
				poses(b, s, one, 0, 0).Full()
			}
		})
		pa, pb := poses(b, s, one, 0, 0), poses(b, s, two, 33, 5)
		b.Run(bc.name+"/pair", func(b *testing.B) {
			for b.Loop() {
				if _, _, err := s.Closest(pa, pb); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
