package room

import (
	"cmp"
	"context"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Fitting is the fit check with ways out.
type Fitting struct {
	clearance.Fit
	// Largest is the longest boat that the mooring can take.
	LargestM float64  `json:"largest_m"`
	Remedies []Remedy `json:"remedies"` // the least effort first
	// Unsearched are ways that were not looked for to the end, with why: of these nothing is known.
	Unsearched []string `json:"unsearched,omitempty"`
}

// Fit checks a boat on a mooring, and where it does not fit looks for ways out. m is the mooring with the boat tried on it; the boat that
// lies there on file, if any, is taken to go. lengths are those of the field, or nil: then swaps are not looked for. Stopped, it gives the
// ways that it has with ctx.Err(), and Unsearched tells the rest.
func Fit(ctx context.Context, w *Water, m geo.Mooring, lengths *Lengths) (Fitting, error) {
	answer := Fitting{Fit: w.field.Fit(m), LargestM: largestOn(w.field, &m, lengths), Remedies: []Remedy{}}
	if l, _ := m.Boat.SwingLength(); answer.Outcome == clearance.Fits || !l.IsKnown() {
		return answer, nil
	}
	o := remedySearch{water: w, field: w.field, m: m, lengths: lengths, fit: &answer.Fit}
	o.suited, o.parts, o.suits = suited(w.field, m)
	o.run(ctx)
	answer.Unsearched = o.unsearched
	answer.Remedies = append(answer.Remedies, o.remedies...)
	if len(answer.Remedies) > 0 && answer.Outcome == clearance.DoesNotFit {
		answer.Outcome = clearance.FitsIf
		answer.Words = geo.WordsOf(func(u geo.Units) string {
			return answer.Fit.Words.In(u) + " It would fit with " + answer.Remedies[0].Words.In(u) + "."
		})
	}
	return answer, ended(ctx)
}

// largestOn is the longest boat that a mooring takes: worked out before where it is on file.
func largestOn(f *clearance.Field, m *geo.Mooring, lengths *Lengths) float64 {
	if i, onFile := f.Index(m.Number); onFile && lengths != nil {
		return lengths.At(i)
	}
	return Largest(f, m)
}

// remedySearch looks for ways out for one boat.
type remedySearch struct {
	water    *Water
	field    *clearance.Field
	m        geo.Mooring
	suited   geo.Mooring // with the tackle that the boat needs
	parts    []phrase    // what of it is new
	suits    bool        // whether there is such a tackle
	lengths  *Lengths
	fit      *clearance.Fit
	remedies []Remedy
	// unsearched are ways that were not looked for to the end.
	unsearched []string
}

func (o *remedySearch) moorings() []geo.Mooring { return o.field.Harbor().Moorings }

// run looks for every kind of way, and puts those that there are in the order of their effort.
func (o *remedySearch) run(ctx context.Context) {
	for _, look := range []func(context.Context){o.tackle, o.rode, o.places, o.neighbours, o.swaps, o.anchor} {
		if ctx.Err() != nil {
			o.unsearched = append(o.unsearched, "ended before all ways out were looked for")
			break
		}
		look(ctx)
	}
	slices.SortStableFunc(o.remedies, func(a, b Remedy) int {
		return cmp.Compare(slices.Index(effort, a.Kind), slices.Index(effort, b.Kind))
	})
}

// add keeps a way out: the boat then lies on the mooring at, and all of changed is changed.
func (o *remedySearch) add(kind RemedyKind, words phrase, at string, changed ...geo.Mooring) {
	o.remedies = append(o.remedies, Remedy{ID: remedyID(kind, at, changed), Kind: kind, Words: geo.WordsOf(words), Mooring: at,
		Moorings: changed, Remains: remains(o.field, changed)})
}

// tackle: stronger parts alone.
func (o *remedySearch) tackle(context.Context) {
	if o.suits && len(o.parts) > 0 && proved(o.field, o.suited) {
		o.add(OtherTackle, joined(o.parts), o.m.Number, o.suited)
	}
}

// rode: the longest that keeps the boat clear, or the shortest that reaches, with parts to match.
func (o *remedySearch) rode(context.Context) {
	r, ok := rodeOf(o.field, &o.m, o.field.DepthOf(&o.m))
	switch {
	case !ok:
	case r.shortest > r.length:
		o.longerRode(&r)
	default:
		o.shorterRode(&r)
	}
}

// A rode that is too short is lengthened in steps of a twelfth, to no more than twice the least that is proposed; common practice, no
// source.
const (
	longerRatio  = 1 + 1.0/12
	longestScope = 2.0
)

// longerRode proposes the least rode that reaches, and none shorter than is proposed.
func (o *remedySearch) longerRode(r *mooringRode) {
	for l := r.shortest; l < longestScope*r.shortest; l *= longerRatio {
		if o.addRode(r, wholeAbove(l)) {
			return
		}
	}
}

// shorterRode proposes the longest rode that keeps the boat clear, in whole decimetres where that does.
func (o *remedySearch) shorterRode(r *mooringRode) {
	keepsClear := func(l geo.Metres) bool { return o.field.FitWater(r.on(l)) == clearance.Fits }
	if keepsClear(r.length) || !keepsClear(r.shortest) {
		return
	}
	l := longest(r.shortest, r.length, keepsClear)
	if whole := wholeBelow(l); keepsClear(whole) {
		l = whole
	}
	o.addRode(r, l)
}

// addRode proposes a rode of another length with the parts that it needs: how hard they are pulled, and how steeply the anchor, goes by the
// length. It reports whether the boat then fits.
func (o *remedySearch) addRode(r *mooringRode, l geo.Metres) bool {
	m, parts, ok := suited(o.field, r.on(l))
	if !ok || !proved(o.field, m) {
		return false
	}
	o.add(OtherRode, withParts(say("a rode of %s in place of %s", inUnits(l), inUnits(r.length)), parts), o.m.Number, m)
	return true
}

// maxPlaces is how many other places, and how many swaps, are told: a list that is read at a glance.
const maxPlaces = 5

// places: the vacant moorings on which the boat fits, the nearest first. Its own is left as it is without it.
func (o *remedySearch) places(ctx context.Context) {
	told := 0
	for _, v := range o.vacantByDistance() {
		m, parts, ok := suited(o.field, on(v, o.m.Boat))
		if told == maxPlaces || ctx.Err() != nil {
			return
		}
		if ok && proved(o.field, m) {
			told++
			away := inUnits(geo.Distance(o.m.Position, m.Position))
			o.add(OtherPlace, withParts(say("the vacant mooring %s, %s away", m.Number, away), parts), m.Number, m)
		}
	}
}

// vacantByDistance are the vacant moorings that may take the boat, the nearest first.
func (o *remedySearch) vacantByDistance() (vacant []*geo.Mooring) {
	for i := range o.moorings() {
		if v := &o.moorings()[i]; v.Status == geo.Vacant && v.Number != o.m.Number && o.mayTake(i, o.m.Boat) {
			vacant = append(vacant, v)
		}
	}
	slices.SortStableFunc(vacant, func(a, b *geo.Mooring) int {
		return cmp.Compare(geo.Distance(o.m.Position, a.Position), geo.Distance(o.m.Position, b.Position))
	})
	return vacant
}

// mayTake reports whether a mooring may take a boat of such a length and draft at all.
func (o *remedySearch) mayTake(i int, b *geo.Boat) bool {
	return allowed(o.field, &o.moorings()[i], b) && (o.lengths == nil || o.roomy(i, b))
}

// roomy reports whether a mooring may be large enough for a boat: what it takes at the most is worked out for a boat of common draft and
// height, so a little more is looked at too.
func (o *remedySearch) roomy(i int, b *geo.Boat) bool {
	const spareM = 0.5 // too much costs time alone: the full check proves or refutes every boat
	l, _ := b.SwingLength()
	return o.lengths.At(i)+spareM >= float64(l.Or(0))
}

// anchor: the nearest place in the boat's area at which it fits on the tackle that suits it.
func (o *remedySearch) anchor(ctx context.Context) {
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
	const farthestM = 150 // beyond it the owner has another mooring, and not the same one moved
	from := o.field.Frame().Project(o.m.Position)
	if at, ok := region.nearest(from); ok && lengthM(at.Sub(from)) <= farthestM {
		o.addAnchor(at)
	}
}

// addAnchor proposes the anchor at another place.
func (o *remedySearch) addAnchor(at geo.Offset) {
	m := o.suited
	m.Position, m.Depth = o.field.Frame().Position(at), geo.Maybe[geo.Metres]{}
	if !proved(o.field, m) {
		return
	}
	d, bearing := geo.Geodesic(o.m.Position, m.Position)
	words := say("the anchor moved %s on %03.0f° true", inUnits(d), bearingDeg(bearing))
	o.add(AnchorMoved, withParts(words, o.parts), m.Number, m)
}
