package clearance

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"swingroom/geo"
)

// Index is the R-tree over anchors and swing circles for what changes and what is asked singly: which circles does this one touch,
// which anchors are nearest. [Index.Pack] adds a packed copy that answers the commonest questions faster; what has
// changed since is answered from the R-tree's own list. The zero value is empty and ready. Asking is safe for any number of
// goroutines; adding and packing are not.
type Index struct {
	circles  tree // boxes of circle and margin
	anchors  tree // boxes of the anchors alone
	at       []Circle
	prepared []preparedCircle
	cells    *cells  // nil: not packed
	changed  []int32 // numbers whose circle is not that of the cells, sorted
}

// maxChanged is how many circles may differ from the packed copy before it is made anew.
const maxChanged = 128

// Pack makes the packed copy.
func (x *Index) Pack() {
	x.cells, x.changed = newCells(x.at, x.prepared), nil
}

// tree is an R-tree in degrees of 32 bits: half the memory, and so half of what a search has to fetch. Boxes are rounded
// outwards, by 2 m at the most; what is found is judged by the exact figures.
type tree = rtree.RTreeGN[float32, int32]

// box is a box in degrees, longitude first.
type box struct{ lo, hi [2]float32 }

func boxOf(p geo.Position, lonDeg, latDeg float64) box {
	return box{
		[2]float32{below(p.LonDeg - lonDeg), below(p.LatDeg - latDeg)},
		[2]float32{-below(-p.LonDeg - lonDeg), -below(-p.LatDeg - latDeg)},
	}
}

// below is the greatest number of 32 bits that is not above v.
func below(v float64) float32 {
	f := float32(v)
	if float64(f) > v {
		f = math.Nextafter32(f, float32(math.Inf(-1)))
	}
	return f
}

// Add puts a circle under the next number, counted from 0. One without a radius has only its anchor in the index.
func (x *Index) Add(c Circle) {
	x.at = append(x.at, c)
	x.prepared = append(x.prepared, prepare(c))
	x.insert(int32(len(x.at) - 1))
	x.change(int32(len(x.at) - 1))
}

// change notes that a circle is no longer that of the packed copy.
func (x *Index) change(i int32) {
	if x.cells == nil {
		return
	}
	if at, known := slices.BinarySearch(x.changed, i); !known {
		x.changed = slices.Insert(slices.Clip(x.changed), at, i)
	}
	if len(x.changed) > maxChanged {
		x.Pack()
	}
}

func (x *Index) hasChanged(i int32) bool {
	if len(x.changed) == 0 {
		return false
	}
	_, known := slices.BinarySearch(x.changed, i)
	return known
}

func (x *Index) insert(i int32) {
	p := x.at[i].Position
	b := boxOf(p, 0, 0)
	x.anchors.Insert(b.lo, b.hi, i)
	if b, ok := x.prepared[i].box(p); ok {
		x.circles.Insert(b.lo, b.hi, i)
	}
}

// With gives a new index with another circle under number i, or a further one when i is the next number. The old one stays as it is.
func (x *Index) With(i int, c Circle) *Index {
	y := &Index{circles: *x.circles.Copy(), anchors: *x.anchors.Copy(), at: slices.Clone(x.at), prepared: slices.Clone(x.prepared),
		cells: x.cells, changed: x.changed}
	if i == len(x.at) {
		y.Add(c)
		return y
	}
	p := y.at[i].Position
	b := boxOf(p, 0, 0)
	y.anchors.Delete(b.lo, b.hi, int32(i))
	if b, ok := y.prepared[i].box(p); ok {
		y.circles.Delete(b.lo, b.hi, int32(i))
	}
	y.at[i], y.prepared[i] = c, prepare(c)
	y.insert(int32(i))
	y.change(int32(i))
	return y
}

// box is the box of the circle and its margin, a little too large; ok is false when there is no circle.
func (p *preparedCircle) box(at geo.Position) (b box, ok bool) {
	if !p.isCircle() {
		return b, false
	}
	return p.around(at, p.extentM()), true
}

// around is a box that holds everything within reachM of a station. Near a pole it goes all the way round.
func (p *preparedCircle) around(at geo.Position, reachM float64) box {
	const shortestDegreeM = 110500 // a degree of latitude is at least that long: 110,574 m at the equator
	lat := reachM / shortestDegreeM
	if p.ParallelM < 4*reachM {
		return boxOf(geo.Position{LatDeg: at.LatDeg}, 180, min(lat, 180))
	}
	return boxOf(at, reachM/(p.ParallelM-reachM)*(180/math.Pi), min(lat, 180))
}

// Conflicts appends to pairs every conflict of a circle that need not be in the index; A is -1, B the number of the other. The
// number except is passed over; -1 passes over none.
func (x *Index) Conflicts(c Circle, except int, pairs []Pair) []Pair {
	p := prepare(c)
	b, ok := p.box(c.Position)
	if !ok {
		return pairs
	}
	if x.cells != nil && p.extentM() <= x.cells.sideM/2 && math.Abs(c.Position.LatDeg) < polarDeg {
		return x.conflictsInCells(pairs, &p, except)
	}
	search(&x.circles, b, func(_, _ [2]float32, j int32) bool {
		pairs = x.try(pairs, &p, j, except)
		return true
	})
	return pairs
}

