package swing_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

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
	d := geo.Design{Wind: geo.Known(geo.Knots(36)), ScatterDeg: geo.Known(scatterDeg), CalmOff: true}
	if streamKn > 0 {
		d.Stream, d.StreamDeg = geo.Known(geo.Knots(streamKn)), geo.Known(streamDeg)
	}
	return d
}

// Two boats alike, and no scatter: whatever the weather they lie alike, so the gap is that of one hull and the same hull shifted by the anchors' distance, in some direction.
func TestAlikeBoatsKeepTheirAnchorsDistance(t *testing.T) {
	s := swing.NewSweep(design(0, 0, 0), levels)
	a, b := moored(t, "1", "sloop", 10, 1.8, 9, 6), moored(t, "2", "sloop", 10, 1.8, 9, 6)
	for _, apart := range []float64{9, 14, 20, 33} {
		want := math.Inf(1)
		for deg := 0.0; deg < 360; deg++ {
			want = min(want, swing.HullGap(swing.Outline(geo.Offset{}, deg, a.Length, a.Beam), swing.Outline(geo.Offset{EastM: apart}, deg, a.Length, a.Beam)))
		}
		c, ok, err := s.Closest(poses(t, s, a, 0, 0), poses(t, s, b, apart, 0), swing.Limits{})
		if err != nil || !ok || math.Abs(c.GapM-want) > swing.CloseM || c.BoundM > want+1e-9 {
			t.Errorf("%g m apart: gap %.3f m, bound %.3f m in %+v, want %.3f m", apart, c.GapM, c.BoundM, c.Weather, want)
		}
	}
}

// What tells boats apart has to do so for boats that lie well apart, and may not for those that do not.
func TestKeepsTellsPlainCasesApart(t *testing.T) {
	s := swing.NewSweep(design(1.2, 20, 15), levels)
	a, b := moored(t, "1", "sloop", 10, 1.8, 9, 6), moored(t, "2", "work boat", 9, 0.7, 10, 7)
	for _, c := range []struct {
		apartM float64
		want   bool
	}{{20, false}, {65, true}} {
		if _, got, err := s.Keeps(poses(t, s, a, 0, 0), poses(t, s, b, c.apartM, 0), 1); err != nil || got != c.want {
			t.Errorf("%g m apart: told apart %v, want %v; %v", c.apartM, got, c.want, err)
		}
	}
}

