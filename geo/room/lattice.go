package room

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"swingroom/geo"
)

// samples are places in rows and columns, with those marked at which a new boat's anchor may lie.
type samples struct {
	low        geo.Offset
	pitchM     float64
	cols, rows int
	fits       []bool
	places     []int32   // of those that fit
	radiusM    []float32 // nil where it is the same everywhere
	fixedM     float64
}

// steepRatio is how much the radius may change over a distance: twice the most that neighbouring samples tell.
func (s *samples) steepRatio() float64 {
	if s.radiusM == nil {
		return 0
	}
	most := 0.0
	for n, fits := range s.fits {
		for _, m := range [2]int{n + 1, n + s.cols} {
			if fits && m < len(s.fits) && s.fits[m] {
				most = max(most, math.Abs(float64(s.radiusM[m]-s.radiusM[n])))
			}
		}
	}
	return 2*most/s.pitchM + 0.05
}

// coarse: of the samples every third of every third row weighs how much water a boat takes.
const coarse = 3

// survey looks at the places of a plan's box pitchM apart, on all cores.
func survey(ctx context.Context, c *chart, pitchM float64) samples {
	p := c.plan
	s := samples{low: p.low, pitchM: pitchM, fixedM: p.radius.fixedM}
	s.cols, s.rows = int((p.high.EastM-p.low.EastM)/pitchM)+2, int((p.high.NorthM-p.low.NorthM)/pitchM)+2
	s.fits = make([]bool, s.cols*s.rows)
	if p.radius.byDepth != nil {
		s.radiusM = make([]float32, len(s.fits))
	}
	onAllCores(s.rows, func(row int) {
		if ctx.Err() != nil {
			return
		}
		var l looker
		for col := range s.cols {
			at := s.place(col, row)
			if l.square(c, at).mostM < 0 {
				continue
			}
			r := p.radius.at(at)
			if l.fits(c, at, r, 0) {
				s.fits[row*s.cols+col] = true
				if s.radiusM != nil {
					s.radiusM[row*s.cols+col] = float32(r)
				}
			}
		}
	})
	for n, fits := range s.fits {
		if fits {
			s.places = append(s.places, int32(n))
		}
	}
	return s
}

// onAllCores does each of n tasks once, on all cores.
func onAllCores(n int, task func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				task(i)
			}
		}()
	}
	wait.Wait()
}

func (s *samples) place(col, row int) geo.Offset {
	return geo.Offset{EastM: s.low.EastM + float64(col)*s.pitchM, NorthM: s.low.NorthM + float64(row)*s.pitchM}
}

// near is the sample nearest to a place; -1 outside.
func (s *samples) near(at geo.Offset) int {
	col, row := int((at.EastM-s.low.EastM)/s.pitchM+0.5), int((at.NorthM-s.low.NorthM)/s.pitchM+0.5)
	if col < 0 || row < 0 || col >= s.cols || row >= s.rows {
		return -1
	}
	return row*s.cols + col
}

func (s *samples) radiusAtM(n int) float64 {
	if s.radiusM == nil {
		return s.fixedM
	}
	return float64(s.radiusM[n])
}

func (s *samples) coarseCount() int { return (s.cols/coarse + 1) * (s.rows/coarse + 1) }

// coarseIn is how many coarse samples a circle of a radius holds.
func (s *samples) coarseIn(radiusM float64) int {
	return int(math.Pi * radiusM * radiusM / (coarse * coarse * s.pitchM * s.pitchM))
}

// around visits the coarse samples in the square about a place at which a boat may lie, each by a number of its own.
func (s *samples) around(at geo.Offset, reachM float64, visit func(n int, at geo.Offset, radiusM float64)) {
	step := coarse * s.pitchM
	cols, rows := (s.cols-1)/coarse, (s.rows-1)/coarse
	west, east := max(0, int(math.Ceil((at.EastM-reachM-s.low.EastM)/step))), min(cols, int((at.EastM+reachM-s.low.EastM)/step))
	south, north := max(0, int(math.Ceil((at.NorthM-reachM-s.low.NorthM)/step))), min(rows, int((at.NorthM+reachM-s.low.NorthM)/step))
	for row := south; row <= north; row++ {
		for col := west; col <= east; col++ {
			if n := row*coarse*s.cols + col*coarse; s.fits[n] {
				visit(row*(s.cols/coarse+1)+col, s.place(col*coarse, row*coarse), s.radiusAtM(n))
			}
		}
	}
}

