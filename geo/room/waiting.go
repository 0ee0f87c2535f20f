package room

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

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
	list := slices.Clone(f.Harbor().Waiting)
	slices.SortStableFunc(list, func(a, b geo.Waiting) int { return cmp.Compare(a.Since, b.Since) })
	s := serving{field: f, list: list, report: report}
	moorings := f.Harbor().Moorings
	for i := range moorings {
		if moorings[i].Status == geo.Vacant {
			s.vacant = append(s.vacant, &moorings[i])
		}
	}
	s.moorings = len(s.vacant)
	if err := s.open(openings); err != nil {
		return Assignments{}, err
	}
	s.try(ctx)
	answer := s.answer()
	if s.ended {
		return answer, ended(ctx)
	}
	return answer, nil
}

// serving is the list held against the places.
type serving struct {
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

// open lays the openings beside the vacant moorings, each under a name that no mooring has.
func (s *serving) open(openings []Opening) error {
	n := 0
	for _, o := range openings {
		if _, ok := s.field.Harbor().Area(o.Area); !ok {
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

// on is a vacant mooring or an opening with a boat on it.
func (s *serving) on(v int, b *geo.Boat) geo.Mooring {
	m := on(s.vacant[v], b)
	if v >= s.moorings && s.scopeRatio[v-s.moorings] > 0 {
		if depth, err := s.field.Bed().Depth(s.field.Frame().Project(m.Position)); err == nil {
			m.Tackle = CutTo(s.field.Harbor(), s.scopeRatio[v-s.moorings], depth, b)
		}
	}
	return m
}

// try holds every boat against every vacant mooring and opening.
func (s *serving) try(ctx context.Context) {
	s.why, s.largestM = make([][]geo.Words, len(s.list)), make([]float64, len(s.vacant))
	for b := range s.list {
		s.why[b] = make([]geo.Words, len(s.vacant))
		for v := range s.vacant {
			if s.why[b][v] = geo.Plain("not tried: the search was ended before"); !s.ended {
				s.why[b][v] = s.reason(b, v)
			}
		}
		s.did(ctx, b+1)
	}
	for v := range s.vacant {
		if s.ended {
			return
		}
		s.largestM[v] = largest(s.field, s.vacant[v], func(b *geo.Boat) geo.Mooring { return s.on(v, b) })
		s.did(ctx, len(s.list)+v+1)
	}
}

// did tells how many boats and places are done, and notes when the search is stopped.
func (s *serving) did(ctx context.Context, n int) {
	s.ended = s.ended || ctx.Err() != nil
	if !s.ended {
		s.report.tell(n, len(s.list)+len(s.vacant))
	}
}

// fits reports whether a boat can have a vacant mooring.
func (s *serving) fits(b, v int) bool { return s.why[b][v] == geo.Words{} }

// reason is why a boat cannot have a vacant mooring; empty where it can: the fit check of the boat on it, but for what is not on record of
// its tackle.
func (s *serving) reason(b, v int) geo.Words {
	w, m := &s.list[b], s.vacant[v]
	if len(w.Areas) > 0 && !slices.Contains(w.Areas, m.Area) {
		return geo.Plain("asks for " + strings.Join(w.Areas, ", "))
	}
	if length, _ := w.Boat.SwingLength(); !length.IsKnown() {
		return geo.Plain("the boat's length is not on record")
	}
	if !allowed(s.field, m, &w.Boat) {
		return geo.Plain("longer, deeper or shorter than is set for the place or its area, or not known not to be")
	}
	if fit := s.field.Fit(s.on(v, &w.Boat)); !fit.Passes() {
		return fit.Words
	}
	return geo.Words{}
}

// answer makes offers and the assignment of what was tried.
func (s *serving) answer() Assignments {
	a := Assignments{Offers: []Offer{}, LargestM: map[string]float64{}, Ended: s.ended}
	for v, m := range s.vacant {
		a.LargestM[m.Number] = s.largestM[v]
		a.Offers = append(a.Offers, s.offer(v))
	}
	a.Given = s.assign()
	return a
}

// offer is a place with the first on the list who fits it.
func (s *serving) offer(v int) Offer {
	m := s.vacant[v]
	offer := Offer{Mooring: m.Number, Area: m.Area, Position: m.Position, Open: v >= s.moorings, Passed: []Passed{}}
	for b := range s.list {
		if s.fits(b, v) {
			offer.Name, offer.Since = s.list[b].Name, s.list[b].Since
			break
		}
		offer.Passed = append(offer.Passed, Passed{s.list[b].Name, s.why[b][v]})
	}
	return offer
}