// A long line to windward of a short one: what must be found is about the difference of the reaches less.
func TestALongLineComesDownOnAShortOne(t *testing.T) {
	s := swing.NewSweep(design(0, 0, 0), levels)
	long, short := moored(t, "1", "sloop", 10, 1.8, 22, 10), moored(t, "2", "sloop", 10, 1.8, 7, 5)
	c, ok, err := s.Closest(poses(t, s, long, 0, 0), poses(t, s, short, 30, 0), swing.Limits{})
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

// A calm at slack in closed form: each boat anywhere in a circle of the reach of her slack line and what lies from her stem to a corner of her stern.
func TestACalmAtSlackIsOneOfTheCases(t *testing.T) {
	d := design(0, 0, 0)
	d.CalmOff = false
	s := swing.NewSweep(d, levels)
	a, b := moored(t, "1", "sloop", 10, 1.8, 9, 6), moored(t, "2", "launch", 8, 0.7, 8, 5)
	farthM := func(c *swing.Craft) float64 {
		m, err := c.At(levels.Low)
		if err != nil {
			t.Fatal(err)
		}
		slack, err := m.Rode.Reach(0)
		if err != nil {
			t.Fatal(err)
		}
		return float64(slack) + math.Hypot(float64(c.Length), float64(c.Beam)/2)
	}
	for _, apart := range []float64{30, 41, 55} {
		c, _, err := s.Closest(poses(t, s, a, 0, 0), poses(t, s, b, 0, apart), swing.Limits{})
		want := apart - farthM(a) - farthM(b)
		if err != nil || !c.Calm || math.Abs(c.GapM-want) > 1e-9 || c.BoundM > want || c.BoundM < want-swing.CloseM {
			t.Errorf("%g m apart: gap %.3f m, bound %.3f m, calm %v; want %.3f m", apart, c.GapM, c.BoundM, c.Calm, want)
		}
		if gap := swing.HullGap(c.A, c.B); want > 0 && math.Abs(gap-want) > 1e-9 {
			t.Errorf("the outlines are %.3f m apart, told %.3f m", gap, want)
		}
	}
}

// drawn is a random pair: keel boats and launches on lines of many lengths, with and without a stream.
type drawn struct {
	design geo.Design
	a, b   *swing.Craft
	at     geo.Offset
}

func draw(t failer, r *rand.Rand, stream bool) drawn {
	span := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	streamKn := 0.0
	if stream {
		streamKn = span(0.3, 2)
	}
	craft := func(number string) *swing.Craft {
		if r.IntN(2) == 0 {
			return moored(t, number, "sloop", span(6, 14), span(1, 2.2), span(7, 20), span(4, 9))
		}
		return moored(t, number, "launch", span(5, 11), span(0.4, 0.9), span(7, 20), span(4, 9))
	}
	d := design(streamKn, span(0, 360), [...]float64{0, 5, 15, 25}[r.IntN(4)])
	return drawn{d, craft("1"), craft("2"), geo.Toward(span(0, 360), geo.Metres(span(12, 55)))}
}

// bruteM is the least gap of a pair over a grid: directions a degree apart, winds half a knot apart, ten shares of the flood and of the ebb and slack, both levels; each boat turned by the
// scatter to either side, by half of it, and not at all. Pairs of hulls whose middles are too far apart to matter are passed over.
func bruteM(t failer, p *drawn, s *swing.Sweep, stepDeg float64, stepKn float64, shares int) float64 {
	leastM := math.Inf(1)
	scatter := p.design.Scatter()
	turns := []float64{0}
	if scatter > 0 {
		turns = []float64{-scatter, -scatter / 2, 0, scatter / 2, scatter}
	}
	streams := []float64{0}
	for i := 1; i <= shares && p.design.Stream.Or(0) > 0; i++ {
		streams = append(streams, float64(i)/float64(shares), -float64(i)/float64(shares))
	}
	for _, level := range []geo.Metres{levels.Low, levels.High} {
		ma, errA := p.a.At(level)
		mb, errB := p.b.At(level)
		if errA != nil || errB != nil {
			continue
		}
		for _, share := range streams {
			for kn := stepKn; kn <= p.design.MeanWind().Knots()+1e-9; kn += stepKn {
				// With the wind alone every direction is the first one turned.
				var whole *[2]swing.Lie
				for deg := 0.0; deg < 360; deg += stepDeg {
					w := geo.Weather{WindFromDeg: deg, Wind: geo.Knots(kn), GustRatio: p.design.Gust(), Level: level,
						Stream: p.design.Stream.Or(0) * geo.MetresPerSecond(math.Abs(share)), StreamToDeg: p.design.StreamDeg.Or(0)}
					if share < 0 {
						w.StreamToDeg += 180
					}
					var la, lb swing.Lie
					if share == 0 && whole != nil {
						la, lb = whole[0], whole[1]
						for _, l := range []*swing.Lie{&la, &lb} {
							l.LoadDeg, l.SternDeg = l.LoadDeg+deg, l.SternDeg+deg
						}
					} else {
						la, lb = lie(t, ma, w), lie(t, mb, w)
						if deg == 0 {
							whole = &[2]swing.Lie{la, lb}
						}
					}
					leastM = min(leastM, leastTurned(ma, mb, la, lb, p.at, turns, leastM))
				}
			}
		}
	}
	return leastM
}

// leastTurned is the least gap over all turns of both boats.
func leastTurned(ma, mb *swing.Moored, la, lb swing.Lie, at geo.Offset, turns []float64, underM float64) float64 {
	reach := float64(ma.Length+mb.Length+ma.Beam+mb.Beam) / 2
	middle := func(m *swing.Moored, l swing.Lie, turn float64, at geo.Offset) geo.Offset {
		return at.Plus(geo.Toward(l.LoadDeg+turn, l.Reach)).Plus(geo.Toward(l.SternDeg+turn, m.Length/2))
	}
	for _, a := range turns {
		midA := middle(ma, la, a, geo.Offset{})
		for _, b := range turns {
			if float64(middle(mb, lb, b, at).Sub(midA).Length())-reach >= underM {
				continue
			}
			ha := swing.Outline(geo.Toward(la.LoadDeg+a, la.Reach), la.SternDeg+a, ma.Length, ma.Beam)
			hb := swing.Outline(at.Plus(geo.Toward(lb.LoadDeg+b, lb.Reach)), lb.SternDeg+b, mb.Length, mb.Beam)
			underM = min(underM, swing.HullGap(ha, hb))
		}
	}
	return underM
}

// No weather of a grid is under what is proved, and none by more than CloseM under the gap that was found where the search came to its end. SWINGROOM_TEST_UNISON=full takes 300 pairs at 1° and half a knot with ten shares of
// the stream, which is some core-hours; without it there are fewer pairs on a coarser grid.
func TestNoWeatherOfAGridIsUnderWhatIsProved(t *testing.T) {
	pairs, stepDeg, stepKn, shares := 40, 4.0, 3.0, 5
	switch {
	case os.Getenv("SWINGROOM_TEST_UNISON") == "full":
		pairs, stepDeg, stepKn, shares = 300, 1, 0.5, 10
	case testing.Short():
		pairs = 10
	}
	r := rand.New(rand.NewPCG(41, 7))
	proved, streamed := 0, 0
	for n := range pairs {
		p := draw(t, r, n%2 == 1)
		s := swing.NewSweep(p.design, levels)
		pa, errA := s.Poses(p.a, geo.Offset{})
		pb, errB := s.Poses(p.b, p.at)
		if errA != nil || errB != nil {
			continue
		}
		c, ok, err := s.Closest(pa, pb, swing.Limits{})
		if err != nil || !ok {
			t.Fatalf("pair %d: %v %v", n, ok, err)
		}
		least := bruteM(t, &p, s, stepDeg, stepKn, shares)
		if least < c.BoundM-1e-3 { // a millimetre: what the curve of the reach leaves over what is counted for it
			t.Errorf("pair %d: %.3f m on the grid, proved %.3f m", n, least, c.BoundM)
		}
		if c.Proved && least < c.GapM-swing.CloseM-1e-3 {
			t.Errorf("pair %d: %.3f m on the grid, found %.3f m", n, least, c.GapM)
		}
		held := !c.UnsettledA && !c.UnsettledB
		if again := swing.HullGap(c.A, c.B); (held || c.GapM > 0) && math.Abs(again-c.GapM) > 1e-9 {
			t.Errorf("pair %d: the outlines are %.3f m apart, told %.3f m", n, again, c.GapM)
		}
		if c.Proved && c.GapM-c.BoundM > swing.CloseM+1e-9 {
			t.Errorf("pair %d: gap %.3f m, bound %.3f m, and the search came to its end", n, c.GapM, c.BoundM)
		}
		// Of hulls that overlap deeply the search may end before it has proved by how much.
		if n%2 == 0 && !c.Proved && c.GapM > 0 {
			t.Errorf("pair %d: with the wind alone the gap of %.3f m was not proved: %.3f m", n, c.GapM, c.BoundM)
		}
		if c.Proved {
			proved++
		}
		if n%2 == 1 && c.Proved {
			streamed++
		}
	}
	t.Logf("%d pairs, %d proved, %d of them in a stream", pairs, proved, streamed)
}

// More scatter, more wind or more stream never makes what is proved better, but for how close a proof is.
func TestMoreWeatherNeverWidensTheGap(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 11))
	for n := range 12 {
		p := draw(t, r, false)
		gap := func(d geo.Design) float64 {
			s := swing.NewSweep(d, levels)
			c, ok, err := s.Closest(poses(t, s, p.a, 0, 0), poses(t, s, p.b, p.at.EastM, p.at.NorthM), swing.Limits{})
			if err != nil || !ok {
				t.Fatal(ok, err)
			}
			return c.GapM
		}
		before := gap(p.design)
		wider, stronger := p.design, p.design
		wider.ScatterDeg = geo.Known(p.design.Scatter() + 7)
		stronger.Wind = geo.Known(p.design.MeanWind() * 1.2)
		for name, d := range map[string]geo.Design{"scatter": wider, "wind": stronger} {
			if after := gap(d); after > before+swing.CloseM {
				t.Errorf("pair %d: %.3f m, with more %s %.3f m", n, before, name, after)
			}
		}
	}
}

