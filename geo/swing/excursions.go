package swing

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"swingroom/geo"
)

// Excursions are how one boat lies in the weathers of a sweep: the forces on her, and how far her line reaches under a load at a level, worked
// out as it is asked for. Any number of goroutines may ask it at once.
type Excursions struct {
	sweep     *Sweep
	vessel    *Vessel
	at        geo.Offset // her anchor
	statics   statics
	top       geo.Metres // the highest level at which her line is long enough, or the design's
	calm      calm
	rootLoads []float64 // roots of the loads at which her reach is worked out, smallest first; the unit is the root of a newton
	farReachM float64   // her farthest reach, at the low level

	mu   sync.Mutex
	rows map[geo.Metres]*reachRow
}

// calm is the water that a boat keeps at slack in a calm: her bow anywhere within the reach of the slack line, and she points any way.
type calm struct {
	reach  geo.Metres // at no load, at the low level
	farthM float64    // from the anchor to the farthest that a corner of her stern can come
}

// Excursions makes a boat with her anchor at a place ready. Errors: as [MooredVessel.Equilibrium], and geo.ErrShortRode where her line is too short at every
// level.
func (s *Sweep) Excursions(c *Vessel, at geo.Offset) (*Excursions, error) {
	p := &Excursions{sweep: s, vessel: c, at: at, top: s.levels.High, rows: map[geo.Metres]*reachRow{}}
	var err error
	if p.statics, err = staticsOf(c.Windage, s.design); err != nil {
		return nil, c.noDraft()
	}
	if _, err = c.At(p.top); errors.Is(err, geo.ErrShortRode) {
		if _, err = c.At(s.levels.Low); err != nil {
			return nil, err
		}
		p.top = c.maxLevel()
	}
	if err != nil {
		return nil, err
	}
	if err = p.sampleReach(); err != nil {
		return nil, err
	}
	low, err := p.row(s.levels.Low)
	if err != nil {
		return nil, err
	}
	p.farReachM = low.reachM[len(low.reachM)-1]
	p.calm.reach = geo.Metres(low.reachM[0])
	p.calm.farthM = low.reachM[0] + c.sternCornerM()
	return p, nil
}

// maxLevel is the level at which her line is a micrometre longer than the rise from the bed to her bow.
func (c *Vessel) maxLevel() geo.Metres {
	const spare = 1e-6
	var sum geo.Metres
	for _, p := range c.Tackle.Line.Parts {
		sum += p.Length
	}
	return sum - c.bow - c.depth - spare
}

// maxRootLoads is the root of the largest load that comes up on a coarse look at a boat, with something to spare, and of what wind and stream
// could be together at the very most.
func (st *statics) maxRootLoads() (likelyN, mostN float64) {
	const least = 1e-3 // of a design without wind and stream
	likelyN = max(least, math.Sqrt(st.windAlongN))
	if st.streamAbeamN == 0 {
		return likelyN, likelyN
	}
	for step := range 24 {
		for share := range 9 {
			windRad, ratio := float64(step)*math.Pi/24, float64(share)/8
			for _, w := range [2]weatherShares{{windRad, 1, ratio}, {windRad, ratio, 1}} {
				likelyN = max(likelyN, 1.01*st.attitudeAt(&w).rootN)
			}
		}
	}
	return likelyN, max(1.001*likelyN, math.Sqrt(st.windAbeamN+st.windAlongN+st.streamAbeamN+st.streamAlongN))
}

