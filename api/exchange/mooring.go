package exchange

import (
	"maps"
	"slices"
	"strings"

	"swingroom/geo"
)

var mooringForm = form[geo.Mooring]{
	texts:   append(slices.Sorted(maps.Keys(mooringTexts)), "number", "position", "lat", "lon", "status", "permit_year"),
	figures: mooringFigures,
	needed:  []string{"number"},
	holds:   ": the number painted on the buoy",
}

// mooringTable is moorings.csv while it is read, kept until the checks of the whole have been made.
type mooringTable struct {
	*table
	figures []figureColumn[geo.Mooring]
	near    *geo.Vicinity
	place   map[string]int         // number -> place among the harbor's moorings
	lines   map[string]int         // number -> line that it came from
	before  map[string]geo.Mooring // those on file that a row has been laid over
	cells   map[int][]string       // by line, as they stand in the file
	bad     map[int]bool           // by line
	boat    []int                  // places of the columns of a boat
	parts   map[geo.PartKind][]int // and of the columns of each kind of part
	unclear int                    // rows in which a boat or a part is there by a word that may mean either
}

// moorings reads moorings.csv.
func (r *reader) moorings(text []byte) {
	opened, figures, good := mooringForm.open(r, text)
	if !good {
		return
	}
	t := &mooringTable{table: opened, figures: figures, near: r.vicinity(), place: indexBy(r.h.Moorings, mooringNumber),
		lines: map[string]int{}, before: map[string]geo.Mooring{}, cells: map[int][]string{}, bad: map[int]bool{},
		parts: map[geo.PartKind][]int{}}
	t.keep = true
	t.sortColumns()
	r.mooringTable, r.im.rejected = t, t
	t.readRows()
	t.reportUnclear()
}

// reportUnclear tells how many rows have a boat or a part of the tackle by a word that may mean that there is none.
func (t *mooringTable) reportUnclear() {
	if t.unclear > 0 {
		t.notice(t.file, 0, "%d rows have a boat or a part of the tackle whose only cells say -, n/a or the like: it is taken to be "+
			"there and not known; where there is none, leave the cell empty", t.unclear)
	}
}

// readRows reads the rows to the end. Bad ones are kept for the file of rejected rows.
func (t *mooringTable) readRows() {
	for {
		cells, line, ok, err := t.next()
		if err != nil {
			return
		}
		t.cells[line] = t.kept
		if !ok {
			t.bad[line] = true
			continue
		}
		t.read(&mooringRow{row: row{table: t.table, cells: cells, line: line}, of: t})
	}
}

// sortColumns finds which columns tell of the boat, and which of each kind of part.
func (t *mooringTable) sortColumns() {
	for column, at := range t.texts {
		t.sortColumn(column, at)
	}
	for _, c := range t.figures {
		t.sortColumn(c.name, c.at)
	}
}

func (t *mooringTable) sortColumn(name string, at int) {
	if kind, ok := kindOf(name); ok {
		t.parts[kind] = append(t.parts[kind], at)
	}
	if isOfBoat(name) {
		t.boat = append(t.boat, at)
	}
}

// isOfBoat reports a column that tells of a boat.
func isOfBoat(column string) bool {
	isFigure := slices.ContainsFunc(boatFigures, func(f figure[geo.Boat]) bool { return f.name == column })
	return isFigure || boatTexts[column] != nil
}

// kindOf is the kind of part that a column tells of: that with the longest name, for marker_line_installed is not of the marker.
func kindOf(column string) (found geo.PartKind, ok bool) {
	for _, kind := range geo.PartKinds() {
		ending, matches := strings.CutPrefix(column, string(kind))
		if matches && (ending == "" || ending[0] == '_') && len(kind) > len(found) {
			found = kind
		}
	}
	return found, found != ""
}

// vicinity is where the harbor lies, as far as it is known before its moorings are read: enough to tell a position that is the wrong way
// round.
func (r *reader) vicinity() *geo.Vicinity {
	if len(r.h.Moorings)+len(r.h.Areas)+len(r.h.Shoreline.Land) == 0 {
		return nil
	}
	return &geo.Vicinity{Centre: r.h.Origin(), Reach: geo.FieldReach}
}

// lineOf is the line of moorings.csv from which a mooring was taken.
func (t *mooringTable) lineOf(number string) (line int, ok bool) {
	if t == nil {
		return 0, false
	}
	line, ok = t.lines[number]
	return line, ok && !t.bad[line]
}

// read lays a row over the mooring on file, or makes a new one.
func (t *mooringTable) read(w *mooringRow) {
	w.begin()
	w.position()
	if !w.onFile {
		w.withoutZeros()
	}
	readFigures(&w.row, t.figures, &w.m)
	w.readTexts()
	w.permitYear()
	w.statusAndBoat()
	if len(t.parts) > 0 {
		w.trimTackle()
	}
	if !w.bad {
		w.validate()
	}
	if w.unclear {
		t.unclear++
	}
	t.put(w)
}

// put takes the mooring of a row into the harbor, unless it is refused.
func (t *mooringTable) put(w *mooringRow) {
	number := w.m.Number
	switch {
	case w.bad:
		t.bad[w.line] = true
	case w.onFile:
		t.before[number] = t.h.Moorings[t.place[number]]
		t.h.Moorings[t.place[number]] = w.m
	default:
		t.place[number] = len(t.h.Moorings)
		t.h.Moorings = append(t.h.Moorings, w.m)
	}
}
