package room

import (
	"context"
	"math"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// keeps are how far two anchors keep by the hulls where the area lies in unison: over the shallowest and the deepest water in which they
// may be laid. It is nil where circles decide, and infinite for a pair of which a record is missing.
func (q *Question) keeps(ctx context.Context, classes []boatClass) [][]float64 {
	levels, known := q.harbor().Levels.Get()
	if q.rules.Lying != geo.InUnison || !known {
		return nil
	}
	sweep := swing.NewSweep(q.rules.Design, levels)
	excursions := make([][]*swing.Excursions, len(classes))
	onAllCores(len(classes), func(i int) {
		if i > 0 || q.ask.ScopeRatio == 0 { // a rode that is cut to each place has no parts that the statics could know
			excursions[i] = q.excursions(sweep, classes[i].number)
		}
	})
	keepM := make([][]float64, len(classes))
	for i := range classes {
		keepM[i] = make([]float64, len(classes))
	}
	onAllCores(len(classes), func(i int) {
		for j := range classes[:i+1] {
			m := keepOf(ctx, sweep, excursions[i], excursions[j])
			keepM[i][j], keepM[j][i] = m, m
		}
	})
	return keepM
}

// excursions are where a boat lies in the shallowest and in the deepest water, as far as its records tell.
func (q *Question) excursions(sweep *swing.Sweep, number string) (all []*swing.Excursions) {
	shallow, deep := q.depths()
	for _, depth := range []geo.Metres{shallow, deep} {
		vessel, err := swing.NewVessel(q.inputFor(number, depth))
		if err != nil {
			continue
		}
		if e, err := sweep.Excursions(vessel, geo.Offset{}); err == nil {
			all = append(all, e)
		}
	}
	return all
}

// keepOf is how far two boats keep at all of their depths; infinite where that cannot be told, for then circles keep them.
func keepOf(ctx context.Context, sweep *swing.Sweep, one, other []*swing.Excursions) float64 {
	m := 0.0
	for _, a := range one {
		for _, b := range other {
			keep, err := sweep.MinAnchorDistance(a, b, func() bool { return ctx.Err() != nil })
			if err != nil {
				return math.Inf(1)
			}
			m = max(m, float64(keep))
		}
	}
	if m == 0 || ctx.Err() != nil {
		return math.Inf(1)
	}
	return m
}

// inputFor is what the answers about the new boat, or about a mooring that is moved, are worked out from at a depth.
func (q *Question) inputFor(number string, depth geo.Metres) swing.Input {
	f := q.water.field
	if i, ok := f.Index(number); ok && number != "" {
		in := f.Input(i)
		in.Depth, in.DepthFrom = geo.Known(depth), swing.Computed
		return in
	}
	m := q.untitled()
	return q.inputOf(&m, depth)
}
