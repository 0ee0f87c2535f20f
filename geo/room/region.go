package room

import (
	"context"
	"errors"
	"fmt"
	"math"

	"swingroom/geo"
)

// Region is the whole water in which the anchor may stand.
type Region struct {
	// Polygons, each an outer ring counterclockwise and then its holes; rings end where they begin and are simple. They lie
	// wholly in the true region, and hold every place of it that has InsideM of its water on every side.
	Polygons [][][]geo.Offset
	InsideM  float64
	// AreaM2 is the area of the true region, and PolygonsM2 that of the polygons, which is never more.
	AreaM2     float64
	PolygonsM2 float64
}

// ErrStopped is of a search that was ended before it had proved anything: it says of no water that it is free, and of none
// that it is taken.
var ErrStopped = errors.New("ended before the edge of the open water was followed all round, so no water is shown as free")

// nothingError is ErrStopped with the cause that its context tells.
type nothingError struct{ cause error }

func (*nothingError) Error() string { return ErrStopped.Error() }

func (e *nothingError) Unwrap() []error { return []error{ErrStopped, e.cause} }

// ErrRefused is the kind of a [RefusedError].
var ErrRefused = errors.New("the edge of the open water cannot be followed")

// RefusedError is of a region whose edge could not be followed to the end, or came out as one that cannot be right. There
// are no polygons then, rather than false ones.
type RefusedError struct {
	At  geo.Position // where
	Why string
}

func (e *RefusedError) Error() string {
	return fmt.Sprintf("%v at %s: %s; no water is shown as free", ErrRefused, e.At.DDM(), e.Why)
}

// Unwrap tells the kind.
func (e *RefusedError) Unwrap() error { return ErrRefused }

// regionCellM is the side of the squares with which a region's edge is followed. The edge is of arcs of many metres, and
// where two of them meet the corner is worked out, so that a chord is out by millimetres.
const regionCellM = 0.4

// How often a leaf is halved where its corners do not tell how the edge runs through it, to 12.5 mm of [regionCellM], and
// how often the whole edge is followed again with leaves so small about every place that came out wrong.
const (
	halvings = 5
	rounds   = 4
)

// Region follows the edge of the water in which the anchor may stand: where the least clearance is 0. Errors: [ErrStopped] with
// ctx.Err() where it was stopped, for half an edge bounds no water, and [RefusedError] where the edge comes out wrong and again
// wrong when it is followed more finely.
func (q *Question) Region(ctx context.Context) (Region, error) {
	r, f, err := q.plan.region(ctx, regionCellM)
	if f != nil {
		return r, q.refused(f)
	}
	return r, err
}

// refused is the error of a region that came out wrong.
func (q *Question) refused(f *fault) error {
	return &RefusedError{At: q.frame().Position(f.at), Why: f.why}
}

// region follows the edge until nothing is wrong with it; the fault is what is wrong to the last.
func (p *plan) region(ctx context.Context, cellM float64) (Region, *fault, error) {
	cellM, levelM := p.fineness(cellM)
	finest := leafSet{}
	var faults []fault
	for round := range rounds {
		t, ok := p.trace(ctx, tracer{
			cellM: cellM, halvings: halvings, finest: finest,
			levelM: levelM * (1 + 0.05*float64(round)), // what coincided does so no more
		})
		if !ok {
			return Region{}, nil, &nothingError{ctx.Err()}
		}
		var r Region
		if r, faults = t.checked(); len(faults) == 0 {
			return r, nil, nil
		}
		for _, f := range faults {
			leaf, step := t.leafAt(f.at)
			finest.add(leaf, step)
		}
	}
	return Region{}, &faults[0], nil
}

// checked joins the legs, and looks for what cannot be in what they bound.
func (t *tracer) checked() (Region, []fault) {
	r, faults := t.rings()
	if len(faults) == 0 {
		faults = t.check(&r)
	}
	return r, faults
}

// fineness is the side of the leaves, no more than what is given, and the clearance whose line is followed so that chords do
// not cut out of the region.
func (p *plan) fineness(maxM float64) (cellM, levelM float64) {
	const (
		deepestM = 0.01 // of a chord's cut, so that the edge stays true to 5 cm
		minArcM  = 0.2  // sharper arcs are too short to lose water by
	)
	arcM := max(minArcM, p.sharpestArcM())
	cellM = min(maxM, math.Sqrt(4*deepestM*arcM))
	return cellM, 1.25*cellM*cellM/(4*arcM) + 5e-4
}

// sharpestArcM is the radius of the sharpest arc of a region's edge: those lie round a single obstacle, and chords of the diagonal of a
// leaf cut into them most deeply.
func (p *plan) sharpestArcM() float64 {
	minM := math.Inf(1)
	radiusM := p.radius.minM(p.middle(), p.diagonalM()/2)
	for i := range p.discs {
		keepM := p.discs[i].keepM
		if p.discs[i].own {
			keepM += radiusM
		}
		minM = min(minM, keepM)
	}
	for i := range p.zones {
		if p.zones[i].own { // the edge of one that the boat does not swing against has corners and no arcs
			minM = min(minM, p.zones[i].keepM+radiusM)
		}
	}
	return minM
}
