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
	boat     []int                  // places of the columns of a boat
	parts    map[geo.PartKind][]int // and of the columns of each kind of part
	unclear  int                    // rows in which a boat or a part is there by a word that may mean either
	file     string
}

// moorings reads moorings.csv.
func (r *reader) moorings(text []byte) {
	t, good := r.openTable(text)
	if !good {
		return
	}
	t.keep = true
	rows := &mooringRows{table: t, file: r.file, near: r.vicinity(), base: map[string]int{}, line: map[string]int{},
		before: map[string]geo.Mooring{}, cells: map[int][]string{}, bad: map[int]bool{}, texts: texts()}
	if rows.measures, rows.words, good = r.columnsOf(t); !good {
		return
	}
	if _, ok := rows.words["number"]; !ok {
		r.problem(r.file, 1, "number", "", "a column of that name is expected: the number painted on the buoy")
		return
	}
	rows.sortColumns()
	for i := range r.h.Moorings {
		rows.base[r.h.Moorings[i].Number] = i
	}
	r.rows = rows
	r.im.rejected = &rejected{rows: rows}
	for {
		row, line, ok, err := r.next(t)
		if errors.Is(err, io.EOF) || err != nil {
			break
		}
		rows.cells[line] = t.kept
		if !ok {
			rows.bad[line] = true
			continue
		}
		r.mooring(row, line)
	}
	if rows.unclear > 0 {
		r.notice(r.file, 0, "%d rows have a boat or a part of the tackle whose only cells say -, n/a or the like: it is taken to be "+
			"there and not known; "+
			"where there is none, leave the cell empty", rows.unclear)
	}
}

// sortColumns finds which columns tell of the boat, and which of each kind of part.
func (t *mooringRows) sortColumns() {
	t.parts = map[geo.PartKind][]int{}
	of := func(name string, at int) {
		if kind, ok := partOf(name); ok {
			t.parts[kind] = append(t.parts[kind], at)
		}
	}
	for column, at := range t.words {
		of(column, at)
		if slices.Contains(boatTexts, column) {
			t.boat = append(t.boat, at)
		}
	}
	for _, m := range t.measures {
		of(m.name, m.at)
		if m.boat {
			t.boat = append(t.boat, m.at)
		}
	}
}

// partOf is the kind of part that a column tells of.
func partOf(column string) (of geo.PartKind, ok bool) {
	for _, kind := range geo.PartKinds() { // the longest: marker_line_installed is not of the marker
		if (column == string(kind) || strings.HasPrefix(column, string(kind)+"_")) && len(kind) > len(of) {
			of = kind
		}
	}
	return of, of != ""
}

// vicinity is where the harbor lies, as far as it is known before its moorings are read: enough to tell a position that is the wrong way
// round.
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
	// unclear: a boat or a part is there by a word that may mean that there is none.
	unclear bool
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

// wantNumber is what is asked for in place of a number that is not known: nothing else tells a mooring from the others.
const wantNumber = "the number painted on the buoy is expected"

// text is what a column of words says: empty where it says that this is not known. A note is kept as it stands, and an area has to be
// named.
func (w *rowOf) text(column string) string {
	at := w.rows.words[column]
	switch {
	case column == "note":
		return w.row[at]
	case column == "area" && w.rows.unknown[at]:
		w.wrong(column, w.row[at], "the name of an area is expected, or nothing: a mooring that lies in exactly one is taken into that")
	}
	return w.rows.word(w.row, at)
}

// saysUnknown reports whether one of the columns says that something is there that is not known.
func (w *rowOf) saysUnknown(columns []int) bool {
	said, plainly := false, false
	for _, at := range columns {
		if cell := w.row[at]; w.rows.unknown[at] || cell != "" && blank(cell) {
			said = true
			plainly = plainly || strings.HasPrefix(cell, "?") || strings.EqualFold(cell, "unknown")
		}
	}
	w.unclear = w.unclear || said && !plainly
	return said
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
	} else if r.rows.unknown[r.rows.words["number"]] {
		w.wrong("number", number, wantNumber)
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
			set(&w.m, w.text(column))
		}
	}
	w.permit()
	w.status(onFile)
	if len(w.rows.parts) > 0 {
		w.trimTackle()
	}
	if !w.bad {
		w.validate()
	}
	if w.unclear {
		r.rows.unclear++
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
		if place, there := w.rows.base[padded]; there && w.rows.line[padded] == 0 &&
			geo.Distance(w.h.Moorings[place].Position, w.m.Position) < 1 {
			w.wrong("number", number, "on file it is "+padded+
				" that stands here: has a spreadsheet taken the zeros off? Let it open that column as text, or take the XLSX file")
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
		w.wrong("permit_year", text, "a year is expected, such as 2024")
		return
	}
	w.m.Permit.Year = year
}

// status is what the column says; without it a mooring with a boat is occupied and one without is vacant. A boat of which nothing is known
// is one.
func (w *rowOf) status(onFile bool) {
	text, has := w.cell("status")
	text = strings.ToLower(text)
	none := *w.m.Boat == geo.Boat{}
	if none && len(w.rows.boat) > 0 {
		none = !w.saysUnknown(w.rows.boat)
	}
	switch {
	case has && text != "":
		w.m.Status = geo.Status(text)
	case onFile && len(w.rows.boat) == 0:
	case none:
		w.m.Status = geo.Vacant
	default:
		w.m.Status = geo.Occupied
	}
	before := w.onFile()
	switch {
	case len(w.rows.boat) == 0 && before != nil: // the file says nothing of boats
		w.m.Boat = before.Boat
	case none, w.m.Status == geo.Vacant && *w.m.Boat == geo.Boat{}:
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

// trimTackle takes out parts of which the row says nothing: all their cells are empty, and nothing else of them is known. A part of which a
// cell says that it is not known stays, and so does one that is on file by its kind alone. The rode as a whole goes out where its parts are
// there.
func (w *rowOf) trimTackle() {
	before := w.onFile()
	for kind, columns := range w.rows.parts {
		bare := geo.Part{Kind: kind}
		kept := before != nil && slices.Contains(before.Tackle, bare)
		if w.saysUnknown(columns) || kept {
			continue
		}
		w.m.Tackle = slices.DeleteFunc(w.m.Tackle, func(p geo.Part) bool { return p == bare })
	}
	w.trimRode()
	if len(w.m.Tackle) == 0 {
		w.m.Tackle = nil
	}
}

// trimRode takes out the rode as a whole where its parts add up to it. A rode whose length is not known stays: the parts may not be all of
// it.
func (w *rowOf) trimRode() {
	rode := slices.IndexFunc(w.m.Tackle, func(p geo.Part) bool { return p.Kind == geo.Rode })
	if rode < 0 || !w.m.Tackle[rode].Length.IsKnown() {
		return
	}
	whole := w.m.Tackle[rode].Length.Or(0)
	parts := slices.Delete(slices.Clone(w.m.Tackle), rode, rode+1)
	sum, _ := parts.RodeLength()
	s, known := sum.Get()
	if !known {
		return
	}
	const agreeM = 0.05
	if math.Abs(float64(s-whole)) > agreeM {
		w.wrong(w.columnOf("rode"), "", fmt.Sprintf("the parts add up to %.2f m and the rode is said to be %.2f m; leave one of them out",
			float64(s), float64(whole)))
	}
	w.m.Tackle = parts
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
