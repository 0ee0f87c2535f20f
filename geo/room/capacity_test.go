package room_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// faults lays what was found in the harbor in earnest and asks the whole field's report about it: what it finds against the new moorings
// and those that were moved.
func faults(t *testing.T, w *room.Water, q *room.Question, a room.Ask, c room.Capacity) (found []string) {
	t.Helper()
	h := *w.Field().Harbor()
	moved := map[string]geo.Position{}
	for _, m := range c.Moved {
		moved[m.Number] = m.Position
	}
	watched := map[string]bool{}
	kept := []geo.Mooring{}
	for _, m := range h.Moorings {
		if c.Layout != room.AsIs && c.Layout != room.Relaid && m.Area == a.Area || slices.Contains(c.Unplaced, m.Number) {
			continue
		}
		if to, ok := moved[m.Number]; ok {
			i, _ := w.Field().Index(m.Number)
			watched[m.Number] = true
			// Each keeps the radius on record.
			m.Position, m.Area, m.Depth, m.StatedRadius = to, a.Area, geo.Maybe[geo.Metres]{}, geo.Known(w.Field().Swing(i).Radius.Or(0))
		}
		if i, ok := w.Field().Index(m.Number); ok && len(moved) > 0 && m.Area == a.Area && w.Field().Swing(i).Radius.IsKnown() {
			m.StatedRadius = w.Field().Swing(i).Radius // the area's rule is set aside below
		}
		m.Accuracy = geo.Known(geo.Metres(0))
		kept = append(kept, m)
	}
	area, _ := h.Area(a.Area)
	unison := area.Rules.Lying == geo.InUnison
	if len(moved) > 0 && !unison {
		rules := *area
		rules.Rules.Swing = geo.SwingRule{Kind: geo.Stated}
		h.Areas = slices.Clone(h.Areas)
		for i := range h.Areas {
			if h.Areas[i].Name == a.Area {
				h.Areas[i] = rules
			}
		}
	}
	for n, at := range c.Positions {
		s := q.Try(at)
		if s.ClearanceM < 0 && c.Layout == room.AsIs {
			found = append(found, fmt.Sprintf("place %d has a clearance of %g", n, s.ClearanceM))
		}
		boat := a.Boat
		m := geo.Mooring{Number: fmt.Sprintf("new %d", n), Area: a.Area, Status: geo.Occupied, Position: at,
			Accuracy: geo.Known(geo.Metres(0)), Boat: &boat, Tackle: a.Tackle, StatedRadius: a.Radius}
		if a.ScopeRatio > 0 {
			m.Tackle = chain(float64(s.Rode.Or(0)))
		}
		if len(moved) > 0 && !unison {
			m.StatedRadius = s.Radius
		}
		watched[m.Number] = true
		kept = append(kept, m)
	}
	h.Moorings = kept
	f, err := clearance.NewField(&h)
	if err != nil {
		t.Fatal(err)
	}
	r := f.Report()
	for _, k := range r.Conflicts {
		if (watched[k.A] || watched[k.B]) && k.OverlapM+k.MarginM > 1e-6 {
			found = append(found, fmt.Sprintf("%s and %s: %s, %.4f m", k.A, k.B, k.Lying, k.OverlapM+k.MarginM))
		}
	}
	for _, k := range r.Hazards {
		if watched[k.Mooring] && k.ByM > 1e-6 {
			found = append(found, fmt.Sprintf("%s: %s, %.4f m", k.Mooring, k.Kind, k.ByM))
		}
	}
	return found
}

// capacitySearch is one of the three questions of capacity.
type capacitySearch func(context.Context, room.Progress) (room.Capacity, error)

func afresh(q *room.Question, layout room.Layout) capacitySearch {
	return func(ctx context.Context, report room.Progress) (room.Capacity, error) {
		return q.CapacityAfresh(ctx, layout, report)
	}
}

func relaid(q *room.Question, numbers []string) capacitySearch {
	return func(ctx context.Context, report room.Progress) (room.Capacity, error) {
		return q.CapacityMoved(ctx, numbers, report)
	}
}

// part stops a search at a share of its work, so that a test need not wait for the last boat.
func part(t *testing.T, share float64, search capacitySearch) room.Capacity {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	c, err := search(ctx, func(done, total int) {
		if float64(done) > share*float64(total) {
			stop()
		}
	})
	if err != nil && !room.Partial(err) || room.Partial(err) != c.Ended {
		t.Fatal(err)
	}
	return c
}

// stopped is a context that has ended.
func stopped(t testing.TB) context.Context {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	return ctx
}

// countdown is a context that ends after it has been asked so many times.
type countdown struct {
	context.Context
	asked atomic.Int64
	after int64
}

func (c *countdown) Err() error {
	if c.asked.Add(1) > c.after {
		return context.Canceled
	}
	return nil
}

// laid are the moorings of an area of which everything is known that is needed to lay them again.
func laid(w *room.Water, area string) (numbers []string) {
	for i, m := range w.Field().Harbor().Moorings {
		if m.Area == area && m.Boat != nil && m.Boat.Draft.IsKnown() && w.Field().Swing(i).Radius.IsKnown() && !w.Field().Swing(i).Bound {
			numbers = append(numbers, m.Number)
		}
	}
	return numbers
}

