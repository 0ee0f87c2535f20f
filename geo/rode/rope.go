package rode

import (
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
)

// Ropes are the ropes built in, at 16 mm: three strand nylon, polyester and polypropylene, and braided high modulus polyethylene. Masses, densities and
// stiffness are from memory; makers differ, and a harbor's own table goes before them.
func Ropes() []geo.RopeKind {
	kind := func(material string, massKgPerM, densityKgPerM3 float64, curve ...float64) geo.RopeKind {
		r := geo.RopeKind{Material: material, Size: 0.016, MassKgPerM: massKgPerM, DensityKgPerM3: densityKgPerM3}
		for i := 0; i < len(curve); i += 2 {
			r.Stretch = append(r.Stretch, geo.StretchPoint{PullN: curve[i], StrainRatio: curve[i+1]})
		}
		return r
	}
	return []geo.RopeKind{
		kind("nylon", 0.157, 1140, 2250, 0.06, 4500, 0.11, 9000, 0.17, 22500, 0.30),
		kind("polyester", 0.196, 1380, 4000, 0.03, 8000, 0.05, 20000, 0.10),
		kind("polypropylene", 0.115, 910, 3500, 0.05, 7000, 0.09, 17500, 0.18),
		kind("polyethylene", 0.135, 970, 17000, 0.004, 85000, 0.015),
	}
}

// RopeOf finds the kind of a material among a harbor's own ropes and then those built in: the first whose name is in it. Errors: geo.ErrUnknown.
func RopeOf(own []geo.RopeKind, material string) (geo.RopeKind, error) {
	text := strings.ToLower(material)
	for _, r := range append(append([]geo.RopeKind{}, own...), Ropes()...) {
		if strings.Contains(text, strings.ToLower(r.Material)) {
			return r, nil
		}
	}
	return geo.RopeKind{}, fmt.Errorf("%w: how %q stretches; lines.ropes of harbor.json can say it", geo.ErrUnknown, material)
}

// RopePart is a length of rope of a diameter. Mass and pull go by the square of the diameter. inWater says whether it hangs in water or in air.
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

// Float is a ball of a diameter under parts of a line: its lift wholly under water less its own weight. Where the weight is not known, a tenth of its buoyancy is taken:
// a foam-filled buoy weighs about that; common practice, no source.
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
