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
	n := o.field.Harbor().Moorings[i]
	o.neighbourRode(i, n)
	if n.Boat == nil {
		return
	}
	// Without that boat, would she fit at all?
	away := left(n)
	away.LargestLOA, away.LargestDraft, away.StatedRadius = geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}, geo.Maybe[geo.Metres]{}
	if !proved(o.field, away, o.suited) {
		return
	}
	o.neighbourAway(n, away)
	o.neighbourSmaller(ctx, i, n)
}

func (o *remedySearch) neighbourRode(i int, n geo.Mooring) {
	rode, _ := n.Tackle.RodeLength()
	l0, known := rode.Get()
	depth, depthKnown := o.field.Depth(i).DepthM.Get()
	if !known || !depthKnown || n.StatedRadius.IsKnown() {
		return
	}
	high := o.field.Harbor().Levels.Or(geo.Levels{}).High
	lo, hi := geo.Metres(leastScope)*max(0, depth+high), l0
	at := func(l geo.Metres) geo.Mooring {
		m := n
		m.Tackle = shortened(m.Tackle, l0-l)
		return m
	}
	fits := func(l geo.Metres) bool {
		g, err := o.field.With(at(l))
		return err == nil && g.Outcome(o.suited, g.Rules(&o.suited)) == clearance.Fits
	}
	if lo >= hi || !fits(lo) {
		return
	}
	if lo = longest(lo, hi, fits); notWorse(o.field, at(lo)) {
		o.add(NeighbourShorter, withParts(say("%s on a rode of %s in place of %s", n.Number, inUnits(lo), inUnits(l0)), o.parts),
			o.m.Number, at(lo), o.suited)
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
	is := f.Fit(f.Harbor().Moorings[i])
	before := is.Against()
	would := f.Fit(changed)
	return !slices.ContainsFunc(would.Against(), func(v clearance.Verdict) bool {
		return !slices.ContainsFunc(before, func(b clearance.Verdict) bool {
			return b.Constraint == v.Constraint && b.Of == v.Of && b.KeepOut == v.KeepOut && !(v.Spare.Or(0) < b.Spare.Or(0)-worseM) &&
				(b.Fits.IsKnown() || !v.Fits.IsKnown())
		})
	})
}

func (o *remedySearch) neighbourAway(n, away geo.Mooring) {
	h := o.field.Harbor()
	for i := range h.Moorings {
		v := &h.Moorings[i]
		if v.Status != geo.Vacant || !allowed(o.field, v, n.Boat) || o.lengths != nil && !o.roomy(i, n.Boat) {
			continue
		}
		m, parts, ok := suited(o.field, on(v, n.Boat))
		if ok && proved(o.field, away, m, o.suited) {
			words := say("the boat of %s moved to the vacant mooring %s, where it fits%s", n.Number, v.Number, orNothing(parts))
			o.add(NeighbourAway, withParts(words, o.parts), o.m.Number, away, m, o.suited)
			return
		}
	}
}

func orNothing(parts []phrase) phrase {
	if len(parts) == 0 {
		return say("")
	}
	return say(" there with %s", joined(parts))
}

// neighbourSmaller exchanges the neighbour's boat with a smaller one whose mooring can take it.
func (o *remedySearch) neighbourSmaller(ctx context.Context, i int, n geo.Mooring) {
	if o.lengths == nil {
		return
	}
	h := o.field.Harbor()
	hers, _ := n.Boat.SwingLength()
	tries := 0
	for _, k := range o.byDistance(n.Position) {
		other := h.Moorings[k]
		l, _ := boatLength(&other)
		if k == i || other.Number == o.m.Number || other.Boat == nil || l >= hers.Or(0) || l == 0 || !o.roomy(k, n.Boat) ||
			!allowed(o.field, &other, n.Boat) || !allowed(o.field, &n, other.Boat) {
			continue
		}
		if tries++; tries > mostTries || ctx.Err() != nil {
			return
		}
		here, partsHere, ok := suited(o.field, on(&n, other.Boat))
		there, partsThere, ok2 := suited(o.field, on(&other, n.Boat))
		if ok && ok2 && proved(o.field, here, there, o.suited) {
			words := say("the boats of %s and %s changing places%s", n.Number, other.Number, orNothing(append(partsHere, partsThere...)))
			o.add(NeighbourSmaller, withParts(words, o.parts), o.m.Number, here, there, o.suited)
			return
		}
	}
}

// mostTries is how many exchanges of one kind are proved or refuted before the search gives up.
const mostTries = 12

func boatLength(m *geo.Mooring) (geo.Metres, bool) {
	if m.Boat == nil {
		return 0, false
	}
	l, _ := m.Boat.SwingLength()
	return l.Get()
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

// swaps of two, and rings of three, that suit every boat: the boat that lies on the mooring on file is taken to go, so only she herself
// needs a place if she is on file elsewhere; without that nobody gains by a swap.
func (o *remedySearch) swaps(ctx context.Context) {
	h := o.field.Harbor()
	mine, onFile := o.field.Index(o.m.Number)
	if o.lengths == nil || !onFile {
		return
	}
	_, _ = o.lengths.All(ctx, nil) // on all cores: nearly all of them are asked for
	order := o.byDistance(o.m.Position)
	var takes []int // moorings with a boat that could take hers
	told, tries := 0, 0
	for _, i := range order {
		n := &h.Moorings[i]
		if i == mine || n.Boat == nil || !o.roomy(i, o.m.Boat) || !allowed(o.field, n, o.m.Boat) {
			continue
		}
		takes = append(takes, i)
		if told >= mostPlaces || tries >= mostTries || !o.roomy(mine, n.Boat) || !allowed(o.field, &h.Moorings[mine], n.Boat) ||
			ctx.Err() != nil {
			continue
		}
		tries++
		if o.swap(mine, i) {
			told++
		}
	}
	if told > 0 {
		return // a ring of three is more work than a swap of two
	}
	o.rings(ctx, mine, takes, order)
}

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

// rings: she to n, the boat of n to k, the boat of k to hers.
func (o *remedySearch) rings(ctx context.Context, mine int, takes, order []int) {
	h := o.field.Harbor()
	tries := 0
	for _, n := range takes {
		for _, k := range order {
			a, b := &h.Moorings[n], &h.Moorings[k]
			if k == n || k == mine || b.Boat == nil || !o.roomy(k, a.Boat) || !allowed(o.field, b, a.Boat) || !o.roomy(mine, b.Boat) ||
				!allowed(o.field, &h.Moorings[mine], b.Boat) {
				continue
			}
			if tries++; tries > mostTries || ctx.Err() != nil {
				return
			}
			one, p1, ok1 := suited(o.field, on(a, o.m.Boat))
			two, p2, ok2 := suited(o.field, on(b, a.Boat))
			three, p3, ok3 := suited(o.field, on(&h.Moorings[mine], b.Boat))
			if ok1 && ok2 && ok3 && proved(o.field, three, two, one) {
				words := say("a ring of three: this boat to %s, %s to %s, %s to %s", a.Number, boatName(a), b.Number, boatName(b),
					o.m.Number)
				o.add(Ring, withParts(words, append(append(p1, p2...), p3...)), a.Number, one, two, three)
				return
			}
		}
	}
}

func boatName(m *geo.Mooring) string {
	if m.Boat.Name != "" {
		return m.Boat.Name
	}
	return "the boat of " + m.Number
}

func named(m *geo.Mooring) phrase {
	l, _ := boatLength(m)
	return say("%s (%s, %s)", m.Number, boatName(m), inUnits(l))
}