// The order of two boats, where they lie and how the compass is turned make no difference.
func TestTheGapIsThatOfThePairAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 17))
	for n := range 8 {
		p := draw(t, r, n%2 == 1)
		gap := func(d geo.Design, a, b geo.Offset, swapped bool) swing.Closest {
			s := swing.NewSweep(d, levels)
			pa, pb := poses(t, s, p.a, a.EastM, a.NorthM), poses(t, s, p.b, b.EastM, b.NorthM)
			if swapped {
				pa, pb = pb, pa
			}
			c, _, err := s.Closest(pa, pb, swing.Limits{})
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		one := gap(p.design, geo.Offset{}, p.at, false)
		if two := gap(p.design, geo.Offset{}, p.at, true); two.GapM != one.GapM || two.BoundM != one.BoundM || two.ADeg != one.BDeg {
			t.Errorf("pair %d: %.6f m, the other way round %.6f m", n, one.GapM, two.GapM)
		}
		by := geo.Offset{EastM: 812.5, NorthM: -377.25}
		turned := p.design
		if turned.StreamDeg.IsKnown() {
			turned.StreamDeg = geo.Known(math.Mod(p.design.StreamDeg.Or(0)+75, 360))
		}
		sin, cos := math.Sincos(75 * math.Pi / 180)
		at := geo.Offset{EastM: p.at.EastM*cos + p.at.NorthM*sin, NorthM: p.at.NorthM*cos - p.at.EastM*sin}
		for name, c := range map[string]swing.Closest{
			"moved": gap(p.design, by, by.Plus(p.at), false), "turned": gap(turned, geo.Offset{}, at, false),
		} {
			if one.Proved && c.Proved && math.Abs(c.GapM-one.GapM) > swing.CloseM {
				t.Errorf("pair %d: %.3f m, %s %.3f m", n, one.GapM, name, c.GapM)
			}
			if c.BoundM > one.GapM+1e-6 || one.BoundM > c.GapM+1e-6 {
				t.Errorf("pair %d %s: bounds %.3f m and %.3f m do not agree with gaps %.3f m and %.3f m", n, name, one.BoundM, c.BoundM, one.GapM, c.GapM)
			}
		}
	}
}

