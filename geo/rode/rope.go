package rode

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
)

// builtIn are the ropes built in, at 16 mm. Masses, densities, stiffness and breaking pulls are from memory; makers differ, and a harbor's
// own table goes before them.
var builtIn = []geo.RopeKind{
	ropeKind("nylon", 0.157, 1140, 40960, 2250, 0.06, 4500, 0.11, 9000, 0.17, 22500, 0.30),
	ropeKind("polyester", 0.196, 1380, 38400, 4000, 0.03, 8000, 0.05, 20000, 0.10),
	ropeKind("polypropylene", 0.115, 910, 25600, 3500, 0.05, 7000, 0.09, 17500, 0.18),
	ropeKind("polyethylene", 0.135, 970, 128000, 17000, 0.004, 85000, 0.015),
}

func ropeKind(material string, massKgPerM, densityKgPerM3, breakN float64, curve ...float64) geo.RopeKind {
	r := geo.RopeKind{Material: material, Size: 0.016, MassKgPerM: massKgPerM, DensityKgPerM3: densityKgPerM3, BreakN: geo.Known(breakN)}
	for i := 0; i < len(curve); i += 2 {
		r.Stretch = append(r.Stretch, geo.StretchPoint{PullN: curve[i], StrainRatio: curve[i+1]})
	}
	return r
}

// Ropes are the ropes built in: three strand nylon, polyester and polypropylene, and braided high modulus polyethylene.
func Ropes() []geo.RopeKind { return slices.Clone(builtIn) }

// RopeOf finds the kind of a material among a harbor's own ropes and then those built in: the first whose name is in it. Errors:
// geo.ErrUnknown.
func RopeOf(own []geo.RopeKind, material string) (geo.RopeKind, error) {
	text := strings.ToLower(material)
	for _, kinds := range [2][]geo.RopeKind{own, builtIn} {
		for _, r := range kinds {
			if strings.Contains(text, strings.ToLower(r.Material)) {
				return r, nil
			}
		}
	}
	return geo.RopeKind{}, fmt.Errorf("%w: how %q stretches; lines.ropes of harbor.json can say it", geo.ErrUnknown, material)
}

// MostStrainRatio is the most that a kind of rope stretches: its strain at the pull at which it breaks. Where that is not on record it is
// taken as twice the pull at the end of its curve; common practice, no source. 0 for a kind that does not stretch.
func MostStrainRatio(kind geo.RopeKind) float64 {
	if len(kind.Stretch) == 0 {
		return 0
	}
	breakN := kind.BreakN.Or(2 * kind.Stretch[len(kind.Stretch)-1].PullN)
	return Stretch(kind.Stretch).StrainRatio(breakN)
}

// RopePart is a length of rope of a diameter. Mass and pull go by the square of the diameter. inWater says whether it hangs in water or in
// air.
func RopePart(name string, kind geo.RopeKind, length, size geo.Metres, inWater bool) Part {
	square := float64(size*size) / float64(kind.Size*kind.Size)
	p := Part{Name: name, Length: length, WeightNPerM: kind.MassKgPerM * square * gravityMS2}
	if inWater {
		p.WeightNPerM *= 1 - seaDensity/kind.DensityKgPerM3
	}
	for _, s := range kind.Stretch {
		p.Stretch = append(p.Stretch, geo.StretchPoint{PullN: s.PullN * square, StrainRatio: s.StrainRatio})
	}
	return p
}

// Float is a ball of a diameter under parts of a line: its lift wholly under water less its own weight. Where the weight is not known, a
// tenth of its buoyancy is taken: a foam-filled buoy weighs about that; common practice, no source.
func Float(below int, size geo.Metres, weight geo.Maybe[geo.Kilograms]) *Buoy {
	buoyancyN := seaDensity * gravityMS2 * ballM3(size)
	weightN := buoyancyN / 10
	if kg, known := weight.Get(); known {
		weightN = float64(kg) * gravityMS2
	}
	return &Buoy{Below: below, Lift: geo.Newtons(max(0, buoyancyN-weightN)), WeightN: weightN}
}

// ballM3 is the volume of a ball.
func ballM3(size geo.Metres) float64 { return math.Pi / 6 * float64(size*size*size) }

// BallThatLifts is the diameter of a foam-filled ball that carries a load besides itself, by the same tenth for its own weight as Float.
func BallThatLifts(lift geo.Newtons) geo.Metres {
	return geo.Metres(math.Cbrt(float64(lift) / (seaDensity * gravityMS2 * 0.9) * 6 / math.Pi))
}

// AnyFloat is a buoy of which it is not known what it carries: it is taken to carry what hangs on it.
func AnyFloat(below int, weight geo.Maybe[geo.Kilograms]) *Buoy {
	return &Buoy{Below: below, Lift: AnyLift, WeightN: float64(weight.Or(0)) * gravityMS2}
}

// AnyLift is more than any tackle asks of its buoy.
const AnyLift geo.Newtons = 1e9
