package exchange

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"swingroom/geo"
)

func sortMeasures(all []measured) {
	slices.SortFunc(all, func(a, b measured) int { return cmp.Compare(a.at, b.at) })
}

// mooringRows is moorings.csv while it is read, kept until the checks of the whole have been made.
type mooringRows struct {
	*table
	measures []measured
	words    map[string]int
	near     *geo.Vicinity
	base     map[string]int         // number -> place among the harbor's moorings
	line     map[string]int         // number -> line that it came from
	before   map[string]geo.Mooring // those on file that a row has been laid over
	cells    map[int][]string
	bad      map[int]bool // by line
	texts    map[string]func(*geo.Mooring, string)
	hasBoat  bool // the file says something of boats
}

// moorings reads moorings.csv.
func (r *reader) moorings(text []byte) {
	t, good := r.openTable(text)
	if !good {
		return
	}
	rows := &mooringRows{table: t, near: r.vicinity(), base: map[string]int{}, line: map[string]int{}, before: map[string]geo.Mooring{}, cells: map[int][]string{}, bad: map[int]bool{}, texts: texts()}
	if rows.measures, rows.words, good = r.columnsOf(t); !good {
		return
	}
	if _, ok := rows.words["number"]; !ok {
		r.problem(r.file, 1, "number", "", "a column of that name is wanted: the number painted on the buoy")
		return
	}
	rows.hasBoat = slices.ContainsFunc(rows.measures, func(m measured) bool { return m.boat }) || slices.ContainsFunc([]string{"boat", "boat_kind", "owner"}, func(c string) bool {
		_, ok := rows.words[c]
		return ok
	})
	for i := range r.h.Moorings {
		rows.base[r.h.Moorings[i].Number] = i
	}
	r.rows = rows
	r.im.rejected = &rejected{rows: rows}
	for {
		row, line, ok, err := r.next(t)
		if errors.Is(err, io.EOF) || err != nil {
			return
		}
		rows.cells[line] = slices.Clone(row)
		if !ok {
			rows.bad[line] = true
			continue
		}
		r.mooring(row, line)
	}
}

// vicinity is where the harbor lies, as far as it is known before its moorings are read: enough to tell a position that is the wrong way round.
func (r *reader) vicinity() *geo.Vicinity {
	if len(r.h.Moorings)+len(r.h.Areas)+len(r.h.Shoreline.Land) == 0 {
		return nil
	}
	return &geo.Vicinity{Centre: r.h.Origin(), Reach: geo.FieldReach}
}

// rowOf is one row while it becomes a mooring.
type rowOf struct {
	*reader
	row  []string
	line int
	m    geo.Mooring
	bad  bool
}

func (w *rowOf) wrong(column, got, want string) {
	w.problem(MooringsFile, w.line, column, got, want)
	w.bad = true
}

func (w *rowOf) cell(column string) (string, bool) {
	at, ok := w.rows.words[column]
	if !ok {
		return "", false
	}
	return strings.TrimSpace(w.row[at]), true
}

// mooring lays one row over the mooring on file, or makes a new one.
func (r *reader) mooring(row []string, line int) {
	w := &rowOf{reader: r, row: row, line: line}
	number, _ := w.cell("number")
	place, onFile := r.rows.base[number]
	if onFile {
		w.m = r.h.Moorings[place]
		w.m.Tackle = slices.Clone(w.m.Tackle)
	}
	w.m.Number = number
	boat := geo.Boat{}
	if w.m.Boat != nil {
		boat = *w.m.Boat
	}
	w.m.Boat = &boat
	if err := geo.ValidNumber(number); err != nil {
		w.wrong("number", number, geo.FieldErrors(err)[0].Want)
	} else if first, twice := r.rows.line[number]; twice {
		w.wrong("number", number, fmt.Sprintf("the same number stands in line %d", first))
	} else {
		r.rows.line[number] = line
	}
	w.position(onFile)
	w.quantities()
	for _, column := range slices.Sorted(maps.Keys(r.rows.words)) {
		if set, ok := r.rows.texts[column]; ok {
			text, _ := w.cell(column)
			set(&w.m, text)
		}
	}
	w.status(onFile)
	w.trimTackle()
	if !w.bad {
		w.validate()
	}
	if w.bad {
		r.rows.bad[line] = true
		return
	}
	if onFile {
		r.rows.before[number] = r.h.Moorings[place]
		r.h.Moorings[place] = w.m
	} else {
		r.rows.base[number] = len(r.h.Moorings)
		r.h.Moorings = append(r.h.Moorings, w.m)
	}
}

