package exchange

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swingroom/geo"
)

// mooringRow is one row of moorings.csv while it becomes a mooring.
type mooringRow struct {
	row
	of     *mooringTable
	m      geo.Mooring
	onFile bool
	// unclear: a boat or a part is there by a word that may mean that there is none.
	unclear bool
}

// begin finds the mooring on file. While the row is read the mooring has a boat in any case.
func (w *mooringRow) begin() {
	number := w.number()
	w.claim(number)
	var place int
	if place, w.onFile = w.of.place[number]; w.onFile {
		w.m = w.h.Moorings[place]
		w.m.Tackle = slices.Clone(w.m.Tackle)
	}
	w.m.Number = number
	boat := boatOf(&w.m)
	w.m.Boat = &boat
}

// claim refuses a number that stands in an earlier line.
func (w *mooringRow) claim(number string) {
	if w.bad {
		return
	}
	if first, twice := w.of.lines[number]; twice {
		w.refuse("number", number, fmt.Sprintf("the same number stands in line %d", first))
		return
	}
	w.of.lines[number] = w.line
}

// before is the mooring that the row is laid over; nil for a new one.
func (w *mooringRow) before() *geo.Mooring {
	if !w.onFile {
		return nil
	}
	return &w.h.Moorings[w.of.place[w.m.Number]]
}

// readTexts puts the words of the row into the mooring.
func (w *mooringRow) readTexts() {
	for at, column := range w.names {
		if set := mooringTexts[column]; set != nil {
			set(&w.m, w.wordsOf(column, at))
		}
	}
}

// wordsOf is what a column of words says: empty where it says that this is not known. A note is kept as it stands, and an area has to be
// named.
func (w *mooringRow) wordsOf(column string, at int) string {
	switch {
	case column == "note":
		return w.cells[at]
	case column == "area" && w.unknown[at]:
		w.refuse(column, w.cells[at],
			"the name of an area is expected, or nothing: a mooring that lies in exactly one is taken into that")
	}
	return w.known(column)
}

// saysUnknown reports whether one of the columns says that something is there that is not known.
func (w *mooringRow) saysUnknown(columns []int) bool {
	said, plainly := false, false
	for _, at := range columns {
		if cell := w.cells[at]; w.unknown[at] || cell != "" && blank(cell) {
			said = true
			plainly = plainly || plainlyUnknown(cell)
		}
	}
	w.unclear = w.unclear || said && !plainly
	return said
}

// plainlyUnknown reports a word that cannot mean that there is no such thing.
func plainlyUnknown(cell string) bool {
	return strings.HasPrefix(cell, "?") || strings.EqualFold(cell, "unknown")
}

// position reads the column position, or lat and lon. Where the file has neither, that on file stays.
func (w *mooringRow) position() {
	text, hasText := w.text("position")
	lat, hasLat := w.text("lat")
	lon, hasLon := w.text("lon")
	hasDegrees := hasLat && hasLon
	switch {
	case text != "":
		w.parsePosition("position", text)
	case hasDegrees && (lat != "" || lon != ""):
		if !w.degrees(lat, lon) {
			w.parsePosition("lat, lon", lat+"; "+lon)
		}
	case !w.onFile || hasText || hasDegrees:
		w.refuse("position", "", "a mooring needs a position: a column position, or lat and lon")
	}
}

// degrees takes plain decimal degrees that need no second look: the position on file, or one of a harbor whose place is not known yet.
func (w *mooringRow) degrees(lat, lon string) bool {
	latDeg, err1 := strconv.ParseFloat(lat, 64)
	lonDeg, err2 := strconv.ParseFloat(lon, 64)
	if err1 != nil || err2 != nil {
		return false
	}
	p := geo.Position{LatDeg: latDeg, LonDeg: lonDeg}
	if w.onFile && samePlace(p, w.m.Position) {
		return true
	}
	if w.of.near != nil || p.Validate() != nil {
		return false
	}
	w.m.Position = p
	return true
}

// parsePosition reads a position as people write it; where it is refused its possible readings are named.
func (w *mooringRow) parsePosition(column, text string) {
	p, err := geo.ParsePosition(text, w.of.near)
	if err == nil {
		w.m.Position = p
		return
	}
	want := err.Error()
	var refused *geo.PositionError
	if errors.As(err, &refused) {
		want = refused.Reason
		for i, reading := range refused.Readings {
			want += []string{"; perhaps ", " or "}[min(i, 1)] + reading.Position.DDM()
		}
	}
	w.refuse(column, strings.ReplaceAll(text, "; ", ", "), want)
}

