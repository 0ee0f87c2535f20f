package room

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"swingroom/geo"
)

// What the parts of a search count in its progress.
const (
	partsReady   = 30
	partsFill    = 10
	partsWalk    = 100
	partsLattice = latticeSpacings*latticeTurns + latticeFinals
)

// How much is tried: fillings from different starts, walks from the best of them, and how many times each walk moves an anchor: so many for
// each boat and some more, and no more than maxMoves. It is counted and not timed, so that the same question has the same answer on every
// machine.
const (
	fillings  = 6
	walks     = 4
	boatMoves = 14_000
	maxMoves  = 2_500_000
	seed      = 1969
)

// fillings are layouts by corners: the strictest first, and then some with a little chance in them.
func (y *site) fillings(ctx context.Context, layout []anchor, p *progress) [][]anchor {
	all := make([][]anchor, fillings)
	onAllCores(fillings, func(n int) {
		all[n] = y.fill(ctx, layout, y.everywhere(0.1*float64(n), rand.New(rand.NewPCG(seed, uint64(n)))))
		p.did(ctx, partsFill)
	})
	return all
}

// filled is a layout with as many more boats as find room by corners.
func (y *site) filled(ctx context.Context, layout []anchor, p *progress) []anchor {
	defer p.did(ctx, partsFill)
	return y.fill(ctx, layout, y.everywhere(0, nil))
}

// search walks from the best of some layouts, on all cores, moving anchors so many times for each boat, and gives the best layout that it
// comes to. No layout holds more than maxCount new boats.
func (y *site) search(ctx context.Context, starts [][]anchor, maxCount, perBoat int, p *progress) []anchor {
	more := func(a, b []anchor) int { return cmp.Compare(added(b), added(a)) }
	slices.SortStableFunc(starts, more)
	if len(y.samples.places) == 0 {
		return starts[0]
	}
	ends := make([][]anchor, walks)
	onAllCores(walks, func(n int) {
		w := walker{relaxation: relaxation{site: y}, random: rand.New(rand.NewPCG(seed, uint64(100+n))), progress: p, maxCount: maxCount}
		start := starts[min(n, len(starts)-1)]
		ends[n] = w.walk(ctx, start, min(maxMoves, perBoat*(len(start)+20)))
	})
	slices.SortStableFunc(ends, more)
	return ends[0]
}

// walker tries to bring one more boat into a layout, again and again. What it does follows from its seed alone.
type walker struct {
	relaxation
	random   *rand.Rand
	progress *progress
	maxCount int // no layout holds more new boats
	reported int // of the walk's parts
}

// maxSteps end a relaxation that goes on getting better too slowly.
const maxSteps = 2000

// added is how many of a layout's boats are new.
func added(layout []anchor) (n int) {
	for i := range layout {
		if layout[i].class == 0 {
			n++
		}
	}
	return n
}

// walk betters a layout until so many anchors were moved, and gives the best.
func (w *walker) walk(ctx context.Context, layout []anchor, budget int) []anchor {
	const (
		tryCost     = 20 // moves of each anchor: what is tried costs something even where it fails at once
		refillEvery = 4  // rounds
	)
	best := layout
	for round := 1; w.steps < budget && added(best) < w.maxCount && ctx.Err() == nil; round++ {
		w.steps += tryCost * len(layout)
		if round%refillEvery == 0 {
			layout = w.refill(ctx, layout)
		} else {
			layout = w.insert(ctx, layout)
		}
		if added(layout) > added(best) {
			best = layout
		}
		w.report(ctx, min(partsWalk, partsWalk*w.steps/budget))
	}
	w.report(ctx, partsWalk)
	return best
}

// report tells how many of the walk's parts are done.
func (w *walker) report(ctx context.Context, parts int) {
	if parts > w.reported {
		w.progress.did(ctx, parts-w.reported)
		w.reported = parts
	}
}

// insert lays one more boat where there is most room and pushes all from each other. Where that is not enough, the boat that lacks most
// goes, and what is left is another layout of as many.
func (w *walker) insert(ctx context.Context, layout []anchor) []anchor {
	at, ok := w.hole(layout)
	if !ok {
		return layout
	}
	more := append(slices.Clone(layout), w.site.lay(0, at))
	if w.relax(ctx, more, maxSteps) {
		return more
	}
	worst := w.worstNew(more)
	more = slices.Delete(more, worst, worst+1)
	if w.relax(ctx, more, maxSteps/4) {
		return more
	}
	return layout
}

// worstNew is the new boat that lacks most; the last of the layout is one.
func (w *walker) worstNew(layout []anchor) int {
	worst := len(layout) - 1
	for i := range layout {
		if layout[i].class == 0 && w.lackM2[i] > w.lackM2[worst] {
			worst = i
		}
	}
	return worst
}

// hole is the best of some places drawn by chance: that which lies farthest from what the anchors keep.
func (w *walker) hole(layout []anchor) (best geo.Offset, ok bool) {
	const draws = 24
	s := &w.site.samples
	if len(s.places) == 0 {
		return best, false
	}
	maxM := math.Inf(-1)
	for range draws {
		n := int(s.places[w.random.IntN(len(s.places))])
		p := anchor{at: s.placeOf(n), radiusM: s.radiusAtM(n)}
		if roomM := w.site.roomM(&p, layout); roomM > maxM {
			maxM, best, ok = roomM, p.at, true
		}
	}
	return best, ok
}

// roomM is how much farther than it needs an anchor lies from the nearest of a layout; endless where none comes near.
func (y *site) roomM(p *anchor, layout []anchor) float64 {
	roomM := math.Inf(1)
	for i := range layout {
		d := p.at.Sub(layout[i].at)
		if math.Abs(d.EastM) < y.maxM && math.Abs(d.NorthM) < y.maxM {
			roomM = min(roomM, lengthM(d)-y.needM(p, &layout[i]))
		}
	}
	return roomM
}

// refill takes the new boats of a neighbourhood up and lays them again, by corners. The layout stays when fewer find room.
func (w *walker) refill(ctx context.Context, layout []anchor) []anchor {
	if len(layout) == 0 {
		return layout
	}
	const jitterRatio = 0.3 // so that the same boats are not laid again
	middle := layout[w.random.IntN(len(layout))].at
	reachM := w.site.minM * (1.1 + 1.2*w.random.Float64()) // the nearest ring of neighbours, or two
	kept := slices.DeleteFunc(slices.Clone(layout), func(a anchor) bool { return a.class == 0 && lengthM(a.at.Sub(middle)) < reachM })
	filled := w.site.fill(ctx, kept, filling{middle, reachM + w.site.minM, jitterRatio, w.random})
	if len(filled) >= len(layout) {
		return filled
	}
	return layout
}
