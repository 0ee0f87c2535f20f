package clearance

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"swingroom/geo"
)

// Index is the R-tree over anchors and swing circles for what is asked singly: which circles does this one touch, which anchors are
// nearest. The zero value is empty and ready. Asking is safe for any number of goroutines; adding is not.
type Index struct {
	circles rtree.RTreeGN[float64, int32] // boxes of circle and margin, in degrees
	anchors rtree.RTreeGN[float64, int32] // places of the anchors, in degrees
	at      []Circle
	placed  []placed
}

// Add puts a circle under the next number, counted from 0. One without a radius has only its anchor in the index.
func (x *Index) Add(c Circle) {
	x.at = append(x.at, c)
	x.placed = append(x.placed, place(c))
	x.insert(int32(len(x.at) - 1))
}

func (x *Index) insert(i int32) {
	pt := x.at[i].Position.Point()
	x.anchors.Insert(pt, pt, i)
	if lo, hi, ok := x.placed[i].box(pt); ok {
		x.circles.Insert(lo, hi, i)
	}
}

// With gives a new index with another circle under number i, or a further one when i is the next number. The old one stays as it is.
func (x *Index) With(i int, c Circle) *Index {
	y := &Index{circles: *x.circles.Copy(), anchors: *x.anchors.Copy(), at: slices.Clone(x.at), placed: slices.Clone(x.placed)}
	if i == len(x.at) {
		y.Add(c)
		return y
	}
	pt := y.at[i].Position.Point()
	y.anchors.Delete(pt, pt, int32(i))
	if lo, hi, ok := y.placed[i].box(pt); ok {
		y.circles.Delete(lo, hi, int32(i))
	}
	y.at[i], y.placed[i] = c, place(c)
	y.insert(int32(i))
	return y
}

// box is the circle and its margin in degrees, a hair too large. Near a pole it goes all round. ok is false when there is no circle.
func (p *placed) box(pt [2]float64) (lo, hi [2]float64, ok bool) {
	if !(p.radiusM > 0) || math.IsInf(p.radiusM, 0) {
		return lo, hi, false
	}
	const shortestDegreeM = 110500 // a degree of latitude is at least that long: 110,574 m at the equator
	extent := p.extentM()
	lat, lon := extent/shortestDegreeM, 180.0
	if p.ParallelM > 4*extent {
		lon = extent / (p.ParallelM - extent) * (180 / math.Pi)
	}
	return [2]float64{pt[0] - lon, pt[1] - lat}, [2]float64{pt[0] + lon, pt[1] + lat}, true
}

// Conflicts appends to pairs every conflict of a circle that need not be in the index; A is -1, B the number of the other. The
// number except is passed over; -1 passes over none.
func (x *Index) Conflicts(c Circle, except int, pairs []Pair) []Pair {
	p := place(c)
	lo, hi, ok := p.box(c.Position.Point())
	if !ok {
		return pairs
	}
	visit := func(_, _ [2]float64, j int32) bool {
		if int(j) != except {
			if distanceM, overlapM, is := conflict(&p, &x.placed[j]); is {
				pairs = append(pairs, Pair{-1, j, distanceM, overlapM})
			}
		}
		return true
	}
	search(&x.circles, lo, hi, visit)
	return pairs
}

// search looks on both sides of the antimeridian where a box comes near it; what is stored may reach over it by half a degree.
func search(tree *rtree.RTreeGN[float64, int32], lo, hi [2]float64, visit func(lo, hi [2]float64, i int32) bool) {
	const beyondDeg = 0.5
	tree.Search(lo, hi, visit)
	if hi[0] > 180-beyondDeg {
		tree.Search([2]float64{lo[0] - 360, lo[1]}, [2]float64{hi[0] - 360, hi[1]}, visit)
	}
	if lo[0] < -180+beyondDeg {
		tree.Search([2]float64{lo[0] + 360, lo[1]}, [2]float64{hi[0] + 360, hi[1]}, visit)
	}
}

// Found is an anchor near a place.
type Found struct {
	Index     int32
	DistanceM float64
}

// Nearest appends to found the k anchors nearest to a position, nearest first, by distance on the ellipsoid. It looks in a window that grows until it
// holds k anchors no farther away than its edge.
func (x *Index) Nearest(p geo.Position, k int, found []Found) []Found {
	k = min(k, len(x.at))
	if k <= 0 {
		return found
	}
	station := geo.NewStation(p)
	start := len(found)
	const degreeM = 110500 // at least; so a window of d degrees north and south reaches at least that far
	for reachM := 64.0; ; reachM *= 3 {
		found = found[:start]
		lat := reachM / degreeM
		lon := 360.0
		if station.ParallelM > 4*reachM {
			lon = reachM / (station.ParallelM - reachM) * (180 / math.Pi)
		}
		visit := func(_, _ [2]float64, i int32) bool {
			d := float64(station.PairDistance(x.placed[i].Station))
			if d > float64(geo.FieldRange) {
				g, _ := geo.Geodesic(p, x.at[i].Position)
				d = float64(g)
			}
			if d <= reachM {
				found = keep(found, start, k, Found{i, d})
			}
			return true
		}
		if lon >= 90 || lat >= 45 { // so far from everything that the window is no help
			reachM = math.Inf(1)
			x.anchors.Scan(visit)
			return found
		}
		search(&x.anchors, [2]float64{p.LonDeg - lon, p.LatDeg - lat}, [2]float64{p.LonDeg + lon, p.LatDeg + lat}, visit)
		if len(found)-start == k {
			return found
		}
	}
}

// keep inserts f into the k best from start on, nearest first; of equals the lower number first.
func keep(found []Found, start, k int, f Found) []Found {
	at := len(found)
	for at > start && (found[at-1].DistanceM > f.DistanceM || found[at-1].DistanceM == f.DistanceM && found[at-1].Index > f.Index) {
		at--
	}
	if at-start >= k {
		return found
	}
	if len(found)-start == k {
		found = found[:len(found)-1]
	}
	return slices.Insert(found, at, f)
}
