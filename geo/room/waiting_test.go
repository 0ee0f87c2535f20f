package room_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// queue is the demo harbor with a waiting list.
func queue(t testing.TB, list ...geo.Waiting) *clearance.Field {
	t.Helper()
	h := *demo(t).Field().Harbor()
	h.Waiting = list
	f, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func waits(name, since string, loaFt float64, areas ...string) geo.Waiting {
	return geo.Waiting{Name: name, Since: geo.Date(since), Boat: sloop(loaFt), Areas: areas}
}

func TestTheFirstWhoFitsIsOffered(t *testing.T) {
	f := queue(t, waits("late", "2024-05-01", 16), waits("first", "2019-01-01", 60), waits("second", "2020-01-01", 16, "Nowhere at all"),
		waits("third", "2021-01-01", 17))
	s := serve(t, f)
	vacant := 0
	for i := range f.Harbor().Moorings {
		if f.Harbor().Moorings[i].Status == geo.Vacant {
			vacant++
		}
	}
	if len(s.Offers) != vacant || vacant < 10 {
		t.Fatalf("%d offers for %d vacant moorings", len(s.Offers), vacant)
	}
	offered := 0
	for _, o := range s.Offers {
		switch o.Name {
		case "third":
			offered++
			if len(o.Passed) != 2 || o.Passed[0].Name != "first" || o.Passed[1].Name != "second" || o.Passed[0].Words.Feet == "" ||
				o.Passed[1].Words.Feet != "asks for Nowhere at all" {
				t.Errorf("%+v", o)
			}
		case "":
			if len(o.Passed) != 4 {
				t.Errorf("nobody, and %d passed over: %+v", len(o.Passed), o)
			}
		case "late":
			if len(o.Passed) != 3 || o.Passed[2].Words.Feet == "" {
				t.Errorf("%s goes to the last: %+v", o.Mooring, o.Passed)
			}
		}
	}
	if offered == 0 {
		t.Error("the third fits nowhere")
	}
}

// What is given is held against all ways to give it: the list is served in its order, and the waste is the least.
func TestTheAssignmentIsTheBestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		boats, places := rapid.IntRange(1, 5).Draw(t, "boats"), rapid.IntRange(1, 5).Draw(t, "places")
		fits := make([][]bool, boats)
		spareM := make([][]float64, boats)
		for b := range fits {
			fits[b], spareM[b] = make([]bool, places), make([]float64, places)
			for v := range fits[b] {
				fits[b][v], spareM[b][v] = rapid.Bool().Draw(t, "fits"), float64(rapid.IntRange(0, 9).Draw(t, "spare"))
			}
		}
		got := room.Matched(fits, spareM)
		best, bestServed, bestM := []int(nil), "", math.Inf(1)
		var each func(place []int, used int, wasteM float64)
		each = func(place []int, used int, wasteM float64) {
			if b := len(place); b < boats {
				each(append(slices.Clone(place), -1), used, wasteM)
				for v := range places {
					if fits[b][v] && used&(1<<v) == 0 {
						each(append(slices.Clone(place), v), used|1<<v, wasteM+spareM[b][v])
					}
				}
				return
			}
			served := ""
			for _, v := range place {
				served += map[bool]string{true: "1", false: "0"}[v >= 0]
			}
			if served > bestServed || served == bestServed && wasteM < bestM {
				best, bestServed, bestM = place, served, wasteM
			}
		}
		each(nil, 0, 0)
		wasteM, served := 0.0, ""
		for b, v := range got {
			served += map[bool]string{true: "1", false: "0"}[v >= 0]
			if v >= 0 {
				wasteM += spareM[b][v]
			}
		}
		if served != bestServed || math.Abs(wasteM-bestM) > 1e-9 {
			t.Fatalf("%v (%s, %g), best %v (%s, %g)", got, served, wasteM, best, bestServed, bestM)
		}
	})
}

