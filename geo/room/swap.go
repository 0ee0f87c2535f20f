package room

import (
	"cmp"
	"context"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// inTheWay are the neighbours that the fit check does not let pass.
func (o *remedySearch) inTheWay() (numbers []string) {
	for _, v := range o.fit.Verdicts {
		if v.Constraint == clearance.ByNeighbour && !v.Fits.Or(false) {
			numbers = append(numbers, v.Of)
		}
	}
	return numbers
}

// neighbours: what the one neighbour that is in the way could do: a shorter rode, a vacant mooring, a place exchanged with a smaller
// boat's.
func (o *remedySearch) neighbours(ctx context.Context) {
	numbers := o.inTheWay()
	if len(numbers) != 1 || !o.suits {
		return
	}
	i, ok := o.field.Index(numbers[0])
	if !ok {
		return
	}
	n := o.moorings()[i]
	o.neighbourRode(i)
	if n.Boat == nil || !proved(o.field, emptied(n), o.suited) { // without that boat, would this one fit at all?
		return
	}
	o.neighbourAway(n, emptied(n))
	o.neighbourSmaller(ctx, i, n)
}

// neighbourRode proposes the longest rode of the neighbour with which the boat fits.
func (o *remedySearch) neighbourRode(i int) {
	r, ok := rodeOf(o.field, &o.moorings()[i], o.field.Depth(i).DepthM)
	fits := func(l geo.Metres) bool {
		g, err := o.field.With(r.on(l))
		return err == nil && g.Outcome(o.suited, g.Rules(&o.suited)) == clearance.Fits
	}
	if !ok || r.shortest >= r.length || !fits(r.shortest) {
		return
	}
	l := longest(r.shortest, r.length, fits)
	if notWorse(o.field, r.on(l)) {
		words := say("%s on a rode of %s in place of %s", r.mooring.Number, inUnits(l), inUnits(r.length))
		o.add(NeighbourShorter, withParts(words, o.parts), o.m.Number, r.on(l), o.suited)
	}
}

// worseM is what rounding may make of a figure that a change leaves as it is.
const worseM = 1e-6

// notWorse reports whether a mooring that is changed breaks nothing that it does not break as it is, and nothing by more. A neighbour may
// have faults of its own, which a shorter rode need not mend.
func notWorse(f *clearance.Field, changed geo.Mooring) bool {
	if changed.Boat == nil {
		return true
	}
	i, _ := f.Index(changed.Number)
	is, would := f.Fit(f.Harbor().Moorings[i]), f.Fit(changed)
	before := is.Against()
	return !slices.ContainsFunc(would.Against(), func(v clearance.Verdict) bool {
		return !slices.ContainsFunc(before, func(b clearance.Verdict) bool { return noWorseThan(&v, &b) })
	})
}

// noWorseThan reports whether a verdict is one that was there before, and by no more.
func noWorseThan(v, before *clearance.Verdict) bool {
	same := before.Constraint == v.Constraint && before.Of == v.Of && before.KeepOut == v.KeepOut
	return same && !(v.Spare.Or(0) < before.Spare.Or(0)-worseM) && (before.Fits.IsKnown() || !v.Fits.IsKnown())
}

// neighbourAway proposes a vacant mooring for the neighbour's boat.
func (o *remedySearch) neighbourAway(n, away geo.Mooring) {
	moorings := o.field.Harbor().Moorings
	for i := range moorings {
		v := &moorings[i]
		if v.Status != geo.Vacant || !o.mayTake(i, n.Boat) {
			continue
		}
		m, parts, ok := suited(o.field, on(v, n.Boat))
		if ok && proved(o.field, away, m, o.suited) {
			words := say("the boat of %s moved to the vacant mooring %s, where it fits%s", n.Number, v.Number, thereWith(parts))
			o.add(NeighbourAway, withParts(words, o.parts), o.m.Number, away, m, o.suited)
			return
		}
	}
}

// neighbourSmaller exchanges the neighbour's boat with a smaller one whose mooring can take it.
func (o *remedySearch) neighbourSmaller(ctx context.Context, i int, n geo.Mooring) {
	if o.lengths == nil {
		return
	}
	tries := 0
	for _, k := range o.byDistance(n.Position) {
		if k == i || !o.mayExchange(&n, k) {
			continue
		}
		if tries++; tries > maxTries || ctx.Err() != nil {
			return
		}
		if o.exchange(n, &o.moorings()[k]) {
			return
		}
	}
}

// mayExchange reports whether a mooring has a boat smaller than the neighbour's, and each might take the other's.
func (o *remedySearch) mayExchange(n *geo.Mooring, k int) bool {
	other := &o.moorings()[k]
	l := boatLength(other)
	return other.Number != o.m.Number && l > 0 && l < boatLength(n) && o.mayTake(k, n.Boat) && allowed(o.field, n, other.Boat)
}

// exchange proposes that two boats change places; false where that does not help.
func (o *remedySearch) exchange(n geo.Mooring, other *geo.Mooring) bool {
	here, partsHere, ok := suited(o.field, on(&n, other.Boat))
	there, partsThere, ok2 := suited(o.field, on(other, n.Boat))
	if !ok || !ok2 || !proved(o.field, here, there, o.suited) {
		return false
	}
	words := say("the boats of %s and %s changing places%s", n.Number, other.Number, thereWith(append(partsHere, partsThere...)))
	o.add(NeighbourSmaller, withParts(words, o.parts), o.m.Number, here, there, o.suited)
	return true
}

// maxTries is how many exchanges of one kind are proved or refuted before the search gives up: the nearest that may do are the likeliest,
// and who asks waits for all of them.
const maxTries = 12

// boatLength is the length of the boat on a mooring; 0 where there is none, or it is not known.
func boatLength(m *geo.Mooring) geo.Metres {
	if m.Boat == nil {
		return 0
	}
	l, _ := m.Boat.SwingLength()
	return l.Or(0)
}

// byDistance are the moorings from a position, nearest first.
func (o *remedySearch) byDistance(p geo.Position) []int {
	h := o.field.Harbor()
	at := o.field.Frame().Project(p)
	order, awayM := make([]int, len(h.Moorings)), make([]float64, len(h.Moorings))
	for i := range order {
		order[i], awayM[i] = i, lengthM(o.field.Frame().Project(h.Moorings[i].Position).Sub(at))
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(awayM[a], awayM[b]) })
	return order
}

