package room

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"swingroom/geo"
)

// CapacityMoved finds how many more boats of hers the area takes when the named moorings are taken up and laid again in it, each with the
// radius that it has on record. Each keeps the rules of the area with its own draft, rode and margin. Where no fewer find room while they
// all stay where they are, none is moved. Errors: geo.ErrNotFound for a number; geo.FieldError of geo.ErrUnknown naming what has to be
// known of a mooring, all of them joined. Stopped, it gives the best so far, Ended, with ctx.Err().
func (q *Question) CapacityMoved(ctx context.Context, numbers []string, report Progress) (Capacity, error) {
	up := map[string]bool{}
	numbers = slices.DeleteFunc(slices.Clone(numbers), func(number string) bool {
		twice := up[number]
		up[number] = true
		return twice
	})
	kinds, err := q.kindsOf(numbers, up)
	if err != nil {
		return Capacity{}, err
	}
	p := &progress{report: report, total: 2*partsReady + partsWalk + 2*(fillings*partsFill+walks*partsWalk)}
	stay := q.asIs(ctx, p)
	moved := q.without(func(m *geo.Mooring) bool { return up[m.Number] }).moved(ctx, kinds, p)
	if moved.Count > stay.Count {
		return p.finish(ctx, moved)
	}
	stay.Layout, stay.Unplaced, stay.Ended = Relaid, moved.Unplaced, moved.Ended
	if moved.UpperBound > stay.UpperBound {
		stay.UpperBound, stay.Bound = moved.UpperBound, moved.Bound
	}
	return p.finish(ctx, stay)
}

// moved lays some moorings again and then as many new boats as possible. As long as one of the moorings finds no place there are none.
func (q *Question) moved(ctx context.Context, kinds []kind, p *progress) Capacity {
	y, b := q.yard(ctx, kinds, p)
	if y == nil {
		a := q.answer(ctx, Relaid, nil, nil, b)
		for _, k := range kinds {
			a.Unplaced = append(a.Unplaced, k.number)
		}
		return a
	}
	b = q.boundMoved(ctx, y, b)
	base, waiting := y.relay(ctx, q)
	p.did(ctx, partsWalk)
	if len(waiting) > 0 {
		a := q.answer(ctx, Relaid, y, base, b)
		for _, k := range waiting {
			a.Unplaced = append(a.Unplaced, y.kinds[k].number)
		}
		return a
	}
	return q.answer(ctx, Relaid, y, y.search(ctx, y.fillings(ctx, base, p), b.most, boatMoves, p), b)
}

// kindsOf asks for each mooring the question of where it may lie.
func (q *Question) kindsOf(numbers []string, up map[string]bool) ([]kind, error) {
	kinds, errs := make([]kind, len(numbers)), make([]error, len(numbers))
	var without []string
	for number := range up {
		without = append(without, number)
	}
	without = append(without, q.ask.Without...)
	onAllCores(len(numbers), func(n int) {
		other, err := q.like(numbers[n], without)
		if errs[n] = err; err == nil {
			kinds[n] = kind{number: numbers[n], chart: newChart(&other.plan, 8), marginM: float64(other.rules.Margin)}
		}
	})
	return kinds, errors.Join(errs...)
}

