package tide_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/tide"
)

// anyTide has up to all constituents, each of at most 2 m.
func anyTide(t *rapid.T) geo.Tide {
	constants := geo.Tide{Station: "drawn", MeanLevel: geo.Metres(rapid.Float64Range(-5, 5).Draw(t, "mean level"))}
	for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom(geo.ConstituentNames()), 1, 37, rapid.ID[string]).Draw(t, "names") {
		constants.Constituents = append(constants.Constituents, geo.Constituent{
			Name: name, Amplitude: geo.Metres(rapid.Float64Range(0.001, 2).Draw(t, name)),
			PhaseDeg: rapid.Float64Range(0, 360).Draw(t, name+" phase"),
		})
	}
	return constants
}

// anyTime is within 1950 to 2100.
func anyTime(t *rapid.T) time.Time {
	return time.Unix(rapid.Int64Range(-631152000, 4102444800).Draw(t, "time"), 0).UTC()
}

func drawn(t *rapid.T, constants geo.Tide) *tide.Predictor {
	p, err := tide.New(constants)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestExtremesAlternateAndWaterIsMonotoneBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, from := drawn(t, anyTide(t)), anyTime(t)
		extremes := p.Extremes(from, from.AddDate(0, 0, 6))
		for i := 1; i < len(extremes); i++ {
			a, b := extremes[i-1], extremes[i]
			if a.High == b.High || a.At.After(b.At) || a.High != (a.Level > b.Level) {
				t.Fatalf("%v is followed by %v", a, b)
			}
			// Times are to the second, in which the water within a half second of its turn may still go on: 1 µm.
			levels := p.Levels(a.At, b.At.Sub(a.At)/40, 41)
			for j := 1; j < len(levels); j++ {
				if up := levels[j] - levels[j-1]; a.High && up > 1e-6 || !a.High && up < -1e-6 {
					t.Fatalf("between %v and %v the water turns at step %d by %v", a, b, j, up)
				}
			}
		}
	})
}

func TestASpanMayBeCutAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, from := drawn(t, anyTide(t)), anyTime(t)
		to := from.Add(100 * time.Hour)
		cut := from.Add(time.Duration(rapid.IntRange(0, 100*3600).Draw(t, "cut")) * time.Second)
		whole, parts := p.Extremes(from, to), slices.Concat(p.Extremes(from, cut), p.Extremes(cut, to))
		if !slices.Equal(whole, parts) {
			t.Fatalf("%v as a whole, %v cut at %v", whole, parts, cut)
		}
	})
}

func TestAllPhasesTurnedByHalfMirrorTheWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		constants, at := anyTide(t), anyTime(t)
		constants.MeanLevel = 0
		mirrored := constants
		mirrored.Constituents = slices.Clone(constants.Constituents)
		for i := range mirrored.Constituents {
			mirrored.Constituents[i].PhaseDeg -= 180
		}
		up, down := drawn(t, constants).Level(at), drawn(t, mirrored).Level(at)
		if math.Abs(float64(up+down)) > 1e-6 {
			t.Fatalf("%v and %v", up, down)
		}
	})
}

func TestLevelsAreTheLevelAtEachTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, from := drawn(t, anyTide(t)), anyTime(t)
		step := time.Duration(rapid.Int64Range(-int64(50*time.Hour), int64(50*time.Hour)).Draw(t, "step"))
		for i, level := range p.Levels(from, step, 30) {
			if at := from.Add(time.Duration(i) * step); level != p.Level(at) {
				t.Fatalf("%v in the row, %v alone at %v", level, p.Level(at), at)
			}
		}
	})
}

// TestNoJumpAtMidnight looks at every midnight of a node's turn, year's ends among them.
func TestNoJumpAtMidnight(t *testing.T) {
	p := predictor(t, station(t, "boston"))
	for midnight := time.Date(2007, 1, 1, 0, 0, 0, 0, time.UTC); midnight.Year() < 2026; midnight = midnight.AddDate(0, 0, 1) {
		// 1 ms of a tide that rises by at most 1 m an hour is 0.3 µm.
		if jump := math.Abs(float64(p.Level(midnight) - p.Level(midnight.Add(-time.Millisecond)))); jump > 1e-6 {
			t.Fatalf("%v: the water jumps by %g m", midnight, jump)
		}
	}
}

// TestSunsTideRepeats: S2 is bound to the mean sun and has no node factor (SP98 table 2: V = 2T).
func TestSunsTideRepeats(t *testing.T) {
	p := predictor(t, alone("S2", 0))
	noon := time.Date(2025, 6, 21, 12, 0, 0, 0, time.UTC)
	for i, level := range p.Levels(noon, 12*time.Hour, 1000) {
		if math.Abs(float64(level)-1) > 1e-9 {
			t.Fatalf("after %d half days %.12f m, want 1", i, float64(level))
		}
	}
	for i, e := range p.Extremes(noon, noon.AddDate(0, 0, 30)) {
		if want := noon.Add(time.Duration(i) * 6 * time.Hour); !e.At.Equal(want) || e.High != (i%2 == 0) {
			t.Fatalf("%v, want at %v", e, want)
		}
	}
}

// TestMoonsTideTakesItsPeriod: 12.4206012 h, SP98 table 2 (28.9841042 degrees an hour), over a turn of the node.
func TestMoonsTideTakesItsPeriod(t *testing.T) {
	from := time.Date(2007, 1, 1, 0, 0, 0, 0, time.UTC)
	extremes := predictor(t, alone("M2", 0)).Extremes(from, from.Add(6798*24*time.Hour+9*time.Hour)) // 6798.38 days: SP98 table 1
	first, last := extremes[0].At, extremes[len(extremes)-1].At
	period := 2 * last.Sub(first).Hours() / float64(len(extremes)-1)
	// What is left of u over the last half tide, 0.003 degrees, is 0.4 s in 13136 tides.
	if math.Abs(period-12.4206012) > 1e-7 {
		t.Errorf("%.8f h", period)
	}
	// u, by which single tides differ: between 12.4203 and 12.4209 h.
	for i := 2; i < len(extremes); i++ {
		if p := extremes[i].At.Sub(extremes[i-2].At).Hours(); math.Abs(p-12.4206) > 0.001 {
			t.Fatalf("%v is %.5f h after the one before", extremes[i], p)
		}
	}
}
