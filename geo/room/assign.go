package room

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"swingroom/geo"
)

// forbidden are pairs of one who waits and a place that is not tried again.
type forbidden map[[2]int]bool

// assign serves the whole list: one after another in its order, each by the shortest way to change what was given before, where a place
// weighs what it could take more (successive shortest paths, by the Bellman-Ford of gonum). So nobody once served loses a place to one who
// came later, and of the boats that are served the waste is the least. What is given is then held against the field with all of it laid; a
// boat that is in the way of one served before is tried again without that place.
func (s *serving) assign() []Assignment {
	not := forbidden{}
	for {
		place := s.matched(not)
		clash, ok := s.clash(place)
		if !ok {
			return s.given(place, not)
		}
		not[clash] = true
	}
}

// matched gives each of the list a vacant mooring or -1.
func (s *serving) matched(not forbidden) []int {
	fits, spareM := make([][]bool, len(s.list)), make([][]float64, len(s.list))
	for b := range s.list {
		fits[b], spareM[b] = make([]bool, len(s.vacant)), make([]float64, len(s.vacant))
		for v := range s.vacant {
			fits[b][v], spareM[b][v] = s.mayHave(b, v, not), s.spareM(b, v)
		}
	}
	return matched(fits, spareM)
}

func (s *serving) mayHave(b, v int, not forbidden) bool { return s.fits(b, v) && !not[[2]int{b, v}] }

// spareM is how much longer a boat a place could take.
func (s *serving) spareM(b, v int) float64 {
	length, _ := s.list[b].Boat.SwingLength()
	return math.Max(0, s.largestM[v]-float64(length.Or(0)))
}

// matching gives places to boats, one boat after another.
type matching struct {
	fits   [][]bool
	spareM [][]float64
	place  []int // of each boat, or -1
	taker  []int // of each place, or -1
}

// matched gives each of a list, in its order, a place that it fits or -1. Nobody who is served loses a place to one who came later, and of
// the places the least is spared.
func matched(fits [][]bool, spareM [][]float64) []int {
	places := 0
	if len(fits) > 0 {
		places = len(fits[0])
	}
	m := matching{fits: fits, spareM: spareM, place: nobody(len(fits)), taker: nobody(places)}
	for b := range fits {
		m.serve(b)
	}
	return m.place
}

// nobody is -1, n times.
func nobody(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = -1
	}
	return all
}

// node is that of a place in the graph, behind those of the boats.
func (m *matching) node(v int) simple.Node { return simple.Node(len(m.place) + v) }

// graph leads from each of the boats served so far, and from b, to the places that fit, and back from a place to the boat that has it: a
// way from b to a free place is a way to serve b too, and its weight is what is then wasted more.
func (m *matching) graph(b int) *simple.WeightedDirectedGraph {
	g := simple.NewWeightedDirectedGraph(0, math.Inf(1))
	g.AddNode(simple.Node(b))
	for c := range b + 1 {
		for v := range m.taker {
			switch {
			case !m.fits[c][v]:
			case m.place[c] == v:
				g.SetWeightedEdge(simple.WeightedEdge{F: m.node(v), T: simple.Node(c), W: -m.spareM[c][v]})
			default:
				g.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(c), T: m.node(v), W: m.spareM[c][v]})
			}
		}
	}
	return g
}

// serve gives one more boat a place, if there is a way.
func (m *matching) serve(b int) {
	ways, _ := path.BellmanFordFrom(simple.Node(b), m.graph(b))
	best, bestM := -1, math.Inf(1)
	for v := range m.taker {
		if w := ways.WeightTo(m.node(v).ID()); m.taker[v] < 0 && w < bestM {
			best, bestM = v, w
		}
	}
	if best < 0 {
		return
	}
	way, _ := ways.To(m.node(best).ID())
	for i := 0; i+1 < len(way); i += 2 {
		c, v := int(way[i].ID()), int(way[i+1].ID())-len(m.place)
		m.place[c], m.taker[v] = v, c
	}
}

// clash lays all that is given, in the order of the list, and finds one who is in the way of another.
func (s *serving) clash(place []int) (bad [2]int, is bool) {
	g := s.field
	for b, v := range place {
		if v < 0 {
			continue
		}
		m := s.on(v, &s.list[b].Boat)
		if fit := g.Fit(m); !fit.Passes() {
			return [2]int{b, v}, true
		}
		var err error
		if g, err = g.With(m); err != nil {
			return [2]int{b, v}, true
		}
	}
	return bad, false
}

// given is the list with what each gets.
func (s *serving) given(place []int, not forbidden) []Assignment {
	all := []Assignment{}
	for b, v := range place {
		one := Assignment{Name: s.list[b].Name, Since: s.list[b].Since}
		if v >= 0 {
			one.Mooring, one.SpareM = s.vacant[v].Number, geo.Known(s.spareM(b, v))
		} else {
			one.Words = s.leftOut(b, not)
		}
		all = append(all, one)
	}
	return all
}

// choices is how many places one may have.
func (s *serving) choices(b int, not forbidden) (n int) {
	for v := range s.vacant {
		if s.mayHave(b, v, not) {
			n++
		}
	}
	return n
}

// leftOut is why one gets no place.
func (s *serving) leftOut(b int, not forbidden) string {
	if len(s.vacant) == 0 {
		return "there is no vacant mooring and no opening"
	}
	if fit := s.choices(b, not); fit > 0 {
		return fmt.Sprintf("fits on %d of them, all of which go to those who came before", fit)
	}
	return "fits on none of them"
}
