package swing

import "swingroom/geo"

// Watch is where a buoy can lie round its anchor.
type Watch struct {
	// Radius of the watch circle: the tackle below the buoy drawn taut at the low level. The bow can pull the buoy no farther.
	Radius geo.Maybe[geo.Metres] `json:"radius_m"`
	// Calm is how far it can lie with no pull on it: the tackle below hangs straight down, and what is left lies out along the bed.
	Calm geo.Maybe[geo.Metres] `json:"calm_m"`
	// UnderAbove is the level above chart datum over which the tackle below is too short, and the buoy is under water however much it lifts.
	UnderAbove geo.Maybe[geo.Metres] `json:"under_above_m"`
	// Below is the length of the tackle below the buoy.
	Below   geo.Maybe[geo.Metres] `json:"below_m"`
	Missing []string              `json:"missing"` // fields that would have to be on record
}

// WatchCircle works out where the buoy can lie, from the tackle below it and the depth at the anchor. Of a tackle without a buoy on record, or with one that
// is its first part, it is unknown.
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
	l, known := length.Get()
	if !known {
		w.Missing = append(w.Missing, string(missing)+"_m")
	}
	d, depthKnown := in.Depth.Get()
	if !depthKnown {
		w.Missing = append(w.Missing, "depth_m")
	}
	levels, levelsKnown := in.Levels.Get()
	if !levelsKnown {
		w.Missing = append(w.Missing, "levels.low_m")
	}
	if !known || !depthKnown {
		return w
	}
	w.UnderAbove = geo.Known(l - d)
	if !levelsKnown {
		return w
	}
	water := max(0, d+levels.Low)
	radius, err := Taut(l, water)
	if err != nil { // under water even at the low level: the chain stands straight up
		w.Radius, w.Calm = geo.Known(geo.Metres(0)), geo.Known(geo.Metres(0))
		return w
	}
	w.Radius, w.Calm = geo.Known(radius), geo.Known(l-water)
	return w
}
