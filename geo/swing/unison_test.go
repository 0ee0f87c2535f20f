package swing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

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

func TestScratch(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 16 {
		st := 0.0
		if i%2 == 1 {
			st = 0.5 + 1.5*r.Float64()
		}
		sc := []float64{0, 15, 20, 5}[i/2%4]
		d := design(st, r.Float64()*360, sc)
		s := swing.NewSweep(d, levels)
		a := moored(t, "1", "sloop", 6+8*r.Float64(), 1+r.Float64(), 6+10*r.Float64(), 3+6*r.Float64())
		b := moored(t, "2", "launch", 6+8*r.Float64(), .5+.5*r.Float64(), 6+10*r.Float64(), 3+6*r.Float64())
		at := geo.Toward(r.Float64()*360, geo.Metres(15+25*r.Float64()))
		t0 := time.Now()
		pa, pb := poses(t, s, a, 0, 0), poses(t, s, b, at.EastM, at.NorthM)
		t1 := time.Now()
		c, n := s.Boxes(pa, pb)
		fmt.Printf("stream %.2f scatter %g dist %.1f: gap %.3f bound %.3f proved %v boxes %d poses %v search %v wind %.0f at %.1f stream %.2f lvl %.2f turns %.1f %.1f\n", st, sc, math.Hypot(at.EastM, at.NorthM), c.GapM, c.BoundM, c.Proved, n, t1.Sub(t0), time.Since(t1), c.Weather.WindFromDeg, c.Weather.Wind.Knots(), c.Weather.Stream.Knots(), c.Weather.Level, c.ADeg, c.BDeg)
	}
}

func TestDebug(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 10 {
		st := 0.0
		if i%2 == 1 {
			st = 0.5 + 1.5*r.Float64()
		}
		sc := []float64{0, 15, 20, 5}[i/2%4]
		d := design(st, r.Float64()*360, sc)
		s := swing.NewSweep(d, levels)
		a := moored(t, "1", "sloop", 6+8*r.Float64(), 1+r.Float64(), 6+10*r.Float64(), 3+6*r.Float64())
		b := moored(t, "2", "launch", 6+8*r.Float64(), .5+.5*r.Float64(), 6+10*r.Float64(), 3+6*r.Float64())
		at := geo.Toward(r.Float64()*360, geo.Metres(15+25*r.Float64()))
		pa, pb := poses(t, s, a, 0, 0), poses(t, s, b, at.EastM, at.NorthM)
		if st > 0 {
			s.Debug(pa, pb, 30000)
		}
	}
}

func TestDebugFar(t *testing.T) {
	d := design(1.2, 20, 15)
	s := swing.NewSweep(d, levels)
	a, b := moored(t, "1", "sloop", 9, 1.6, 9, 6), moored(t, "2", "launch", 8, 0.7, 9, 6)
	for _, apart := range []float64{46, 52} {
		pa, pb := poses(t, s, a, 0, 0), poses(t, s, b, apart, 0)
		fmt.Println(apart)
		s.Debug(pa, pb, 20000)
	}
}
