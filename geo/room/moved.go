package room

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"swingroom/geo"
)

// CapacityMoved finds how many more of the question's boats the area takes when the named moorings are taken up and laid again in it, each
// with the radius that it has on record. Each keeps the rules of the area with its own draft, rode and margin. Where no fewer find room
// while they all stay where they are, none is moved. Errors: geo.ErrNotFound for a number; geo.FieldError of geo.ErrUnknown naming what has
// to be known of a mooring, all of them joined. Stopped, it gives the best so far, Ended, with ctx.Err().
func (q *Question) CapacityMoved(ctx context.Context, numbers []string, report Progress) (Capacity, error) {
	up := map[string]bool{}
	numbers = slices.DeleteFunc(slices.Clone(numbers), func(number string) bool {
		twice := up[number]
		up[number] = true
		return twice
	})
	classes, err := q.classesOf(numbers, up)
	if err != nil {
		return Capacity{}, err
	}
	p := &progress{report: report, total: 2*partsReady + partsWalk + 2*(fillings*partsFill+walks*partsWalk)}
	stay := q.asIs(ctx, p)
	moved := q.without(func(m *geo.Mooring) bool { return up[m.Number] }).moved(ctx, classes, p)
	return p.finish(ctx, betterOf(stay, moved))
}

// betterOf is the layout with the moorings moved where that brings more boats, and else the one in which they stay.
func betterOf(stay, moved Capacity) Capacity {
	if moved.Count > stay.Count {
		return moved
	}
	stay.Layout, stay.Unplaced, stay.Ended = Relaid, moved.Unplaced, moved.Ended
	if moved.UpperBound > stay.UpperBound {
		stay.UpperBound, stay.Bound = moved.UpperBound, moved.Bound
	}
	return stay
}

// moved lays some moorings again and then as many new boats as possible. As long as one of the moorings finds no place there are none.
func (q *Question) moved(ctx context.Context, classes []boatClass, p *progress) Capacity {
	y, b := q.site(ctx, classes, p)
	if y == nil {
		return q.answer(ctx, Relaid, nil, nil, b).unplaced(classes)
	}
	b = q.boundMoved(ctx, y, b)
	base, waiting := y.relay(ctx, q)
	p.did(ctx, partsWalk)
	if len(waiting) > 0 {
		return q.answer(ctx, Relaid, y, base, b).unplaced(waiting)
	}
	return q.answer(ctx, Relaid, y, y.search(ctx, y.fillings(ctx, base, p), b.max, boatMoves, p), b)
}

// unplaced is the answer with the moorings for which no place was found.
func (c Capacity) unplaced(classes []boatClass) Capacity {
	for _, k := range classes {
		c.Unplaced = append(c.Unplaced, k.number)
	}
	return c
}

// classesOf asks for each mooring the question of where it may lie.
func (q *Question) classesOf(numbers []string, up map[string]bool) ([]boatClass, error) {
	classes, errs := make([]boatClass, len(numbers)), make([]error, len(numbers))
	without := append(slices.Collect(maps.Keys(up)), q.ask.Without...)
	const leafM = 8 // of charts of which only a few places near each other are asked
	onAllCores(len(numbers), func(n int) {
		other, err := q.like(numbers[n], without)
		if errs[n] = err; err == nil {
			classes[n] = boatClass{number: numbers[n], chart: newChart(&other.plan, leafM), marginM: float64(other.rules.Margin)}
		}
	})
	return classes, errors.Join(errs...)
}

// like asks where a mooring of the harbor may lie in the area.
func (q *Question) like(number string, without []string) (*Question, error) {
	f := q.water.field
	i, ok := f.Index(number)
	if !ok {
		return nil, noMooring(number)
	}
	m := &f.Harbor().Moorings[i]
	r, known := f.Swing(i).Radius.Get()
	if !known || f.Swing(i).Bound { // a bound would be another one elsewhere
		return nil, &geo.FieldError{Noun: "mooring", Name: number, Field: "radius_m", Got: "not known",
			Want: "it is needed to lay the mooring again", Kind: geo.ErrUnknown}
	}
	rules := q.statedRules()
	rules.Margin = max(rules.Margin, f.Rules(m).Margin)
	other, err := q.water.Ask(Ask{Boat: boatOn(m), Area: q.ask.Area, Tackle: m.Tackle, Radius: geo.Known(r), Rules: geo.Known(rules),
		Without: without})
	if err != nil {
		return nil, fmt.Errorf("mooring %s: %w", number, err)
	}
	other.plan.radius = radius{fixedM: float64(r)}
	return other, nil
}

// statedRules are the area's, but for a radius that is stated.
func (q *Question) statedRules() geo.Rules {
	rules := q.rules
	rules.Swing = geo.SwingRule{Kind: geo.Stated}
	return rules
}

// boatOn is the boat of a mooring. A vacant one keeps the water of the largest boat set for it, of the draft that is set.
func boatOn(m *geo.Mooring) geo.Boat {
	if m.Boat != nil {
		return *m.Boat
	}
	return geo.Boat{LOA: m.LargestLOA, Draft: geo.Known(largestDraft(m))}
}

