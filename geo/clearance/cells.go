package clearance

import (
	"cmp"
	"math"
	"slices"

	"swingroom/geo"
)

// cells holds circles packed by where they lie, for questions asked so often that the R-tree's way down its nodes counts. Cells are as
// high and about as wide as two ordinary circles reach; each is found by hashing its row and column, so what lies
// between harbors costs nothing. It does not change: Index keeps the R-tree over everything and knows what has changed since.
type cells struct {
	sideM    float64
	stepsRad []float64        // width of a cell in longitude, by whole degrees of latitude from -90
	slots    []slot           // open addressing; a power of two long
	shift    uint             // of the hash, to a slot
	at       []preparedCircle // in the order of the cells
	number   []int32          // the circle's number in the index
	wide     []int32          // circles that reach farther than half a cell, or lie near a pole, or are none: not in the cells
}

// slot is a cell with the one before and the one after it in its row: packed in their order, the three are one range, and a window of three
// columns takes one look.
type slot struct {
	key         uint64
	first, last int32 // last is 0 in an empty slot
}

// keyed is a circle, by its number, with the cell in which it lies.
type keyed struct {
	key    uint64
	number int32
}

// newCells packs circles; all are the same, prepared.
func newCells(circles []Circle, all []preparedCircle) *cells {
	c := &cells{sideM: ordinaryReachM(all)}
	if c.sideM <= 0 {
		c.sideM = sideWithoutCirclesM
	}
	c.setSteps()
	in := c.sorted(circles, all)
	c.makeSlots(in)
	c.fill(in, all)
	return c
}

// sideWithoutCirclesM is the side of a cell where no anchor has a circle: they have neighbours all the same, and lie a few to a cell.
const sideWithoutCirclesM = 50

// setSteps sets the widths of the cells by the degree of latitude.
func (c *cells) setSteps() {
	for degree := range 180 {
		c.stepsRad = append(c.stepsRad, c.sideM/max(1, shortestParallelM(float64(degree-90))))
	}
}

// shortestParallelM is the radius of the shortest parallel in the degree that begins at a latitude: on the side away from the equator.
func shortestParallelM(southDeg float64) float64 {
	return geo.NewStation(geo.Position{LatDeg: max(math.Abs(southDeg), math.Abs(southDeg+1))}).ParallelM
}

// sorted are the circles that lie in cells, in the order of these; the others are noted as wide.
func (c *cells) sorted(circles []Circle, all []preparedCircle) []keyed {
	in := make([]keyed, 0, len(all))
	for i := range all {
		p := &all[i]
		if math.Abs(circles[i].Position.LatDeg) > polarDeg || p.radiusM > 0 && p.extentM() > c.sideM/2 || math.IsNaN(p.MeridianM+p.LonRad) {
			c.wide = append(c.wide, int32(i))
			continue
		}
		row := c.row(p.MeridianM)
		in = append(in, keyed{cellKey(row, c.column(row, p.LonRad)), int32(i)})
	}
	slices.SortFunc(in, func(a, b keyed) int { return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.number, b.number)) })
	return in
}

// makeSlots makes room for each cell and the two beside it, at least half of it empty, so that looking for a key is short.
func (c *cells) makeSlots(in []keyed) {
	bits, slots := uint(1), 2*3*countKeys(in)+2
	for 1<<bits < slots {
		bits++
	}
	c.slots, c.shift = make([]slot, 1<<bits), 64-bits
}

// countKeys is how many keys there are in a sorted list.
func countKeys(in []keyed) (n int) {
	for i := range in {
		if i == 0 || in[i].key != in[i-1].key {
			n++
		}
	}
	return n
}

// fill puts the circles into their order and notes in the slots where each cell's range lies.
func (c *cells) fill(in []keyed, all []preparedCircle) {
	c.at, c.number = make([]preparedCircle, len(in)), make([]int32, len(in))
	for i, k := range in {
		c.at[i], c.number[i] = all[k.number], k.number
		for key := k.key - 1; key <= k.key+1; key++ {
			s := c.slot(key)
			if s.last == 0 {
				*s = slot{key, int32(i), int32(i)}
			}
			s.last = int32(i + 1)
		}
	}
}

func (c *cells) row(meridianM float64) int64 { return int64(math.Floor(meridianM / c.sideM)) }

// step is the width of the cells of a row. The degree is that of the row's south side on a sphere: it need not be true, only the same for
// all.
func (c *cells) step(row int64) float64 {
	degree := int(float64(row)*c.sideM/111320 + 90)
	return c.stepsRad[max(0, min(degree, len(c.stepsRad)-1))]
}

func (c *cells) column(row int64, lonRad float64) int64 {
	return int64(math.Floor(lonRad / c.step(row)))
}

func cellKey(row, column int64) uint64 { return uint64(row+1<<24)<<32 | uint64(column+1<<31) }

// slot finds the slot of a key, or the empty one where it belongs.
func (c *cells) slot(key uint64) *slot {
	mask := uint64(len(c.slots) - 1)
	for i := key * 0x9e3779b97f4a7c15 >> c.shift; ; i = (i + 1) & mask {
		if s := &c.slots[i]; s.last == 0 || s.key == key {
			return s
		}
	}
}

// window calls visit for the ranges of circles in all cells within reachM of a station, and some beside them. Each range is visited once.
func (c *cells) window(p *geo.Station, reachM float64, visit func(first, last int32)) {
	half := reachM / max(1, p.ParallelM-reachM)
	c.strip(p, p.LonRad-half, p.LonRad+half, reachM, visit)
	if p.LonRad+half > math.Pi {
		c.strip(p, -math.Pi, p.LonRad+half-2*math.Pi, reachM, visit)
	}
	if p.LonRad-half < -math.Pi {
		c.strip(p, p.LonRad-half+2*math.Pi, math.Pi, reachM, visit)
	}
}

func (c *cells) strip(p *geo.Station, westRad, eastRad, reachM float64, visit func(first, last int32)) {
	for row, north := c.row(p.MeridianM-reachM), c.row(p.MeridianM+reachM); row <= north; row++ {
		step := c.step(row)
		column, east := int64(math.Floor(westRad/step)), int64(math.Floor(eastRad/step))
		for ; column <= east; column += 3 {
			if s := c.slot(cellKey(row, column+1)); s.last != 0 {
				visit(s.first, s.last)
			}
		}
	}
}
