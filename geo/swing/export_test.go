package swing

import (
	"fmt"
	"math"
)

// Boxes counts what a search opens.
func (s *Sweep) Boxes(a, b *Poses) (c Closest, boxes int) {
	p, _ := s.pairOf(a, b)
	search := proof{goal: p, bestM: math.Inf(1), limits: Limits{WantedM: math.Inf(-1)}}
	proved, err := search.prove(p.roots(false))
	if err != nil {
		panic(err)
	}
	c, _ = p.closestAt(&search.best)
	c.BoundM, c.Proved = search.boundM, proved
	return c, search.boxes
}

func (s *Sweep) Debug(a, b *Poses, n int) {
	p, _ := s.pairOf(a, b)
	k := 0
	search := proof{goal: p, bestM: math.Inf(1), limits: Limits{Stop: func() bool { k++; return k > n/64 }}}
	search.prove(p.roots(false))
	for range 3 {
		if len(search.open) == 0 {
			continue
		}
		bx := search.pop()
		la, lb, ok, err := p.lay(&bx)
		fmt.Printf("box bound %.2f chart %v ebb %v worst %d\n mid %.3f\n half %.3f\n", bx.boundM, bx.chart, bx.ebb, bx.worst, bx.mid, bx.half)
		f := func(x affine) string { return fmt.Sprintf("%.3f+-%.3f(%.3f)", x.mid, x.radius(), x.over) }
		fmt.Println(ok, err, "A stern", f(la.stern), "load", f(la.load), "root", f(la.root), "reach", f(la.reach), la.turnsStern, la.turnsLoad)
		fmt.Println("B stern", f(lb.stern), "load", f(lb.load), "root", f(lb.root), "reach", f(lb.reach), lb.turnsStern, lb.turnsLoad)
		fmt.Println(p.gapOver(&bx))
	}
	fmt.Println("nodes", len(p.a.rootsN), len(p.b.rootsN), "rows", len(p.a.rows))
}

func (s *Sweep) DebugPair(a, b *Poses, n int) { s.Debug(a, b, n) }
