package room

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Passed is one who was passed over for a place, and why.
type Passed struct {
	Name  string    `json:"name"`
	Words geo.Words `json:"words"`
}

// Opening is a place at which a mooring may be set, held against the waiting list like a vacant one.
type Opening struct {
	Position geo.Position
	Area     string
	// Tackle that would be laid, or ScopeRatio: the rode over the height from bed to bow at the high level, cut for each boat.
	Tackle     geo.Tackle
	ScopeRatio float64
}

// Offer is a vacant mooring, or an opening, with the first on the waiting list who fits it.
type Offer struct {
	Mooring string `json:"mooring"` // its number; of an opening a name that no mooring has, as "open 1"
	Area    string `json:"area"`
	// Position is where it lies.
	Position geo.Position `json:"position"`
	Open     bool         `json:"open"` // no mooring lies there yet
	Name     string       `json:"name"` // empty: nobody on the list fits
	Since    geo.Date     `json:"since"`
	// Passed are all who came before, with the reason for each.
	Passed []Passed `json:"passed"`
}

// Assignment is one of the waiting list with the mooring that the whole list's assignment gives.
type Assignment struct {
	Name    string   `json:"name"`
	Since   geo.Date `json:"since"`
	Mooring string   `json:"mooring"` // empty: none
	// SpareM is by how much a longer boat the place could take: what is wasted.
	SpareM geo.Maybe[float64] `json:"spare_m"`
	Words  string             `json:"words"` // why there is none
}

// Assignments is the waiting list against the vacant moorings.
type Assignments struct {
	Offers []Offer `json:"offers"`
	// Given serves the whole list at once: nobody is left out for the sake of one who came later, and of all ways to do that the one that
	// wastes least.
	Given []Assignment `json:"given"`
	// LargestM is the longest boat that each vacant mooring or opening can take, by number.
	LargestM map[string]float64 `json:"largest_m"`
	Ended    bool               `json:"ended"` // it was stopped before all had been tried
}

// Serve holds the waiting list, in order of date, against the vacant moorings and some openings. A search that is stopped leaves out who
// has not been tried by then: they count as fitting nowhere, Ended says so, and what there is comes with ctx.Err(). Errors: geo.ErrNotFound
// for an opening's area, geo.ErrInvalid for its position.
func Serve(ctx context.Context, f *clearance.Field, openings []Opening, report Progress) (Assignments, error) {
	h := f.Harbor()
	list := slices.Clone(h.Waiting)
	slices.SortStableFunc(list, func(a, b geo.Waiting) int { return cmp.Compare(a.Since, b.Since) })
	s := server{field: f, list: list, report: report}
	for i := range h.Moorings {
		if h.Moorings[i].Status == geo.Vacant {
			s.vacant = append(s.vacant, &h.Moorings[i])
		}
	}
	s.moorings = len(s.vacant)
	if err := s.open(openings); err != nil {
		return Assignments{}, err
	}
	s.try(ctx)
	answer := Assignments{Offers: []Offer{}, Given: []Assignment{}, LargestM: map[string]float64{}, Ended: s.ended}
	for v, m := range s.vacant {
		answer.LargestM[m.Number] = s.largestM[v]
		offer := Offer{Mooring: m.Number, Area: m.Area, Position: m.Position, Open: v >= s.moorings, Passed: []Passed{}}
		for b := range list {
			if s.fits(b, v) {
				offer.Name, offer.Since = list[b].Name, list[b].Since
				break
			}
			offer.Passed = append(offer.Passed, Passed{list[b].Name, s.why[b][v]})
		}
		answer.Offers = append(answer.Offers, offer)
	}
	answer.Given = s.assign()
	if s.ended {
		return answer, ended(ctx)
	}
	return answer, nil
}