// lattice is a layout in rows: the place of number (i, j) is origin + i·along + j·across.
type lattice struct {
	origin, along, across geo.Offset
	spacingM              float64
	rowsDeg               float64 // clockwise from north
}

// newLattice makes one with its rows in a direction; shares say where in its mesh the origin lies.
func newLattice(layout Layout, middle geo.Offset, spacingM, rowsDeg, alongRatio, acrossRatio float64) lattice {
	turn := 90.0
	if layout == Hexagonal {
		turn = 60
	}
	t := lattice{spacingM: spacingM, rowsDeg: rowsDeg, along: geo.Toward(rowsDeg, geo.Metres(spacingM)),
		across: geo.Toward(rowsDeg-turn, geo.Metres(spacingM))}
	t.origin = middle.Plus(t.along.Times(alongRatio)).Plus(t.across.Times(acrossRatio))
	return t
}

// visit goes through the places in a box.
func (t *lattice) visit(low, high geo.Offset, visit func(row int, at geo.Offset)) {
	det := t.along.EastM*t.across.NorthM - t.along.NorthM*t.across.EastM
	// The rows that meet the box: j over its corners.
	least, most := math.Inf(1), math.Inf(-1)
	for _, c := range [4]geo.Offset{low, high, {EastM: low.EastM, NorthM: high.NorthM}, {EastM: high.EastM, NorthM: low.NorthM}} {
		d := c.Sub(t.origin)
		j := (t.along.EastM*d.NorthM - t.along.NorthM*d.EastM) / det
		least, most = min(least, j), max(most, j)
	}
	for j := int(math.Floor(least)); j <= int(math.Ceil(most)); j++ {
		row := t.origin.Plus(t.across.Times(float64(j)))
		lo, hi := clip(row.EastM, t.along.EastM, low.EastM, high.EastM)
		a, b := clip(row.NorthM, t.along.NorthM, low.NorthM, high.NorthM)
		if lo, hi = max(lo, a), min(hi, b); lo > hi {
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
// changes with the depth, and how many of those that hold most samples are worked out.
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
func (y *yard) lattice(ctx context.Context, layout Layout, p *progress) (lattice, []anchor) {
	spacings := []float64{y.leastM}
	if most := y.alikeM(y.mostRadiusM); most > y.leastM+0.01 {
		for k := range latticeSpacings - 1 {
			spacings = append(spacings, y.leastM+(most-y.leastM)*float64(k+1)/(latticeSpacings-1))
		}
	}
	tried := make([]counted, len(spacings)*latticeTurns)
	onAllCores(len(tried), func(n int) {
		if n == 0 || ctx.Err() == nil { // one is always tried, so that there is an answer
			tried[n] = y.bestOrigin(layout, spacings[n/latticeTurns]+3*keptM, n%latticeTurns, n == 0)
		}
		p.did(ctx, latticeSpacings/len(spacings))
	})
	slices.SortStableFunc(tried, func(a, b counted) int { return b.count - a.count })
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

// alikeM is how far two new boats of one radius have to be apart.
func (y *yard) alikeM(radiusM float64) float64 {
	a := anchor{radiusM: radiusM}
	return y.needM(&a, &a)
}

// bestOrigin moves a lattice about and takes the place where most samples hold a boat.
func (y *yard) bestOrigin(layout Layout, spacingM float64, turn int, one bool) (best counted) {
	full := 90.0
	if layout == Hexagonal {
		full = 60
	}
	c := y.kinds[0].chart
	middle := c.plan.low.Plus(c.plan.high).Times(0.5)
	for n := range latticeOrigins * latticeOrigins {
		t := newLattice(layout, middle, spacingM, float64(turn)*full/latticeTurns, float64(n/latticeOrigins)/latticeOrigins,
			float64(n%latticeOrigins)/latticeOrigins)
		count := 0
		t.visit(c.plan.low, c.plan.high, func(_ int, at geo.Offset) {
			if k := y.water.near(at); k >= 0 && y.water.fits[k] && y.alikeM(y.water.radiusAtM(k)) <= spacingM {
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
func (y *yard) shift(ctx context.Context, layout Layout, best *counted, random *rand.Rand) {
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

// anchorsOf are the places of a lattice at which a new boat may lie. Where her radius is more than half of what the spacing leaves, none
// does.
func (y *yard) anchorsOf(t *lattice) (layout []anchor) {
	var l looker
	c := y.kinds[0].chart
	t.visit(c.plan.low, c.plan.high, func(row int, at geo.Offset) {
		if l.square(c, at).mostM < keptM {
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
