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
	tackled  bool // and of tackle
	file     string
}

// moorings reads moorings.csv.
func (r *reader) moorings(text []byte) {
	t, good := r.openTable(text)
	if !good {
		return
	}
	t.keep = true
	rows := &mooringRows{table: t, file: r.file, near: r.vicinity(), base: map[string]int{}, line: map[string]int{}, before: map[string]geo.Mooring{}, cells: map[int][]string{}, bad: map[int]bool{}, texts: texts()}
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
	rows.tackled = rows.ofTackle()
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
		rows.cells[line] = t.kept
		if !ok {
			rows.bad[line] = true
			continue
		}
		r.mooring(row, line)
	}
}

// ofTackle reports whether a column tells of a part of the tackle.
func (t *mooringRows) ofTackle() bool {
	of := func(column string) bool {
		return slices.ContainsFunc(geo.PartKinds(), func(k geo.PartKind) bool { return column == string(k) || strings.HasPrefix(column, string(k)+"_") })
	}
	for column := range t.words {
		if of(column) {
			return true
		}
	}
	return slices.ContainsFunc(t.measures, func(m measured) bool { return of(m.name) })
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
	w.problem(w.rows.file, w.line, column, got, want)
	w.bad = true
}

func (w *rowOf) cell(column string) (string, bool) {
	at, ok := w.rows.words[column]
	if !ok {
		return "", false
	}
	return w.row[at], true
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
	if !onFile {
		w.withoutZeros()
	}
	w.quantities()
	for _, column := range slices.Sorted(maps.Keys(r.rows.words)) {
		if set, ok := r.rows.texts[column]; ok {
			text, _ := w.cell(column)
			set(&w.m, text)
		}
	}
	w.permit()
	w.status(onFile)
	if w.rows.tackled {
		w.trimTackle()
	}
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
		p := geo.Position{LatDeg: latDeg, LonDeg: lonDeg}
		if err1 == nil && err2 == nil && onFile && samePlace(p, w.m.Position) {
			return
		}
		if err1 == nil && err2 == nil && p.Validate() == nil && w.rows.near == nil {
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

// withoutZeros refuses 7 where 007 stands on file: a spreadsheet has taken the figures on the buoy for a number.
func (w *rowOf) withoutZeros() {
	number := w.m.Number
	if number == "" || strings.Trim(number, "0123456789") != "" {
		return
	}
	for padded := "0" + number; len(padded) <= 24; padded = "0" + padded {
		if place, there := w.rows.base[padded]; there && w.rows.line[padded] == 0 && geo.Distance(w.h.Moorings[place].Position, w.m.Position) < 1 {
			w.wrong("number", number, "on file it is "+padded+" that stands here: has a spreadsheet taken the zeros off? Let it open that column as text, or take the XLSX file")
			return
		}
	}
}

// quantities reads every column with a unit. Two columns of one figure in two units have to agree.
func (w *rowOf) quantities() {
	seen := map[string]geo.Maybe[geo.Metres]{}
	for _, c := range w.rows.measures {
		cell := w.row[c.at]
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
		if c.get != nil {
			v = agrees(v, c.get(&w.m))
		}
		c.set(&w.m, v)
	}
}

// permit reads the year for which it was given.
func (w *rowOf) permit() {
	text, has := w.cell("permit_year")
	if !has {
		return
	}
	w.m.Permit.Year = 0
	if blank(text) {
		return
	}
	year, err := strconv.Atoi(text)
	if err != nil || year == 0 {
		w.wrong("permit_year", text, "a year is wanted, as 2024")
		return
	}
	w.m.Permit.Year = year
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
	if before := w.onFile(); none && (before == nil || before.Boat == nil || *before.Boat != geo.Boat{}) {
		w.m.Boat = nil
	}
}

// onFile is the mooring that the row is laid over; nil for a new one.
func (w *rowOf) onFile() *geo.Mooring {
	if place, ok := w.rows.base[w.m.Number]; ok {
		return &w.h.Moorings[place]
	}
	return nil
}

// trimTackle takes out parts of which nothing is known, and the rode as a whole where its parts are.
func (w *rowOf) trimTackle() {
	bare := func(p geo.Part) bool { return p == geo.Part{Kind: p.Kind} }
	before := w.onFile()
	w.m.Tackle = slices.DeleteFunc(w.m.Tackle, func(p geo.Part) bool { return bare(p) && (before == nil || !slices.Contains(before.Tackle, p)) })
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
		column, got := strings.ReplaceAll(fe.Field, ".", "_"), fe.Got
		for _, c := range w.rows.measures {
			if c.name == name {
				column, got = c.column, w.row[c.at]
			}
		}
		w.wrong(column, got, fe.Want)
	}
}
