package rode

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swingroom/geo"
)

// builtInSize is the diameter for which the figures of the ropes built in hold.
const builtInSize geo.Metres = 0.016

// builtIn are the ropes built in, at 16 mm. Masses, densities, stiffness and breaking pulls are from memory; makers differ, and a harbor's
// own table goes before them.
var builtIn = []geo.RopeKind{
	{
		Material: "nylon", Size: builtInSize, MassKgPerM: 0.157, DensityKgPerM3: 1140, BreakN: geo.Known(40960.0),
		Stretch: []geo.StretchPoint{{PullN: 2250, StrainRatio: 0.06}, {PullN: 4500, StrainRatio: 0.11}, {PullN: 9000, StrainRatio: 0.17},
			{PullN: 22500, StrainRatio: 0.30}},
	},
	{
		Material: "polyester", Size: builtInSize, MassKgPerM: 0.196, DensityKgPerM3: 1380, BreakN: geo.Known(38400.0),
		Stretch: []geo.StretchPoint{{PullN: 4000, StrainRatio: 0.03}, {PullN: 8000, StrainRatio: 0.05}, {PullN: 20000, StrainRatio: 0.10}},
	},
	{
		Material: "polypropylene", Size: builtInSize, MassKgPerM: 0.115, DensityKgPerM3: 910, BreakN: geo.Known(25600.0),
		Stretch: []geo.StretchPoint{{PullN: 3500, StrainRatio: 0.05}, {PullN: 7000, StrainRatio: 0.09}, {PullN: 17500, StrainRatio: 0.18}},
	},
	{
		Material: "polyethylene", Size: builtInSize, MassKgPerM: 0.135, DensityKgPerM3: 970, BreakN: geo.Known(128000.0),
		Stretch: []geo.StretchPoint{{PullN: 17000, StrainRatio: 0.004}, {PullN: 85000, StrainRatio: 0.015}},
	},
}

// Ropes are the ropes built in: three strand nylon, polyester and polypropylene, and braided high modulus polyethylene.
func Ropes() []geo.RopeKind { return slices.Clone(builtIn) }

// RopeOf finds the kind of a material among a harbor's own ropes and then those built in: the first whose name is in it. Errors:
// geo.ErrUnknown.
func RopeOf(own []geo.RopeKind, material string) (geo.RopeKind, error) {
	text := strings.ToLower(material)
	named := func(r geo.RopeKind) bool { return strings.Contains(text, strings.ToLower(r.Material)) }
	for _, kinds := range [2][]geo.RopeKind{own, builtIn} {
		if i := slices.IndexFunc(kinds, named); i >= 0 {
			return kinds[i], nil
		}
	}
	return geo.RopeKind{}, fmt.Errorf("%w: how %q stretches; lines.ropes of harbor.json can say it", geo.ErrUnknown, material)
}

// MaxStrainRatio is the most that a kind of rope stretches: its strain at the pull at which it breaks. Where that is not on record it is
// taken as twice the pull at the end of its curve; common practice, no source. 0 for a kind that does not stretch.
func MaxStrainRatio(kind geo.RopeKind) float64 {
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
	p := Part{Name: name, Length: length, WeightNPerM: kind.MassKgPerM * square * GravityMS2}
	if inWater {
		p.WeightNPerM *= 1 - seaDensity/kind.DensityKgPerM3
	}
	p.Stretch = Stretch(kind.Stretch).scaled(square)
	return p
}

// scaled is the curve of a rope that needs so many times the pull for the same strain.
func (s Stretch) scaled(ratio float64) (curve Stretch) {
	for _, p := range s {
		curve = append(curve, geo.StretchPoint{PullN: p.PullN * ratio, StrainRatio: p.StrainRatio})
	}
	return curve
}

// Float is a ball of a diameter under parts of a line: its lift wholly under water less its own weight. Where the weight is not known, a
// tenth of its buoyancy is taken: a foam-filled buoy weighs about that; common practice, no source.
func Float(below int, size geo.Metres, weight geo.Maybe[geo.Kilograms]) *Buoy {
	buoyancyN := buoyancyOfBallN(size)
	weightN := buoyancyN * foamWeightRatio
	if kg, known := weight.Get(); known {
		weightN = float64(kg) * GravityMS2
	}
	return &Buoy{Below: below, Lift: geo.Newtons(max(0, buoyancyN-weightN)), WeightN: weightN}
}

// foamWeightRatio is the weight of a foam-filled buoy over its buoyancy; common practice, no source.
const foamWeightRatio = 0.1

// buoyancyOfBallN is the weight of the sea water that a ball of a diameter displaces.
func buoyancyOfBallN(size geo.Metres) float64 {
	return seaDensity * GravityMS2 * math.Pi / 6 * float64(size*size*size)
}

// BallThatLifts is the diameter of a foam-filled ball that carries a load besides itself, with the same weight of its own as in Float.
func BallThatLifts(lift geo.Newtons) geo.Metres {
	return geo.Metres(math.Cbrt(float64(lift) / (seaDensity * GravityMS2 * (1 - foamWeightRatio)) * 6 / math.Pi))
}

// UnlimitedFloat is a buoy of which it is not known what it carries: it is taken to carry what hangs on it.
func UnlimitedFloat(below int, weight geo.Maybe[geo.Kilograms]) *Buoy {
	return &Buoy{Below: below, Lift: UnlimitedLift, WeightN: float64(weight.Or(0)) * GravityMS2}
}

// UnlimitedLift is more than any tackle asks of its buoy.
const UnlimitedLift geo.Newtons = 1e9
