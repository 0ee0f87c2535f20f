package exchange

import "swingroom/geo"

// unit is the end of a heading or key, and how many of the core's unit one of it is.
type unit struct {
	name string
	one  float64
}

// scale is how a figure is written: in which units, and when two columns of it in two units say the same.
type scale struct {
	units     []unit  // that of metres first, then that of feet
	tolerance float64 // in the unit of the core
	core      string  // the name of that unit
}

// in is the unit of a system.
func (s scale) in(units geo.Units) unit {
	if units == geo.UnitsFeet {
		return s.units[len(s.units)-1]
	}
	return s.units[0]
}

// measure is the scale of a quantity of the core. A column is made of a measure and a field of the same quantity: a column of masses for a
// field of lengths does not compile.
type measure[Q ~float64] scale

// The measures of columns. Tolerances: feet are written to a tenth, weights to a kilogram.
var (
	lengths = measure[geo.Metres]{[]unit{{"m", 1}, {"ft", geo.MetresPerFoot}}, 0.02, "m"}
	sizes   = measure[geo.Metres]{[]unit{{"mm", 0.001}, {"in", geo.MetresPerFoot / 12}}, 0.02, "m"}
	masses  = measure[geo.Kilograms]{[]unit{{"kg", 1}, {"lb", geo.KilogramsPerPound}}, 0.5, "kg"}
	shares  = measure[float64]{units: []unit{{"pct", 0.01}}}
)

// figure is a column of records R with a unit in its heading.
type figure[R any] struct {
	name string // of the heading, without the unit
	scale
	get func(*R) geo.Maybe[float64] // in the unit of the core
	set func(*R, geo.Maybe[float64])
}

// figureOf makes the column of a field.
func figureOf[R any, Q ~float64](name string, m measure[Q], field func(*R) *geo.Maybe[Q]) figure[R] {
	return figure[R]{name, scale(m),
		func(r *R) geo.Maybe[float64] { return as[float64](*field(r)) },
		func(r *R, v geo.Maybe[float64]) { *field(r) = as[Q](v) }}
}

// as gives a figure under another name of its type.
func as[To, From ~float64](m geo.Maybe[From]) (to geo.Maybe[To]) {
	if v, known := m.Get(); known {
		to = geo.Known(To(v))
	}
	return to
}

// inner makes the column of a record of that of one of its parts. find gives the part, nil where there is none; add makes one there.
func inner[R, P any](name string, f figure[P], find, add func(*R) *P) figure[R] {
	return figure[R]{name: name, scale: f.scale, set: func(r *R, v geo.Maybe[float64]) { f.set(add(r), v) },
		get: func(r *R) (none geo.Maybe[float64]) {
			if p := find(r); p != nil {
				return f.get(p)
			}
			return none
		}}
}

// Fields by their quantities.
type (
	metres    = geo.Maybe[geo.Metres]
	kilograms = geo.Maybe[geo.Kilograms]
	ratio     = geo.Maybe[float64]
)

// The columns with a unit, by the record whose fields they are.
var (
	ownFigures = []figure[geo.Mooring]{
		figureOf("accuracy", lengths, func(m *geo.Mooring) *metres { return &m.Accuracy }),
		figureOf("depth", lengths, func(m *geo.Mooring) *metres { return &m.Depth }),
		figureOf("radius", lengths, func(m *geo.Mooring) *metres { return &m.StatedRadius }),
		figureOf("largest_loa", lengths, func(m *geo.Mooring) *metres { return &m.LargestLOA }),
		figureOf("smallest_loa", lengths, func(m *geo.Mooring) *metres { return &m.SmallestLOA }),
		figureOf("largest_draft", lengths, func(m *geo.Mooring) *metres { return &m.LargestDraft }),
	}
	boatFigures = []figure[geo.Boat]{
		figureOf("loa", lengths, func(b *geo.Boat) *metres { return &b.LOA }),
		figureOf("length_all", lengths, func(b *geo.Boat) *metres { return &b.LengthAll }),
		figureOf("beam", lengths, func(b *geo.Boat) *metres { return &b.Beam }),
		figureOf("draft", lengths, func(b *geo.Boat) *metres { return &b.Draft }),
		figureOf("bow_height", lengths, func(b *geo.Boat) *metres { return &b.BowHeight }),
	}
	partLength  = figureOf("length", lengths, func(p *geo.Part) *metres { return &p.Length })
	partSize    = figureOf("size", sizes, func(p *geo.Part) *metres { return &p.Size })
	partWeight  = figureOf("weight", masses, func(p *geo.Part) *kilograms { return &p.Weight })
	partLeft    = figureOf("left", shares, func(p *geo.Part) *ratio { return &p.LeftRatio })
	partFigures = []figure[geo.Part]{partLength, partSize, partWeight, partLeft}
)

