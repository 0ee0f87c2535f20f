package swing

import (
	"errors"
	"fmt"

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
	b := lineBuilder{mooring: m, own: own, chain: own.Chain, buoyAt: max(0, lastPlace(m.Tackle, geo.Buoy))}
	if len(b.chain) == 0 {
		b.chain = rode.ShortLink()
	}
	for i := range m.Tackle {
		b.place = i
		b.add(&m.Tackle[i])
	}
	if len(b.parts) == 0 && len(b.errs) == 0 {
		b.unknown("tackle", "the parts of the tackle are needed, with lengths and sizes")
	}
	if err := errors.Join(b.errs...); err != nil {
		return TackleLine{}, err
	}
	b.weighFittings()
	return TackleLine{rode.Line{Parts: b.parts, Buoy: b.buoy}, b.at, b.assumed}, nil
}

// lastPlace is the place in a tackle of its last part of a kind; -1 for none.
func lastPlace(t geo.Tackle, kind geo.PartKind) int {
	place := -1
	for i := range t {
		if t[i].Kind == kind {
			place = i
		}
	}
	return place
}

// minRopeSize is the size under which a rope is taken for an error of writing; common practice, no source.
const minRopeSize geo.Metres = 0.001

// lineBuilder is a line as it grows part by part.
type lineBuilder struct {
	mooring *geo.Mooring
	own     geo.Lines
	chain   []geo.ChainSize
	buoyAt  int // place of the buoy in the tackle; 0: none
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
	b.fail(field, "not on record", want, geo.ErrUnknown)
}

// fail notes what is wrong with a field.
func (b *lineBuilder) fail(field, got, want string, kind error) {
	b.errs = append(b.errs, &geo.FieldError{Noun: "mooring", Name: b.mooring.Number, Field: field, Got: got, Want: want, Kind: kind})
}

func (b *lineBuilder) add(p *geo.Part) {
	switch p.Kind {
	case geo.Marker, geo.MarkerLine:
	case geo.Buoy:
		b.addBuoy(p)
		b.addPlain(p, false) // what it adds to the rode; its weight is the buoy's
	case geo.Rode:
		b.unknown("tackle", "a rode as a whole says nothing of weight; the parts are needed, with lengths and sizes")
	case geo.Anchor, geo.Swivel, geo.Shackle:
		b.addPlain(p, true)
	case geo.GroundChain, geo.TopChain:
		b.addChain(p)
	default:
		b.addRope(p)
	}
}

// inWater tells whether what is added hangs in water: all but what lies above the buoy.
func (b *lineBuilder) inWater() bool { return b.buoyAt == 0 || b.place < b.buoyAt }

// addPlain adds a part that counts by its length alone; nothing where it has none.
func (b *lineBuilder) addPlain(p *geo.Part, fitting bool) {
	if length := p.Length.Or(0); length > 0 {
		b.addPart(rode.Part{Name: partName(p.Kind), Length: length}, fitting, 0)
	}
}

// measured tells that length and size are on record, and names which are not. A part of length 0 is none, and is left out.
func (b *lineBuilder) measured(p *geo.Part) (size geo.Metres, ok bool) {
	length, lengthKnown := p.Length.Get()
	size, sizeKnown := p.Size.Get()
	if lengthKnown && length == 0 {
		return 0, false
	}
	if !lengthKnown {
		b.unknown(string(p.Kind)+"_m", "its length is needed")
	}
	if sizeKnown = sizeKnown && size > 0; !sizeKnown {
		b.unknown(string(p.Kind)+"_size_m", "its size is needed, for its weight")
	}
	return size, lengthKnown && sizeKnown
}

func (b *lineBuilder) addChain(p *geo.Part) {
	size, ok := b.measured(p)
	if !ok {
		return
	}
	chainN, err := rode.ChainWeightNPerM(b.chain, size)
	if err != nil {
		b.fail(string(p.Kind)+"_size_m", "", err.Error(), geo.ErrInvalid)
		return
	}
	weight := chainN
	if !b.inWater() {
		weight = rode.InAirNPerM(chainN)
	}
	b.addPart(rode.Part{Name: partName(p.Kind), Length: p.Length.Or(0), WeightNPerM: weight}, false, chainN)
}

func (b *lineBuilder) addRope(p *geo.Part) {
	if length, known := p.Length.Get(); known && length == 0 {
		return
	}
	size, ok := b.measured(p)
	if size > 0 && size < minRopeSize {
		b.fail(string(p.Kind)+"_size_m", fmt.Sprintf("%g m", float64(size)),
			fmt.Sprintf("a line that holds a boat is at least %g m thick; a thinner one would stretch without end", float64(minRopeSize)),
			geo.ErrInvalid)
		ok = false
	}
	if kind, known := b.ropeKind(p); ok && known {
		b.addPart(rode.RopePart(partName(p.Kind), kind, p.Length.Or(0), size, b.inWater()), false, 0)
	}
}

// ropeKind is what a rope is made of; nylon where that is not on record, which is told.
func (b *lineBuilder) ropeKind(p *geo.Part) (kind geo.RopeKind, known bool) {
	material := p.Material
	if material == "" && p.Kind != geo.Elastic {
		material = "nylon"
		b.assumed = append(b.assumed, partName(p.Kind)+": its material is not on record; nylon is taken, which stretches most")
	}
	kind, err := rode.RopeOf(b.own.Ropes, material)
	if err != nil {
		b.fail(string(p.Kind)+"_material", fmt.Sprintf("%q", material),
			"it has to be known how it stretches; lines.ropes of harbor.json can say it", geo.ErrUnknown)
	}
	return kind, err == nil
}

func (b *lineBuilder) addPart(p rode.Part, fitting bool, chainN float64) {
	b.parts, b.fitting, b.chainN = append(b.parts, p), append(b.fitting, fitting), append(b.chainN, chainN)
	b.at = append(b.at, b.place)
}

// weighFittings gives the fittings their weight; after the last part, for a fitting may come before the first chain.
func (b *lineBuilder) weighFittings() {
	for i := range b.parts {
		if b.fitting[i] {
			b.parts[i].WeightNPerM = b.fittingWeight(i)
		}
	}
}

// fittingWeight is the weight of a fitting: as of the nearest chain below, or above where none lies below. A rope beside it does not count,
// for steel does not float.
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
func (b *lineBuilder) addBuoy(p *geo.Part) {
	if len(b.parts) == 0 {
		if b.place == b.buoyAt {
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