func TestLayoutsOfTheDemoPassTheFullCheck(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	w := demo(t)
	anew := []room.Layout{room.Hexagonal, room.Square, room.Free}
	for _, c := range []struct {
		area string
		ask  int
		anew []room.Layout
	}{
		{"Town Cove", 0, anew}, {"Landing Reach", 1, anew}, {"Creek Mouth", 0, anew}, {"Mill Bight", 1, anew},
		{"East Shore", 2, anew},
		{"North Roads", 1, nil}, // in unison: the report sweeps every pair
	} {
		t.Run(strings.ReplaceAll(c.area, " ", "_"), func(t *testing.T) {
			area, _ := w.Field().Harbor().Area(c.area)
			a := asks(area)[c.ask]
			q, err := w.Ask(a)
			if err != nil {
				t.Fatal(err)
			}
			all := []room.Capacity{part(t, 0.4, q.CapacityAsIs)}
			most := 0
			for _, layout := range c.anew {
				got := part(t, 0.6, afresh(q, layout))
				if all = append(all, got); got.Layout == room.Free && got.Count < max(most, 1) {
					t.Errorf("free %d, in rows %d", got.Count, most)
				}
				most = max(most, got.Count)
			}
			numbers := laid(w, c.area)
			moved := part(t, 0.8, relaid(q, numbers))
			if n := len(moved.Moved); n != 0 && n != len(numbers) {
				t.Errorf("%d moved and %d unplaced of %d; %d more boats", n, len(moved.Unplaced), len(numbers), moved.Count)
			}
			for _, got := range append(all, moved) {
				t.Logf("%s: %d of at most %d, %d moved, %d unplaced", got.Layout, got.Count, got.UpperBound, len(got.Moved),
					len(got.Unplaced))
				if found := faults(t, w, q, a, got); len(found) > 0 {
					t.Errorf("%s: %d faults: %v", got.Layout, len(found), found[:min(len(found), 5)])
				}
				if got.Count != len(got.Places) || got.Count != len(got.Positions) || got.Count > got.UpperBound ||
					got.Bound.Metres == "" || got.Bound.Feet == "" {
					t.Errorf("%s: %d, %d places, %d positions, bound %d %q", got.Layout, got.Count, len(got.Places), len(got.Positions),
						got.UpperBound, got.Bound)
				}
			}
		})
	}
}

// Layouts that were built hold 1.0 to 6.3 boats to the acre: 49 on 24.3 ac, 69 on 26.1, 57 on 9, 109 on 110 (Florida Sea Grant and
// University of Florida Conservation Clinic, slides, slideserve.com); and for boats of 30 to 35 ft that swing in full circles
// MIL-HDBK-1025/5, s.2.1.2, leads to 0.6 to 1.7. The free layouts of such boats, in water that is theirs alone, have to come out between.
func TestFreeLayoutsAreAboutAsDenseAsThoseThatWereBuilt(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	const (
		acreM2      = 4046.8564224 // international acre
		least, most = 0.6, 6.3
	)
	w := demo(t)
	for _, c := range []struct {
		area  string
		loaFt float64
		rodeM float64
	}{{"Landing Reach", 30, 24}, {"Landing Reach", 35, 28}, {"Town Cove", 32, 26}} {
		q, err := w.Ask(room.Ask{Boat: sloop(c.loaFt), Area: c.area, Tackle: tackle(c.rodeM)})
		if err != nil {
			t.Fatal(err)
		}
		got := part(t, 0.7, afresh(q, room.Free))
		var all []string
		for _, m := range w.Field().Harbor().Moorings {
			if m.Area == c.area {
				all = append(all, m.Number)
			}
		}
		alone, err := w.Ask(room.Ask{Boat: sloop(c.loaFt), Area: c.area, Tackle: tackle(c.rodeM), Without: all})
		if err != nil {
			t.Fatal(err)
		}
		region, _ := alone.Region(context.Background())
		perAcre := float64(got.Count) / (region.AreaM2 / acreM2)
		t.Logf("%s, %g ft: %d boats on %.1f ac of water for anchors, %.2f to the acre", c.area, c.loaFt, got.Count, region.AreaM2/acreM2,
			perAcre)
		if perAcre < least || perAcre > most {
			t.Errorf("%s: %.2f to the acre", c.area, perAcre)
		}
	}
}

