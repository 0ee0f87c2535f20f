package swing

import "swingroom/geo"

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
	below := -1
	for i, p := range in.Mooring.Tackle {
		if p.Kind == geo.Buoy {
			below = i
		}
	}
	if below < 1 {
		w.Missing = append(w.Missing, "buoy")
		return w
	}
	length, missing := in.Mooring.Tackle[:below].RodeLength()
	w.Below = length
	if !length.IsKnown() {
		w.Missing = append(w.Missing, string(missing)+"_m")
	}
	w.round(in, 0)
	return w
}

// WinterWatch works out where the winter marker can lie. The chain is sunk: its upper end lies on the bed within its length of the anchor,
// wherever it was let go or was dragged to since, and the marker swims on its line over that end; it cannot be known where in that circle
// when it is calm. UnderAbove is the level over which the line is too short for the marker to reach the surface. Of a tackle without a
// marker line on record it is unknown.
func WinterWatch(in Input) Watch {
	w := Watch{Missing: []string{}}
	var line geo.Maybe[geo.Metres]
	some, below := false, len(in.Mooring.Tackle)
	for i, p := range in.Mooring.Tackle {
		switch p.Kind {
		case geo.MarkerLine:
			line, some = p.Length, true
		case geo.Buoy, geo.Pennant:
			below = min(below, i)
		}
	}
	if !some {
		w.Missing = append(w.Missing, "marker_line_m")
		return w
	}
	chain, missing := in.Mooring.Tackle[:below].RodeLength()
	c, known := chain.Get()
	if !known {
		w.Missing = append(w.Missing, string(missing)+"_m")
	}
	if w.Below = line; !line.IsKnown() {
		w.Missing = append(w.Missing, "marker_line_m")
	}
	if w.round(in, c); !known {
		w.Radius = geo.Maybe[geo.Metres]{}
	}
	w.Calm = geo.Maybe[geo.Metres]{}
	return w
}

// round fills in what follows from the length below what swims, the depth and the levels, round a point that may lie so far from the
// anchor.
func (w *Watch) round(in Input, off geo.Metres) {
	l, known := w.Below.Get()
	d, depthKnown := in.Depth.Get()
	if !depthKnown {
		w.Missing = append(w.Missing, "depth_m")
	}
	levels, levelsKnown := in.Levels.Get()
	if !levelsKnown {
		w.Missing = append(w.Missing, "levels.low_m")
	}
	if !known || !depthKnown {
		return
	}
	w.UnderAbove = geo.Known(l - d)
	if !levelsKnown {
		return
	}
	water := max(0, d+levels.Low)
	radius, err := Taut(l, water)
	if err != nil { // under water even at the low level: it stands straight up
		w.Radius, w.Calm = geo.Known(off), geo.Known(geo.Metres(0))
		return
	}
	w.Radius, w.Calm = geo.Known(off+radius), geo.Known(l-water)
}