// sampleReach chooses the roots of the sampleReach at which her reach is worked out: few where the reach runs straight at the lowest level, the
// highest and between, and more where it bends.
func (p *Excursions) sampleReach() error {
	const first = 6   // pieces to begin with
	const fine = 0.01 // metres off the straight line, over which a piece is divided
	const deepest = 7 // divisions of a piece
	likelyN, mostN := p.statics.maxRootLoads()
	low, high := p.sweep.levels.Low, p.top
	var lines [3]*MooredVessel
	var err error
	levels := [3]geo.Metres{low, low + (high-low)*0.5, high}
	for i, level := range levels {
		if lines[i], err = p.vessel.At(level); err != nil {
			return err
		}
	}
	type node struct {
		rootN  float64
		reachM [3]float64
	}
	at := func(rootN float64) node {
		n := node{rootN: rootN}
		for i, m := range lines {
			reach, reachErr := m.Rode.Reach(geo.Newtons(rootN * rootN))
			if reachErr != nil && err == nil {
				err = fmt.Errorf("mooring %s: %w", p.vessel.Number, reachErr)
			}
			n.reachM[i] = float64(reach)
		}
		return n
	}
	var nodes []node
	add := func(n node) {
		nodes = append(nodes, n)
		p.rootLoads = append(p.rootLoads, n.rootN)
	}
	var divide func(a, b node, depth int)
	divide = func(a, b node, depth int) {
		m := at((a.rootN + b.rootN) / 2)
		off := 0.0
		for i := range lines {
			off = max(off, math.Abs(m.reachM[i]-(a.reachM[i]+b.reachM[i])/2))
		}
		if off > fine && depth < deepest {
			divide(a, m, depth+1)
			add(m)
			divide(m, b, depth+1)
			return
		}
		add(m)
	}
	before := at(0)
	add(before)
	for i := range first {
		x := float64(i+1) / first
		next := at(likelyN * x * x)
		divide(before, next, 0)
		add(next)
		before = next
	}
	if mostN > likelyN {
		add(at(mostN))
	}
	for i, level := range levels {
		r := &reachRow{reachM: make([]float64, len(nodes)), errorM: make([]float64, len(nodes)-1)}
		for n := range nodes {
			r.reachM[n] = nodes[n].reachM[i]
		}
		p.boundInterpolation(r)
		p.rows[level] = r
	}
	return err
}

// reachRow is her reach at one level by the roots of the loads, and how far the straight pieces between them are taken to be out: half of
// what the nodes at their ends lie off the straight line between their neighbours. A smooth curve is out by a quarter of that, one with a
// bend by half of it.
type reachRow struct {
	reachM []float64
	errorM []float64
}

// row is her reach at a level.
func (p *Excursions) row(level geo.Metres) (*reachRow, error) {
	p.mu.Lock()
	r, ok := p.rows[level]
	p.mu.Unlock()
	if ok {
		return r, nil
	}
	m, err := p.vessel.At(level)
	if err != nil {
		return nil, err
	}
	r = &reachRow{reachM: make([]float64, len(p.rootLoads)), errorM: make([]float64, len(p.rootLoads)-1)}
	for i, rootN := range p.rootLoads {
		reach, err := m.Rode.Reach(geo.Newtons(rootN * rootN))
		if err != nil {
			return nil, fmt.Errorf("mooring %s: %w", p.vessel.Number, err)
		}
		r.reachM[i] = float64(reach)
	}
	p.boundInterpolation(r)
	p.mu.Lock()
	p.rows[level] = r
	p.mu.Unlock()
	return r, nil
}

// boundInterpolation tells how far the straight pieces of a row may be out.
func (p *Excursions) boundInterpolation(r *reachRow) {
	for i := 1; i+1 < len(p.rootLoads); i++ {
		share := (p.rootLoads[i] - p.rootLoads[i-1]) / (p.rootLoads[i+1] - p.rootLoads[i-1])
		offM := math.Abs(r.reachM[i]-r.reachM[i-1]-share*(r.reachM[i+1]-r.reachM[i-1])) / 2
		r.errorM[i-1], r.errorM[i] = max(r.errorM[i-1], offM), max(r.errorM[i], offM)
	}
}

// levelRows are her reaches at the lowest level of a span, in its middle and at its highest.
type levelRows struct{ low, mid, high *reachRow }

