package exchange

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
)

// Depths that are believed, metres below chart datum: deeper than any ocean, or higher than any beach, is a slip.
const minDepthM, maxDepthM = -50, 12000

// progressRows is after how many rows the progress is shown: some tenths of a second of reading.
const progressRows = 50_000

// soundings reads soundings.csv. The soundings of the file take the place of those on file as a whole.
func (r *reader) soundings(text []byte) {
	before := len(r.im.Problems)
	opened, good := r.openTable(text)
	if !good {
		return
	}
	t := &soundingTable{table: opened, lat: -1, lon: -1, position: -1, depth: -1}
	if !t.findColumns() {
		return
	}
	flat := t.readAll()
	if len(r.im.Problems) == before {
		r.h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
	}
}

// soundingTable is soundings.csv while it is read, with the places of its columns; -1 where there is none.
type soundingTable struct {
	*table
	lat, lon, position, depth int
	unit                      unit // of the depth
}

// findColumns finds the columns, and reports what is missing.
func (t *soundingTable) findColumns() (good bool) {
	for at, column := range t.names {
		switch column {
		case "":
		case "lat":
			t.lat = at
		case "lon":
			t.lon = at
		case "position":
			t.position = at
		case "depth":
			t.report(1, column, "", "the column has to say its unit: depth_m or depth_ft")
			return false
		default:
			if !t.depthColumn(column, at) {
				t.notice(t.file, 1, "column %q is not known and left alone", column)
			}
		}
	}
	if t.depth < 0 || t.position < 0 && (t.lat < 0 || t.lon < 0) {
		t.report(1, "", strings.Join(t.heading, string(t.comma)), "columns lat, lon (or position) and depth_m or depth_ft are expected")
		return false
	}
	return true
}

// depthColumn takes depth_m or depth_ft, perhaps with the datum behind it.
func (t *soundingTable) depthColumn(column string, at int) bool {
	name, datum, hasDatum := strings.Cut(strings.TrimPrefix(column, "depth_"), "_")
	i := slices.IndexFunc(lengths.units, func(u unit) bool { return u.name == name })
	if i < 0 || !strings.HasPrefix(column, "depth_") {
		return false
	}
	t.depth, t.unit = at, lengths.units[i]
	if hasDatum {
		t.notice(t.file, 1, "the depths are said to be below %q; they are taken as below the harbor's chart datum", datum)
	}
	return true
}

// readAll reads the rows to the end: longitude, latitude and depth of each.
func (t *soundingTable) readAll() []float64 {
	flat := make([]float64, 0, 1<<16)
	dry, rows := 0, 0
	for {
		cells, line, ok, err := t.next()
		if err != nil {
			break
		}
		if rows++; rows%progressRows == 0 {
			t.showProgress(t.rows.offset())
		}
		if !ok {
			continue
		}
		p, depthM, ok := t.sounding(cells, line)
		if !ok {
			continue
		}
		if depthM < 0 {
			dry++
		}
		flat = append(flat, p.LonDeg, p.LatDeg, depthM)
	}
	if rows > 10 && dry*10 > rows*9 {
		t.notice(t.file, 0, "nearly all depths are negative, which means dry land at chart datum: depths are positive down")
	}
	return flat
}

// sounding reads one row.
func (t *soundingTable) sounding(cells []string, line int) (p geo.Position, depthM float64, ok bool) {
	if t.position >= 0 {
		p, ok = t.writtenPosition(cells[t.position], line)
	} else {
		p, ok = t.degrees(cells, line)
	}
	if !ok {
		return p, 0, false
	}
	depthM, ok = t.readDepth(cells[t.depth], line)
	return p, depthM, ok
}

// writtenPosition reads a position as people write it.
func (t *soundingTable) writtenPosition(cell string, line int) (geo.Position, bool) {
	p, err := geo.ParsePosition(cell, nil)
	if err != nil {
		t.report(line, "position", cell, err.Error())
	}
	return p, err == nil
}

// degrees reads latitude and longitude in decimal degrees.
func (t *soundingTable) degrees(cells []string, line int) (p geo.Position, ok bool) {
	if p.LatDeg, ok = t.degree(cells[t.lat], "lat", line); !ok {
		return p, false
	}
	if p.LonDeg, ok = t.degree(cells[t.lon], "lon", line); !ok {
		return p, false
	}
	if err := p.Validate(); err != nil {
		fe := geo.FieldErrors(err)[0]
		t.report(line, fe.Field, fe.Got, fe.Want)
		return p, false
	}
	return p, true
}

func (t *soundingTable) degree(cell, column string, line int) (float64, bool) {
	v, err := t.plainNumber(cell, "")
	if err != nil {
		t.report(line, column, cell, "decimal degrees are expected")
	}
	return v, err == nil
}

// plainNumber reads a number, that of most rows in the quickest way.
func (t *soundingTable) plainNumber(cell, unit string) (float64, error) {
	if v, err := strconv.ParseFloat(cell, 64); err == nil {
		return v, nil
	}
	return t.parse(cell, unit)
}

// readDepth reads a depth, in metres.
func (t *soundingTable) readDepth(cell string, line int) (depthM float64, ok bool) {
	v, err := t.plainNumber(cell, t.unit.name)
	if err != nil {
		t.report(line, t.names[t.depth], cell, err.Error())
		return 0, false
	}
	depthM = v * t.unit.one
	if !(depthM >= minDepthM && depthM <= maxDepthM) {
		t.report(line, t.names[t.depth], cell, fmt.Sprintf("a depth below chart datum between %d and %d m is expected, this is %g m",
			minDepthM, maxDepthM, depthM))
		return 0, false
	}
	return depthM, true
}
