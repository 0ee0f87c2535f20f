package room

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"swingroom/geo"
)

// lattice is a layout in rows: the place of number (i, j) is origin + i·along + j·across.
type lattice struct {
	origin, along, across geo.Offset
	spacingM              float64
	rowsDeg               float64 // clockwise from north
}

// newLattice makes one with its rows in a direction; shares say where in its mesh the origin lies.
func newLattice(layout Layout, middle geo.Offset, spacingM, rowsDeg, alongRatio, acrossRatio float64) lattice {
	t := lattice{spacingM: spacingM, rowsDeg: rowsDeg, along: geo.Toward(rowsDeg, geo.Metres(spacingM)),
		across: geo.Toward(rowsDeg-meshDeg(layout), geo.Metres(spacingM))}
	t.origin = middle.Plus(t.along.Times(alongRatio)).Plus(t.across.Times(acrossRatio))
	return t
}

// meshDeg is the angle of a lattice's mesh, by which it can be turned and look the same.
func meshDeg(layout Layout) float64 {
	if layout == Hexagonal {
		return 60
	}
	return 90
}

// rowGapM is how far its rows are from each other.
func (t *lattice) rowGapM() float64 { return math.Abs(cross(t.along, t.across)) / t.spacingM }

// rowsIn are the numbers of the first and the last row that meet a box, as its corners tell.
func (t *lattice) rowsIn(b box) (first, last int) {
	det := cross(t.along, t.across)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range [4]geo.Offset{b.low, b.high, {EastM: b.low.EastM, NorthM: b.high.NorthM},
		{EastM: b.high.EastM, NorthM: b.low.NorthM}} {
		j := cross(t.along, c.Sub(t.origin)) / det
		lo, hi = min(lo, j), max(hi, j)
	}
	return int(math.Floor(lo)), int(math.Ceil(hi))
}

// visit goes through the places in a box.
func (t *lattice) visit(b box, visit func(row int, at geo.Offset)) {
	first, last := t.rowsIn(b)
	for j := first; j <= last; j++ {
		row := t.origin.Plus(t.across.Times(float64(j)))
		lo, hi := clip(row.EastM, t.along.EastM, b.low.EastM, b.high.EastM)
		from, to := clip(row.NorthM, t.along.NorthM, b.low.NorthM, b.high.NorthM)
		if lo, hi = max(lo, from), min(hi, to); lo > hi {
			continue
		}
		for i := int(math.Ceil(lo)); i <= int(math.Floor(hi)); i++ {
			visit(j, row.Plus(t.along.Times(float64(i))))
		}
	}
}

// clip is between which numbers of steps a row that begins at a coordinate lies in a range of it; the first is the greater where it never
// does.
func clip(startM, stepM, lowM, highM float64) (lo, hi float64) {
	if math.Abs(stepM) < 1e-9 {
		if startM < lowM || startM > highM {
			return math.Inf(1), math.Inf(-1)
		}
		return math.Inf(-1), math.Inf(1)
	}
	a, b := (lowM-startM)/stepM, (highM-startM)/stepM
	return min(a, b), max(a, b)
}

// How finely lattices are tried: rows in so many directions, origins in so many places of a mesh each way, spacings where the radius
// changes with the depth, and how many of those that hold most samples are worked out,
// each shifted so many times. A turn is then a degree or less and an origin a twelfth of a mesh; shifts fill in what lies between.
const (
	latticeTurns    = 90
	latticeOrigins  = 12
	latticeSpacings = 6
	latticeFinals   = 16
	latticeShifts   = 150
)

// counted is a lattice with how many boats it holds.
type counted struct {
	lattice
	count int
}

// lattice finds the one that holds most new boats.
func (y *site) lattice(ctx context.Context, layout Layout, p *progress) (lattice, []anchor) {
	tried := y.tryLattices(ctx, layout, p)
	finals := tried[:min(latticeFinals, len(tried))]
	onAllCores(len(finals), func(n int) {
		y.shift(ctx, layout, &finals[n], rand.New(rand.NewPCG(uint64(n), 2)))
		p.did(ctx, 1)
	})
	best := 0
	for n := range finals {
		if finals[n].count > finals[best].count {
			best = n
		}
	}
	return finals[best].lattice, y.anchorsOf(&finals[best].lattice)
}

