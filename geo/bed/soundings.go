package bed

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
)

// sounding is a place on the plane and its depth in metres below chart datum.
type sounding struct {
	at     geo.Offset
	depthM float64
}

// sameM is the distance in metres within which two soundings are one place.
const sameM = 0.01

// read projects soundings on the plane; stray is the number of those left out.
func read(soundings *geom.MultiPoint, frame geo.Frame) (sounds []sounding, stray int, err error) {
	if soundings == nil {
		return nil, 0, nil
	}
	if soundings.Layout() != geom.XYZ {
		return nil, 0, fmt.Errorf("soundings in layout %v: %w; XYZ is expected", soundings.Layout(), geo.ErrInvalid)
	}
	flat := soundings.FlatCoords()
	sounds = projected(flat, frame)
	kept := sounds[:0]
	for i, s := range sounds {
		p := positionOf(flat, i)
		switch {
		case !onEarth(p) || !geo.Metres(s.depthM).Finite():
			return nil, 0,
				fmt.Errorf("sounding %d (%v): %w; longitude, latitude and depth are expected", i+1, flat[3*i:3*i+3], geo.ErrInvalid)
		case strays(p, s.at, frame):
			stray++
		default:
			kept = append(kept, s)
		}
	}
	return kept, stray, nil
}

// projected are the soundings on the plane.
func projected(flat []float64, frame geo.Frame) []sounding {
	sounds := make([]sounding, len(flat)/3)
	inParallel(len(sounds), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			sounds[i] = sounding{frame.Project(positionOf(flat, i)), flat[3*i+2]}
		}
	})
	return sounds
}

func positionOf(flat []float64, i int) geo.Position {
	return geo.Position{LonDeg: flat[3*i], LatDeg: flat[3*i+1]}
}

// onEarth is geo.Position.Validate without its words, which for a million soundings are most of the work.
func onEarth(p geo.Position) bool { return math.Abs(p.LatDeg) <= 90 && math.Abs(p.LonDeg) <= 180 }

// strays reports a sounding beyond the frame's reach. The plane shows the far side of the Earth through the near one, so what
// seems to be near is asked for its latitude and longitude too.
func strays(p geo.Position, at geo.Offset, frame geo.Frame) bool {
	const reachM = float64(geo.FrameReach)
	return dot(at, at) > reachM*reachM || beyondHorizon(p, frame.Origin())
}

// beyondHorizon reports a position on the far side of the Earth, or much farther north or south than a frame reaches.
func beyondHorizon(p, origin geo.Position) bool {
	const nearDeg = 1 // of latitude: 110 km
	farSide := math.Cos((p.LonDeg-origin.LonDeg)*(math.Pi/180)) < 0 && math.Abs(p.LatDeg) < 90-nearDeg
	return farSide || math.Abs(p.LatDeg-origin.LatDeg) > nearDeg
}

// cellSounding is a sounding with the square of side sameM in which it lies, as east and north in one number.
type cellSounding struct {
	sounding
	cell uint64
}

const (
	oneNorth uint64 = 1
	oneEast  uint64 = 1 << 32
)

func cellOf(at geo.Offset) uint64 {
	const middle = 1 << 31 // keeps both parts positive; the frame's reach is four million squares
	return uint64(middle+math.Round(at.EastM/sameM))<<32 | uint64(middle+math.Round(at.NorthM/sameM))
}

// keepShallowest keeps the shallowest of soundings in one place: no two that stay are within sameM of each other, and each that goes has a
// shallower one that stays within three times that.
func keepShallowest(all []sounding) []sounding {
	cells := onePerCell(all)
	dropped := shadowed(cells)
	kept := all[:0]
	for i, c := range cells {
		if !dropped[i] {
			kept = append(kept, c.sounding)
		}
	}
	return kept
}

// onePerCell is the shallowest sounding of each square, in the order of the squares.
func onePerCell(all []sounding) []cellSounding {
	cells := make([]cellSounding, len(all))
	for i, s := range all {
		cells[i] = cellSounding{s, cellOf(s.at)}
	}
	slices.SortFunc(cells, func(s, t cellSounding) int {
		if s.cell != t.cell {
			return cmp.Compare(s.cell, t.cell)
		}
		return shallower(s.sounding, t.sounding)
	})
	return slices.CompactFunc(cells, func(s, t cellSounding) bool { return s.cell == t.cell })
}

// shadowed are the numbers of the soundings that have a shallower one that stays within sameM.
func shadowed(cells []cellSounding) map[int]bool {
	near := closePairs(cells)
	order := slices.SortedFunc(maps.Keys(near), func(i, j int) int { return shallower(cells[i].sounding, cells[j].sounding) })
	dropped := map[int]bool{}
	for _, i := range order {
		if !dropped[i] {
			for _, j := range near[i] {
				dropped[j] = true
			}
		}
	}
	return dropped
}

// shallower orders by depth, and the equally deep by place, so that the outcome does not depend on the order of the input.
func shallower(s, t sounding) int {
	return cmp.Or(cmp.Compare(s.depthM, t.depthM), cmp.Compare(s.at.EastM, t.at.EastM), cmp.Compare(s.at.NorthM, t.at.NorthM))
}

func samePlace(a, b geo.Offset) bool {
	d := a.Sub(b)
	return dot(d, d) < sameM*sameM
}

// pairs are soundings within sameM of each other: by number, those near it.
type pairs map[int][]int

// closePairs finds the pairs among soundings in the order of their squares, one in each.
func closePairs(cells []cellSounding) pairs {
	near := pairs{}
	east := 0 // the first in the column of squares to the east that is not south of the neighbourhood
	for i := range cells {
		cell := cells[i].cell
		if i+1 < len(cells) && cells[i+1].cell == cell+oneNorth {
			near.addIfClose(cells, i, i+1)
		}
		for east < len(cells) && cells[east].cell < cell+oneEast-oneNorth {
			east++
		}
		for j := east; j < len(cells) && cells[j].cell <= cell+oneEast+oneNorth; j++ {
			near.addIfClose(cells, i, j)
		}
	}
	return near
}

func (n pairs) addIfClose(cells []cellSounding, i, j int) {
	if samePlace(cells[i].at, cells[j].at) {
		n[i], n[j] = append(n[i], j), append(n[j], i)
	}
}
