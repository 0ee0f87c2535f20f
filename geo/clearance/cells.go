package clearance

import (
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

func newCells(circles []Circle, all []preparedCircle) *cells {
	c := &cells{sideM: ordinaryReachM(all)}
	if c.sideM <= 0 {
		c.sideM = 50 // anchors without circles still have neighbours
	}
	for degree := range 180 {
		// The parallel is shortest on the side away from the equator.
		far := max(math.Abs(float64(degree-90)), math.Abs(float64(degree-89)))
		c.stepsRad = append(c.stepsRad, c.sideM/max(1, geo.NewStation(geo.Position{LatDeg: far}).ParallelM))
	}
	type keyed struct {
		key    uint64
		number int32
	}
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
	slices.SortFunc(in, func(a, b keyed) int {
		switch {
		case a.key != b.key:
			if a.key < b.key {
				return -1
			}
			return 1
		}
		return int(a.number - b.number)
	})
	cells := 0
	for i := range in {
		if i == 0 || in[i].key != in[i-1].key {
			cells++
		}
	}
	bits := uint(1)
	for 1<<bits < 2*3*cells+2 {
		bits++
	}
	c.slots, c.shift = make([]slot, 1<<bits), 64-bits
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
	return c
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
