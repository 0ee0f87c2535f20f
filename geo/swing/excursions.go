package swing

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"swingroom/geo"
)

// Excursions are how one boat lies in the weathers of a sweep: the forces on it, and how far its line reaches under a load at a level,
// worked out as it is asked for. Any number of goroutines may ask it at once.
type Excursions struct {
	sweep     *Sweep
	vessel    *Vessel
	at        geo.Offset // the anchor
	statics   statics
	top       geo.Metres // the highest level at which the line is long enough, or the design's
	calm      calm
	rootLoads []float64 // roots of the loads at which the reach is worked out, smallest first; the unit is the root of a newton
	farReachM float64   // the farthest reach, at the low level

	mu   sync.Mutex
	rows map[geo.Metres]*reachRow
}

// calm is the water that a boat keeps at slack in a calm: its bow anywhere within the reach of the slack line, and it points any way.
type calm struct {
	reach  geo.Metres // at no load, at the low level
	farthM float64    // from the anchor to the farthest that a corner of the stern can come
}

// Excursions makes a boat with its anchor at a place ready. Errors: as [MooredVessel.Equilibrium], and geo.ErrShortRode where its line is
// too short at every level.
func (s *Sweep) Excursions(c *Vessel, at geo.Offset) (*Excursions, error) {
	p := &Excursions{sweep: s, vessel: c, at: at, rows: map[geo.Metres]*reachRow{}}
	var err error
	if p.statics, err = staticsOf(c.Windage, s.design); err != nil {
		return nil, c.noDraft()
	}
	if p.top, err = c.topLevel(s.levels); err != nil {
		return nil, err
	}
	if err = p.sampleReach(); err != nil {
		return nil, err
	}
	low, err := p.row(s.levels.Low)
	if err != nil {
		return nil, err
	}
	slackM := low.reachM[0]
	p.farReachM = low.reachM[len(low.reachM)-1]
	p.calm = calm{reach: geo.Metres(slackM), farthM: slackM + c.sternCornerM()}
	return p, nil
}

// topLevel is the highest level of a design at which the line is long enough. Errors as [Vessel.At] at the low level.
func (c *Vessel) topLevel(levels geo.Levels) (geo.Metres, error) {
	if _, err := c.At(levels.High); !errors.Is(err, geo.ErrShortRode) {
		return levels.High, err
	}
	_, err := c.At(levels.Low)
	return c.maxLevel(), err
}

// maxLevel is the level at which the line is a micrometre longer than the rise from the bed to the bow.
func (c *Vessel) maxLevel() geo.Metres {
	const spare = 1e-6
	var sum geo.Metres
	for _, p := range c.Tackle.Line.Parts {
		sum += p.Length
	}
	return sum - c.bow - c.depth - spare
}

// maxRootLoads is the root of the largest load that comes up on a coarse look at a boat, with something to spare, and of what wind and
// stream could be together at the very most.
func (st *statics) maxRootLoads() (likelyN, maxN float64) {
	const minN = 1e-3                // of a design without wind and stream
	const directions, ratios = 24, 8 // of the coarse look
	likelyN = max(minN, math.Sqrt(st.windAlongN))
	if st.streamAbeamN == 0 {
		return likelyN, likelyN
	}
	for step := range directions {
		for share := range ratios + 1 {
			windRad, ratio := float64(step)*math.Pi/directions, float64(share)/ratios
			for _, w := range [2]weatherShares{{windRad, 1, ratio}, {windRad, ratio, 1}} {
				likelyN = max(likelyN, 1.01*st.attitudeAt(&w).rootN)
			}
		}
	}
	return likelyN, max(1.001*likelyN, math.Sqrt(st.windAbeamN+st.windAlongN+st.streamAbeamN+st.streamAlongN))
}

// Into how many pieces the loads are divided at which the reach is worked out.
const (
	firstPieces = 6    // to begin with
	fineM       = 0.01 // off the straight line, over which a piece is divided
	maxHalvings = 7    // of a piece
)

// sampler works out the reach at the lowest level, the highest and between.
type sampler struct {
	*Excursions
	levels [3]geo.Metres
	lines  [3]*MooredVessel
	nodes  []node
	err    error // the first
}

// node is the reach under one load at the levels of a sampler.
type node struct {
	rootN  float64
	reachM [3]float64
}

// sampleReach chooses the roots of the loads at which the reach is worked out: few where it runs straight at the lowest level, the highest
// and between, and more where it bends.
func (p *Excursions) sampleReach() (err error) {
	low, high := p.sweep.levels.Low, p.top
	s := sampler{Excursions: p, levels: [3]geo.Metres{low, low + (high-low)*0.5, high}}
	for i, level := range s.levels {
		if s.lines[i], err = p.vessel.At(level); err != nil {
			return err
		}
	}
	s.sample()
	for i := range s.levels {
		s.keep(i)
	}
	return s.err
}

