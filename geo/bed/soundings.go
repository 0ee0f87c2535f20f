package bed

import (
	"cmp"
	"fmt"
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
		return nil, 0, fmt.Errorf("soundings in layout %v: %w; XYZ is wanted", soundings.Layout(), geo.ErrInvalid)
	}
	flat := soundings.FlatCoords()
	sounds = make([]sounding, len(flat)/3)
	inChunks(len(sounds), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			sounds[i] = sounding{frame.Project(geo.Position{LonDeg: flat[3*i], LatDeg: flat[3*i+1]}), flat[3*i+2]}
		}
	})
	kept := sounds[:0]
	for i, s := range sounds {
		p := geo.Position{LonDeg: flat[3*i], LatDeg: flat[3*i+1]}
		switch {
		case !onEarth(p) || !geo.Metres(s.depthM).Finite():
			return nil, 0,
				fmt.Errorf("sounding %d (%v): %w; longitude, latitude and depth are wanted", i+1, flat[3*i:3*i+3], geo.ErrInvalid)
		case strays(p, s.at, frame):
			stray++
		default:
			kept = append(kept, s)
		}
	}
	return kept, stray, nil
}

// onEarth is geo.Position.Validate without its words, which for a million soundings are most of the work.
func onEarth(p geo.Position) bool { return math.Abs(p.LatDeg) <= 90 && math.Abs(p.LonDeg) <= 180 }

// strays reports a sounding beyond the frame's reach. The plane shows the far side of the Earth through the near one, so what
// seems to be near is asked for its latitude and longitude too.
func strays(p geo.Position, at geo.Offset, frame geo.Frame) bool {
	const reachM = float64(geo.FrameReach)
	if at.EastM*at.EastM+at.NorthM*at.NorthM > reachM*reachM {
		return true
	}
	origin := frame.Origin()
	const nearDeg = 1 // of latitude: 110 km
	farSide := math.Cos((p.LonDeg-origin.LonDeg)*(math.Pi/180)) < 0 && math.Abs(p.LatDeg) < 90-nearDeg
	return farSide || math.Abs(p.LatDeg-origin.LatDeg) > nearDeg
}

// place is a sounding with the square of side sameM in which it lies, as east and north in one number.
type place struct {
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

// thin keeps the shallowest of soundings in one place: no two that stay are within sameM of each other, and each that goes has a
// shallower one that stays within three times that.
func thin(all []sounding) []sounding {
	places := make([]place, len(all))
	for i, s := range all {
		places[i] = place{s, cellOf(s.at)}
	}
	slices.SortFunc(places, func(s, t place) int {
		if s.cell != t.cell {
			return cmp.Compare(s.cell, t.cell)
		}
		return shallower(s.sounding, t.sounding)
	})
	places = slices.CompactFunc(places, func(s, t place) bool { return s.cell == t.cell })
	near := closePairs(places)
	order := make([]int, 0, len(near))
	for i := range near {
		order = append(order, i)
	}
	slices.SortFunc(order, func(i, j int) int { return shallower(places[i].sounding, places[j].sounding) })
	gone := map[int]bool{}
	for _, i := range order {
		if !gone[i] {
			for _, j := range near[i] {
				gone[j] = true
			}
		}
	}
	kept := all[:0]
	for i, p := range places {
		if !gone[i] {
			kept = append(kept, p.sounding)
		}
	}
	return kept
}

// shallower orders by depth, and the equally deep by place, so that the outcome does not depend on the order of the input.
func shallower(s, t sounding) int {
	return cmp.Or(cmp.Compare(s.depthM, t.depthM), cmp.Compare(s.at.EastM, t.at.EastM), cmp.Compare(s.at.NorthM, t.at.NorthM))
}

// closePairs finds the soundings within sameM of each other among places in the order of their squares, one in each: by number, those near
// it.
func closePairs(places []place) map[int][]int {
	near := map[int][]int{}
	try := func(i, j int) {
		d := places[i].at.Sub(places[j].at)
		if d.EastM*d.EastM+d.NorthM*d.NorthM < sameM*sameM {
			near[i], near[j] = append(near[i], j), append(near[j], i)
		}
	}
	east := 0 // the first place in the column of squares to the east that is not south of the neighbourhood
	for i := range places {
		cell := places[i].cell
		if i+1 < len(places) && places[i+1].cell == cell+oneNorth {
			try(i, i+1)
		}
		for east < len(places) && places[east].cell < cell+oneEast-oneNorth {
			east++
		}
		for j := east; j < len(places) && places[j].cell <= cell+oneEast+oneNorth; j++ {
			try(i, j)
		}
	}
	return near
}
