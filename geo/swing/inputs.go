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
	if symbols := w.rodeParts(); len(symbols) == 1 {
		last := &w.answer.Working[len(w.answer.Working)-1]
		last.Symbol, last.Name = "L", "rode"
	} else {
		w.addMetres("L", "rode, anchor to bow", strings.Join(symbols, " + "), l, Computed)
	}
	return l, true
}

// rodeParts adds the parts of which the rode's length is the sum, and gives their symbols.
func (w *calculation) rodeParts() (symbols []string) {
	parts := wholeOrParts(w.in.Mooring.Tackle)
	for i := range parts {
		p := &parts[i]
		if length := p.Length.Or(0); length != 0 && p.Kind.OfRode() {
			symbol := fmt.Sprintf("L%d", len(symbols)+1)
			symbols = append(symbols, symbol)
			w.addMetres(symbol, partName(p.Kind), "", length, OnRecord)
		}
	}
	return symbols
}

// wholeOrParts is the rode as a whole where its length is on record, and else the tackle.
func wholeOrParts(t geo.Tackle) geo.Tackle {
	if whole := slices.IndexFunc(t, func(p geo.Part) bool { return p.Kind == geo.Rode && p.Length.IsKnown() }); whole >= 0 {
		return t[whole : whole+1]
	}
	return t
}

// partName is a kind of part as a person reads it.
func partName(kind geo.PartKind) string { return strings.ReplaceAll(string(kind), "_", " ") }

// farthest is o: from the bow attachment to the farthest point of the boat, or of the largest boat set for the place.
func (w *calculation) farthest() (geo.Metres, bool) {
	m := w.in.Mooring
	if w.answer.Basis == ForLargest {
		w.addMetres("o", largestBoatName, "", m.LargestLOA.Or(0), OnRecord)
		return m.LargestLOA.Or(0), true
	}
	if o, known := w.boatLength(); known {
		return o, true
	}
	w.missing("loa_m")
	largest, known := m.LargestLOA.Get()
	if known {
		w.answer.Bound = true
		w.addAssumed("o", largestBoatName, largest, "the boat's own length is not on record; no longer boat may lie here")
	}
	return largest, known
}

const largestBoatName = "largest boat set for the place"

// boatLength is the length of the boat on the mooring with everything fixed to it, as far as that is on record.
func (w *calculation) boatLength() (o geo.Metres, known bool) {
	if w.in.Mooring.Boat == nil {
		return 0, false
	}
	length, field := w.in.Mooring.Boat.SwingLength()
	if o, known = length.Get(); !known {
		return 0, false
	}
	name := "boat's length overall"
	if field == "length_all_m" {
		name = "boat's length with everything fixed to it"
	}
	w.addMetres("o", name, "", o, OnRecord)
	return o, true
}

// depth is d, below chart datum.
func (w *calculation) depth() (geo.Metres, bool) {
	d, known := w.in.Depth.Get()
	if !known {
		w.missing("depth_m")
		return 0, false
	}
	from := "the soundings"
	if w.in.DepthFrom == OnRecord {
		from = "the card"
	}
	if !w.has("d") {
		w.addMetres("d", "depth at the anchor below chart datum, from "+from, "", d, w.in.DepthFrom)
	}
	return d, true
}

// depthAt is the water over the anchor at a design level; a place that dries has none.
func (w *calculation) depthAt(level func(geo.Levels) geo.Metres, name string) (geo.Metres, bool) {
	d, ok := w.depth()
	levels, known := w.in.Levels.Get()
	if !known {
		w.missing("levels." + name + "_m")
	}
	if !known || !ok {
		return 0, false
	}
	w.addMetres("w_"+name, name+" level above chart datum", "", level(levels), Default)
	water := Step{Symbol: "D_" + name, Name: "water at " + name + " level", Formula: "d + w_" + name, Value: float64(d + level(levels)),
		Unit: "m", From: Computed}
	if water.Value < 0 {
		water.Value, water.Note = 0, "the place dries at this level: no water is taken"
	}
	w.add(water)
	return geo.Metres(water.Value), true
}

// bowHeight is b. Where it is not on record and the rule errs on the safe side with a smaller one, none is taken.
func (w *calculation) bowHeight(noneIsSafe bool) (geo.Metres, bool) {
	if b, known := w.bowOnRecord(); known {
		w.addMetres("b", "bow height", "", b, OnRecord)
		return b, true
	}
	if !noneIsSafe {
		w.missing("bow_height_m")
		return 0, false
	}
	w.addAssumed("b", "bow height", 0, "not on record; none is taken, which errs on the large side")
	return 0, true
}

func (w *calculation) bowOnRecord() (geo.Metres, bool) {
	if w.in.Mooring.Boat == nil {
		return 0, false
	}
	return w.in.Mooring.Boat.BowHeight.Get()
}

// lowLevel and highLevel choose a design level.
func lowLevel(l geo.Levels) geo.Metres  { return l.Low }
func highLevel(l geo.Levels) geo.Metres { return l.High }

// riseAtLow is h at the low level. It also tells the fault of a rode that is too short at the high level.
func (w *calculation) riseAtLow(noBowIsSafe bool) (geo.Metres, bool) {
	low, ok := w.depthAt(lowLevel, "low")
	if !ok {
		return 0, false
	}
	b, ok := w.bowHeight(noBowIsSafe)
	if !ok {
		return 0, false
	}
	high := w.in.Depth.Or(0) + w.in.Levels.Or(geo.Levels{}).High + b
	if l, known := rodeOf(w.in.Mooring); known && l < high {
		w.fault("the rode of %s is shorter than the water is deep at high water (%s from bed to bow)", l, high)
	}
	return w.rise(low, b), true
}

// rise is h: from the bed to the bow in so much water.
func (w *calculation) rise(water, bow geo.Metres) geo.Metres {
	w.addMetres("h", "height from bed to bow at low water", "D_low + b", water+bow, Computed)
	return water + bow
}

func rodeOf(m *geo.Mooring) (geo.Metres, bool) {
	l, _ := m.Tackle.RodeLength()
	return l.Get()
}

// has reports whether a line with that symbol is written already.
func (w *calculation) has(symbol string) bool {
	return slices.ContainsFunc(w.answer.Working, func(s Step) bool { return s.Symbol == symbol })
}
