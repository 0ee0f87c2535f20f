package swing

import (
	"slices"

	"swingroom/geo"
)

// Watch is where a buoy, or in winter its marker, can lie round its anchor.
type Watch struct {
	// Radius of the watch circle: the tackle below the buoy drawn taut at the low level. The bow can pull the buoy no farther.
	Radius geo.Maybe[geo.Metres] `json:"radius_m"`
	// Calm is how far it can lie with no pull on it: the tackle below hangs straight down, and what is left lies out along the bed.
	Calm geo.Maybe[geo.Metres] `json:"calm_m"`
	// UnderAbove is the level above chart datum over which the tackle below is too short, and the buoy is under water however much it
	// lifts.
	UnderAbove geo.Maybe[geo.Metres] `json:"under_above_m"`
	// Below is the length of the tackle below the buoy, or of the marker's line.
	Below   geo.Maybe[geo.Metres] `json:"below_m"`
	Missing []string              `json:"missing"` // fields that would have to be on record
}

// WatchCircle works out where the buoy can lie, from the tackle below it and the depth at the anchor. Of a tackle without a buoy on record,
// or with one that is its first part, it is unknown.
func WatchCircle(in Input) Watch {
	w := Watch{Missing: []string{}}
	below := lastPlace(in.Mooring.Tackle, geo.Buoy)
	if below < 1 {
		w.lacks("buoy")
		return w
	}
	length, missing := in.Mooring.Tackle[:below].RodeLength()
	w.Below = length
	if !length.IsKnown() {
		w.lacks(string(missing) + "_m")
	}
	w.addCircle(in, 0)
	return w
}

func (w *Watch) lacks(field string) { w.Missing = append(w.Missing, field) }

// WinterWatch works out where the winter marker can lie. The chain is sunk: its upper end lies on the bed within its length of the anchor,
// wherever it was let go or was dragged to since, and the marker swims on its line over that end; it cannot be known where in that circle
// when it is calm. UnderAbove is the level over which the line is too short for the marker to reach the surface. Of a tackle without a
// marker line on record it is unknown.
func WinterWatch(in Input) Watch {
	w := Watch{Missing: []string{}}
	i := lastPlace(in.Mooring.Tackle, geo.MarkerLine)
	if i < 0 {
		w.lacks("marker_line_m")
		return w
	}
	chain, missing := sunkPart(in.Mooring.Tackle).RodeLength()
	if !chain.IsKnown() {
		w.lacks(string(missing) + "_m")
	}
	if w.Below = in.Mooring.Tackle[i].Length; !w.Below.IsKnown() {
		w.lacks("marker_line_m")
	}
	w.addCircle(in, chain.Or(0))
	w.Calm = geo.Maybe[geo.Metres]{}
	if !chain.IsKnown() {
		w.Radius = geo.Maybe[geo.Metres]{}
	}
	return w
}

// sunkPart is what of a tackle lies on the bed in winter: all below the buoy and the pennant, which are taken ashore.
func sunkPart(t geo.Tackle) geo.Tackle {
	if i := slices.IndexFunc(t, func(p geo.Part) bool { return p.Kind == geo.Buoy || p.Kind == geo.Pennant }); i >= 0 {
		return t[:i]
	}
	return t
}

// addCircle fills in what follows from the length below what swims, the depth and the levels, round a point that may lie so far from the
// anchor.
func (w *Watch) addCircle(in Input, off geo.Metres) {
	l, known := w.Below.Get()
	d, depthKnown := in.Depth.Get()
	if !depthKnown {
		w.lacks("depth_m")
	}
	levels, levelsKnown := in.Levels.Get()
	if !levelsKnown {
		w.lacks("levels.low_m")
	}
	if !known || !depthKnown {
		return
	}
	w.UnderAbove = geo.Known(l - d)
	if levelsKnown {
		w.atLow(l, max(0, d+levels.Low), off)
	}
}

// atLow fills in both circles, in so much water at the low level.
func (w *Watch) atLow(length, water, off geo.Metres) {
	radius, err := Taut(length, water)
	if err != nil { // under water even at the low level: it stands straight up
		w.Radius, w.Calm = geo.Known(off), geo.Known(geo.Metres(0))
		return
	}
	w.Radius, w.Calm = geo.Known(off+radius), geo.Known(length-water)
}