// position reads the position column, or lat and lon.
func (w *rowOf) position(onFile bool) {
	text, hasText := w.cell("position")
	lat, hasLat := w.cell("lat")
	lon, hasLon := w.cell("lon")
	column := "position"
	switch {
	case hasText && text != "":
	case hasLat && hasLon && (lat != "" || lon != ""):
		column, text = "lat, lon", lat+"; "+lon
		latDeg, err1 := strconv.ParseFloat(lat, 64)
		lonDeg, err2 := strconv.ParseFloat(lon, 64)
		if p := (geo.Position{LatDeg: latDeg, LonDeg: lonDeg}); err1 == nil && err2 == nil && p.Validate() == nil && w.rows.near == nil {
			w.m.Position = p
			return
		}
	case !onFile || hasText || hasLat && hasLon:
		w.wrong("position", "", "a mooring needs a position: a column position, or lat and lon")
		return
	default:
		return // the file has no column for it: it stays as it is on file
	}
	p, err := geo.ParsePosition(text, w.rows.near)
	if err != nil {
		want := err.Error()
		var refused *geo.PositionError
		if errors.As(err, &refused) {
			want = refused.Reason
			for i, reading := range refused.Readings {
				want += []string{"; perhaps ", " or "}[min(i, 1)] + reading.Position.DDM()
			}
		}
		w.wrong(column, strings.ReplaceAll(text, "; ", ", "), want)
		return
	}
	w.m.Position = p
}

// quantities reads every column with a unit. Two columns of one figure in two units have to agree.
func (w *rowOf) quantities() {
	seen := map[string]geo.Maybe[geo.Metres]{}
	for _, c := range w.rows.measures {
		cell := strings.TrimSpace(w.row[c.at])
		var v geo.Maybe[geo.Metres]
		if !blank(cell) {
			x, err := w.rows.number(cell, c.unit)
			if err != nil {
				w.wrong(c.column, cell, err.Error())
				continue
			}
			v = geo.Known(geo.Metres(x * unitMetres[c.unit]))
		}
		agree, unit := 0.02, "m" // feet are written to a tenth
		if c.unit == "kg" || c.unit == "lb" {
			agree, unit = 0.5, "kg" // weights to a kilogram
		}
		before, twice := seen[c.name]
		switch a, b := before.Or(0), v.Or(0); {
		case twice && !v.IsKnown():
			continue
		case twice && before.IsKnown() && math.Abs(float64(a-b)) > agree:
			w.wrong(c.column, cell, fmt.Sprintf("another column says %.2f %s, this one %.2f %s", float64(a), unit, float64(b), unit))
			continue
		}
		seen[c.name] = v
		c.set(&w.m, v)
	}
}

// status is what the column says; without it a mooring with a boat is occupied and one without is vacant.
func (w *rowOf) status(onFile bool) {
	none := *w.m.Boat == geo.Boat{}
	text, has := w.cell("status")
	switch text = strings.ToLower(text); {
	case has && text != "":
		w.m.Status = geo.Status(text)
	case onFile && !w.rows.hasBoat:
	case none:
		w.m.Status = geo.Vacant
	default:
		w.m.Status = geo.Occupied
	}
	if none {
		w.m.Boat = nil
	}
}

// trimTackle takes out parts of which nothing is known, and the rode as a whole where its parts are.
func (w *rowOf) trimTackle() {
	w.m.Tackle = slices.DeleteFunc(w.m.Tackle, func(p geo.Part) bool { return p == geo.Part{Kind: p.Kind} })
	rode := slices.IndexFunc(w.m.Tackle, func(p geo.Part) bool { return p.Kind == geo.Rode })
	if rode >= 0 {
		whole := w.m.Tackle[rode].Length.Or(0)
		parts := slices.Delete(slices.Clone(w.m.Tackle), rode, rode+1)
		sum, _ := parts.RodeLength()
		if s, known := sum.Get(); known {
			const agreeM = 0.05
			if math.Abs(float64(s-whole)) > agreeM {
				w.wrong(w.columnOf("rode"), "", fmt.Sprintf("the parts add up to %.2f m and the rode is said to be %.2f m; leave one of them out", float64(s), float64(whole)))
			}
			w.m.Tackle = parts
		}
	}
	if len(w.m.Tackle) == 0 {
		w.m.Tackle = nil
	}
}

// columnOf finds the column of a figure as the file spells it.
func (w *rowOf) columnOf(name string) string {
	for _, c := range w.rows.measures {
		if c.name == name {
			return c.column
		}
	}
	return name
}

// validate holds the mooring against the rules of the core, and tells its errors by the file's own columns.
func (w *rowOf) validate() {
	for _, fe := range geo.FieldErrors(w.m.Validate()) {
		name, _, _ := cutLast(fe.Field, "_")
		column, got := fe.Field, fe.Got
		for _, c := range w.rows.measures {
			if c.name == name {
				column, got = c.column, strings.TrimSpace(w.row[c.at])
			}
		}
		w.wrong(column, got, fe.Want)
	}
}
