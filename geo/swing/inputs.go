package swing

import (
	"fmt"
	"slices"
	"strings"

	"swingroom/geo"
)

// rode is L: the parts one by one, then their sum.
func (w *calculation) rode() (geo.Metres, bool) {
	length, missing := w.in.Mooring.Tackle.RodeLength()
	l, known := length.Get()
	if !known {
		w.missing(string(missing) + "_m")
		return 0, false
	}
	var symbols []string
	parts := w.in.Mooring.Tackle
	if whole := slices.IndexFunc(parts, func(p geo.Part) bool { return p.Kind == geo.Rode && p.Length.IsKnown() }); whole >= 0 {
		parts = parts[whole : whole+1]
	}
	for _, p := range parts {
		if v, known := p.Length.Get(); known && v != 0 && p.Kind.OfRode() {
			symbols = append(symbols, fmt.Sprintf("L%d", len(symbols)+1))
			w.add(Step{Symbol: symbols[len(symbols)-1], Name: strings.ReplaceAll(string(p.Kind), "_", " "), Value: float64(v), Unit: "m",
				From: OnRecord})
		}
	}
	if len(symbols) == 1 {
		last := &w.answer.Working[len(w.answer.Working)-1]
		last.Symbol, last.Name = "L", "rode"
	} else {
		w.add(Step{Symbol: "L", Name: "rode, anchor to bow", Formula: strings.Join(symbols, " + "), Value: float64(l), Unit: "m",
			From: Computed})
	}
	return l, true
}

// farthest is o: from the bow attachment to the farthest point of the boat, or of the largest boat set for the place.
func (w *calculation) farthest() (geo.Metres, bool) {
	m := w.in.Mooring
	if w.answer.Basis == ForLargest {
		o := m.LargestLOA.Or(0)
		w.add(Step{Symbol: "o", Name: "largest boat set for the place", Value: float64(o), Unit: "m", From: OnRecord})
		return o, true
	}
	if m.Boat != nil {
		if length, field := m.Boat.SwingLength(); length.IsKnown() {
			name := "boat's length overall"
			if field == "length_all_m" {
				name = "boat's length with everything fixed to her"
			}
			w.add(Step{Symbol: "o", Name: name, Value: float64(length.Or(0)), Unit: "m", From: OnRecord})
			return length.Or(0), true
		}
	}
	w.missing("loa_m")
	if largest, known := m.LargestLOA.Get(); known {
		w.answer.Bound = true
		w.add(Step{Symbol: "o", Name: "largest boat set for the place", Value: float64(largest), Unit: "m", From: Assumed,
			Note: "the boat's own length is not on record; no longer boat may lie here"})
		return largest, true
	}
	return 0, false
}

// depth is d, below chart datum.
func (w *calculation) depth() (geo.Metres, bool) {
	d, known := w.in.Depth.Get()
	if !known {
		w.missing("depth_m")
		return 0, false
	}
	name := "depth at the anchor below chart datum, from the card"
	if w.in.DepthFrom != OnRecord {
		name = "depth at the anchor below chart datum, from the soundings"
	}
	if !w.has("d") {
		w.add(Step{Symbol: "d", Name: name, Value: float64(d), Unit: "m", From: w.in.DepthFrom})
	}
	return d, true
}

// depthAt is the water over the anchor at a design level; a place that dries has none.
func (w *calculation) depthAt(level func(geo.Levels) geo.Metres, name string) (geo.Metres, bool) {
	d, ok := w.depth()
	levels, known := w.in.Levels.Get()
	if !known {
		w.missing("levels." + name + "_m")
		return 0, false
	}
	if !ok {
		return 0, false
	}
	v := level(levels)
	w.add(Step{Symbol: "w_" + name, Name: name + " level above chart datum", Value: float64(v), Unit: "m", From: Default})
	water := d + v
	note := ""
	if water < 0 {
		water, note = 0, "the place dries at this level: no water is taken"
	}
	w.add(Step{Symbol: "D_" + name, Name: "water at " + name + " level", Formula: "d + w_" + name, Value: float64(water), Unit: "m",
		From: Computed, Note: note})
	return water, true
}

// bowHeight is b. Where it is not on record and the rule errs on the safe side with a smaller one, none is taken.
func (w *calculation) bowHeight(noneIsSafe bool) (geo.Metres, bool) {
	if boat := w.in.Mooring.Boat; boat != nil {
		if b, known := boat.BowHeight.Get(); known {
			w.add(Step{Symbol: "b", Name: "bow height", Value: float64(b), Unit: "m", From: OnRecord})
			return b, true
		}
	}
	if !noneIsSafe {
		w.missing("bow_height_m")
		return 0, false
	}
	w.add(Step{Symbol: "b", Name: "bow height", Value: 0, Unit: "m", From: Assumed,
		Note: "not on record; none is taken, which errs on the large side"})
	return 0, true
}

// riseAtLow is h at the low level. It also tells the fault of a rode that is too short at the high level.
func (w *calculation) riseAtLow(noBowIsSafe bool) (geo.Metres, bool) {
	low, ok := w.depthAt(func(l geo.Levels) geo.Metres { return l.Low }, "low")
	if !ok {
		return 0, false
	}
	b, ok := w.bowHeight(noBowIsSafe)
	if !ok {
		return 0, false
	}
	h := low + b
	w.add(Step{Symbol: "h", Name: "height from bed to bow at low water", Formula: "D_low + b", Value: float64(h), Unit: "m",
		From: Computed})
	levels, d := w.in.Levels.Or(geo.Levels{}), w.in.Depth.Or(0)
	high := d + levels.High + b
	if l, known := rodeOf(w.in.Mooring); known && l < high {
		w.fault("the rode of %s is shorter than the water is deep at high water (%s from bed to bow)", l, high)
	}
	return h, true
}

func rodeOf(m *geo.Mooring) (geo.Metres, bool) {
	l, _ := m.Tackle.RodeLength()
	return l.Get()
}

// has reports whether a line with that symbol is written already.
func (w *calculation) has(symbol string) bool {
	for _, s := range w.answer.Working {
		if s.Symbol == symbol {
			return true
		}
	}
	return false
}
