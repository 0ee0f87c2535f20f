package room

import (
	"math"

	"swingroom/geo"
)

// box is an upright rectangle on the plane.
type box struct{ low, high geo.Offset } // its south west and north east corners

// emptyBox holds no place: whatever is added to it becomes its extent.
func emptyBox() box {
	inf := math.Inf(1)
	return box{low: geo.Offset{EastM: inf, NorthM: inf}, high: geo.Offset{EastM: -inf, NorthM: -inf}}
}

// with is the box widened to hold a place.
func (b box) with(p geo.Offset) box {
	return box{
		low:  geo.Offset{EastM: min(b.low.EastM, p.EastM), NorthM: min(b.low.NorthM, p.NorthM)},
		high: geo.Offset{EastM: max(b.high.EastM, p.EastM), NorthM: max(b.high.NorthM, p.NorthM)},
	}
}

// boxOf is the least box around some edges.
func boxOf(edges []edge) box {
	b := emptyBox()
	for _, g := range edges {
		b = b.with(g.a)
	}
	return b
}

// empty reports a box that holds no place.
func (b box) empty() bool {
	size := b.size()
	return !(size.EastM >= 0 && size.NorthM >= 0)
}

func (b box) middle() geo.Offset { return halfway(b.low, b.high) }

// size is the box's width to the east and its height to the north.
func (b box) size() geo.Offset { return b.high.Sub(b.low) }

// diagonalM is the distance between opposite corners.
func (b box) diagonalM() float64 { return float64(b.size().Length()) }

// longSideM is the longer of its sides.
func (b box) longSideM() float64 {
	size := b.size()
	return max(size.EastM, size.NorthM)
}

// squareM is the side of the square in which a search of the box begins: never nothing, so that it can be halved.
func (b box) squareM() float64 { return max(b.longSideM(), 1e-3) }

// grown is the box with a strip added on every side.
func (b box) grown(byM float64) box {
	d := geo.Offset{EastM: byM, NorthM: byM}
	return box{low: b.low.Sub(d), high: b.high.Plus(d)}
}

// holds reports whether a place lies in the box or on its edge.
func (b *box) holds(p geo.Offset) bool {
	return p.EastM >= b.low.EastM && p.EastM <= b.high.EastM && p.NorthM >= b.low.NorthM && p.NorthM <= b.high.NorthM
}

// touches reports whether an edge comes within reachM of the box, as their extents tell.
func (b *box) touches(g edge, reachM float64) bool {
	e := g.box()
	return e.high.EastM >= b.low.EastM-reachM && e.low.EastM <= b.high.EastM+reachM &&
		e.high.NorthM >= b.low.NorthM-reachM && e.low.NorthM <= b.high.NorthM+reachM
}

// quarters are the middles of the four quarters of a square, each with halfM/2 on every side of its middle: south before north, and west
// before east.
func quarters(middle geo.Offset, halfM float64) [4]geo.Offset {
	h := halfM / 2
	return [4]geo.Offset{
		{EastM: middle.EastM - h, NorthM: middle.NorthM - h}, {EastM: middle.EastM + h, NorthM: middle.NorthM - h},
		{EastM: middle.EastM - h, NorthM: middle.NorthM + h}, {EastM: middle.EastM + h, NorthM: middle.NorthM + h},
	}
}

// halfway is the middle between two places.
func halfway(a, b geo.Offset) geo.Offset { return a.Plus(b).Times(0.5) }

// dot is the scalar product of two offsets.
func dot(a, b geo.Offset) float64 { return a.EastM*b.EastM + a.NorthM*b.NorthM }

// cross is above 0 where b lies to the left of a.
func cross(a, b geo.Offset) float64 { return a.EastM*b.NorthM - a.NorthM*b.EastM }

// leftOf is an offset turned by a right angle to the left.
func leftOf(o geo.Offset) geo.Offset { return geo.Offset{EastM: -o.NorthM, NorthM: o.EastM} }

// lengthM is that of an offset of a harbor's size, which needs none of the care that math.Hypot takes.
func lengthM(o geo.Offset) float64 { return math.Sqrt(dot(o, o)) }

// edge is a straight side of a zone or of a region, from a to b.
type edge struct{ a, b geo.Offset }

// box is the least around the edge.
func (g *edge) box() box { return box{g.a, g.a}.with(g.b) }

// along leads from the edge's first end to its other.
func (g *edge) along() geo.Offset { return g.b.Sub(g.a) }