// largestDraft is that of the largest boat that is set for a mooring: 0.16 of its length unless a draft is set; common practice, no source.
func largestDraft(m *geo.Mooring) geo.Metres { return m.LargestDraft.Or(m.LargestLOA.Or(0) * 0.16) }

// relay lays the moorings that are moved, beginning from where they were. Where they do not all find room there, the one that lacks most is
// taken out, again and again; at the end each of those is tried where there is room.
func (y *site) relay(ctx context.Context, q *Question) (layout []anchor, waiting []boatClass) {
	layout = y.asTheyWere(q)
	if kept, lost := y.valid(layout); len(lost) == 0 {
		return kept, nil // they may stay
	}
	w := walker{relaxation: relaxation{site: y}, random: rand.New(rand.NewPCG(seed, 7))}
	var out []int32
	for !w.relax(ctx, layout, maxSteps) {
		worst := w.worst(layout)
		out = append(out, layout[worst].class)
		if layout = slices.Delete(layout, worst, worst+1); len(layout) == 0 {
			break
		}
	}
	out = slices.DeleteFunc(out, func(class int32) bool {
		more, ok := w.place(ctx, layout, class)
		layout = more
		return ok
	})
	kept, lost := y.valid(layout)
	for _, a := range lost { // not to be expected after a relaxation that ended well
		out = append(out, a.class)
	}
	for _, class := range out {
		waiting = append(waiting, y.classes[class])
	}
	return kept, waiting
}

// asTheyWere are the anchors of the moorings that are moved where they lie on file.
func (y *site) asTheyWere(q *Question) (layout []anchor) {
	f := q.water.field
	for class := 1; class < len(y.classes); class++ {
		i, _ := f.Index(y.classes[class].number)
		layout = append(layout, y.lay(int32(class), placeOf(f, i)))
	}
	return layout
}

// worst is the anchor of a layout that lacks most.
func (r *relaxation) worst(layout []anchor) (worst int) {
	for i := range layout {
		if r.lackM2[i] > r.lackM2[worst] {
			worst = i
		}
	}
	return worst
}

// place lays one more anchor of a class where there is most room, and makes room for it; false where some tries do not do.
func (w *walker) place(ctx context.Context, layout []anchor, class int32) ([]anchor, bool) {
	const tries = 12 // of the places with most room, each drawn anew
	for range tries {
		at, ok := w.hole(layout)
		if !ok || ctx.Err() != nil {
			return layout, false
		}
		more := append(slices.Clone(layout), w.site.lay(class, at))
		if w.relax(ctx, more, maxSteps) {
			return more, true
		}
	}
	return layout, false
}

// boundMoved bounds the new boats beside moorings that are moved: by the water for new boats alone, and by all of them together in the
// water that the least of them could use.
func (q *Question) boundMoved(ctx context.Context, y *site, alone bound) bound {
	if len(y.classes) == 1 {
		return alone
	}
	radiiM := y.radiiM(ctx, &q.plan)
	all, err := q.forTheLeast(y, slices.Min(radiiM))
	if err != nil {
		return alone
	}
	together := all.plan.boundOf(ctx, y.minSpacingM(radiiM), 0)
	moved := len(y.classes) - 1
	if n := together.max - moved; n < alone.max {
		return bound{max(0, n), geo.Tell("%s; less the %d moorings that are laid again", together.words, moved)}
	}
	return alone
}

// radiiM are the least radii of each class.
func (y *site) radiiM(ctx context.Context, p *plan) []float64 {
	minM, _ := p.minRadiusM(ctx)
	all := []float64{minM}
	for _, k := range y.classes[1:] {
		all = append(all, k.chart.plan.radius.fixedM)
	}
	return all
}

// minSpacingM is the least distance that two anchors of any classes keep.
func (y *site) minSpacingM(radiiM []float64) float64 {
	minM := math.Inf(1)
	for a := range y.classes {
		for b := range y.classes {
			minM = min(minM, y.needM(&anchor{class: int32(a), radiusM: radiiM[a]}, &anchor{class: int32(b), radiusM: radiiM[b]}))
		}
	}
	return minM
}

// forTheLeast asks for a boat that can lie wherever one of the classes can: of the least draft, and of the least radius.
func (q *Question) forTheLeast(y *site, radiusM float64) (*Question, error) {
	draft := q.ask.Boat.Draft.Or(0)
	for class := 1; class < len(y.classes); class++ {
		if i, ok := q.water.field.Index(y.classes[class].number); ok {
			draft = min(draft, boatOn(&q.harbor().Moorings[i]).Draft.Or(0))
		}
	}
	all, err := q.water.Ask(Ask{Boat: geo.Boat{LOA: q.ask.Boat.LOA, Draft: geo.Known(draft)}, Area: q.ask.Area,
		Radius: geo.Known(geo.Metres(radiusM)), Rules: geo.Known(q.statedRules()), Without: q.ask.Without})
	if err != nil {
		return nil, err
	}
	all.plan.radius = radius{fixedM: radiusM}
	if q.rules.Lying == geo.InUnison {
		all.plan.discs = nil // hulls may keep less from other moorings than circles do
	}
	return all, nil
}
