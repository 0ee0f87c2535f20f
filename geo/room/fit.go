package room

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// RemedyKind is a way out for a boat that does not fit on a mooring.
type RemedyKind string

// The ways out, in the order of their effort.
const (
	OtherTackle      RemedyKind = "other_tackle"       // parts of it
	OtherRode        RemedyKind = "other_rode"         // shorter or longer
	OtherPlace       RemedyKind = "other_place"        // a vacant mooring
	NeighbourShorter RemedyKind = "neighbour_rode"     // a neighbour on a shorter rode
	Swapped          RemedyKind = "swap"               // two boats change places
	Ring             RemedyKind = "ring"               // three do
	NeighbourAway    RemedyKind = "neighbour_moved"    // a neighbour's boat to a vacant mooring
	NeighbourSmaller RemedyKind = "neighbour_exchange" // a neighbour's boat changes places with a smaller one
	AnchorMoved      RemedyKind = "anchor_moved"
)

var effort = []RemedyKind{OtherTackle, OtherRode, OtherPlace, NeighbourShorter, Swapped, Ring, NeighbourAway, NeighbourSmaller, AnchorMoved}

// Remedy is a way out. All that it changes has passed the fit check, with all of it done.
type Remedy struct {
	// ID names the way by what it does: the same change has the same name, however it is told.
	ID    string     `json:"id"`
	Kind  RemedyKind `json:"kind"`
	Words geo.Words  `json:"words"`
	// Mooring is where the boat then lies.
	Mooring string `json:"mooring"`
	// Moorings are all that it changes, as they would be.
	Moorings []geo.Mooring `json:"moorings"`
	// Remains are troubles that a neighbour has as it lies, and keeps with the change.
	Remains []clearance.Finding `json:"remains"`
}

// phrase is a part of a sentence in the reader's units.
type phrase func(geo.Units) string

// inUnits is a length in the reader's units.
func inUnits(l geo.Metres) phrase {
	return func(u geo.Units) string { return geo.Figure(float64(l), "m", u) }
}

// say makes a phrase of a format and what stands in it: phrases are written in the reader's units.
func say(format string, args ...any) phrase {
	return func(u geo.Units) string {
		told := make([]any, len(args))
		for i, a := range args {
			if p, is := a.(phrase); is {
				a = p(u)
			}
			told[i] = a
		}
		return fmt.Sprintf(format, told...)
	}
}

// remedyID is made of the kind and all that is changed, but for names: who asks first may name the boat and her owner later.
func remedyID(kind RemedyKind, at string, changed []geo.Mooring) string {
	sum := fnv.New32a()
	changed = slices.Clone(changed)
	for i := range changed {
		if b := changed[i].Boat; b != nil {
			nameless := *b
			nameless.Name, nameless.Owner = "", ""
			changed[i].Boat = &nameless
		}
	}
	_ = json.NewEncoder(sum).Encode(changed) // records are plain values, and a hash takes every write
	return fmt.Sprintf("%s-%s-%08x", kind, at, sum.Sum32())
}

// Fitting is the fit check with ways out.
type Fitting struct {
	clearance.Fit
	// Largest is the longest boat that the mooring can take.
	LargestM float64  `json:"largest_m"`
	Remedies []Remedy `json:"remedies"` // the least effort first
	// Unsearched are ways that were not looked for to the end, with why: of these nothing is known.
	Unsearched []string `json:"unsearched,omitempty"`
}

// Fit checks a boat on a mooring, and where she does not fit looks for ways out. m is the mooring with the boat tried on it; the boat that
// lies there on file, if any, is taken to go. lengths are those of the field, or nil: then swaps are not looked for. Stopped, it gives the
// ways that it has with ctx.Err(), and Unsearched tells the rest.
func Fit(ctx context.Context, w *Water, m geo.Mooring, lengths *Lengths) (Fitting, error) {
	f := w.field
	answer := Fitting{Fit: f.Fit(m), Remedies: []Remedy{}}
	i, onFile := f.Index(m.Number)
	switch {
	case onFile && lengths != nil:
		answer.LargestM = lengths.At(i)
	default:
		answer.LargestM = Largest(f, &m)
	}
	if l, _ := m.Boat.SwingLength(); answer.Outcome == clearance.Fits || !l.IsKnown() {
		return answer, nil
	}
	o := remedySearch{water: w, field: f, m: m, lengths: lengths, fit: &answer.Fit}
	o.suited, o.parts, o.suits = suited(f, m)
	for _, look := range []func(context.Context){o.tackle, o.rode, o.places, o.neighbours, o.swaps, o.anchor} {
		if ctx.Err() != nil {
			o.unsearched = append(o.unsearched, "ended before all ways out were looked for")
			break
		}
		look(ctx)
	}
	answer.Unsearched = o.unsearched
	slices.SortStableFunc(o.remedies, func(a, b Remedy) int {
		return cmp.Compare(slices.Index(effort, a.Kind), slices.Index(effort, b.Kind))
	})
	answer.Remedies = append(answer.Remedies, o.remedies...)
	if len(answer.Remedies) > 0 && answer.Outcome == clearance.DoesNotFit {
		answer.Outcome = clearance.FitsIf
		answer.Words.Feet += " It would fit with " + answer.Remedies[0].Words.Feet + "."
		answer.Words.Metres += " It would fit with " + answer.Remedies[0].Words.Metres + "."
	}
	return answer, ended(ctx)
}