// levelRowsOver are those of a box, between the levels that a pair has in common.
func (p *Excursions) levelRowsOver(bx *box, low, high geo.Metres) (r levelRows, err error) {
	at := func(shareRatio float64) geo.Metres { return low + (high-low)*geo.Metres(shareRatio) }
	mid, half := bx.mid[symLevel], bx.half[symLevel]
	if r.mid, err = p.row(at(mid)); err != nil || half == 0 {
		return levelRows{r.mid, r.mid, r.mid}, err
	}
	if r.low, err = p.row(at(mid - half)); err != nil {
		return r, err
	}
	r.high, err = p.row(at(mid + half))
	return r, err
}

// reachBounds is how far her bow lies from the anchor in a box, metres, and how much of what is left open is owed to the span of levels and of
// loads.
type reachBounds struct {
	reach          affine
	levelM, loadsM float64
	nearM, farM    float64 // she reaches no less far and no farther
}

// reachWithin is her reach by the root of the load. Between two levels it is taken to run from one to the other as a curve without a change
// of bend, which cannot lie farther off the straight line than twice what it lies off in the middle.
func (p *Excursions) reachWithin(root *affine, rows levelRows) (r reachBounds) {
	last := p.rootLoads[len(p.rootLoads)-1]
	from, to := min(last, max(0, root.min())), min(last, max(0, root.max()))
	i, j := p.cell(from), p.cell(to)
	a, b := p.spreadAt(&rows, from, i), p.spreadAt(&rows, to, j)
	slope := 0.0
	if to > from {
		slope = (b.meanM - a.meanM) / (to - from)
	}
	var under, over float64 // of the mean from its chord
	least, most := min(a.halfM, b.halfM), max(a.halfM, b.halfM)
	down, up, roundM := min(a.offM, b.offM), max(a.offM, b.offM), max(a.roundM, b.roundM)
	for k := i + 1; k <= j; k++ {
		e := p.spreadAt(&rows, p.rootLoads[k], k)
		off := e.meanM - a.meanM - slope*(p.rootLoads[k]-from)
		under, over = min(under, off), max(over, off)
		least, most = min(least, e.halfM), max(most, e.halfM)
		down, up, roundM = min(down, e.offM), max(up, e.offM), max(roundM, e.roundM)
	}
	down, up = 2*min(0, down), 2*max(0, up)
	r.levelM, r.loadsM = (up-down+most-least)/2, (over-under)/2
	x := root.scaled(slope)
	x.mid = a.meanM + slope*(root.mid-from) + (under+over+down+up)/2
	x.residual += r.levelM + r.loadsM + roundM
	x.by[symLevel] += (least + most) / 2
	// She reaches farther under a larger load, and less far at a higher level.
	r.nearM, r.farM = a.meanM+a.halfM-roundM, b.meanM-b.halfM+roundM
	if x.radius() > 0.75*(r.farM-r.nearM) {
		x = interval(r.nearM, r.farM)
	}
	r.reach = x
	return r
}

// levelSpread is her reach under one load over a span of levels: the mean of both ends, half of what the higher end has more, how far the
// middle lies off the mean, and how far all of them may be out, metres.
type levelSpread struct{ meanM, halfM, offM, roundM float64 }

func (p *Excursions) spreadAt(rows *levelRows, rootN float64, cell int) levelSpread {
	share := (rootN - p.rootLoads[cell]) / (p.rootLoads[cell+1] - p.rootLoads[cell])
	chord := func(r *reachRow) float64 { return r.reachM[cell] + share*(r.reachM[cell+1]-r.reachM[cell]) }
	lowM, highM := chord(rows.low), chord(rows.high)
	mean := (lowM + highM) / 2
	return levelSpread{mean, (highM - lowM) / 2, chord(rows.mid) - mean,
		max(rows.low.errorM[cell], rows.mid.errorM[cell], rows.high.errorM[cell])}
}

// cell is the piece of the curve of the reach in which a root of a load lies.
func (p *Excursions) cell(rootN float64) int {
	i, _ := slices.BinarySearch(p.rootLoads, rootN)
	return min(max(i-1, 0), len(p.rootLoads)-2)
}
