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

// checkMoorings holds every mooring of the folder against what else is known: its area, the land, the water's depth, its neighbours. Rows
// with a problem are taken out of the harbor again.
func (r *reader) checkMoorings() {
	if r.mooringTable == nil && r.tackleTable == nil {
		return
	}
	c := r.newChecks()
	for i := range r.h.Moorings {
		m := &r.h.Moorings[i]
		if line, ok := r.mooringTable.lineOf(m.Number); ok {
			c.mooring(m, line)
		} else if _, ok := r.tackleTable.lineOf(m.Number); ok {
			c.rode(m, 0)
		}
	}
	if c.filled > 0 {
		r.notice(r.mooringTable.file, 0, "%d moorings name no area and lie in exactly one, which is filled in", c.filled)
	}
	if len(c.bad) > 0 {
		c.takeOut()
	}
}

// takeOut takes the refused moorings out of the harbor. What is on file of them stays as it was.
func (c *checks) takeOut() {
	for i := range c.h.Moorings {
		if before, onFile := c.mooringTable.before[c.h.Moorings[i].Number]; onFile && c.bad[before.Number] {
			c.h.Moorings[i] = before
			c.bad[before.Number] = false
		}
	}
	c.h.Moorings = slices.DeleteFunc(c.h.Moorings, func(m geo.Mooring) bool { return c.bad[m.Number] })
}

// checks is what the moorings are held against.
type checks struct {
	*reader
	onFile   map[string]*geo.Mooring // by number, before the folder
	asBefore bool                    // the areas are those on file
	frame    geo.Frame
	origin   geo.Position
	areas    shape.Edges
	land     shape.Edges
	names    []string            // of the areas
	at       map[[2]int64]string // a square of half a metre -> the mooring in it
	bad      map[string]bool
	filled   int
}

func (r *reader) newChecks() *checks {
	origin := r.h.Origin()
	c := &checks{reader: r, frame: geo.NewFrame(origin), origin: origin, at: map[[2]int64]string{}, bad: map[string]bool{},
		onFile: map[string]*geo.Mooring{}}
	if r.base != nil {
		c.asBefore = reflect.DeepEqual(r.base.Areas, r.h.Areas)
		for i := range r.base.Moorings {
			c.onFile[r.base.Moorings[i].Number] = &r.base.Moorings[i]
		}
	}
	c.addShapes()
	return c
}

// addShapes takes in the areas and the land.
func (c *checks) addShapes() {
	for i, a := range c.h.Areas {
		c.areas.AddPolygons(c.frame, a.Shape, int32(i))
		c.names = append(c.names, a.Name)
	}
	c.land.AddPolygons(c.frame, c.h.Shoreline.Land, 0)
}

// refuse takes a mooring out again; one that is as it is on file is reported and left, or a harbor with a fault on file could not be
// imported at all.
func (c *checks) refuse(m *geo.Mooring, line int, column, got, want string) {
	if c.isOnFile(m) {
		c.notice(c.mooringTable.file, line, "mooring %s, %s: %s; it is so on file already, and left", m.Number, column, want)
		return
	}
	c.mooringTable.report(line, column, got, want)
	c.mooringTable.bad[line] = true
	c.bad[m.Number] = true
}

// isOnFile reports a mooring that is as it is on file.
func (c *checks) isOnFile(m *geo.Mooring) bool {
	before := c.onFile[m.Number]
	return before != nil && reflect.DeepEqual(before, m)
}

// mooring makes all checks of one mooring. Of one that lies too far off nothing can be said on the harbor's plane.
func (c *checks) mooring(m *geo.Mooring, line int) {
	if d := geo.Distance(c.origin, m.Position); d > geo.FieldReach {
		c.notice(c.mooringTable.file, line, "mooring %s lies %.0f km from the middle of the field: is a sign wrong, or latitude and "+
			"longitude swapped?", m.Number, float64(d)/1000)
		return
	}
	at := c.frame.Project(m.Position)
	c.area(m, line, at)
	c.onLand(m, line, at)
	c.rode(m, line)
	c.samePlace(m, line, at)
}

