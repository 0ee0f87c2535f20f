package exchange

import (
	"strings"

	"swingroom/geo"
)

// unitMetres is how many metres (or kilograms) one of a column's unit is. The unit is the end of the column's name.
var unitMetres = map[string]float64{
	"m": 1, "ft": geo.MetresPerFoot, "mm": 0.001, "in": geo.MetresPerFoot / 12, "kg": 1, "lb": geo.KilogramsPerPound, "pct": 0.01,
}

// quantity is a figure that comes with a unit: the name of its column without the unit, the units that it may have, and where it goes.
type quantity struct {
	units []string
	set   func(*geo.Mooring, geo.Maybe[geo.Metres])
	get   func(*geo.Mooring) geo.Maybe[geo.Metres] // nil for the parts of the tackle
	boat  bool                                     // it is a figure of the boat
}

// The parts that have a column of length, of size and of what they are made of.
var (
	longParts  = []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Rode, geo.Pennant, geo.MarkerLine}
	sizedParts = []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Buoy, geo.Pennant}
	madeParts  = []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Pennant}
	wornParts  = []geo.PartKind{geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Swivel, geo.Shackle, geo.Pennant}
	fittings   = []geo.PartKind{geo.Swivel, geo.Shackle}
)

// quantities are all columns with a unit.
func quantities() map[string]quantity {
	long, thin, heavy := []string{"m", "ft"}, []string{"mm", "in"}, []string{"kg", "lb"}
	onBoat := func(field func(*geo.Boat) *geo.Maybe[geo.Metres]) quantity {
		return quantity{units: long, boat: true, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) { *field(m.Boat) = v },
			get: func(m *geo.Mooring) (none geo.Maybe[geo.Metres]) {
				if m.Boat == nil {
					return none
				}
				return *field(m.Boat)
			}}
	}
	own := func(field func(*geo.Mooring) *geo.Maybe[geo.Metres]) quantity {
		return quantity{units: long, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) {
			*field(m) = v
		}, get: func(m *geo.Mooring) geo.Maybe[geo.Metres] { return *field(m) }}
	}
	q := map[string]quantity{
		"accuracy":      own(func(m *geo.Mooring) *geo.Maybe[geo.Metres] { return &m.Accuracy }),
		"depth":         own(func(m *geo.Mooring) *geo.Maybe[geo.Metres] { return &m.Depth }),
		"radius":        own(func(m *geo.Mooring) *geo.Maybe[geo.Metres] { return &m.StatedRadius }),
		"largest_loa":   own(func(m *geo.Mooring) *geo.Maybe[geo.Metres] { return &m.LargestLOA }),
		"smallest_loa":  own(func(m *geo.Mooring) *geo.Maybe[geo.Metres] { return &m.SmallestLOA }),
		"largest_draft": own(func(m *geo.Mooring) *geo.Maybe[geo.Metres] { return &m.LargestDraft }),
		"loa":           onBoat(func(b *geo.Boat) *geo.Maybe[geo.Metres] { return &b.LOA }),
		"length_all":    onBoat(func(b *geo.Boat) *geo.Maybe[geo.Metres] { return &b.LengthAll }),
		"beam":          onBoat(func(b *geo.Boat) *geo.Maybe[geo.Metres] { return &b.Beam }),
		"draft":         onBoat(func(b *geo.Boat) *geo.Maybe[geo.Metres] { return &b.Draft }),
		"bow_height":    onBoat(func(b *geo.Boat) *geo.Maybe[geo.Metres] { return &b.BowHeight }),
	}
	for _, kind := range longParts {
		q[string(kind)] = quantity{units: long, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) { part(m, kind).Length = v }}
	}
	for _, kind := range sizedParts {
		q[string(kind)+"_size"] = quantity{units: thin, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) { part(m, kind).Size = v }}
	}
	for _, kind := range fittings {
		q[string(kind)+"_size"] = quantity{units: thin, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) { part(m, kind).Size = v }}
	}
	for _, kind := range wornParts {
		q[string(kind)+"_left"] = quantity{units: []string{"pct"}, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) {
			part(m, kind).LeftRatio = geo.Maybe[float64]{}
			if share, known := v.Get(); known {
				part(m, kind).LeftRatio = geo.Known(float64(share))
			}
		}}
	}
	for _, kind := range []geo.PartKind{geo.Anchor, geo.Buoy} {
		q[string(kind)] = quantity{units: heavy, set: func(m *geo.Mooring, v geo.Maybe[geo.Metres]) {
			part(m, kind).Weight = geo.Maybe[geo.Kilograms]{}
			if kg, known := v.Get(); known {
				part(m, kind).Weight = geo.Known(geo.Kilograms(kg))
			}
		}}
	}
	return q
}

