package exchange

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// checkMoorings holds every mooring of the file against what else is known: its area, the land, the water's depth, its neighbours. Rows
// with a problem are taken out of the harbor again.
func (r *reader) checkMoorings() {
	if r.rows == nil && r.tackled == nil {
		return
	}
	c := r.newChecks()
	for i := range r.h.Moorings {
		m := &r.h.Moorings[i]
		if line, fromFile := r.lineOf(m.Number); fromFile {
			c.mooring(m, line)
		} else if line, tackled := r.tackleLine(m.Number); tackled {
			c.rode(m, line)
		}
	}
	if r.rows == nil {
		return
	}
	if c.filled > 0 {
		r.notice(c.rows.file, 0, "%d moorings name no area and lie in exactly one, which is filled in", c.filled)
	}
	if len(c.bad) == 0 {
		return
	}
	for i := range r.h.Moorings {
		if before, onFile := r.rows.before[r.h.Moorings[i].Number]; onFile && c.bad[before.Number] {
			r.h.Moorings[i] = before // what is on file stays as it was
			c.bad[before.Number] = false
		}
	}
	r.h.Moorings = slices.DeleteFunc(r.h.Moorings, func(m geo.Mooring) bool { return c.bad[m.Number] })
}

// lineOf is the line of moorings.csv from which a mooring was taken.
func (r *reader) lineOf(number string) (line int, ok bool) {
	if r.rows == nil {
		return 0, false
	}
	line, ok = r.rows.line[number]
	return line, ok && !r.rows.bad[line]
}

// checks is what the moorings are held against.
type checks struct {
	*reader
	byNumber map[string]*geo.Mooring // on file, before the folder
	asBefore bool                    // the areas are those on file
	frame    geo.Frame
	origin   geo.Position
	areas    shape.Edges
	land     shape.Edges
	names    []string
	at       map[[2]int64]string // a metre's square -> the mooring in it
	bad      map[string]bool
	filled   int
}

func (r *reader) newChecks() *checks {
	origin := r.h.Origin()
	c := &checks{reader: r, frame: geo.NewFrame(origin), origin: origin, at: map[[2]int64]string{}, bad: map[string]bool{},
		byNumber: map[string]*geo.Mooring{}}
	if r.base != nil {
		c.asBefore = reflect.DeepEqual(r.base.Areas, r.h.Areas)
		for i := range r.base.Moorings {
			c.byNumber[r.base.Moorings[i].Number] = &r.base.Moorings[i]
		}
	}
	for i, a := range r.h.Areas {
		c.areas.AddPolygons(c.frame, a.Shape, int32(i))
		c.names = append(c.names, a.Name)
	}
	c.land.AddPolygons(c.frame, r.h.Shoreline.Land, 0)
	return c
}

// refuse takes a mooring out again; one that is as it is on file is told of and left, or a harbor with a fault on file could not be
// imported at all.
func (c *checks) refuse(m *geo.Mooring, line int, column, got, want string) {
	if c.isOnFile(m) {
		c.notice(c.rows.file, line, "mooring %s, %s: %s; it is so on file already, and left", m.Number, column, want)
		return
	}
	c.problem(c.rows.file, line, column, got, want)
	c.rows.bad[line] = true
	c.bad[m.Number] = true
}

// isOnFile reports a mooring that is as it is on file.
func (c *checks) isOnFile(m *geo.Mooring) bool {
	before := c.byNumber[m.Number]
	return before != nil && reflect.DeepEqual(before, m)
}

func (c *checks) mooring(m *geo.Mooring, line int) {
	if d := geo.Distance(c.origin, m.Position); d > geo.FieldReach {
		c.notice(c.rows.file, line, "mooring %s lies %.0f km from the middle of the field: is a sign wrong, or latitude and longitude "+
			"swapped?", m.Number, float64(d)/1000)
		return // nothing on the harbor's plane can be said of it
	}
	at := c.frame.Project(m.Position)
	c.area(m, line, at)
	c.onLand(m, line, at)
	c.rode(m, line)
	key := [2]int64{int64(math.Round(at.EastM * 2)), int64(math.Round(at.NorthM * 2))}
	if other, taken := c.at[key]; taken {
		c.notice(c.rows.file, line, "mooring %s stands where mooring %s stands", m.Number, other)
	}
	c.at[key] = m.Number
}

// area refuses a name that no area has, and fills in the only area that the mooring lies in.
func (c *checks) area(m *geo.Mooring, line int, at geo.Offset) {
	if m.Area != "" {
		if !contains(c.names, m.Area) {
			want := "there is no area of that name; there is " + strings.Join(c.names, ", ")
			if len(c.names) == 0 {
				want = "there are no areas; areas.geojson brings them in"
			}
			c.refuse(m, line, "area", m.Area, want)
		}
		return
	}
	if before := c.byNumber[m.Number]; before != nil && before.Area == "" && before.Position == m.Position && c.asBefore {
		return // it is in none on file, and nothing has come that could say otherwise
	}
	inside := -1
	for i := range c.names {
		if c.areas.Inside(at, int32(i)) {
			if inside >= 0 {
				return
			}
			inside = i
		}
	}
	if inside >= 0 {
		m.Area = c.names[inside]
		c.filled++
	}
}

// onLand refuses a mooring that stands farther inside the land than the accuracy of its position explains.
func (c *checks) onLand(m *geo.Mooring, line int, at geo.Offset) {
	if !c.land.Inside(at, shape.AnyFeature) {
		return
	}
	accuracy, _ := c.h.AccuracyOf(m)
	near, _ := c.land.Nearest(at, float64(geo.FieldReach)*2, shape.AnyFeature)
	if near.DistanceM > float64(accuracy) {
		c.refuse(m, line, "position", m.Position.DDM(), fmt.Sprintf("it stands on land, %.1f m from the water", near.DistanceM))
		return
	}
	c.notice(c.rows.file, line, "mooring %s stands %.1f m inside the shoreline, within the accuracy of its position", m.Number,
		near.DistanceM)
}

// rode refuses a rode that is shorter than the water is deep at the high level, when the depth is on the card.
func (c *checks) rode(m *geo.Mooring, line int) {
	length, _ := m.Tackle.RodeLength()
	rode, known := length.Get()
	depth, onCard := m.Depth.Get()
	levels, haveLevels := c.h.Levels.Get()
	if !known || !onCard || !haveLevels {
		return
	}
	var bow geo.Metres
	if m.Boat != nil {
		bow = m.Boat.BowHeight.Or(0)
	}
	if high := depth + levels.High + bow; rode < high {
		if line, tackled := c.tackleLine(m.Number); tackled {
			c.shortTackle(m, line, rode, high)
			return
		}
		c.refuse(m, line, "rode", fmt.Sprintf("%.1f m", float64(rode)),
			fmt.Sprintf("the rode is shorter than the water is deep at high water: %.1f m from bed to bow", float64(high)))
	}
}
