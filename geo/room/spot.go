package room

import (
	"cmp"
	"context"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Limit is one thing that keeps a place from being better.
type Limit struct {
	Kind clearance.HazardKind `json:"kind"` // mooring, area_edge, shore, shoal, fairway, closed_water, tackle
	Name string               `json:"name"` // of a mooring its number
	// ClearanceM is what is left between the swing circle and it, its margin or setback taken off; below 0 it is what is missing.
	ClearanceM float64 `json:"clearance_m"`
}

// Spot is a place for an anchor.
type Spot struct {
	Position geo.Position `json:"position"`
	// ClearanceM is the least of the limits': no place that keeps its distance from the better ones has more than BoundM.
	ClearanceM float64               `json:"clearance_m"`
	BoundM     float64               `json:"bound_m"`
	Radius     geo.Maybe[geo.Metres] `json:"radius_m"`
	Depth      geo.Maybe[geo.Metres] `json:"depth_m"` // below chart datum
	Rode       geo.Maybe[geo.Metres] `json:"rode_m"`  // that is laid there
	Limits     []Limit               `json:"limits"`  // the nearest first
	// DistanceM and BearingTrueDeg are from the mark that was asked for.
	DistanceM      geo.Maybe[float64] `json:"distance_m"`
	BearingTrueDeg geo.Maybe[float64] `json:"bearing_true_deg"`
	// Fit is the fit check of a mooring laid there.
	Fit clearance.Fit `json:"fit"`

	at geo.Offset
}

// Close is how near the certificate of a place comes to the best that there can be, metres.
const Close = 0.01

// Best gives the count best places, at least spacing metres from each other, with the proof that none is better: the bound that no place
// can beat lies within [Close] of what was reached. Places that do not pass the fit check are not given; what it says of the tackle that
// would be laid is told, and not held against the place. Stopped, it gives the best so far with ctx.Err(); the bounds tell how far it had
// come.
func (q *Question) Best(ctx context.Context, count int, spacing geo.Metres) ([]Spot, error) {
	spots := slices.DeleteFunc(q.places(ctx, count, spacing), func(s Spot) bool { return !s.offered() })
	return spots, ended(ctx)
}

// offered reports a place that has room and passes the fit check by the water.
func (s *Spot) offered() bool { return s.ClearanceM >= 0 && s.Fit.Water() == clearance.Fits }

// WhyNot is the fit check of the best place where there is water enough, and the boat still may not be offered it: it is over a limit of
// the area, or something is not on record.
func (q *Question) WhyNot(ctx context.Context) (fit clearance.Fit, is bool, err error) {
	for _, s := range q.places(ctx, 1, 0) {
		if s.ClearanceM >= 0 && !s.offered() {
			return s.Fit, true, nil
		}
	}
	return fit, false, ended(ctx)
}

// places are the best ones, whether they fit or not.
func (q *Question) places(ctx context.Context, count int, spacing geo.Metres) []Spot {
	s := newSearch(&q.plan, Close, float64(spacing))
	spots := []Spot{}
	for range count {
		f, ok := s.next(ctx)
		if !ok {
			break
		}
		spot := q.spot(f.at)
		spot.ClearanceM, spot.BoundM = f.clearanceM, f.boundM
		spots = append(spots, spot)
	}
	return spots
}

// Try tells how a place of one's own would do: its clearances without the full check. It takes well under a millisecond.
func (q *Question) Try(p geo.Position) Spot {
	spot := q.clearances(q.frame().Project(p))
	spot.Position = p
	return spot
}

// spot tells everything of a place.
func (q *Question) spot(at geo.Offset) Spot {
	spot := q.clearances(at)
	spot.Fit = q.check(at)
	return spot
}

// check is the fit check of a mooring laid at a place, with the moorings that are taken away left out.
func (q *Question) check(at geo.Offset) clearance.Fit {
	return q.water.field.FitWithout(q.mooring(at), q.rules, q.ask.Without)
}

// clearances is a place with what limits it, without the fit check.
func (q *Question) clearances(at geo.Offset) Spot {
	spot := Spot{Position: q.frame().Position(at), at: at, ClearanceM: math.Inf(1),
		Fit: clearance.Fit{Verdicts: []clearance.Verdict{}}}
	if d, err := q.bed().Depth(at); err == nil {
		spot.Depth, spot.Rode = geo.Known(d), q.rodeAt(d)
	}
	radiusM := q.plan.radius.at(at)
	if !math.IsInf(radiusM, 1) {
		spot.Radius = geo.Known(geo.Metres(radiusM))
	}
	spot.Limits = q.limitsAt(at, radiusM)
	if len(spot.Limits) > 0 {
		spot.ClearanceM = spot.Limits[0].ClearanceM
	}
	spot.BoundM = spot.ClearanceM
	spot.tellFrom(q.ask.Mark)
	return spot
}

// rodeAt is the rode that is laid at a depth.
func (q *Question) rodeAt(depth geo.Metres) (l geo.Maybe[geo.Metres]) {
	if q.ask.ScopeRatio > 0 {
		l, _ = q.cut(depth).RodeLength()
	} else if fixed, ok := q.rode(); ok {
		l = geo.Known(fixed)
	}
	return l
}

// tellFrom fills distance and bearing from a mark.
func (s *Spot) tellFrom(mark geo.Maybe[geo.Position]) {
	if from, known := mark.Get(); known {
		d, bearing := geo.Geodesic(from, s.Position)
		s.DistanceM, s.BearingTrueDeg = geo.Known(float64(d)), geo.Known(bearing)
	}
}

// limitsTold is how many limits of a place are told: as many circles as touch one circle of their size.
const limitsTold = 6

// limitsAt are what keeps a place from being better, the nearest first.
func (q *Question) limitsAt(at geo.Offset, radiusM float64) []Limit {
	limits := make([]Limit, 0, len(q.plan.discs)+len(q.plan.zones))
	for i := range q.plan.discs {
		d := &q.plan.discs[i]
		limits = q.withLimit(limits, d.name, float64(at.Sub(d.at).Length())-d.keepM, d.own, radiusM)
	}
	for i := range q.plan.zones {
		z := &q.plan.zones[i]
		limits = q.withLimit(limits, z.name, z.signedM(at), z.own, radiusM)
	}
	slices.SortFunc(limits, func(a, b Limit) int { return cmp.Compare(a.ClearanceM, b.ClearanceM) })
	return limits[:min(len(limits), limitsTold)]
}

// withLimit adds a limit, unless it is endlessly far. Where no water near the area is on the right side of it, what is missing is told as
// the distance within which that was looked for: there it is more. Where it is not known how far the boat swings, an anchor that stands on
// the wrong side itself lacks that much at least.
func (q *Question) withLimit(limits []Limit, name int32, clearM float64, own bool, radiusM float64) []Limit {
	unknown := own && math.IsInf(radiusM, 1)
	switch {
	case math.IsInf(clearM, 1), unknown && clearM >= 0:
		return limits
	case math.IsInf(clearM, -1):
		clearM = -q.maxReachM()
	case own && !unknown:
		clearM -= radiusM
	}
	l := q.limits[name]
	l.ClearanceM = clearM
	return append(limits, l)
}
