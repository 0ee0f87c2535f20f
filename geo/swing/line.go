package swing

import (
	"errors"
	"fmt"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// TackleLine is a mooring's tackle as a line for the statics, with what had to be assumed, in words.
type TackleLine struct {
	Line    rode.Line
	At      []int // by part of the line: its place in the tackle
	Assumed []string
}

// Line makes the line of a mooring's tackle, from the anchor up, with a harbor's own tables of chain and rope before those built in. What
// lies above the buoy hangs in air. Swivels, shackles and the shaft of an anchor weigh as the nearest chain, and nothing without chain. Of
// a buoy without a size on record it is assumed that it floats. Errors: geo.FieldError, joined, naming the mooring and the part:
// geo.ErrUnknown for what is not on record, geo.ErrInvalid.
func Line(m *geo.Mooring, own geo.Lines) (TackleLine, error) {
	b := lineBuilder{mooring: m, own: own}
	b.chain = own.Chain
	if len(b.chain) == 0 {
		b.chain = rode.ShortLink()
	}
	for i, p := range m.Tackle {
		if p.Kind == geo.Buoy {
			b.buoyAt = i
		}
	}
	for i := range m.Tackle {
		b.add(i, &m.Tackle[i])
	}
	if len(b.parts) == 0 && len(b.errs) == 0 {
		b.unknown("tackle", "the parts of the tackle are wanted, with lengths and sizes")
	}
	if err := errors.Join(b.errs...); err != nil {
		return TackleLine{}, err
	}
	for i := range b.parts { // after the last part, for a fitting may come before the first chain
		if b.fitting[i] {
			b.parts[i].WeightNPerM = b.fittingWeight(i)
		}
	}
	return TackleLine{rode.Line{Parts: b.parts, Buoy: b.buoy}, b.at, b.assumed}, nil
}

// minRopeSize is under what a size is taken for a slip of the pen; common practice, no source.
const minRopeSize geo.Metres = 0.001

// lineBuilder is a line under way.
type lineBuilder struct {
	mooring *geo.Mooring
	own     geo.Lines
	chain   []geo.ChainSize
	buoyAt  int // place of the buoy in the tackle; 0: none, for an anchor or a chain lies below it
	place   int // in the tackle, of what is added
	parts   []rode.Part
	at      []int     // by part: its place in the tackle
	fitting []bool    // by part
	chainN  []float64 // by part: weight of its chain in water per metre; 0 for what is no chain
	buoy    *rode.Buoy
	assumed []string
	errs    []error
}

func (b *lineBuilder) unknown(field, want string) {
	b.errs = append(b.errs, &geo.FieldError{Noun: "mooring", Name: b.mooring.Number, Field: field, Got: "not on record", Want: want,
		Kind: geo.ErrUnknown})
}

func (b *lineBuilder) add(i int, p *geo.Part) {
	name, length := strings.ReplaceAll(string(p.Kind), "_", " "), p.Length.Or(0)
	b.place = i
	inWater := b.buoyAt == 0 || i < b.buoyAt
	switch p.Kind {
	case geo.Marker, geo.MarkerLine:
		return
	case geo.Buoy:
		b.addBuoy(i, p)
		if length > 0 { // what it adds to the rode; its weight is the buoy's
			b.addPart(rode.Part{Name: name, Length: length}, false, 0)
		}
		return
	case geo.Rode:
		b.unknown("tackle", "a rode as a whole says nothing of weight; the parts are wanted, with lengths and sizes")
		return
	case geo.Anchor, geo.Swivel, geo.Shackle:
		if length > 0 {
			b.addPart(rode.Part{Name: name, Length: length}, true, 0)
		}
		return
	}
	if p.Length.IsKnown() && length == 0 {
		return
	}
	before := len(b.errs)
	if !p.Length.IsKnown() {
		b.unknown(string(p.Kind)+"_m", "its length is wanted")
	}
	size, known := p.Size.Get()
	if !known || size <= 0 {
		b.unknown(string(p.Kind)+"_size_m", "its size is wanted, for its weight")
	}
	if p.Kind == geo.GroundChain || p.Kind == geo.TopChain {
		if len(b.errs) > before {
			return
		}
		weight, err := rode.ChainWeightNPerM(b.chain, size)
		if err != nil {
			b.errs = append(b.errs, &geo.FieldError{Noun: "mooring", Name: b.mooring.Number, Field: string(p.Kind) + "_size_m",
				Want: err.Error(), Kind: geo.ErrInvalid})
			return
		}
		chainN := weight
		if !inWater {
			weight = rode.InAirNPerM(weight)
		}
		b.addPart(rode.Part{Name: name, Length: length, WeightNPerM: weight}, false, chainN)
		return
	}
	if known && size > 0 && size < minRopeSize {
		b.errs = append(b.errs, &geo.FieldError{Noun: "mooring", Name: b.mooring.Number, Field: string(p.Kind) + "_size_m",
			Got: fmt.Sprintf("%g m", float64(size)),
			Want: fmt.Sprintf("a line that holds a boat is at least %g m thick; a thinner one would stretch without end",
				float64(minRopeSize)), Kind: geo.ErrInvalid})
	}
	material := p.Material
	if material == "" && p.Kind != geo.Elastic {
		material = "nylon"
		b.assumed = append(b.assumed, fmt.Sprintf("%s: its material is not on record; nylon is taken, which stretches most", name))
	}
	kind, err := rode.RopeOf(b.own.Ropes, material)
	if err != nil {
		b.errs = append(b.errs, &geo.FieldError{Noun: "mooring", Name: b.mooring.Number, Field: string(p.Kind) + "_material",
			Got:  fmt.Sprintf("%q", material),
			Want: "it has to be known how it stretches; lines.ropes of harbor.json can say it", Kind: geo.ErrUnknown})
	}
	if len(b.errs) == before {
		b.addPart(rode.RopePart(name, kind, length, size, inWater), false, 0)
	}
}

func (b *lineBuilder) addPart(p rode.Part, fitting bool, chainN float64) {
	b.parts, b.fitting, b.chainN = append(b.parts, p), append(b.fitting, fitting), append(b.chainN, chainN)
	b.at = append(b.at, b.place)
}

// fittingWeight is the weight of a fitting: as of the nearest chain below, or above where none lies below. A rope fittingWeight it does not count, for
// steel does not float.
func (b *lineBuilder) fittingWeight(i int) float64 {
	weight := 0.0
	for j, n := range b.chainN {
		if n > 0 && (j < i || weight == 0) {
			weight = n
		}
	}
	if b.buoy != nil && i >= b.buoy.Below {
		return rode.InAirNPerM(weight)
	}
	return weight
}

// addBuoy puts the buoy in where parts lie below it.
func (b *lineBuilder) addBuoy(i int, p *geo.Part) {
	if len(b.parts) == 0 {
		if i == b.buoyAt {
			b.buoyAt = 0 // it carries nothing, and what follows hangs in water
		}
		return
	}
	if size, known := p.Size.Get(); known && size > 0 {
		b.buoy = rode.Float(len(b.parts), size, p.Weight)
		return
	}
	b.assumed = append(b.assumed, "buoy: its size is not on record; it is taken to carry what hangs on it")
	b.buoy = rode.UnlimitedFloat(len(b.parts), p.Weight)
}