// tryLattices counts, for every spacing and direction, the samples that a lattice holds at its best origin; those with most come first.
func (y *site) tryLattices(ctx context.Context, layout Layout, p *progress) []counted {
	spacings := y.spacings()
	tried := make([]counted, len(spacings)*latticeTurns)
	onAllCores(len(tried), func(n int) {
		if n == 0 || ctx.Err() == nil { // one is always tried, so that there is an answer
			tried[n] = y.bestOrigin(layout, spacings[n/latticeTurns]+3*keptM, n%latticeTurns, n == 0)
		}
		p.did(ctx, latticeSpacings/len(spacings))
	})
	slices.SortStableFunc(tried, func(a, b counted) int { return b.count - a.count })
	return tried
}

// spacings are those that are tried: the least, and where the radius changes with the depth some up to the greatest.
func (y *site) spacings() []float64 {
	spacings := []float64{y.minM}
	if maxM := y.alikeM(y.maxRadiusM); maxM > y.minM+0.01 { // a centimetre's difference is none
		for k := range latticeSpacings - 1 {
			spacings = append(spacings, y.minM+(maxM-y.minM)*float64(k+1)/(latticeSpacings-1))
		}
	}
	return spacings
}

// turnDeg is the direction of the rows at one of the turns that are tried, over all by which a lattice looks different.
func turnDeg(layout Layout, turn int) float64 {
	return float64(turn) * meshDeg(layout) / latticeTurns
}

// bestOrigin moves a lattice about and takes the place where most samples hold a boat.
func (y *site) bestOrigin(layout Layout, spacingM float64, turn int, one bool) (best counted) {
	area := y.chart().plan.box
	for n := range latticeOrigins * latticeOrigins {
		t := newLattice(layout, area.middle(), spacingM, turnDeg(layout, turn), float64(n/latticeOrigins)/latticeOrigins,
			float64(n%latticeOrigins)/latticeOrigins)
		count := 0
		t.visit(area, func(_ int, at geo.Offset) {
			if k := y.samples.near(at); k >= 0 && y.samples.fits[k] && y.alikeM(y.samples.radiusAtM(k)) <= spacingM {
				count++
			}
		})
		if count > best.count || n == 0 {
			best = counted{t, count}
		}
		if one {
			break
		}
	}
	return best
}

// shift works a lattice out in full and tries to better it by small shifts and turns.
func (y *site) shift(ctx context.Context, layout Layout, best *counted, random *rand.Rand) {
	best.count = len(y.anchorsOf(&best.lattice))
	for n := 0; n < latticeShifts && ctx.Err() == nil; n++ {
		part := best.spacingM / latticeOrigins
		t := newLattice(layout, best.origin, best.spacingM, best.rowsDeg+(random.Float64()-0.5)*90/latticeTurns, 0, 0)
		t.origin = t.origin.Plus(geo.Offset{EastM: (random.Float64() - 0.5) * 2 * part, NorthM: (random.Float64() - 0.5) * 2 * part})
		if count := len(y.anchorsOf(&t)); count >= best.count {
			*best = counted{t, count}
		}
	}
}

// anchorsOf are the places of a lattice at which a new boat may lie. Where its radius is more than half of what the spacing leaves, none
// does.
func (y *site) anchorsOf(t *lattice) (layout []anchor) {
	var l chartReader
	c := y.chart()
	t.visit(c.plan.box, func(row int, at geo.Offset) {
		if l.square(c, at).maxM < keptM {
			return
		}
		a := y.lay(0, at)
		if y.alikeM(a.radiusM) <= t.spacingM-2*keptM && l.fits(c, at, a.radiusM, keptM) {
			a.row = int32(row)
			layout = append(layout, a)
		}
	})
	return layout
}