func TestTheWholeListIsServedWithoutAClash(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of searches, which the race detector makes long; run without -short")
	}
	var list []geo.Waiting
	for i := range 24 {
		list = append(list, waits(fmt.Sprintf("boat %02d", i), fmt.Sprintf("20%02d-01-01", 10+i%14), 15+float64(i*7%20)))
	}
	f := queue(t, list...)
	s := serve(t, f)
	if len(s.Given) != len(list) || !slices.IsSortedFunc(s.Given, func(a, b room.Assignment) int {
		return slices.Compare([]byte(a.Since), []byte(b.Since))
	}) {
		t.Fatalf("%d of %d told, in order of date", len(s.Given), len(list))
	}
	h := *f.Harbor()
	h.Moorings = slices.Clone(h.Moorings)
	given := map[string]bool{}
	for _, g := range s.Given {
		if g.Mooring == "" {
			if g.Words == "" {
				t.Errorf("%s is left out without a word", g.Name)
			}
			continue
		}
		if given[g.Mooring] {
			t.Errorf("%s is given twice", g.Mooring)
		}
		given[g.Mooring] = true
		for i := range h.Moorings {
			if m := &h.Moorings[i]; m.Number == g.Mooring {
				w := list[slices.IndexFunc(list, func(w geo.Waiting) bool { return w.Name == g.Name })]
				m.Boat, m.Status = &w.Boat, geo.Occupied
			}
		}
	}
	all, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range all.Report().Conflicts {
		if given[k.A] || given[k.B] {
			t.Errorf("%+v", k)
		}
	}
	if len(given) < 5 {
		t.Errorf("only %d are served", len(given))
	}
}

func TestAnEmptyListAndAFullHarbor(t *testing.T) {
	if s := serve(t, queue(t)); len(s.Given) != 0 || len(s.Offers) == 0 {
		t.Errorf("%+v", s)
	}
	h := *demo(t).Field().Harbor()
	h.Moorings = slices.DeleteFunc(slices.Clone(h.Moorings), func(m geo.Mooring) bool { return m.Status == geo.Vacant })
	h.Waiting = []geo.Waiting{waits("one", "2020-01-01", 16)}
	f, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	if s := serve(t, f); len(s.Given) != 1 || s.Given[0].Words != "there is no vacant mooring and no opening" {
		t.Errorf("%+v", s)
	}
}

func serve(t testing.TB, f *clearance.Field, openings ...room.Opening) room.Assignments {
	t.Helper()
	s, err := room.Serve(t.Context(), f, openings, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// An opening goes to the first who fits there: its clearances, found by branch and bound, and the full check of the list agree.
func TestOpeningsAreServedLikeVacantMoorings(t *testing.T) {
	f := queue(t, waits("too long", "2019-01-01", 60), waits("first", "2020-01-01", 26), waits("late", "2024-05-01", 20))
	ask := room.Ask{Area: "Middle Ground", Boat: sloop(26), ScopeRatio: 2}
	q, err := room.New(f).Ask(ask)
	if err != nil {
		t.Fatal(err)
	}
	best := best(t, q, 1, 20)
	if len(best) == 0 {
		t.Fatal("a boat of 26 ft fits nowhere")
	}
	s := serve(t, f, room.Opening{Position: best[0].Position, Area: "Middle Ground", ScopeRatio: 2})
	o := s.Offers[len(s.Offers)-1]
	if !o.Open || o.Mooring != "open 1" || o.Name != "first" || len(o.Passed) != 1 || o.Position != best[0].Position {
		t.Errorf("%+v", o)
	}
	if most := s.LargestM["open 1"]; most < 26*0.3048 || most > 59*0.3048 {
		t.Errorf("it takes up to %.1f m", most)
	}
	if _, err := room.Serve(t.Context(), f, []room.Opening{{Area: "Nowhere"}}, nil); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("an area that is not there: %v", err)
	}
	served, err := room.Serve(stopped(t), f, nil, nil)
	if !errors.Is(err, context.Canceled) || !served.Ended {
		t.Errorf("a stopped search does not say so: %v", err)
	}
}
