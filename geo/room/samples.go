package room

import (
	"context"
	"math"
	"runtime"
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

// steepRatio is how much the radius may change over a distance: twice the most that neighbouring samples tell, and a little more where
// there are few of them.
func (s *samples) steepRatio() float64 {
	if s.radiusM == nil {
		return 0
	}
	const atLeast = 0.05 // a bed that falls by one in ten changes the radius of a taut rode of twice the depth by about so much
	maxM := 0.0
	for n, fits := range s.fits {
		for _, m := range [2]int{n + 1, n + s.cols} {
			if fits && m < len(s.fits) && s.fits[m] {
				maxM = max(maxM, math.Abs(float64(s.radiusM[m]-s.radiusM[n])))
			}
		}
	}
	return 2*maxM/s.pitchM + atLeast
}

// coarse: of the samples every third of every third row weighs how much water a boat takes.
const coarse = 3

// survey looks at the places of a plan's box every pitchM, on all cores.
func survey(ctx context.Context, c *chart, pitchM float64) samples {
	s := newSamples(c.plan, pitchM)
	onAllCores(s.rows, func(row int) {
		if ctx.Err() == nil {
			s.surveyRow(c, row)
		}
	})
	s.listPlaces()
	return s
}

// listPlaces lists the samples at which a boat may lie.
func (s *samples) listPlaces() {
	for n, fits := range s.fits {
		if fits {
			s.places = append(s.places, int32(n))
		}
	}
}

// newSamples have not been looked at.
func newSamples(p *plan, pitchM float64) samples {
	s := samples{low: p.low, pitchM: pitchM, fixedM: p.radius.fixedM}
	size := p.size()
	s.cols, s.rows = int(size.EastM/pitchM)+2, int(size.NorthM/pitchM)+2
	s.fits = make([]bool, s.cols*s.rows)
	if p.radius.byDepth != nil {
		s.radiusM = make([]float32, len(s.fits))
	}
	return s
}

// surveyRow looks at the places of a row.
func (s *samples) surveyRow(c *chart, row int) {
	var l chartReader
	for col := range s.cols {
		at := s.place(col, row)
		if l.square(c, at).maxM < 0 {
			continue
		}
		r := c.plan.radius.at(at)
		if !l.fits(c, at, r, 0) {
			continue
		}
		n := row*s.cols + col
		s.fits[n] = true
		if s.radiusM != nil {
			s.radiusM[n] = float32(r)
		}
	}
}

// onAllCores does each of n tasks once, on all cores.
func onAllCores(n int, task func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				task(i)
			}
		})
	}
	wait.Wait()
}

func (s *samples) place(col, row int) geo.Offset {
	return geo.Offset{EastM: s.low.EastM + float64(col)*s.pitchM, NorthM: s.low.NorthM + float64(row)*s.pitchM}
}

// placeOf is the place of the n-th sample.
func (s *samples) placeOf(n int) geo.Offset { return s.place(n%s.cols, n/s.cols) }

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
	west, east := s.coarseSpan(at.EastM-reachM-s.low.EastM, at.EastM+reachM-s.low.EastM, s.cols)
	south, north := s.coarseSpan(at.NorthM-reachM-s.low.NorthM, at.NorthM+reachM-s.low.NorthM, s.rows)
	for row := south; row <= north; row++ {
		for col := west; col <= east; col++ {
			if n := row*coarse*s.cols + col*coarse; s.fits[n] {
				visit(row*(s.cols/coarse+1)+col, s.place(col*coarse, row*coarse), s.radiusAtM(n))
			}
		}
	}
}

// coarseSpan is the first and the last coarse sample of a row or column, of so many samples, from one place to another along it.
func (s *samples) coarseSpan(fromM, toM float64, count int) (first, last int) {
	step := coarse * s.pitchM
	return max(0, int(math.Ceil(fromM/step))), min((count-1)/coarse, int(toM/step))
}