// swaps of two, and rings of three, that suit every boat: the boat that lies on the mooring on file is taken to go, so only the boat that
// is tried needs a place if it is on file elsewhere; without that nobody gains by a swap.
func (o *remedySearch) swaps(ctx context.Context) {
	mine, onFile := o.field.Index(o.m.Number)
	if o.lengths == nil || !onFile {
		return
	}
	_, _ = o.lengths.All(ctx, nil) // on all cores: nearly all of them are asked for
	order := o.byDistance(o.m.Position)
	takes := slices.DeleteFunc(slices.Clone(order), func(i int) bool { return i == mine || !o.hasBoat(i) || !o.mayTake(i, o.m.Boat) })
	told, tries := 0, 0
	for _, i := range takes {
		if told >= maxPlaces || tries >= maxTries || !o.mayTake(mine, o.boatOf(i)) || ctx.Err() != nil {
			continue
		}
		tries++
		if o.swap(mine, i) {
			told++
		}
	}
	if told == 0 { // a ring of three is more work than a swap of two
		o.rings(ctx, mine, takes, order)
	}
}

func (o *remedySearch) boatOf(i int) *geo.Boat { return o.moorings()[i].Boat }

func (o *remedySearch) hasBoat(i int) bool { return o.boatOf(i) != nil }

// swap proposes that the boat changes places with that of the i-th mooring; false where that does not help.
func (o *remedySearch) swap(mine, i int) bool {
	h := o.field.Harbor()
	there, parts, ok := suited(o.field, on(&h.Moorings[i], o.m.Boat))
	here, partsHere, ok2 := suited(o.field, on(&h.Moorings[mine], h.Moorings[i].Boat))
	if !ok || !ok2 || !proved(o.field, here, there) {
		return false
	}
	o.add(Swapped, withParts(say("a swap with %s", named(&h.Moorings[i])), append(parts, partsHere...)), there.Number, there, here)
	return true
}

// rings: this boat to n, the boat of n to k, the boat of k to this one's.
func (o *remedySearch) rings(ctx context.Context, mine int, takes, order []int) {
	tries := 0
	for _, n := range takes {
		for _, k := range order {
			if k == n || k == mine || !o.hasBoat(k) || !o.mayPass(mine, n, k) {
				continue
			}
			if tries++; tries > maxTries || ctx.Err() != nil {
				return
			}
			if o.ring(mine, n, k) {
				return
			}
		}
	}
}

// mayPass reports whether the boat of n may go to k, and that of k to this one's. Nearly every pair is refused, so the lengths, which are
// worked out by now, are looked up before the rules are.
func (o *remedySearch) mayPass(mine, n, k int) bool {
	toK, toMine := o.boatOf(n), o.boatOf(k)
	return o.roomy(k, toK) && o.roomy(mine, toMine) && o.mayTake(k, toK) && o.mayTake(mine, toMine)
}

// ring proposes a ring of three; false where that does not help.
func (o *remedySearch) ring(mine, n, k int) bool {
	h := o.field.Harbor()
	a, b := &h.Moorings[n], &h.Moorings[k]
	one, p1, ok1 := suited(o.field, on(a, o.m.Boat))
	two, p2, ok2 := suited(o.field, on(b, a.Boat))
	three, p3, ok3 := suited(o.field, on(&h.Moorings[mine], b.Boat))
	if !ok1 || !ok2 || !ok3 || !proved(o.field, three, two, one) {
		return false
	}
	words := say("a ring of three: this boat to %s, %s to %s, %s to %s", a.Number, boatName(a), b.Number, boatName(b), o.m.Number)
	o.add(Ring, withParts(words, slices.Concat(p1, p2, p3)), a.Number, one, two, three)
	return true
}

func boatName(m *geo.Mooring) string {
	if m.Boat.Name != "" {
		return m.Boat.Name
	}
	return "the boat of " + m.Number
}

// named is a mooring by its number, its boat and the boat's length.
func named(m *geo.Mooring) phrase {
	return say("%s (%s, %s)", m.Number, boatName(m), inUnits(boatLength(m)))
}