func TestAStoppedSearchGivesAValidLayout(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	w := demo(t)
	area, _ := w.Field().Harbor().Area("Mill Bight")
	a := asks(area)[0]
	q, err := w.Ask(a)
	if err != nil {
		t.Fatal(err)
	}
	some := 0
	for _, after := range []int64{0, 1, 10, 100, 400, 1000, 3000} {
		var mu sync.Mutex
		told, total := 0, 0
		report := func(done, of int) {
			mu.Lock()
			defer mu.Unlock()
			if done < told || done > of || total != 0 && of != total {
				t.Errorf("progress went from %d of %d to %d of %d", told, total, done, of)
			}
			told, total = done, of
		}
		for _, search := range []capacitySearch{relaid(q, laid(w, a.Area)), q.CapacityAsIs, afresh(q, room.Hexagonal),
			afresh(q, room.Free)} {
			told, total = 0, 0
			ctx := &countdown{Context: t.Context(), after: after}
			c, err := search(ctx, report)
			if c.Ended != room.Partial(err) || !c.Ended && err != nil {
				t.Errorf("%s: ended %v, and the error is %v", c.Layout, c.Ended, err)
			}
			asked := ctx.asked.Load()
			some += c.Count
			if found := faults(t, w, q, a, c); len(found) > 0 || c.Count > c.UpperBound {
				t.Errorf("%s stopped after %d: %d of at most %d: %v", c.Layout, after, c.Count, c.UpperBound, found)
			}
			if c.Ended != (asked > after) || !c.Ended && (told < total || total == 0) || c.Ended && total > 0 && told == total {
				t.Errorf("%s, to be stopped after %d questions, was asked %d, is at %d of %d, and says %v", c.Layout, after, asked, told,
					total, c.Ended)
			}
		}
	}
	if some == 0 {
		t.Error("nothing was ever laid")
	}
	var last, of int
	c, err := q.CapacityAfresh(t.Context(), room.Square, func(done, total int) { last, of = done, total })
	if err != nil || c.Ended || last != of || of == 0 {
		t.Errorf("ended %v at %d of %d: %v", c.Ended, last, of, err)
	}
}

func TestALatticeIsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	w := demo(t)
	q, err := w.Ask(asks(must(w.Field().Harbor().Area("Creek Mouth")))[0])
	if err != nil {
		t.Fatal(err)
	}
	for layout, gap := range map[room.Layout]float64{room.Hexagonal: math.Sqrt(3) / 2, room.Square: 1} {
		c, err := q.CapacityAfresh(t.Context(), layout, nil)
		if err != nil {
			t.Fatal(err)
		}
		spacing, rowGap := c.SpacingM.Or(0), c.RowGapM.Or(0)
		if c.Rows < 2 || math.Abs(rowGap-gap*spacing) > 1e-6 || !c.RowsDeg.IsKnown() {
			t.Errorf("%s: %d rows, %g m, %g m apart, at %v", layout, c.Rows, spacing, rowGap, c.RowsDeg)
		}
		// Every place stands in a row: across the rows all are whole gaps apart.
		across := geo.Toward(c.RowsDeg.Or(0)+90, 1)
		for _, p := range c.Places {
			d := p.Sub(c.Places[0])
			k := (d.EastM*across.EastM + d.NorthM*across.NorthM) / rowGap
			if math.Abs(k-math.Round(k)) > 1e-6 {
				t.Errorf("%s: %v stands between the rows", layout, p)
			}
		}
	}
}

func must[T any](v T, ok bool) T {
	if !ok {
		panic("it is not there")
	}
	return v
}

func TestWhatCannotBeMovedIsNamed(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	w := demo(t)
	area, _ := w.Field().Harbor().Area("Town Cove")
	q, err := w.Ask(asks(area)[0])
	if err != nil {
		t.Fatal(err)
	}
	if _, err := q.CapacityMoved(t.Context(), []string{"no such number"}, nil); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("%v", err)
	}
	unknown := ""
	for i, m := range w.Field().Harbor().Moorings {
		if !w.Field().Swing(i).Radius.IsKnown() && !w.Field().Swing(i).Bound {
			unknown = m.Number
		}
	}
	if _, err := q.CapacityMoved(t.Context(), []string{unknown}, nil); unknown == "" || !errors.Is(err, geo.ErrUnknown) ||
		!strings.Contains(err.Error(), unknown) {
		t.Errorf("mooring %q: %v", unknown, err)
	}
	// The same number twice is one mooring.
	one := laid(w, "Town Cove")[0]
	if c := part(t, 0.2, relaid(q, []string{one, one})); len(c.Moved)+len(c.Unplaced) != 1 {
		t.Errorf("%d moved, %d unplaced", len(c.Moved), len(c.Unplaced))
	}
}

func BenchmarkCapacity(b *testing.B) {
	w := demo(b)
	for _, name := range []string{"East Shore", "Middle Ground"} {
		area, _ := w.Field().Harbor().Area(name)
		q, err := w.Ask(asks(area)[1])
		if err != nil {
			b.Fatal(err)
		}
		numbers := laid(w, name)
		for _, kind := range []room.Layout{room.AsIs, room.Relaid, room.Hexagonal, room.Square, room.Free} {
			b.Run(strings.ReplaceAll(name, " ", "_")+"/"+string(kind), func(b *testing.B) {
				var c room.Capacity
				for b.Loop() {
					switch kind {
					case room.AsIs:
						c, err = q.CapacityAsIs(b.Context(), nil)
					case room.Relaid:
						c, err = q.CapacityMoved(b.Context(), numbers, nil)
					default:
						c, err = q.CapacityAfresh(b.Context(), kind, nil)
					}
					if err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(c.Count), "boats")
				b.ReportMetric(float64(c.UpperBound), "bound")
				b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/layout")
			})
		}
	}
}