// part finds a part of the tackle, or puts an empty one where it belongs.
func part(m *geo.Mooring, kind geo.PartKind) *geo.Part {
	place := 0
	for i := range m.Tackle {
		if m.Tackle[i].Kind == kind {
			return &m.Tackle[i]
		}
		if order(m.Tackle[i].Kind) <= order(kind) {
			place = i + 1
		}
	}
	tackle := make(geo.Tackle, 0, len(m.Tackle)+1)
	tackle = append(append(append(tackle, m.Tackle[:place]...), geo.Part{Kind: kind}), m.Tackle[place:]...)
	m.Tackle = tackle
	return &m.Tackle[place]
}

func order(kind geo.PartKind) int {
	for i, k := range geo.PartKinds() {
		if k == kind {
			return i
		}
	}
	return -1
}

// boatTexts are the columns of words that tell of a boat.
var boatTexts = []string{"boat", "boat_kind", "owner"}

// texts are the columns that hold words.
func texts() map[string]func(*geo.Mooring, string) {
	t := map[string]func(*geo.Mooring, string){
		"area":      func(m *geo.Mooring, s string) { m.Area = s },
		"note":      func(m *geo.Mooring, s string) { m.Note = s },
		"boat":      func(m *geo.Mooring, s string) { m.Boat.Name = s },
		"boat_kind": func(m *geo.Mooring, s string) { m.Boat.Kind = s },
		"owner":     func(m *geo.Mooring, s string) { m.Boat.Owner = s },
		// A year that is none is told by permit, in moorings.go.
		"permit_expires": func(m *geo.Mooring, s string) { m.Permit.Expires = geo.Date(s) },
	}
	material := func(kind geo.PartKind) func(*geo.Mooring, string) {
		return func(m *geo.Mooring, s string) { part(m, kind).Material = s }
	}
	for _, kind := range []geo.PartKind{geo.Anchor, geo.Buoy, geo.Marker} { // what such a part is, is all that its name can mean
		t[string(kind)] = material(kind)
	}
	for _, kind := range madeParts {
		t[string(kind)+"_material"] = material(kind)
	}
	for _, kind := range geo.PartKinds() {
		t[string(kind)+"_installed"] = func(m *geo.Mooring, s string) { part(m, kind).Installed = geo.Date(s) }
		t[string(kind)+"_inspected"] = func(m *geo.Mooring, s string) { part(m, kind).Inspected = geo.Date(s) }
	}
	return t
}

// measured is one column with a unit.
type measured struct {
	column string // as it is spelled in the heading, lower case
	at     int    // its place
	name   string // without the unit
	unit   string
	quantity
}

// columnsOf sorts a heading of moorings.csv into measured columns and columns of words; what is neither is told.
func (r *reader) columnsOf(t *table) (measures []measured, words map[string]int, good bool) {
	q, w := quantities(), texts()
	words, good = map[string]int{}, true
	for column, at := range t.columns {
		name, unit, _ := cutLast(column, "_")
		known, isMeasure := q[name]
		if isMeasure && contains(known.units, unit) {
			measures = append(measures, measured{column, at, name, unit, known})
			continue
		}
		if _, isText := w[column]; isText {
			words[column] = at
			continue
		}
		switch column {
		case "number", "position", "lat", "lon", "status", "permit_year":
			words[column] = at
			continue
		}
		if known, bare := q[column]; bare {
			r.problem(r.file, 1, column, "", "the column has to say its unit: "+column+"_"+strings.Join(known.units, " or "+column+"_"))
			good = false
			continue
		}
		r.notice(r.file, 1, "column %q is not known and left alone", column)
	}
	sortMeasures(measures)
	return measures, words, good
}

func cutLast(s, sep string) (before, after string, found bool) {
	if i := strings.LastIndex(s, sep); i >= 0 {
		return s[:i], s[i+len(sep):], true
	}
	return s, "", false
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