// remedySearch looks for ways out for one boat.
type remedySearch struct {
	water    *Water
	field    *clearance.Field
	m        geo.Mooring
	suited   geo.Mooring // with the tackle that she needs
	parts    []phrase    // what of it is new
	suits    bool        // whether there is such a tackle
	lengths  *Lengths
	fit      *clearance.Fit
	remedies []Remedy
	// unsearched are ways that were not looked for to the end.
	unsearched []string
}

func (o *remedySearch) add(kind RemedyKind, words phrase, at string, changed ...geo.Mooring) {
	o.remedies = append(o.remedies, Remedy{ID: remedyID(kind, at, changed), Kind: kind, Words: geo.WordsOf(words), Mooring: at,
		Moorings: changed,
		Remains:  o.remains(changed)})
}

// remains are the troubles of the changed moorings with all of it in place.
func (o *remedySearch) remains(changed []geo.Mooring) []clearance.Finding {
	all := []clearance.Finding{}
	f, err := laid(o.field, changed)
	if err != nil {
		return all
	}
	for _, m := range changed {
		if m.Boat == nil {
			continue
		}
		fit := f.Fit(m)
		for _, v := range fit.Against() {
			all = append(all, clearance.Finding{Mooring: m.Number, Verdict: v})
		}
	}
	return all
}

