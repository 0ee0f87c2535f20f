package swing

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"sync"

	"gonum.org/v1/gonum/interp"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// Poses are how one boat lies in each case of a sweep. What pulls at her is worked out at once; her place in each case only when it is asked.
type Poses struct {
	sweep  *Sweep
	craft  *Craft
	at     geo.Offset // her anchor
	pulls  []rode.Aligned
	loadsN []float64 // at which her reach is worked out, smallest first
	levels []held
	drags  rode.Drags // in the flood
	turnsM []float64

	once sync.Once
	all  []pose
	err  error
}

// held is a boat at one level: nil where her line is too short for it.
type held struct {
	*Moored
	reach func(loadN float64) float64
	mostM float64 // the farthest reach
}

// Poses makes a boat with her anchor at a place ready. Errors: as [Moored.Lie], and geo.ErrShortRode where her line is too short at every level.
func (s *Sweep) Poses(c *Craft, at geo.Offset) (*Poses, error) {
	p := &Poses{sweep: s, craft: c, at: at, levels: make([]held, len(s.levels))}
	var err error
	if p.pulls, p.drags, err = s.pulls(c); err != nil {
		return nil, err
	}
	p.loadsN = s.loads(p.pulls)
	fit := 0
	var short error
	for l, level := range s.levels {
		m, err := c.At(level)
		if errors.Is(err, geo.ErrShortRode) {
			short = err
			continue
		}
		if err != nil {
			return nil, err
		}
		p.levels[l].Moored = m
		fit++
	}
	if fit == 0 {
		return nil, short
	}
	return p, nil
}

// none says that the boat has no place in a case, since her line is too short at its level.
func (p *Poses) none(n int) bool { return p.levels[n/(p.sweep.Cases()/len(p.levels))].Moored == nil }

// pulls are those of the cases of one level, but for the ebb: that is the flood turned right round, wind and all. With no stream a wind from the north, at each speed, turned.
func (s *Sweep) pulls(c *Craft) (pulls []rode.Aligned, drags rode.Drags, err error) {
	pulls = make([]rode.Aligned, 0, min(2, len(s.shareRatio))*sweepDirections*sweepSpeeds)
	for share := range min(2, len(s.shareRatio)) {
		first := s.weather(share * sweepDirections * sweepSpeeds)
		if drags, err = rode.DragsOf(c.Windage, first.Stream); err != nil {
			return nil, drags, c.noDraft()
		}
		streamTo := geo.Toward(first.StreamToDeg, 1)
		for v := range sweepSpeeds {
			gust := s.weather(v*sweepDirections).Wind * geo.MetresPerSecond(max(1, s.design.Gust()))
			for d := range sweepDirections {
				windTo := compass[d].Times(-1)
				if share > 0 || d == 0 {
					pulls = append(pulls, drags.Lie(gust, windTo, streamTo))
					continue
				}
				a := pulls[len(pulls)-d]
				a.To, a.Stern = windTo, windTo
				pulls = append(pulls, a)
			}
		}
	}
	return pulls, drags, nil
}

// compass are the directions of the sweep, of length 1.
var compass = func() (c [sweepDirections]geo.Offset) {
	for d := range c {
		c[d] = geo.Toward(float64(d)*360/sweepDirections, 1)
	}
	return c
}()

// full are her places in all cases.
func (p *Poses) full() ([]pose, error) {
	p.once.Do(func() {
		p.all = make([]pose, p.sweep.Cases())
		perLevel := len(p.all) / len(p.levels)
		for l := range p.levels {
			if p.levels[l].Moored != nil && p.err == nil {
				p.err = p.place(&p.levels[l], p.all[l*perLevel:(l+1)*perLevel])
			}
		}
		p.turnsM = p.turns()
	})
	return p.all, p.err
}

func (p *Poses) place(h *held, poses []pose) error {
	if err := p.reaches(h); err != nil {
		return err
	}
	for n := range p.pulls {
		a := &p.pulls[n]
		poses[n] = pose{a.To.Times(h.reach(float64(a.Load))), a.Stern.Times(float64(h.Length))}
	}
	for n := len(p.pulls); n < len(poses); n++ {
		flood := poses[p.sweep.flood(n)]
		poses[n] = pose{flood.bow.Times(-1), flood.aft.Times(-1)}
	}
	return nil
}

// flood is the case of the flood that is a case of the ebb, turned right round.
func (s *Sweep) flood(ebb int) int {
	d := ebb % sweepDirections
	return ebb - sweepDirections*sweepSpeeds - d + (d+sweepDirections/2)%sweepDirections
}

// loads are those at which a reach is worked out. With the wind alone there are but few loads. With a stream there are hundreds, and a monotone curve through some of them will do: what is found is worked out
// again in full.
func (s *Sweep) loads(pulls []rode.Aligned) (loadsN []float64) {
	if len(s.shareRatio) == 1 {
		for n := 0; n < len(pulls); n += sweepDirections {
			loadsN = append(loadsN, float64(pulls[n].Load))
		}
		return loadsN
	}
	topN := 0.0
	for i := range pulls {
		topN = max(topN, float64(pulls[i].Load))
	}
	const points = 10
	for i := range points + 1 { // close together at small loads, where the line still hangs
		share := float64(i) / points
		root := share * (0.35 + 0.65*share)
		loadsN = append(loadsN, topN*root*root)
	}
	return loadsN
}

// reaches works out the reach by the load. The curve runs over the square root of the load.
func (p *Poses) reaches(h *held) error {
	reachM := make([]float64, len(p.loadsN))
	for i, loadN := range p.loadsN {
		r, err := h.Rode.Reach(geo.Newtons(loadN))
		if err != nil {
			return fmt.Errorf("mooring %s: %w", p.craft.Number, err)
		}
		reachM[i] = float64(r)
	}
	h.mostM = reachM[len(reachM)-1]
	if len(p.sweep.shareRatio) == 1 {
		h.reach = func(loadN float64) float64 { return reachM[sort.SearchFloat64s(p.loadsN, loadN)] }
		return nil
	}
	roots := make([]float64, len(p.loadsN))
	for i, loadN := range p.loadsN {
		roots[i] = math.Sqrt(loadN)
	}
	var curve interp.FritschButland
	if err := curve.Fit(roots, reachM); err != nil {
		return err
	}
	h.reach = func(loadN float64) float64 { return curve.Predict(math.Sqrt(loadN)) }
	return nil
}