// conflictsInCells looks in the packed copy, and among those that are not in it.
func (x *Index) conflictsInCells(pairs []Pair, p *preparedCircle, except int) []Pair {
	k := x.cells
	// Two circles of the cells are no conflict when they are farther apart than their extents.
	k.window(&p.Station, p.extentM()+k.sideM/2, func(first, last int32) {
		for n := first; n < last; n++ {
			if distanceM, overlapM, is := conflict(p, &k.at[n]); is && k.at[n].radiusM > 0 && int(k.number[n]) != except &&
				!x.hasChanged(k.number[n]) {
				pairs = append(pairs, Pair{-1, k.number[n], distanceM, overlapM})
			}
		}
	})
	pairs = x.tryEach(pairs, p, x.changed, except, false)
	return x.tryEach(pairs, p, k.wide, except, true)
}

// try appends a circle of the index if it conflicts.
func (x *Index) try(pairs []Pair, p *preparedCircle, j int32, except int) []Pair {
	if int(j) != except && x.prepared[j].radiusM > 0 {
		if distanceM, overlapM, is := conflict(p, &x.prepared[j]); is {
			return append(pairs, Pair{-1, j, distanceM, overlapM})
		}
	}
	return pairs
}

func (x *Index) tryEach(pairs []Pair, p *preparedCircle, numbers []int32, except int, unchanged bool) []Pair {
	for _, j := range numbers {
		if !unchanged || !x.hasChanged(j) {
			pairs = x.try(pairs, p, j, except)
		}
	}
	return pairs
}

// search looks on both sides of the antimeridian where a box comes near it; what is stored may reach over it by half a degree.
func search(t *tree, b box, visit func(lo, hi [2]float32, i int32) bool) {
	const beyond = 0.5
	t.Search(b.lo, b.hi, visit)
	if b.hi[0]-b.lo[0] >= 180 || b.hi[0] <= 180-beyond && b.lo[0] >= -180+beyond {
		return
	}
	// What goes all the way round has been met already.
	once := func(lo, hi [2]float32, i int32) bool { return hi[0]-lo[0] >= 180 || visit(lo, hi, i) }
	for _, turn := range []float32{-360, 360} {
		t.Search([2]float32{b.lo[0] + turn - slack, b.lo[1]}, [2]float32{b.hi[0] + turn + slack, b.hi[1]}, once)
	}
}

// slack covers what 32 bits round away, in degrees, when a longitude is turned once round.
const slack = 1e-4

// Found is an anchor near a place.
type Found struct {
	Index     int32
	DistanceM float64
}

// Nearest appends to found the k anchors nearest to a position, nearest first, by distance on the ellipsoid. It looks in a window that
// grows until it holds k anchors no farther away than its edge.
func (x *Index) Nearest(p geo.Position, k int, found []Found) []Found {
	k = min(k, len(x.at))
	if k <= 0 {
		return found
	}
	from := preparedCircle{Station: geo.NewStation(p)}
	start := len(found)
	if x.cells != nil && math.Abs(p.LatDeg) < polarDeg {
		var ok bool
		if found, ok = x.nearestInCells(&from, k, found); ok {
			return found
		}
	}
	visit := func(_, _ [2]float32, i int32) bool {
		found = keep(found, start, k, Found{i, from.distanceM(&x.prepared[i])})
		return true
	}
	for reachM := 48.0; ; reachM *= 2.5 {
		found = found[:start]
		if reachM > 2e6 { // so far from everything that a window is no help
			x.anchors.Scan(visit)
			return found
		}
		search(&x.anchors, from.around(p, reachM), visit)
		if len(found)-start == k && found[len(found)-1].DistanceM <= reachM {
			return found
		}
	}
}

// nearestInCells looks in a few windows of the packed copy; false when the anchors are too far away for that.
func (x *Index) nearestInCells(from *preparedCircle, k int, found []Found) ([]Found, bool) {
	start, c := len(found), x.cells
	for reachM := 0.75 * c.sideM * math.Sqrt(float64(k)/4); reachM < 40*c.sideM; reachM *= 1.7 {
		found = found[:start]
		c.window(&from.Station, reachM, func(first, last int32) {
			for n := first; n < last; n++ {
				// Most of a window is farther than what is kept already: told without a root.
				d2 := from.PairDistance2(c.at[n].Station)
				if len(found)-start == k && d2 > found[len(found)-1].DistanceM*found[len(found)-1].DistanceM {
					continue
				}
				if d2 <= reachM*reachM && !x.hasChanged(c.number[n]) {
					found = keep(found, start, k, Found{c.number[n], from.distanceM(&c.at[n])})
				}
			}
		})
		for n, list := range [][]int32{x.changed, c.wide} {
			for _, i := range list {
				if from.PairDistance2(x.prepared[i].Station) <= reachM*reachM && (n == 0 || !x.hasChanged(i)) {
					found = keep(found, start, k, Found{i, from.distanceM(&x.prepared[i])})
				}
			}
		}
		if len(found)-start == k && found[len(found)-1].DistanceM <= reachM {
			return found, true
		}
	}
	return found[:start], false
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