// sample works out the nodes from no load to the largest.
func (s *sampler) sample() {
	likelyN, maxN := s.statics.maxRootLoads()
	before := s.nodeAt(0)
	s.add(before)
	for i := range firstPieces {
		x := float64(i+1) / firstPieces
		next := s.nodeAt(likelyN * x * x)
		s.divide(&before, &next, 0)
		s.add(next)
		before = next
	}
	if maxN > likelyN {
		s.add(s.nodeAt(maxN))
	}
}

// nodeAt is the reach under a load.
func (s *sampler) nodeAt(rootN float64) node {
	n := node{rootN: rootN}
	for i, m := range s.lines {
		var err error
		if n.reachM[i], err = m.reachM(rootN); err != nil && s.err == nil {
			s.err = err
		}
	}
	return n
}

// reachM is how far the line reaches under a load, given by its root.
func (m *MooredVessel) reachM(rootN float64) (float64, error) {
	reach, err := m.Rode.Reach(geo.Newtons(rootN * rootN))
	if err != nil {
		return 0, fmt.Errorf("mooring %s: %w", m.Number, err)
	}
	return float64(reach), nil
}

func (s *sampler) add(n node) {
	s.nodes = append(s.nodes, n)
	s.rootLoads = append(s.rootLoads, n.rootN)
}

// divide adds what lies between two nodes: their middle, and the halves where the reach bends.
func (s *sampler) divide(a, b *node, depth int) {
	m := s.nodeAt((a.rootN + b.rootN) / 2)
	offM := 0.0
	for i := range s.lines {
		offM = max(offM, math.Abs(m.reachM[i]-(a.reachM[i]+b.reachM[i])/2))
	}
	bends := offM > fineM && depth < maxHalvings
	if bends {
		s.divide(a, &m, depth+1)
	}
	s.add(m)
	if bends {
		s.divide(&m, b, depth+1)
	}
}

// keep makes the row of a level of the nodes.
func (s *sampler) keep(level int) {
	r := s.newRow()
	for n := range s.nodes {
		r.reachM[n] = s.nodes[n].reachM[level]
	}
	s.boundInterpolation(r)
	s.rows[s.levels[level]] = r
}

// reachRow is the reach at one level by the roots of the loads, and how far the straight pieces between them are taken to be out: half of
// what the nodes at their ends lie off the straight line between their neighbours. A smooth curve is out by a quarter of that, one with a
// bend by half of it.
type reachRow struct {
	reachM []float64
	errorM []float64
}

func (p *Excursions) newRow() *reachRow {
	return &reachRow{reachM: make([]float64, len(p.rootLoads)), errorM: make([]float64, len(p.rootLoads)-1)}
}

// row is the reach at a level.
func (p *Excursions) row(level geo.Metres) (*reachRow, error) {
	p.mu.Lock()
	r, ok := p.rows[level]
	p.mu.Unlock()
	if ok {
		return r, nil
	}
	r, err := p.solveRow(level)
	if err != nil {
		return nil, err
	}
	p.mu.Lock()
	p.rows[level] = r
	p.mu.Unlock()
	return r, nil
}

// solveRow works out the reach at a level.
func (p *Excursions) solveRow(level geo.Metres) (*reachRow, error) {
	m, err := p.vessel.At(level)
	if err != nil {
		return nil, err
	}
	r := p.newRow()
	for i, rootN := range p.rootLoads {
		if r.reachM[i], err = m.reachM(rootN); err != nil {
			return nil, err
		}
	}
	p.boundInterpolation(r)
	return r, nil
}

// boundInterpolation tells how far the straight pieces of a row may be out.
func (p *Excursions) boundInterpolation(r *reachRow) {
	for i := 1; i+1 < len(p.rootLoads); i++ {
		offM := math.Abs(r.reachM[i]-r.reachM[i-1]-p.share(i)*(r.reachM[i+1]-r.reachM[i-1])) / 2
		r.errorM[i-1], r.errorM[i] = max(r.errorM[i-1], offM), max(r.errorM[i], offM)
	}
}

// share is where a load lies between its neighbours, from 0 to 1.
func (p *Excursions) share(i int) float64 {
	return (p.rootLoads[i] - p.rootLoads[i-1]) / (p.rootLoads[i+1] - p.rootLoads[i-1])
}

// levelRows are the reaches at the lowest level of a span, in its middle and at its highest.
type levelRows struct{ low, mid, high *reachRow }

// levelRowsOver are those of a box, between the levels that a pair has in common.
func (p *Excursions) levelRowsOver(bx *box, low, high geo.Metres) (r levelRows, err error) {
	mid, half := bx.mid[symLevel], bx.half[symLevel]
	if r.mid, err = p.row(low + (high-low)*geo.Metres(mid)); err != nil || half == 0 {
		return levelRows{r.mid, r.mid, r.mid}, err
	}
	if r.low, err = p.row(low + (high-low)*geo.Metres(mid-half)); err != nil {
		return r, err
	}
	r.high, err = p.row(low + (high-low)*geo.Metres(mid+half))
	return r, err
}

// reachBounds is how far the bow lies from the anchor in a box, metres, and how much of what is left open is owed to the span of levels and
// of loads.
type reachBounds struct {
	reach          affine
	levelM, loadsM float64
	nearM, farM    float64 // it reaches no less far and no farther
}