// open lays the openings beside the vacant moorings, each under a name that no mooring has.
func (s *server) open(openings []Opening) error {
	h := s.field.Harbor()
	n := 0
	for _, o := range openings {
		if _, ok := h.Area(o.Area); !ok {
			return fmt.Errorf("area %q: %w", o.Area, geo.ErrNotFound)
		}
		if err := o.Position.Validate(); err != nil {
			return err
		}
		name := ""
		for taken := true; taken; _, taken = s.field.Index(name) {
			n++
			name = fmt.Sprintf("open %d", n)
		}
		s.scopeRatio = append(s.scopeRatio, o.ScopeRatio)
		s.vacant = append(s.vacant, &geo.Mooring{Number: name, Area: o.Area, Status: geo.Vacant, Position: o.Position,
			Accuracy: geo.Known(geo.Metres(0)), Tackle: o.Tackle})
	}
	return nil
}

// server carries one serving.
type server struct {
	field    *clearance.Field
	list     []geo.Waiting
	report   Progress
	ended    bool
	vacant   []*geo.Mooring // and then the openings
	moorings int            // how many of them are moorings
	// scopeRatio is that of each opening; 0 where its tackle is as it is.
	scopeRatio []float64
	why        [][]geo.Words // by who waits and vacant mooring: why not; empty where the boat fits
	largestM   []float64
}

// on is a vacant mooring or an opening with a boat on it.
func (s *server) on(v int, b *geo.Boat) geo.Mooring {
	m := on(s.vacant[v], b)
	if v >= s.moorings && s.scopeRatio[v-s.moorings] > 0 {
		if depth, err := s.field.Bed().Depth(s.field.Frame().Project(m.Position)); err == nil {
			m.Tackle = CutTo(s.field.Harbor(), s.scopeRatio[v-s.moorings], depth, b)
		}
	}
	return m
}

// on is a vacant mooring with a boat on it.
func on(m *geo.Mooring, b *geo.Boat) geo.Mooring {
	with := *m
	with.Boat, with.Status = b, geo.Occupied
	return with
}

// try holds every boat against every vacant mooring and opening.
func (s *server) try(ctx context.Context) {
	total := len(s.list) + len(s.vacant)
	did := func(n int) bool {
		s.ended = s.ended || ctx.Err() != nil
		if s.report != nil && !s.ended {
			s.report(n, total)
		}
		return !s.ended
	}
	s.why, s.largestM = make([][]geo.Words, len(s.list)), make([]float64, len(s.vacant))
	for b := range s.list {
		s.why[b] = make([]geo.Words, len(s.vacant))
		for v := range s.vacant {
			if s.why[b][v] = geo.WordsOf(say("not tried: the search was ended before")); !s.ended {
				s.why[b][v] = s.reason(b, v)
			}
		}
		did(b + 1)
	}
	for v := range s.vacant {
		if s.ended {
			return
		}
		s.largestM[v] = largest(s.field, s.vacant[v], func(b *geo.Boat) geo.Mooring { return s.on(v, b) })
		did(len(s.list) + v + 1)
	}
}

// fits reports whether a boat can have a vacant mooring.
func (s *server) fits(b, v int) bool { return s.why[b][v] == geo.Words{} }

// reason is why a boat cannot have a vacant mooring; empty where it can: the fit check of the boat on it, but for what is not on record of
// its tackle.
func (s *server) reason(b, v int) geo.Words {
	w, m := &s.list[b], s.vacant[v]
	if len(w.Areas) > 0 && !slices.Contains(w.Areas, m.Area) {
		return geo.WordsOf(say("asks for %s", strings.Join(w.Areas, ", ")))
	}
	if length, _ := w.Boat.SwingLength(); !length.IsKnown() {
		return geo.WordsOf(say("the boat's length is not on record"))
	}
	if !allowed(s.field, m, &w.Boat) {
		return geo.WordsOf(say("longer, deeper or shorter than is set for the place or its area, or not known not to be"))
	}
	if fit := s.field.Fit(s.on(v, &w.Boat)); !fit.Passes() {
		return fit.Words
	}
	return geo.Words{}
}