// laid is a field with some moorings changed.
func laid(f *clearance.Field, changed []geo.Mooring) (*clearance.Field, error) {
	for _, m := range changed {
		var err error
		if f, err = f.With(m); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// proved reports whether all of some changed moorings fit with all of them in place.
func proved(f *clearance.Field, changed ...geo.Mooring) bool {
	f, err := laid(f, changed)
	if err != nil {
		return false
	}
	for _, m := range changed {
		if m.Boat != nil && f.Outcome(m, f.Rules(&m)) != clearance.Fits {
			return false
		}
	}
	return true
}

// withParts adds to a phrase what is new of a tackle.
func withParts(words phrase, parts []phrase) phrase {
	if len(parts) == 0 {
		return words
	}
	return say("%s, with %s", words, joined(parts))
}

func joined(parts []phrase) phrase {
	return func(u geo.Units) string {
		text := ""
		for i, p := range parts {
			switch {
			case i == 0:
			case i == len(parts)-1:
				text += " and "
			default:
				text += ", "
			}
			text += p(u)
		}
		return text
	}
}

// tackle: stronger parts alone.
func (o *remedySearch) tackle(context.Context) {
	if o.suits && len(o.parts) > 0 && proved(o.field, o.suited) {
		o.add(OtherTackle, joined(o.parts), o.m.Number, o.suited)
	}
}

// rode: the longest that keeps her clear, or the shortest that reaches, with parts to match.
func (o *remedySearch) rode(context.Context) {
	rode, _ := o.m.Tackle.RodeLength()
	l0, known := rode.Get()
	depth, depthKnown := o.field.DepthOf(&o.m).Get()
	if !known || !depthKnown || o.m.StatedRadius.IsKnown() {
		return
	}
	at := func(l geo.Metres) geo.Mooring {
		m := o.m
		m.Tackle = shortened(m.Tackle, l0-l)
		return m
	}
	high := o.field.Harbor().Levels.Or(geo.Levels{}).High
	lo := geo.Metres(leastScope) * max(0, depth+high)
	if lo > l0 { // it is too short as it is: the least that reaches, and no shorter than is proposed
		for l := lo; l < longestScope*lo; l *= longerRatio {
			if o.laidOut(geo.Metres(math.Ceil(float64(l)*10)/10), l0, at) {
				return
			}
		}
		return
	}
	keepsClear := func(l geo.Metres) bool { return o.field.FitWater(at(l)) == clearance.Fits }
	if keepsClear(l0) || !keepsClear(lo) {
		return
	}
	l := longest(lo, l0, keepsClear)
	if whole := geo.Metres(math.Floor(float64(l)*10) / 10); keepsClear(whole) {
		l = whole
	}
	o.laidOut(l, l0, at)
}

// A rode that is too short is lengthened in steps of a twelfth, to no more than twice the least that is proposed; common practice, no
// source.
const (
	longerRatio  = 1 + 1.0/12
	longestScope = 2.0
)

// laidOut proposes a rode of another length with the parts that it needs: how hard they are pulled, and how steeply the anchor, goes by the
// length.
func (o *remedySearch) laidOut(l, l0 geo.Metres, at func(geo.Metres) geo.Mooring) bool {
	m, parts, ok := suited(o.field, at(l))
	if !ok || !proved(o.field, m) {
		return false
	}
	o.add(OtherRode, withParts(say("a rode of %s in place of %s", inUnits(l), inUnits(l0)), parts), o.m.Number, m)
	return true
}

// mostPlaces is how many other places, and how many swaps, are told.
const mostPlaces = 5

// left is a mooring after its boat has gone.
func left(m geo.Mooring) geo.Mooring {
	m.Boat, m.Status = nil, geo.Vacant
	return m
}

// places: the vacant moorings on which she fits, the nearest first. Her own is left as it is without her.
func (o *remedySearch) places(ctx context.Context) {
	h := o.field.Harbor()
	var vacant []int
	for i := range h.Moorings {
		v := &h.Moorings[i]
		if v.Status == geo.Vacant && v.Number != o.m.Number && allowed(o.field, v, o.m.Boat) && (o.lengths == nil || o.roomy(i, o.m.Boat)) {
			vacant = append(vacant, i)
		}
	}
	slices.SortStableFunc(vacant, func(a, b int) int {
		return cmp.Compare(geo.Distance(o.m.Position, h.Moorings[a].Position), geo.Distance(o.m.Position, h.Moorings[b].Position))
	})
	told := 0
	for _, i := range vacant {
		m, parts, ok := suited(o.field, on(&h.Moorings[i], o.m.Boat))
		if told == mostPlaces || ctx.Err() != nil {
			return
		}
		if ok && proved(o.field, m) {
			told++
			o.add(OtherPlace, withParts(say("the vacant mooring %s, %s away", m.Number, inUnits(geo.Distance(o.m.Position, m.Position))),
				parts), m.Number, m)
		}
	}
}

// roomy reports whether a mooring may take a boat of such a length at all: what it takes at the most is worked out for a boat of common
// draft and height, so half a metre more is looked at too.
func (o *remedySearch) roomy(i int, b *geo.Boat) bool {
	const spareM = 0.5
	l, _ := b.SwingLength()
	return o.lengths.At(i)+spareM >= float64(l.Or(0))
}

// anchor: the nearest place in her area at which she fits on the tackle that suits her.
func (o *remedySearch) anchor(ctx context.Context) {
	const farthestM = 150
	if !o.suits || o.m.Area == "" {
		return
	}
	q, err := o.water.Ask(Ask{Boat: *o.m.Boat, Area: o.m.Area, Tackle: o.suited.Tackle, Radius: o.suited.StatedRadius,
		Without: []string{o.m.Number}})
	if err != nil {
		return
	}
	region, err := q.Region(ctx)
	if err != nil {
		o.unsearched = append(o.unsearched, "moving the anchor: "+err.Error())
		return
	}
	from := o.field.Frame().Project(o.m.Position)
	at, ok := region.nearest(from)
	if !ok || lengthM(at.Sub(from)) > farthestM {
		return
	}
	m := o.suited
	m.Position, m.Depth = o.field.Frame().Position(at), geo.Maybe[geo.Metres]{}
	d, bearing := geo.Geodesic(o.m.Position, m.Position)
	if proved(o.field, m) {
		o.add(AnchorMoved, withParts(say("the anchor moved %s on %03.0f° true", inUnits(d), math.Mod(bearing+360, 360)), o.parts), m.Number,
			m)
	}
}

// nearest is the place of the region nearest to another, a hand's breadth inside its edge so that rounding cannot put it out.
func (r *Region) nearest(from geo.Offset) (best geo.Offset, ok bool) {
	leastM := math.Inf(1)
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				along := ring[i].Sub(ring[i-1])
				share, square := 0.0, along.EastM*along.EastM+along.NorthM*along.NorthM
				if square > 0 {
					to := from.Sub(ring[i-1])
					share = max(0, min(1, (to.EastM*along.EastM+to.NorthM*along.NorthM)/square))
				}
				at := ring[i-1].Plus(along.Times(share))
				if m := lengthM(at.Sub(from)); m < leastM {
					// The region lies on the left of its rings.
					inwards := geo.Offset{EastM: -along.NorthM, NorthM: along.EastM}
					const insideM = 0.1
					leastM, best, ok = m, at.Plus(inwards.Times(insideM/max(1e-9, lengthM(along)))), true
				}
			}
		}
	}
	return best, ok
}