// textColumn puts the words of a column into a record.
type textColumn[R any] func(*R, string)

// The columns of words.
var (
	ownTexts = map[string]textColumn[geo.Mooring]{
		"area": func(m *geo.Mooring, s string) { m.Area = s },
		"note": func(m *geo.Mooring, s string) { m.Note = s },
		// The year of a permit is a number, and read by mooringRow.permitYear.
		"permit_expires": func(m *geo.Mooring, s string) { m.Permit.Expires = geo.Date(s) },
	}
	boatTexts = map[string]textColumn[geo.Boat]{
		"boat":      func(b *geo.Boat, s string) { b.Name = s },
		"boat_kind": func(b *geo.Boat, s string) { b.Kind = s },
		"owner":     func(b *geo.Boat, s string) { b.Owner = s },
	}
	partTexts = map[string]textColumn[geo.Part]{
		"material":  func(p *geo.Part, s string) { p.Material = s },
		"installed": func(p *geo.Part, s string) { p.Installed = geo.Date(s) },
		"inspected": func(p *geo.Part, s string) { p.Inspected = geo.Date(s) },
	}
)

// The columns of moorings.csv for parts of the tackle: their headings are the kind of the part and an ending, "pennant_size".
var (
	partFigureColumns = []struct {
		ending string
		figure figure[geo.Part]
		kinds  []geo.PartKind
	}{
		{"", partLength, []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Rode, geo.Pennant, geo.MarkerLine}},
		{"", partWeight, []geo.PartKind{geo.Anchor, geo.Buoy}},
		{"_size", partSize, []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Buoy, geo.Pennant, geo.Swivel,
			geo.Shackle}},
		{"_left", partLeft, []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Swivel, geo.Shackle, geo.Pennant}},
	}
	partTextColumns = []struct {
		ending, text string
		kinds        []geo.PartKind
	}{
		{"", "material", []geo.PartKind{geo.Anchor, geo.Buoy, geo.Marker}}, // all that the name of such a part can mean
		{"_material", "material", []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Pennant}},
		{"_installed", "installed", geo.PartKinds()},
		{"_inspected", "inspected", geo.PartKinds()},
	}
)

// All columns of moorings.csv by their headings, the figures without the unit.
var (
	mooringFigures = collectFigures()
	mooringTexts   = collectTexts()
)

func collectFigures() map[string]figure[geo.Mooring] {
	all := boatFiguresOf(func(m *geo.Mooring) *geo.Boat { return m.Boat }, addBoat)
	for _, f := range ownFigures {
		all[f.name] = f
	}
	for _, c := range partFigureColumns {
		for _, kind := range c.kinds {
			name := string(kind) + c.ending
			find := func(m *geo.Mooring) *geo.Part { return partOf(m, kind) }
			all[name] = inner(name, c.figure, find, func(m *geo.Mooring) *geo.Part { return addPart(m, kind) })
		}
	}
	return all
}

// boatFiguresOf are the figures of the boat of a record.
func boatFiguresOf[R any](find, add func(*R) *geo.Boat) map[string]figure[R] {
	all := map[string]figure[R]{}
	for _, f := range boatFigures {
		all[f.name] = inner(f.name, f, find, add)
	}
	return all
}

func collectTexts() map[string]textColumn[geo.Mooring] {
	all := map[string]textColumn[geo.Mooring]{}
	for name, set := range ownTexts {
		all[name] = set
	}
	for name, set := range boatTexts {
		all[name] = func(m *geo.Mooring, s string) { set(addBoat(m), s) }
	}
	for _, c := range partTextColumns {
		set := partTexts[c.text]
		for _, kind := range c.kinds {
			all[string(kind)+c.ending] = func(m *geo.Mooring, s string) { set(addPart(m, kind), s) }
		}
	}
	return all
}

// addBoat gives the boat of a mooring, an empty one where there is none yet.
func addBoat(m *geo.Mooring) *geo.Boat {
	if m.Boat == nil {
		m.Boat = &geo.Boat{}
	}
	return m.Boat
}

// byName are columns by their names.
func byName[R any](figures []figure[R]) map[string]figure[R] {
	all := map[string]figure[R]{}
	for _, f := range figures {
		all[f.name] = f
	}
	return all
}

// keepSameFigures keeps every figure of a record on file that is that of the record read but for rounding.
func keepSameFigures[R any](figures []figure[R], read, onFile *R) {
	for _, f := range figures {
		f.set(read, keepSame(f.get(read), f.get(onFile)))
	}
}