// A search that is stopped at once knows next to nothing, and says so.
func TestAStoppedSearchTellsWhatIsProved(t *testing.T) {
	s := swing.NewSweep(design(1.2, 20, 15), levels)
	a, b := moored(t, "1", "sloop", 10, 1.8, 9, 6), moored(t, "2", "launch", 9, 0.7, 10, 7)
	pa, pb := poses(t, s, a, 0, 0), poses(t, s, b, 55, 0)
	c, ok, err := s.Closest(pa, pb, swing.Limits{Stop: func() bool { return true }})
	if err != nil || !ok || c.Proved || c.BoundM >= c.GapM-swing.CloseM {
		t.Errorf("stopped at once: %+v, %v", c, err)
	}
	keep, err := s.Keep(pa, pb, func() bool { return true })
	full, errFull := s.Keep(pa, pb, nil)
	if err != nil || errFull != nil || keep < full {
		t.Errorf("stopped, two anchors have to keep %.2f m, else %.2f m", float64(keep), float64(full))
	}
}

// Anchors as far apart as is said keep the hulls apart on every bearing.
func TestAnchorsThatKeepTheirDistanceKeepTheHullsApart(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 2))
	for n := range 6 {
		p := draw(t, r, n%2 == 1)
		s := swing.NewSweep(p.design, levels)
		keep, err := s.Keep(poses(t, s, p.a, 0, 0), poses(t, s, p.b, 0, 0), nil)
		if err != nil {
			t.Fatal(err)
		}
		for deg := 0.0; deg < 360; deg += 90 {
			p.at = geo.Toward(deg, keep)
			if least := bruteM(t, &p, s, 12, 9, 2); least < -1e-3 {
				t.Errorf("pair %d: %.2f m apart on %g° the hulls overlap by %.3f m", n, float64(keep), deg, -least)
			}
		}
	}
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
				poses(b, s, one, 0, 0)
			}
		})
		pa, pb := poses(b, s, one, 0, 0), poses(b, s, two, 33, 5)
		b.Run(bc.name+"/pair", func(b *testing.B) {
			for b.Loop() {
				if _, _, err := s.Closest(pa, pb, swing.Limits{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