// distanceM is that of a place from the edge. It is asked for most often of all, so it is written out.
func (g *edge) distanceM(p geo.Offset) float64 {
	abE, abN := g.b.EastM-g.a.EastM, g.b.NorthM-g.a.NorthM
	apE, apN := p.EastM-g.a.EastM, p.NorthM-g.a.NorthM
	along := (abE*apE + abN*apN) / (abE*abE + abN*abN)
	if along > 1 {
		along = 1
	} else if !(along > 0) {
		along = 0
	}
	e, n := apE-along*abE, apN-along*abN
	return math.Sqrt(e*e + n*n)
}

// nearest is the place of the edge nearest to another.
func (g *edge) nearest(p geo.Offset) geo.Offset {
	ab := g.along()
	return g.a.Plus(ab.Times(within01(dot(ab, p.Sub(g.a)) / dot(ab, ab))))
}

// within01 is a share brought between 0 and 1; 0 where it is none, as along an edge whose ends are one.
func within01(shareRatio float64) float64 {
	if !(shareRatio > 0) {
		return 0
	}
	return min(1, shareRatio)
}

// distanceToM is the distance between two edges.
func (g *edge) distanceToM(o *edge) float64 {
	if g.parts(o) && o.parts(g) {
		return 0
	}
	return min(g.distanceToEndsM(o), o.distanceToEndsM(g))
}

// distanceToEndsM is the distance to the nearer end of another edge.
func (g *edge) distanceToEndsM(o *edge) float64 { return math.Min(g.distanceM(o.a), g.distanceM(o.b)) }

// parts reports whether the ends of another edge lie on different sides of the line along this one.
func (g *edge) parts(o *edge) bool {
	along := g.along()
	return cross(along, o.a.Sub(g.a))*cross(along, o.b.Sub(g.a)) < 0
}

// folds reports a side that all but runs back over the one before it.
func (g *edge) folds(next *edge) bool {
	a, b := g.along(), next.along()
	const minRatio = 1e-3 // of the sine of the angle between them
	return dot(a, b) < 0 && math.Abs(cross(a, b)) <= minRatio*-dot(a, b)
}

// sidesOf are the sides of a ring that ends where it begins.
func sidesOf(ring []geo.Offset) []edge {
	sides := make([]edge, 0, len(ring))
	for i := 1; i < len(ring); i++ {
		sides = append(sides, edge{ring[i-1], ring[i]})
	}
	return sides
}

// ringLengthM is the length of a ring's sides.
func ringLengthM(ring []geo.Offset) (sumM float64) {
	for i := 1; i < len(ring); i++ {
		sumM += lengthM(ring[i].Sub(ring[i-1]))
	}
	return sumM
}

// slabs are a zone's edges by bands of north, so that a place is held against few of them.
type slabs struct {
	southM, heightM float64
	band            [][]edge
}

// newSlabs sorts edges into as many bands as there are edges, and no more than maxBands.
func newSlabs(edges []edge) slabs {
	if len(edges) == 0 {
		return slabs{}
	}
	const maxBands = 1024 // beyond it the bands of a harbor's longest shore hold few edges each, and only memory grows
	extent := boxOf(edges)
	for _, g := range edges { // of lines, unlike rings, the last end begins no edge
		extent = extent.with(g.b)
	}
	n := min(maxBands, len(edges))
	s := slabs{southM: extent.low.NorthM, heightM: max(1e-9, extent.size().NorthM/float64(n)), band: make([][]edge, n+1)}
	for _, g := range edges {
		s.add(g)
	}
	return s
}

// add puts an edge into every band that it meets.
func (s *slabs) add(g edge) {
	extent := g.box()
	for b := s.at(extent.low.NorthM); b <= s.at(extent.high.NorthM); b++ {
		s.band[b] = append(s.band[b], g)
	}
}

func (s *slabs) at(northM float64) int {
	return max(0, min(len(s.band)-1, int((northM-s.southM)/s.heightM)))
}

// inside reports whether a place lies inside, by the winding number: the inside is on the left of each edge, and polygons that overlap
// count as one.
func (s *slabs) inside(p geo.Offset) bool {
	if len(s.band) == 0 || p.NorthM < s.southM {
		return false
	}
	winding := 0
	for _, g := range s.band[s.at(p.NorthM)] {
		winding += g.winds(p)
	}
	return winding > 0
}

// winds is what an edge adds to the winding number of a place: 1 where it passes north on the place's right, -1 south.
func (g *edge) winds(p geo.Offset) int {
	if g.a.NorthM <= p.NorthM == (g.b.NorthM <= p.NorthM) {
		return 0
	}
	left := (g.b.EastM-g.a.EastM)*(p.NorthM-g.a.NorthM) - (p.EastM-g.a.EastM)*(g.b.NorthM-g.a.NorthM)
	if g.a.NorthM <= p.NorthM && left > 0 {
		return 1
	}
	if g.a.NorthM > p.NorthM && left < 0 {
		return -1
	}
	return 0
}
