package clearance_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	geom "github.com/twpayne/go-geom"
	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// told is a report to the tenth of a millimetre, in an order of its own: planes that touch at another place differ by less.
func told(f *clearance.Field, r *clearance.Report) []string {
	var all []string
	for _, k := range r.Conflicts {
		overlap := fmt.Sprintf("%.4f", k.OverlapM)
		if k.Lying == geo.InUnison {
			overlap = "hulls" // where another plane's north differs, the hulls do by a millimetre: sameHulls compares them
		}
		all = append(all, fmt.Sprintf("%s-%s %s %s %.4f %s", min(k.A, k.B), max(k.A, k.B), k.State, k.Certainty, k.DistanceM, overlap))
	}
	for _, h := range r.Hazards {
		all = append(all, fmt.Sprintf("%s %s %s %.3f", h.Mooring, h.Kind, h.Certainty, h.ByM))
	}
	for _, u := range r.Unknown {
		all = append(all, told1(&u))
	}
	for _, x := range r.Troubles {
		all = append(all, told1(&x))
	}
	if f != nil {
		for i, m := range f.Harbor().Moorings {
			all = append(all, fmt.Sprintf("%s is %s", m.Number, f.State(i)))
		}
	}
	slices.Sort(all)
	return all
}

// told1 is one finding, with its figure to the millimetre.
func told1(x *clearance.Finding) string {
	v := &x.Verdict
	return fmt.Sprintf("%s %s %s %s %v %.3f", x.Mooring, v.Constraint, v.Of, v.Reason, v.Missing, v.Spare.Or(0))
}

// sameHulls compares the overlaps of pairs that are judged by hulls.
func sameHulls(t *rapid.T, a, b *clearance.Report) {
	t.Helper()
	overlaps := map[string]float64{}
	for _, k := range a.Conflicts {
		overlaps[min(k.A, k.B)+"-"+max(k.A, k.B)] = k.OverlapM
	}
	for _, k := range b.Conflicts {
		pair := min(k.A, k.B) + "-" + max(k.A, k.B)
		if d := k.OverlapM - overlaps[pair]; k.Lying == geo.InUnison && math.Abs(d) > 0.005 {
			t.Fatalf("%s: %g and %g", pair, overlaps[pair], k.OverlapM)
		}
	}
}

func TestOneChangedMooringGivesTheFieldThatIsWorkedOutAnew(t *testing.T) {
	origin := places["north"]
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		random := func(number string) geo.Mooring {
			m := moored(origin, number, r.Float64()*400-20, r.Float64()*400, 8+r.Float64()*20)
			if r.IntN(8) == 0 {
				m.Boat = &geo.Boat{}
			}
			if r.IntN(2) == 0 {
				m.Area = "Middle"
			}
			if r.IntN(2) == 0 {
				m = tackled(m, 6+r.Float64()*8, 12+r.Float64()*10)
			}
			return m
		}
		var all []geo.Mooring
		most, lying := 60, geo.Independent
		if r.IntN(4) == 0 { // fewer of those, for each pair is searchWeathers
			most, lying = 12, geo.InUnison
		}
		for i := range 1 + r.IntN(most) {
			all = append(all, random(fmt.Sprint(i)))
		}
		h := basin(origin, all...)
		h.Areas[0].Rules.Lying = lying
		// A square of soundings can be halved in two ways, and the plane of the field worked out anew, which lies a little elsewhere, may
		// take the other: off the grid there is no such choice.
		flat := slices.Clone(h.Soundings.FlatCoords())
		for n := 0; n < len(flat); n += 3 {
			flat[n], flat[n+1] = flat[n]+(r.Float64()-0.5)*1e-5, flat[n+1]+(r.Float64()-0.5)*1e-5
		}
		h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
		f, err := clearance.NewField(h)
		if err != nil {
			t.Fatal(err)
		}
		before := told(f, f.Report())
		g := f
		for range 3 {
			m := random(fmt.Sprint(r.IntN(len(all) + 2)))
			tried := g.Fit(m)
			if g, err = g.With(m); err != nil {
				t.Fatal(err)
			}
			if got, want := ofFit(tried), ofReport(g.Report(), m.Number); !slices.Equal(got, want) {
				t.Fatalf("tried:\n%q\nput in:\n%q", got, want)
			}
		}
		anew, err := clearance.NewField(g.Harbor())
		if err != nil {
			t.Fatal(err)
		}
		if got, want := told(g, g.Report()), told(anew, anew.Report()); !slices.Equal(got, want) {
			t.Fatalf("changed:\n%q\nanew:\n%q", got, want)
		}
		sameHulls(t, g.Report(), anew.Report())
		// The same in one step, and with other words: names swing nothing.
		worded := *g.Harbor()
		worded.Moorings = slices.Clone(worded.Moorings)
		for i := range worded.Moorings {
			m := &worded.Moorings[i]
			if m.Note = "looked at"; m.Boat != nil {
				boat := *m.Boat
				boat.Name, boat.Owner = "Wren", "Ada"
				m.Boat = &boat
			}
		}
		for name, next := range map[string]*geo.Harbor{"as it is": g.Harbor(), "in other words": &worded} {
			n, err := f.Next(next)
			if err != nil || n.Harbor() != next {
				t.Fatal(name, err)
			}
			if got, want := told(n, n.Report()), told(anew, anew.Report()); !slices.Equal(got, want) {
				t.Fatalf("%s:\n%q\nanew:\n%q", name, got, want)
			}
			sameHulls(t, n.Report(), anew.Report())
		}
		if after := told(f, f.Report()); !slices.Equal(after, before) {
			t.Fatalf("the old field has changed:\n%q\n%q", before, after)
		}
	})
}
