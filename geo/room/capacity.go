package room

import (
	"cmp"
	"context"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/swing"
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

// CapacityAsIs finds how many more boats of hers the area takes while the moorings stay where they are; those that the ask leaves out are
// not there. Stopped, it gives the best so far, Ended, with ctx.Err().
func (q *Question) CapacityAsIs(ctx context.Context, report Progress) (Capacity, error) {
	p := &progress{report: report, total: partsReady + fillings*partsFill + walks*partsWalk}
	return p.finish(ctx, q.asIs(ctx, p))
}

func (q *Question) asIs(ctx context.Context, p *progress) Capacity {
	y, b := q.yard(ctx, nil, p)
	if y == nil {
		return q.answer(ctx, AsIs, nil, nil, b)
	}
	return q.answer(ctx, AsIs, y, y.search(ctx, y.fillings(ctx, nil, p), b.most, boatMoves, p), b)
}

// CapacityAfresh finds how many boats of hers the whole area takes when it is laid out anew for her class alone: hexagonal, square, or else
// free. Moorings of other areas stay. Stopped, it gives the best so far, Ended, with ctx.Err().
func (q *Question) CapacityAfresh(ctx context.Context, layout Layout, report Progress) (Capacity, error) {
	p := &progress{report: report}
	q = q.without(func(m *geo.Mooring) bool { return m.Area == q.ask.Area })
	p.total = partsReady + latticeSpacings*latticeTurns + latticeFinals
	if layout != Hexagonal && layout != Square {
		layout = Free
		p.total = partsReady + 2*(latticeSpacings*latticeTurns+latticeFinals) + (fillings+2)*partsFill + walks*partsWalk
	}
	y, b := q.yard(ctx, nil, p)
	if y == nil {
		return p.finish(ctx, q.answer(ctx, layout, nil, nil, b))
	}
	if layout != Free {
		t, layoutOf := y.lattice(ctx, layout, p)
		a := q.answer(ctx, layout, y, layoutOf, b)
		a.Rows = rowsOf(layoutOf)
		a.RowsDeg, a.SpacingM = geo.Known(math.Mod(t.rowsDeg+360, 180)), geo.Known(t.spacingM)
		a.RowGapM = geo.Known(math.Abs(t.along.EastM*t.across.NorthM-t.along.NorthM*t.across.EastM) / t.spacingM)
		return p.finish(ctx, a)
	}
	_, hexagonal := y.lattice(ctx, Hexagonal, p)
	_, square := y.lattice(ctx, Square, p)
	starts := append(y.fillings(ctx, nil, p), y.filled(ctx, hexagonal, p), y.filled(ctx, square, p))
	return p.finish(ctx, q.answer(ctx, Free, y, y.search(ctx, starts, b.most, boatMoves, p), b))
}

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
	h := q.water.field.Harbor()
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

// yard makes ready what layouts need, with the bound that none can beat; nil where there is no water, or where it was stopped before.
func (q *Question) yard(ctx context.Context, moved []kind, p *progress) (*yard, bound) {
	defer p.did(ctx, partsReady)
	kinds := append([]kind{{marginM: float64(q.rules.Margin)}}, moved...)
	y, b := q.plan.yard(ctx, kinds, q.keeps(ctx, kinds))
	if y != nil {
		b = q.byBands(ctx, y, b)
	}
	return y, b
}

// answer tells of a layout what was asked.
func (q *Question) answer(ctx context.Context, layout Layout, y *yard, anchors []anchor, b bound) Capacity {
	frame := q.water.field.Frame()
	c := Capacity{Layout: layout, Places: []geo.Offset{}, Positions: []geo.Position{}, UpperBound: b.most, Bound: b.words,
		Ended: ctx.Err() != nil, Moved: []Moved{}, Unplaced: []string{}}
	if y != nil {
		anchors, _ = y.sound(anchors)
	}
	slices.SortStableFunc(anchors, func(a, b anchor) int { return cmp.Compare(b.at.NorthM, a.at.NorthM) })
	for _, a := range anchors {
		if a.kind == 0 {
			c.Places, c.Positions = append(c.Places, a.at), append(c.Positions, frame.Position(a.at))
			continue
		}
		number := y.kinds[a.kind].number
		i, _ := q.water.field.Index(number)
		from := frame.Project(q.water.field.Harbor().Moorings[i].Position)
		c.Moved = append(c.Moved, Moved{Number: number, Place: a.at, Position: frame.Position(a.at), ByM: lengthM(a.at.Sub(from))})
	}
	c.Count = len(c.Places)
	return c
}

// keeps are how far two anchors keep by the hulls where the area lies in unison: over the shallowest and the deepest water in which they
// may be laid. It is nil where circles decide, and infinite for a pair of which a record is missing.
func (q *Question) keeps(ctx context.Context, kinds []kind) [][]float64 {
	levels, known := q.water.field.Harbor().Levels.Get()
	if q.rules.Lying != geo.InUnison || !known {
		return nil
	}
	sweep := swing.NewSweep(q.rules.Design, levels)
	shallow, deep := q.depths()
	poses := make([][]*swing.Excursions, len(kinds))
	onAllCores(len(kinds), func(i int) {
		if i == 0 && q.ask.ScopeRatio > 0 {
			return // a rode that is cut to each place has no parts that the statics could know
		}
		for _, depth := range []geo.Metres{shallow, deep} {
			craft, err := swing.NewVessel(q.inputOf(kinds[i].number, depth))
			if err != nil {
				continue
			}
			if p, err := sweep.Excursions(craft, geo.Offset{}); err == nil {
				poses[i] = append(poses[i], p)
			}
		}
	})
	keepM := make([][]float64, len(kinds))
	for i := range kinds {
		keepM[i] = make([]float64, len(kinds))
	}
	onAllCores(len(kinds), func(i int) {
		for j := range kinds[:i+1] {
			m := 0.0
			if ctx.Err() != nil {
				keepM[i][j], keepM[j][i] = math.Inf(1), math.Inf(1) // circles keep more
				continue
			}
			for _, a := range poses[i] {
				for _, b := range poses[j] {
					keep, err := sweep.MinAnchorDistance(a, b, func() bool { return ctx.Err() != nil })
					if err != nil {
						keep = geo.Metres(math.Inf(1))
					}
					m = max(m, float64(keep))
				}
			}
			if m == 0 {
				m = math.Inf(1)
			}
			keepM[i][j], keepM[j][i] = m, m
		}
	})
	return keepM
}

// inputOf is what the answers about the new boat, or about a mooring that is moved, are worked out from at a depth.
func (q *Question) inputOf(number string, depth geo.Metres) swing.Input {
	f := q.water.field
	if i, ok := f.Index(number); ok && number != "" {
		in := f.Input(i)
		in.Depth, in.DepthFrom = geo.Known(depth), swing.Computed
		return in
	}
	boat := q.ask.Boat
	m := &geo.Mooring{Number: Untitled, Area: q.ask.Area, Status: geo.Occupied, Boat: &boat, Tackle: q.ask.Tackle,
		StatedRadius: q.ask.Radius}
	return swing.Input{Mooring: m, Rules: q.rules, Levels: f.Harbor().Levels, Depth: geo.Known(depth), DepthFrom: swing.Computed,
		Lines: f.Harbor().Defaults.Lines}
}