// maxNumberDigits is how long the numbers are that are tried with zeros before them: as long as the core allows.
const maxNumberDigits = 24

// withoutZeros refuses 7 where 007 stands on file: a spreadsheet has taken the figures on the buoy for a number.
func (w *mooringRow) withoutZeros() {
	number := w.m.Number
	if number == "" || strings.Trim(number, "0123456789") != "" {
		return
	}
	for padded := "0" + number; len(padded) <= maxNumberDigits; padded = "0" + padded {
		place, there := w.of.place[padded]
		if there && w.of.lines[padded] == 0 && geo.Distance(w.h.Moorings[place].Position, w.m.Position) < 1 {
			w.refuse("number", number, "on file it is "+padded+
				" that stands here: has a spreadsheet taken the zeros off? Let it open that column as text, or take the XLSX file")
			return
		}
	}
}

// permitYear reads the year for which the permit was given.
func (w *mooringRow) permitYear() {
	text, has := w.text("permit_year")
	if !has {
		return
	}
	w.m.Permit.Year = 0
	if blank(text) {
		return
	}
	year, err := strconv.Atoi(text)
	if err != nil || year == 0 {
		w.refuse("permit_year", text, "a year is expected, such as 2024")
		return
	}
	w.m.Permit.Year = year
}

// statusAndBoat settles the status: what the column says; without it a mooring with a boat is occupied and one without is vacant. A boat of
// which nothing is known is one.
func (w *mooringRow) statusAndBoat() {
	noBoatColumns := len(w.of.boat) == 0
	bare := *w.m.Boat == geo.Boat{}
	none := bare && (noBoatColumns || !w.saysUnknown(w.of.boat))
	text, _ := w.text("status")
	switch {
	case text != "":
		w.m.Status = geo.Status(strings.ToLower(text))
	case w.onFile && noBoatColumns:
	case none:
		w.m.Status = geo.Vacant
	default:
		w.m.Status = geo.Occupied
	}
	switch {
	case noBoatColumns && w.onFile:
		w.m.Boat = w.before().Boat
	case none, w.m.Status == geo.Vacant && bare:
		w.m.Boat = nil
	}
}

// trimTackle takes out parts of which the row says nothing: all their cells are empty, and nothing else of them is known. A part of which a
// cell says that it is not known stays, and so does one that is on file by its kind alone.
func (w *mooringRow) trimTackle() {
	before := w.before()
	for kind, columns := range w.of.parts {
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
func (w *mooringRow) trimRode() {
	rode := slices.IndexFunc(w.m.Tackle, func(p geo.Part) bool { return p.Kind == geo.Rode })
	if rode < 0 {
		return
	}
	whole, known := w.m.Tackle[rode].Length.Get()
	parts := slices.Delete(slices.Clone(w.m.Tackle), rode, rode+1)
	total, _ := parts.RodeLength()
	if sum, sumKnown := total.Get(); known && sumKnown {
		w.compareRode(sum, whole)
		w.m.Tackle = parts
	}
}

// compareRode refuses a rode of another length than its parts add up to.
func (w *mooringRow) compareRode(sum, whole geo.Metres) {
	const toleranceM = 0.05 // of a sum of lengths, each rounded to a centimetre
	if math.Abs(float64(sum-whole)) <= toleranceM {
		return
	}
	column, _ := w.of.columnOf(string(geo.Rode))
	w.refuse(column, "", fmt.Sprintf("the parts add up to %.2f m and the rode is said to be %.2f m; leave one of them out",
		float64(sum), float64(whole)))
}

// columnOf finds the column of a figure as the file spells it, the last where there are several; at is -1 where there is none.
func (t *mooringTable) columnOf(name string) (heading string, at int) {
	for _, c := range slices.Backward(t.figures) {
		if c.name == name {
			return c.heading, c.at
		}
	}
	return name, -1
}

// validate holds the mooring against the rules of the core, and reports its errors by the file's own columns.
func (w *mooringRow) validate() {
	for _, fe := range geo.FieldErrors(w.m.Validate()) {
		name := fe.Field
		if i := strings.LastIndexByte(name, '_'); i >= 0 {
			name = name[:i]
		}
		heading, at := w.of.columnOf(name)
		if at >= 0 {
			w.refuse(heading, w.cells[at], fe.Want)
			continue
		}
		w.refuse(strings.ReplaceAll(fe.Field, ".", "_"), fe.Got, fe.Want)
	}
}