// reachWithin is the reach by the root of the load. Between two levels it is taken to run from one to the other as a curve without a change
// of bend, which cannot lie farther off the straight line than twice what it lies off in the middle.
func (p *Excursions) reachWithin(root *affine, rows levelRows) (r reachBounds) {
	last := p.rootLoads[len(p.rootLoads)-1]
	from, to := min(last, max(0, root.min())), min(last, max(0, root.max()))
	i, j := p.cell(from), p.cell(to)
	a, b := p.spreadAt(&rows, from, i), p.spreadAt(&rows, to, j)
	s := newSpreadRange(&a, &b, from, to)
	for k := i + 1; k <= j; k++ {
		e := p.spreadAt(&rows, p.rootLoads[k], k)
		s.include(&e, p.rootLoads[k])
	}
	return s.bounds(root, &a, &b)
}

// levelSpread is the reach under one load over a span of levels: the mean of both ends, half of what the higher end has more, how far the
// middle lies off the mean, and how far all of them may be out, metres.
type levelSpread struct{ meanM, halfM, offM, errorM float64 }

// spreadRange is what the spreads of several loads have at the least and at the most, and how far their means lie under and over the chord
// from the least of the loads to the greatest.
type spreadRange struct {
	minHalfM, maxHalfM, minOffM, maxOffM, errorM float64
	fromN, fromM, slopeMPerN                     float64 // of the chord
	underM, overM                                float64
}

// newSpreadRange is that of two loads, given by their roots.
func newSpreadRange(a, b *levelSpread, fromN, toN float64) spreadRange {
	s := spreadRange{minHalfM: a.halfM, maxHalfM: a.halfM, minOffM: a.offM, maxOffM: a.offM, errorM: a.errorM, fromN: fromN, fromM: a.meanM}
	if toN > fromN {
		s.slopeMPerN = (b.meanM - a.meanM) / (toN - fromN)
	}
	s.widen(b)
	return s
}

// bounds is the reach by the root of the load, from the spreads at the least and the greatest load.
func (s *spreadRange) bounds(root *affine, a, b *levelSpread) (r reachBounds) {
	// A straight line is left aside for plain bounds where it leaves nearly as much open as they do: these do not grow with what else
	// depends on the unknowns. The share only chooses between two bounds that both hold.
	const worthRatio = 0.75
	down, up := 2*min(0, s.minOffM), 2*max(0, s.maxOffM)
	r.levelM, r.loadsM = (up-down+s.maxHalfM-s.minHalfM)/2, (s.overM-s.underM)/2
	r.reach = root.scaled(s.slopeMPerN)
	r.reach.mid = s.fromM + s.slopeMPerN*(root.mid-s.fromN) + (s.underM+s.overM+down+up)/2
	r.reach.residual += r.levelM + r.loadsM + s.errorM
	r.reach.coef[symLevel] += (s.minHalfM + s.maxHalfM) / 2
	// A boat reaches farther under a larger load, and less far at a higher level.
	r.nearM, r.farM = a.meanM+a.halfM-s.errorM, b.meanM-b.halfM+s.errorM
	if r.reach.radius() > worthRatio*(r.farM-r.nearM) {
		r.reach = interval(r.nearM, r.farM)
	}
	return r
}

// include takes the spread of a load between.
func (s *spreadRange) include(e *levelSpread, rootN float64) {
	off := e.meanM - s.fromM - s.slopeMPerN*(rootN-s.fromN)
	s.underM, s.overM = min(s.underM, off), max(s.overM, off)
	s.widen(e)
}

func (s *spreadRange) widen(e *levelSpread) {
	s.minHalfM, s.maxHalfM = min(s.minHalfM, e.halfM), max(s.maxHalfM, e.halfM)
	s.minOffM, s.maxOffM = min(s.minOffM, e.offM), max(s.maxOffM, e.offM)
	s.errorM = max(s.errorM, e.errorM)
}

// spreadAt is the spread under a load, which lies in a piece of the curve.
func (p *Excursions) spreadAt(rows *levelRows, rootN float64, cell int) levelSpread {
	share := (rootN - p.rootLoads[cell]) / (p.rootLoads[cell+1] - p.rootLoads[cell])
	lowM, highM := rows.low.chordM(cell, share), rows.high.chordM(cell, share)
	mean := (lowM + highM) / 2
	return levelSpread{mean, (highM - lowM) / 2, rows.mid.chordM(cell, share) - mean,
		max(rows.low.errorM[cell], rows.mid.errorM[cell], rows.high.errorM[cell])}
}

// chordM is the reach at a share of a straight piece.
func (r *reachRow) chordM(cell int, shareRatio float64) float64 {
	return r.reachM[cell] + shareRatio*(r.reachM[cell+1]-r.reachM[cell])
}

// cell is the piece of the curve of the reach in which a root of a load lies.
func (p *Excursions) cell(rootN float64) int {
	i, _ := slices.BinarySearch(p.rootLoads, rootN)
	return min(max(i-1, 0), len(p.rootLoads)-2)
}
