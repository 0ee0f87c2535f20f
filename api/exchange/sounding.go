package exchange

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
)

// soundings reads soundings.csv. The soundings of the file take the place of those on file as a whole.
func (r *reader) soundings(text []byte) {
	t, good := r.openTable(text)
	if !good {
		return
	}
	c, good := r.soundingColumns(t)
	if !good {
		return
	}
	before := len(r.im.Problems)
	flat := make([]float64, 0, 1<<16)
	dry, rows := 0, 0
	for {
		row, line, ok, err := r.next(t)
		if errors.Is(err, io.EOF) || err != nil {
			break
		}
		rows++
		if !ok {
			continue
		}
		p, depthM, ok := r.sounding(t, c, row, line)
		if !ok {
			continue
		}
		if depthM < 0 {
			dry++
		}
		flat = append(flat, p.LonDeg, p.LatDeg, depthM)
		if rows%50000 == 0 && r.progress != nil {
			r.progress(min(r.total, r.done+int(t.offset())), r.total)
		}
	}
	if rows > 10 && dry*10 > rows*9 {
		r.notice(r.file, 0, "nearly all depths are negative, which means dry land at chart datum: depths are positive down")
	}
	if len(r.im.Problems) == before {
		r.h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
	}
}

// soundingColumns are the places of the columns, and how many metres one of the depth's units is.
type soundingColumns struct {
	lat, lon, position, depth int
	depthName, unit           string
}

func (r *reader) soundingColumns(t *table) (c soundingColumns, good bool) {
	c = soundingColumns{-1, -1, -1, -1, "", ""}
	for column, at := range t.columns {
		switch {
		case column == "lat":
			c.lat = at
		case column == "lon":
			c.lon = at
		case column == "position":
			c.position = at
		case column == "depth":
			r.problem(r.file, 1, column, "", "the column has to say its unit: depth_m or depth_ft")
			return c, false
		case column == "depth_m", strings.HasPrefix(column, "depth_m_"):
			c.depth, c.depthName, c.unit = at, column, "m"
		case column == "depth_ft", strings.HasPrefix(column, "depth_ft_"):
			c.depth, c.depthName, c.unit = at, column, "ft"
		default:
			r.notice(r.file, 1, "column %q is not known and left alone", column)
		}
	}
	if datum, ok := strings.CutPrefix(c.depthName, "depth_"+c.unit+"_"); ok {
		r.notice(r.file, 1, "the depths are said to be below %q; they are taken as below the harbor's chart datum", datum)
	}
	if c.depth < 0 || c.position < 0 && (c.lat < 0 || c.lon < 0) {
		r.problem(r.file, 1, "", strings.Join(t.heading, string(t.comma)),
			"columns lat, lon (or position) and depth_m or depth_ft are expected")
		return c, false
	}
	return c, true
}

func (r *reader) sounding(t *table, c soundingColumns, row []string, line int) (p geo.Position, depthM float64, ok bool) {
	if c.position >= 0 {
		var err error
		if p, err = geo.ParsePosition(row[c.position], nil); err != nil {
			r.problem(r.file, line, "position", row[c.position], err.Error())
			return p, 0, false
		}
	} else {
		for _, axis := range []struct {
			at   int
			name string
			to   *float64
		}{{c.lat, "lat", &p.LatDeg}, {c.lon, "lon", &p.LonDeg}} {
			v, err := strconv.ParseFloat(row[axis.at], 64)
			if err != nil {
				if v, err = t.number(row[axis.at], ""); err != nil {
					r.problem(r.file, line, axis.name, row[axis.at], "decimal degrees are expected")
					return p, 0, false
				}
			}
			*axis.to = v
		}
		if err := p.Validate(); err != nil {
			fe := geo.FieldErrors(err)[0]
			r.problem(r.file, line, fe.Field, fe.Got, fe.Want)
			return p, 0, false
		}
	}
	v, err := strconv.ParseFloat(row[c.depth], 64)
	if err != nil {
		if v, err = t.number(row[c.depth], c.unit); err != nil {
			r.problem(r.file, line, c.depthName, row[c.depth], err.Error())
			return p, 0, false
		}
	}
	depthM = v * unitMetres[c.unit]
	if !(depthM >= -50 && depthM <= 12000) {
		r.problem(r.file, line, c.depthName, row[c.depth],
			fmt.Sprintf("a depth below chart datum between -50 and 12000 m is expected, this is %g m", depthM))
		return p, 0, false
	}
	return p, depthM, true
}