// assign serves the whole list: one after another in its order, each by the shortest way to change what was given before, where a place
// weighs what it could take more (successive shortest paths, by the Bellman-Ford of gonum). So nobody once served loses a place to one who
// came later, and of the boats that are served the waste is the least. What is given is then held against the field with all of it laid; a
// boat that is in the way of one served before is tried again without that place.
func (s *server) assign() []Assignment {
	forbidden := map[[2]int]bool{}
	for {
		place := s.matched(forbidden)
		clash, ok := s.clash(place)
		if !ok {
			return s.given(place, forbidden)
		}
		forbidden[clash] = true
	}
}

// matched gives each of the list a vacant mooring or -1.
func (s *server) matched(forbidden map[[2]int]bool) []int {
	fits, spareM := make([][]bool, len(s.list)), make([][]float64, len(s.list))
	for b := range s.list {
		fits[b], spareM[b] = make([]bool, len(s.vacant)), make([]float64, len(s.vacant))
		for v := range s.vacant {
			fits[b][v], spareM[b][v] = s.fits(b, v) && !forbidden[[2]int{b, v}], s.spareM(b, v)
		}
	}
	return matched(fits, spareM)
}

// matched gives each of a list, in its order, a place that it fits or -1. Nobody who is served loses a place to one who came later, and of
// the places the least is spared.
func matched(fits [][]bool, spareM [][]float64) []int {
	boats, places := len(fits), 0
	if boats > 0 {
		places = len(fits[0])
	}
	place, taker := make([]int, boats), make([]int, places)
	for b := range place {
		place[b] = -1
	}
	for v := range taker {
		taker[v] = -1
	}
	node := func(v int) simple.Node { return simple.Node(boats + v) }
	for b := range fits {
		g := simple.NewWeightedDirectedGraph(0, math.Inf(1))
		g.AddNode(simple.Node(b))
		for c := range b + 1 {
			for v := range taker {
				switch {
				case !fits[c][v]:
				case place[c] == v:
					g.SetWeightedEdge(simple.WeightedEdge{F: node(v), T: simple.Node(c), W: -spareM[c][v]})
				default:
					g.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(c), T: node(v), W: spareM[c][v]})
				}
			}
		}
		ways, _ := path.BellmanFordFrom(simple.Node(b), g)
		best, bestM := -1, math.Inf(1)
		for v := range taker {
			if w := ways.WeightTo(node(v).ID()); taker[v] < 0 && w < bestM {
				best, bestM = v, w
			}
		}
		if best < 0 {
			continue
		}
		way, _ := ways.To(node(best).ID())
		for i := 0; i+1 < len(way); i += 2 {
			c, v := int(way[i].ID()), int(way[i+1].ID())-boats
			place[c], taker[v] = v, c
		}
	}
	return place
}

// spareM is how much longer a boat a place could take.
func (s *server) spareM(b, v int) float64 {
	length, _ := s.list[b].Boat.SwingLength()
	return math.Max(0, s.largestM[v]-float64(length.Or(0)))
}

// clash lays all that is given, in the order of the list, and finds one who is in the way of another.
func (s *server) clash(place []int) (bad [2]int, is bool) {
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

func (s *server) given(place []int, forbidden map[[2]int]bool) []Assignment {
	all := []Assignment{}
	for b, v := range place {
		one := Assignment{Name: s.list[b].Name, Since: s.list[b].Since}
		if v >= 0 {
			one.Mooring, one.SpareM = s.vacant[v].Number, geo.Known(s.spareM(b, v))
		} else {
			one.Words = s.leftOut(b, forbidden)
		}
		all = append(all, one)
	}
	return all
}

func (s *server) leftOut(b int, forbidden map[[2]int]bool) string {
	if len(s.vacant) == 0 {
		return "there is no vacant mooring and no opening"
	}
	fit := 0
	for v := range s.vacant {
		if s.fits(b, v) && !forbidden[[2]int{b, v}] {
			fit++
		}
	}
	if fit > 0 {
		return fmt.Sprintf("fits on %d of them, all of which go to those who came before", fit)
	}
	return "fits on none of them"
}
