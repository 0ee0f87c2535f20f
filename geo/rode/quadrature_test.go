package rode_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// TestTheLineFollowsItsDifferentialEquation integrates dx/ds = (1 + e) H/T and dz/ds = (1 + e) V/T along the line, with V growing by the
// weight of what hangs below, by Gauss and Legendre's rule, and compares where the line ends.
func TestTheLineFollowsItsDifferentialEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, water := drawn(t)
		r, err := rode.New("1", line, water)
		if err != nil {
			t.Fatal(err)
		}
		loadN := math.Exp(rapid.Float64Range(math.Log(20), math.Log(20000)).Draw(t, "log load"))
		s, err := r.At(geo.Newtons(loadN))
		if err != nil {
			t.Fatal(err)
		}
		if s.Buoy != nil && s.Buoy.Lift == 0 {
			return // it lies on the bed, and what hangs above is not told apart
		}
		if last := len(line.Parts) - 1; line.Parts[last].WeightNPerM < 0 && s.Parts[last].HighUpN == 0 {
			return // it floats up to the surface and lies there, where its weight in water holds no more
		}
		reachM, riseM := 0.0, 0.0
		for i, p := range line.Parts {
			onBedM, v0 := float64(s.Parts[i].OnBed), s.Parts[i].LowUpN
			along := func(component func(v float64) float64) float64 {
				f := func(at float64) float64 {
					v := v0 + p.WeightNPerM*(at-onBedM)
					pull := math.Hypot(loadN, v)
					return (1 + p.Stretch.StrainRatio(pull)) * component(v) / pull
				}
				const panels = 40 // the stiffness curve bends: many short panels
				sum, hangsM := 0.0, float64(p.Length)-onBedM
				for k := range panels {
					sum += quad.Fixed(f, onBedM+hangsM*float64(k)/panels, onBedM+hangsM*float64(k+1)/panels, 8, quad.Legendre{}, 0)
				}
				return sum
			}
			reachM += onBedM * (1 + p.Stretch.StrainRatio(loadN))
			reachM += along(func(float64) float64 { return loadN })
			riseM += along(func(v float64) float64 { return v })
		}
		const tol = 1e-4 // m: the rule steps over the bends of the stiffness curve
		if math.Abs(reachM-float64(s.Reach)) > tol || math.Abs(riseM-float64(water.Depth+water.Bow)) > tol {
			t.Fatalf("integrated to (%.5f, %.5f), solved (%.5f, %.5f): %+v", reachM, riseM, float64(s.Reach),
				float64(water.Depth+water.Bow), s)
		}
	})
}

func BenchmarkReachUnderLoad(b *testing.B) {
	line := rode.Line{Parts: []rode.Part{chain(9, 60), chain(6, 25),
		{Name: "pennant", Length: 4, WeightNPerM: 1.5,
			Stretch: rode.Stretch{{PullN: 2000, StrainRatio: 0.1}, {PullN: 12000, StrainRatio: 0.25}}}},
		Buoy: &rode.Buoy{Below: 2, Lift: 900, WeightN: 120}}
	for _, c := range []struct {
		name string
		line rode.Line
	}{{"chains, buoy and pennant", line}, {"one chain", rode.Line{Parts: []rode.Part{chain(18, 40)}}}} {
		r := must(b, c.line, rode.Water{Depth: 5, Bow: 1})
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := r.Reach(1500); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
