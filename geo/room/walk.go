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
	partsReady = 30
	partsFill  = 10
	partsWalk  = 100
)

// How much is tried: fillings from different starts, walks from the best of them, and how often each walk moves an anchor: so often for
// each boat and some more, and no more than mostMoves. It is counted and not timed, so that the same question has the same answer on every
// machine.
const (
	fillings  = 6
	walks     = 4
	boatMoves = 14_000
	mostMoves = 2_500_000
	seed      = 1969
)

// fillings are layouts by corners: the strictest first, and then some with a little chance in them.
func (y *yard) fillings(ctx context.Context, layout []anchor, p *progress) [][]anchor {
	all := make([][]anchor, fillings)
	middle := y.kinds[0].chart.root.middle
	onAllCores(fillings, func(n int) {
		all[n] = y.fill(ctx, layout, middle, math.Inf(1), 0.1*float64(n), rand.New(rand.NewPCG(seed, uint64(n))))
		p.did(ctx, partsFill)
	})
	return all
}

func (y *yard) filled(ctx context.Context, layout []anchor, p *progress) []anchor {
	defer p.did(ctx, partsFill)
	return y.fill(ctx, layout, y.kinds[0].chart.root.middle, math.Inf(1), 0, nil)
}

// search walks from the best of some layouts, on all cores, moving anchors so often for each boat, and gives the best layout that it comes
// to.
func (y *yard) search(ctx context.Context, starts [][]anchor, most, perBoat int, p *progress) []anchor {
	more := func(a, b []anchor) int { return cmp.Compare(added(b), added(a)) }
	slices.SortStableFunc(starts, more)
	if len(y.water.places) == 0 {
		return starts[0]
	}
	ends := make([][]anchor, walks)
	onAllCores(walks, func(n int) {
		w := walker{relaxer: relaxer{y: y}, random: rand.New(rand.NewPCG(seed, uint64(100+n))), progress: p, most: most}
		start := starts[min(n, len(starts)-1)]
		ends[n] = w.walk(ctx, start, min(mostMoves, perBoat*(len(start)+20)))
	})
	slices.SortStableFunc(ends, more)
	return ends[0]
}

// walker tries to bring one more boat into a layout, again and again. What it does follows from its seed alone.
type walker struct {
	relaxer
	random   *rand.Rand
	progress *progress
	most     int // no layout holds more new boats
	told     int // of the walk's parts
}

// mostSteps end a relaxation that goes on getting better too slowly.
const mostSteps = 2000

// added is how many of a layout's boats are new.
func added(layout []anchor) (n int) {
	for i := range layout {
		if layout[i].kind == 0 {
			n++
		}
	}
	return n
}

// walk betters a layout until so many anchors were moved, and gives the best.
func (w *walker) walk(ctx context.Context, layout []anchor, budget int) []anchor {
	best := layout
	for round := 0; w.steps < budget && added(best) < w.most && ctx.Err() == nil; round++ {
		w.steps += 20 * len(layout) // what is tried costs something even where it fails at once
		if round%4 == 3 {
			layout = w.refill(ctx, layout)
		} else {
			layout = w.insert(ctx, layout)
		}
		if added(layout) > added(best) {
			best = layout
		}
		w.tell(ctx, min(partsWalk, partsWalk*w.steps/budget))
	}
	w.tell(ctx, partsWalk)
	return best
}

func (w *walker) tell(ctx context.Context, parts int) {
	if parts > w.told {
		w.progress.did(ctx, parts-w.told)
		w.told = parts
	}
}

// insert lays one more boat where there is most room and pushes all apart. Where that is not enough, the boat that lacks most goes, and
// what is left is another layout of as many.
func (w *walker) insert(ctx context.Context, layout []anchor) []anchor {
	at, ok := w.hole(layout)
	if !ok {
		return layout
	}
	more := append(slices.Clone(layout), w.y.lay(0, at))
	if w.relax(ctx, more, mostSteps) {
		return more
	}
	worst := len(more) - 1
	for i := range more {
		if more[i].kind == 0 && w.lackM2[i] > w.lackM2[worst] {
			worst = i
		}
	}
	more = slices.Delete(more, worst, worst+1)
	if w.relax(ctx, more, mostSteps/4) {
		return more
	}
	return layout
}

// hole is the best of some places drawn by chance: that which lies farthest from what the anchors keep.
func (w *walker) hole(layout []anchor) (best geo.Offset, ok bool) {
	most := math.Inf(-1)
	s := &w.y.water
	if len(s.places) == 0 {
		return best, false
	}
	for range 24 {
		n := s.places[w.random.IntN(len(s.places))]
		p := anchor{at: s.place(int(n)%s.cols, int(n)/s.cols), radiusM: s.radiusAtM(int(n))}
		room := math.Inf(1)
		for i := range layout {
			d := p.at.Sub(layout[i].at)
			if math.Abs(d.EastM) < w.y.mostM && math.Abs(d.NorthM) < w.y.mostM {
				room = min(room, lengthM(d)-w.y.needM(&p, &layout[i]))
			}
		}
		if room > most {
			most, best, ok = room, p.at, true
		}
	}
	return best, ok
}

// refill takes the new boats of a neighbourhood up and lays them again, by corners. The layout stays when fewer find room.
func (w *walker) refill(ctx context.Context, layout []anchor) []anchor {
	if len(layout) == 0 {
		return layout
	}
	middle := layout[w.random.IntN(len(layout))].at
	reachM := w.y.leastM * (1.1 + 1.2*w.random.Float64())
	kept := slices.DeleteFunc(slices.Clone(layout), func(a anchor) bool { return a.kind == 0 && lengthM(a.at.Sub(middle)) < reachM })
	filled := w.y.fill(ctx, kept, middle, reachM+w.y.leastM, 0.3, w.random)
	if len(filled) >= len(layout) {
		return filled
	}
	return layout
}
