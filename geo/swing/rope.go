package swing

import (
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/tackle"
)

// rope is a part of a tackle that stretches. What is not on record of it is taken as what stretches most.
type rope struct {
	place   int // in the tackle
	kind    geo.PartKind
	lengthM float64
	sizeM   float64        // 0: not on record
	kinds   []geo.RopeKind // of its material; all that there are where that is not known
}

// ropesOf are the parts of a tackle that stretch; none where only the rode as a whole is on record.
func ropesOf(m *geo.Mooring, own []geo.RopeKind) (all []rope) {
	for i := range m.Tackle {
		p := &m.Tackle[i]
		length, known := p.Length.Get()
		if p.Kind == geo.Rode && known {
			return nil
		}
		if !tackle.IsRope(p.Kind) || !(length > 0) {
			continue
		}
		r := rope{place: i, kind: p.Kind, lengthM: float64(length), sizeM: float64(p.Size.Or(0)), kinds: ropeKinds(p.Material, own)}
		if r.maxStrain() > 0 {
			all = append(all, r)
		}
	}
	return all
}

// ropeKinds are the kinds that a material may be: all that there are where it is not known.
func ropeKinds(material string, own []geo.RopeKind) []geo.RopeKind {
	if kind, err := rode.RopeOf(own, material); err == nil && strings.TrimSpace(material) != "" {
		return []geo.RopeKind{kind}
	}
	return slices.Concat(own, rode.Ropes())
}

// unknown tells that its material is not on record, or not one of which it is known how it stretches.
func (r *rope) unknown() bool { return len(r.kinds) > 1 }

func (r *rope) name() string { return partName(r.kind) }

// maxStrain is its strain when it breaks.
func (r *rope) maxStrain() float64 {
	maxRatio := 0.0
	for _, k := range r.kinds {
		maxRatio = max(maxRatio, rode.MaxStrainRatio(k))
	}
	return maxRatio
}

// strainAt is the most that it may stretch at a pull.
func (r *rope) strainAt(pullN float64) float64 {
	maxRatio := 0.0
	for _, k := range r.kinds {
		maxRatio = max(maxRatio, r.strainAs(k, pullN))
	}
	return maxRatio
}

// minStrain is the least that it stretches at a pull.
func (r *rope) minStrain(pullN float64) float64 {
	if len(r.kinds) != 1 {
		return 0
	}
	return r.strainAs(r.kinds[0], pullN)
}

func (r *rope) strainAs(k geo.RopeKind, pullN float64) float64 {
	square := r.sizeM * r.sizeM / float64(k.Size*k.Size)
	return rode.Stretch(k.Stretch).StrainRatio(pullN / square)
}

// maxWeightN is the most that it weighs, in air.
func (r *rope) maxWeightN() float64 {
	maxN := 0.0
	for _, k := range r.kinds {
		p := rode.RopePart("", k, geo.Metres(r.lengthM), geo.Metres(r.sizeM), false)
		maxN = max(maxN, p.WeightNPerM*r.lengthM)
	}
	return maxN
}