// like asks where a mooring of the harbor may lie in the area.
func (q *Question) like(number string, without []string) (*Question, error) {
	f := q.water.field
	i, ok := f.Index(number)
	if !ok {
		return nil, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	m := &f.Harbor().Moorings[i]
	r, known := f.Swing(i).Radius.Get()
	if !known || f.Swing(i).Bound { // a bound would be another one elsewhere
		return nil,
			&geo.FieldError{Noun: "mooring", Name: number, Field: "radius_m", Got: "not known",
				Want: "it is needed to lay the mooring again", Kind: geo.ErrUnknown}
	}
	// A vacant mooring keeps the water of the largest boat set for it, 0.16 of her length deep unless a draft is set: common practice, no
	// source.
	boat := geo.Boat{LOA: m.LargestLOA, Draft: geo.Known(m.LargestDraft.Or(m.LargestLOA.Or(0) * 0.16))}
	if m.Boat != nil {
		boat = *m.Boat
	}
	rules := q.rules
	rules.Swing = geo.SwingRule{Kind: geo.Stated}
	rules.Margin = max(rules.Margin, f.Rules(m).Margin)
	other, err := q.water.Ask(Ask{Boat: boat, Area: q.ask.Area, Tackle: m.Tackle, Radius: geo.Known(r), Rules: geo.Known(rules),
		Without: without})
	if err != nil {
		return nil, fmt.Errorf("mooring %s: %w", number, err)
	}
	other.plan.radius = radius{fixedM: float64(r)}
	return other, nil
}

// relay lays the moorings that are moved, beginning from where they were. Where they do not all find room there, the one that lacks most is
// taken out, again and again; at the end each of those is tried where there is room.
func (y *yard) relay(ctx context.Context, q *Question) (layout []anchor, waiting []int32) {
	f := q.water.field
	for k := range y.kinds[1:] {
		i, _ := f.Index(y.kinds[k+1].number)
		layout = append(layout, y.lay(int32(k+1), f.Frame().Project(f.Harbor().Moorings[i].Position)))
	}
	if kept, lost := y.sound(layout); len(lost) == 0 {
		return kept, nil // they may stay
	}
	w := walker{relaxer: relaxer{y: y}, random: rand.New(rand.NewPCG(seed, 7))}
	for !w.relax(ctx, layout, mostSteps) {
		worst := 0
		for i := range layout {
			if w.lackM2[i] > w.lackM2[worst] {
				worst = i
			}
		}
		waiting = append(waiting, layout[worst].kind)
		if layout = slices.Delete(layout, worst, worst+1); len(layout) == 0 {
			break
		}
	}
	const tries = 12
	waiting = slices.DeleteFunc(waiting, func(k int32) bool {
		for range tries {
			at, ok := w.hole(layout)
			if !ok || ctx.Err() != nil {
				return false
			}
			more := append(slices.Clone(layout), y.lay(k, at))
			if w.relax(ctx, more, mostSteps) {
				layout = more
				return true
			}
		}
		return false
	})
	kept, lost := y.sound(layout)
	for _, a := range lost { // not to be expected after a relaxation that ended well
		waiting = append(waiting, a.kind)
	}
	return kept, waiting
}

// boundMoved bounds the new boats beside moorings that are moved: by the water for new boats alone, and by all of them together in the
// water that the least of them could use.
func (q *Question) boundMoved(ctx context.Context, y *yard, alone bound) bound {
	if len(y.kinds) == 1 {
		return alone
	}
	leastRadiusM, _ := q.plan.leastRadiusM(ctx)
	draft := q.ask.Boat.Draft.Or(0)
	radiusM := func(k int) float64 {
		if k == 0 {
			return leastRadiusM
		}
		return y.kinds[k].chart.plan.radius.fixedM
	}
	apartM, leastM := math.Inf(1), leastRadiusM
	for a := range y.kinds {
		leastM = min(leastM, radiusM(a))
		for b := range y.kinds {
			apartM = min(apartM, y.needM(&anchor{kind: int32(a), radiusM: radiusM(a)}, &anchor{kind: int32(b), radiusM: radiusM(b)}))
		}
		if i, ok := q.water.field.Index(y.kinds[a].number); ok && a > 0 {
			m := &q.water.field.Harbor().Moorings[i]
			if m.Boat != nil {
				draft = min(draft, m.Boat.Draft.Or(0))
			} else {
				draft = min(draft, m.LargestDraft.Or(m.LargestLOA.Or(0)*0.16))
			}
		}
	}
	rules := q.rules
	rules.Swing = geo.SwingRule{Kind: geo.Stated}
	all, err := q.water.Ask(Ask{Boat: geo.Boat{LOA: q.ask.Boat.LOA, Draft: geo.Known(draft)}, Area: q.ask.Area,
		Radius: geo.Known(geo.Metres(leastM)), Rules: geo.Known(rules), Without: q.ask.Without})
	if err != nil {
		return alone
	}
	all.plan.radius = radius{fixedM: leastM}
	if q.rules.Lying == geo.InUnison {
		all.plan.discs = nil // hulls may keep less from other moorings than circles do
	}
	together := all.plan.boundOf(ctx, apartM, 0)
	if n := together.most - (len(y.kinds) - 1); n < alone.most {
		return bound{max(0, n), geo.Tell("%s; less the %d moorings that are laid again", together.words, len(y.kinds)-1)}
	}
	return alone
}
