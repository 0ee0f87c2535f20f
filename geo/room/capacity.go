package room

import (
	"cmp"
	"context"
	"math"
	"slices"

	"swingroom/geo"
)

// Layout says how places are laid out.
type Layout string

// The layouts.
const (
	AsIs      Layout = "as_is"     // the moorings stay where they are
	Relaid    Layout = "moved"     // some of them are taken up and laid again
	Hexagonal Layout = "hexagonal" // the whole area anew, in rows set off against each other
	Square    Layout = "square"    // the same in rows and columns
	Free      Layout = "free"      // the same without rows
)

// Capacity is how many more boats of a class an area takes. Every place keeps every rule, by at least a tenth of a millimetre.
type Capacity struct {
	Layout    Layout         `json:"layout"`
	Count     int            `json:"count"`
	Places    []geo.Offset   `json:"-"` // of the new boats' anchors, from north to south
	Positions []geo.Position `json:"positions"`
	// UpperBound: no layout has more. Bound says in words how it is found.
	UpperBound int       `json:"upper_bound"`
	Bound      geo.Words `json:"bound"`
	// Ended: it was stopped before the search was done. What is told is the best so far.
	Ended bool `json:"ended"`
	// Moved are the moorings that were laid again, by number; none where they may as well stay where they are. Unplaced are those for which
	// no place was found beside the others that keeps every rule: then all stay.
	Moved    []Moved  `json:"moved"`
	Unplaced []string `json:"unplaced"`
	// Where a lattice was used: in how many rows the places stand, which way the rows run, and how far the places in a row and the rows are
	// apart.
	Rows     int                `json:"rows"`
	RowsDeg  geo.Maybe[float64] `json:"rows_true_deg"`
	SpacingM geo.Maybe[float64] `json:"spacing_m"`
	RowGapM  geo.Maybe[float64] `json:"row_gap_m"`
}

// Moved is a mooring that was laid again.
type Moved struct {
	Number   string       `json:"number"`
	Place    geo.Offset   `json:"-"`
	Position geo.Position `json:"position"`
	ByM      float64      `json:"by_m"` // how far from where it was
}

// CapacityAsIs finds how many more of the question's boats the area takes while the moorings stay where they are; those that the ask leaves
// out are not there. Stopped, it gives the best so far, Ended, with ctx.Err().
func (q *Question) CapacityAsIs(ctx context.Context, report Progress) (Capacity, error) {
	p := &progress{report: report, total: partsReady + fillings*partsFill + walks*partsWalk}
	return p.finish(ctx, q.asIs(ctx, p))
}

func (q *Question) asIs(ctx context.Context, p *progress) Capacity {
	y, b := q.site(ctx, nil, p)
	if y == nil {
		return q.answer(ctx, AsIs, nil, nil, b)
	}
	return q.answer(ctx, AsIs, y, y.search(ctx, y.fillings(ctx, nil, p), b.max, boatMoves, p), b)
}

// CapacityAfresh finds how many of the question's boats the whole area takes when it is laid out anew for their class alone: hexagonal,
// square, or else free. Moorings of other areas stay. Stopped, it gives the best so far, Ended, with ctx.Err().
func (q *Question) CapacityAfresh(ctx context.Context, layout Layout, report Progress) (Capacity, error) {
	q = q.without(func(m *geo.Mooring) bool { return m.Area == q.ask.Area })
	p := &progress{report: report}
	if layout == Hexagonal || layout == Square {
		p.total = partsReady + partsLattice
		return p.finish(ctx, q.inRows(ctx, layout, p))
	}
	p.total = partsReady + 2*partsLattice + (fillings+2)*partsFill + walks*partsWalk
	return p.finish(ctx, q.freely(ctx, p))
}

// inRows lays the whole area out in a lattice.
func (q *Question) inRows(ctx context.Context, layout Layout, p *progress) Capacity {
	y, b := q.site(ctx, nil, p)
	if y == nil {
		return q.answer(ctx, layout, nil, nil, b)
	}
	t, anchors := y.lattice(ctx, layout, p)
	a := q.answer(ctx, layout, y, anchors, b)
	a.Rows = rowsOf(anchors)
	a.RowsDeg, a.SpacingM, a.RowGapM = geo.Known(math.Mod(t.rowsDeg+360, 180)), geo.Known(t.spacingM), geo.Known(t.rowGapM())
	return a
}

// freely lays the whole area out without rows, beginning from lattices too.
func (q *Question) freely(ctx context.Context, p *progress) Capacity {
	y, b := q.site(ctx, nil, p)
	if y == nil {
		return q.answer(ctx, Free, nil, nil, b)
	}
	_, hexagonal := y.lattice(ctx, Hexagonal, p)
	_, square := y.lattice(ctx, Square, p)
	starts := append(y.fillings(ctx, nil, p), y.filled(ctx, hexagonal, p), y.filled(ctx, square, p))
	return q.answer(ctx, Free, y, y.search(ctx, starts, b.max, boatMoves, p), b)
}

// rowsOf is in how many rows of a lattice anchors stand.
func rowsOf(layout []anchor) int {
	rows := map[int32]bool{}
	for i := range layout {
		rows[layout[i].row] = true
	}
	return len(rows)
}

// without asks the same with some moorings left out.
func (q *Question) without(is func(m *geo.Mooring) bool) *Question {
	a := q.ask
	a.Without = slices.Clone(a.Without)
	h := q.harbor()
	for i := range h.Moorings {
		if is(&h.Moorings[i]) {
			a.Without = append(a.Without, h.Moorings[i].Number)
		}
	}
	other, err := q.water.Ask(a)
	if err != nil {
		return q // not to be expected: what can be asked with moorings can be asked without
	}
	return other
}

// site makes ready what layouts need, with the bound that none can beat; nil where there is no water, or where it was stopped before.
func (q *Question) site(ctx context.Context, moved []boatClass, p *progress) (*site, bound) {
	defer p.did(ctx, partsReady)
	classes := append([]boatClass{{marginM: float64(q.rules.Margin)}}, moved...)
	y, b := q.plan.site(ctx, classes, q.keeps(ctx, classes))
	if y != nil {
		b = q.byBands(ctx, y, b)
	}
	return y, b
}

// answer tells of a layout what was asked: the places from north to south.
func (q *Question) answer(ctx context.Context, layout Layout, y *site, anchors []anchor, b bound) Capacity {
	c := Capacity{Layout: layout, Places: []geo.Offset{}, Positions: []geo.Position{}, UpperBound: b.max, Bound: b.words,
		Ended: ctx.Err() != nil, Moved: []Moved{}, Unplaced: []string{}}
	if y != nil {
		anchors, _ = y.valid(anchors)
	}
	slices.SortStableFunc(anchors, func(a, b anchor) int { return cmp.Compare(b.at.NorthM, a.at.NorthM) })
	for _, a := range anchors {
		if a.class == 0 {
			c.Places, c.Positions = append(c.Places, a.at), append(c.Positions, q.frame().Position(a.at))
		} else {
			c.Moved = append(c.Moved, q.movedTo(y.classes[a.class].number, a.at))
		}
	}
	c.Count = len(c.Places)
	return c
}

// movedTo is a mooring laid again at a place.
func (q *Question) movedTo(number string, at geo.Offset) Moved {
	i, _ := q.water.field.Index(number)
	return Moved{Number: number, Place: at, Position: q.frame().Position(at), ByM: lengthM(at.Sub(placeOf(q.water.field, i)))}
}