// samePlace tells of two moorings of the file within the same half metre.
func (c *checks) samePlace(m *geo.Mooring, line int, at geo.Offset) {
	square := [2]int64{int64(math.Round(at.EastM * 2)), int64(math.Round(at.NorthM * 2))}
	if other, taken := c.at[square]; taken {
		c.notice(c.mooringTable.file, line, "mooring %s stands where mooring %s stands", m.Number, other)
	}
	c.at[square] = m.Number
}

// area refuses a name that no area has, and fills in the only area that the mooring lies in.
func (c *checks) area(m *geo.Mooring, line int, at geo.Offset) {
	if m.Area != "" {
		c.areaName(m, line)
		return
	}
	if i := c.onlyAreaAt(at); i >= 0 && !c.staysOutside(m) {
		m.Area = c.names[i]
		c.filled++
	}
}

// staysOutside reports a mooring that is in no area on file, where nothing has come that could say otherwise.
func (c *checks) staysOutside(m *geo.Mooring) bool {
	before := c.onFile[m.Number]
	return c.asBefore && before != nil && before.Area == "" && before.Position == m.Position
}

func (c *checks) areaName(m *geo.Mooring, line int) {
	switch {
	case slices.Contains(c.names, m.Area):
	case len(c.names) == 0:
		c.refuse(m, line, "area", m.Area, "there are no areas; areas.geojson brings them in")
	default:
		c.refuse(m, line, "area", m.Area, "there is no area of that name; there is "+strings.Join(c.names, ", "))
	}
}

// onlyAreaAt is the one area around a place; -1 where there is none or more than one.
func (c *checks) onlyAreaAt(at geo.Offset) int {
	found := -1
	for i := range c.names {
		if !c.areas.Inside(at, int32(i)) {
			continue
		}
		if found >= 0 {
			return -1
		}
		found = i
	}
	return found
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
	c.notice(c.mooringTable.file, line, "mooring %s stands %.1f m inside the shoreline, within the accuracy of its position", m.Number,
		near.DistanceM)
}

// rode refuses a rode that is shorter than the water is deep at the high level, when the depth is on the card. The problem is that of
// tackle.csv where the tackle comes from there, or else that of a line of moorings.csv.
func (c *checks) rode(m *geo.Mooring, line int) {
	length, _ := m.Tackle.RodeLength()
	rode, known := length.Get()
	high, highKnown := c.bedToBow(m)
	if !known || !highKnown || rode >= high {
		return
	}
	if line, fromTackle := c.tackleTable.lineOf(m.Number); fromTackle {
		c.shortTackle(m, line, rode, high)
		return
	}
	c.refuse(m, line, "rode", fmt.Sprintf("%.1f m", float64(rode)),
		fmt.Sprintf("the rode is shorter than the water is deep at high water: %.1f m from bed to bow", float64(high)))
}

// bedToBow is how high the bow is above the bed at high water, by the depth on the card.
func (c *checks) bedToBow(m *geo.Mooring) (high geo.Metres, known bool) {
	depth, onCard := m.Depth.Get()
	levels, haveLevels := c.h.Levels.Get()
	return depth + levels.High + boatOf(m).BowHeight.Or(0), onCard && haveLevels
}

// shortTackle refuses tackle that is shorter than the water is deep; where it is like that on file already it is only reported.
func (c *checks) shortTackle(m *geo.Mooring, line int, rode, high geo.Metres) {
	want := fmt.Sprintf("the rode of mooring %s is shorter than the water is deep at high water: %.1f m from bed to bow", m.Number,
		float64(high))
	if c.isOnFile(m) {
		c.notice(c.tackleTable.file, line, "%s; it is so on file already, and left", want)
		return
	}
	c.tackleTable.report(line, "length", fmt.Sprintf("%.1f m", float64(rode)), want)
}
