package paper

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swingroom/geo"
)

const (
	chartHeadMM = 12.5
	overlapMM   = 10.0 // of one tile and the next
	rimMM       = 4.0  // left free round the area
	maxTiles    = 40
)

// layout is how an area lies on pages.
type layout struct {
	wMM, hMM float64 // of the page
	scale    int
	middle   geo.Offset // of the area
	extent   orb.Bound
	tiles    []tile
}

// tile is one page.
type tile struct {
	name        string
	row, column int
	middle      geo.Offset
}

// box is where the chart lies on the page.
func (l layout) box() box {
	y := marginMM + chartHeadMM
	return box{marginMM + ticksMM, y, l.wMM - 2*marginMM - ticksMM, l.hMM - marginMM - footMM - stripMM - ticksMM - y}
}

// layout chooses scale and orientation: the one page on which the area fits, or else the fewest tiles.
func (c *areaChart) layout() (layout, error) {
	scales := ChartScales()
	if c.options.Scale != 0 {
		scales = []int{c.options.Scale}
	}
	var best layout
	for _, scale := range scales {
		best = c.laid(scale)
		if len(best.tiles) == 1 {
			break
		}
	}
	if n := len(best.tiles); n == 0 || n > maxTiles {
		return layout{},
			invalid("chart", "scale", scaleText(best.scale),
				fmt.Sprintf("the area would take more than %d pages: a smaller scale or larger paper is expected", maxTiles))
	}
	return best, nil
}

// laid lays the area out at a scale, upright or across, whichever takes fewer pages. No tiles: it takes more than are looked at.
func (c *areaChart) laid(scale int) layout {
	wMM, hMM := c.options.Paper.upright()
	upright := c.grid(layout{wMM: wMM, hMM: hMM, scale: scale})
	across := c.grid(layout{wMM: hMM, hMM: wMM, scale: scale})
	if n := len(across.tiles); n > 0 && (n < len(upright.tiles) || len(upright.tiles) == 0) {
		return across
	}
	return upright
}

// grid puts tiles over the area and leaves out those in which nothing of it lies.
func (c *areaChart) grid(l layout) layout {
	const mostLookedAt = 10000
	l.extent = c.extent.Pad(metres(rimMM, l.scale))
	l.middle = offsetOf(l.extent.Center())
	b := l.box()
	wM, hM := metres(b.wMM, l.scale), metres(b.hMM, l.scale)
	stepEastM, stepNorthM := wM-metres(overlapMM, l.scale), hM-metres(overlapMM, l.scale)
	columns := 1 + math.Ceil(max(0, l.extent.Max.X()-l.extent.Min.X()-wM)/stepEastM)
	rows := 1 + math.Ceil(max(0, l.extent.Max.Y()-l.extent.Min.Y()-hM)/stepNorthM)
	if columns*rows > mostLookedAt {
		return l
	}
	for row := range int(rows) {
		for column := range int(columns) {
			middle := l.middle.Plus(geo.Offset{EastM: (float64(column) - (columns-1)/2) * stepEastM,
				NorthM: ((rows-1)/2 - float64(row)) * stepNorthM})
			window := orb.Bound{Min: orb.Point{middle.EastM - wM/2, middle.NorthM - hM/2},
				Max: orb.Point{middle.EastM + wM/2, middle.NorthM + hM/2}}
			if c.lies(window) {
				l.tiles = append(l.tiles, tile{tileName(row, column), row, column, middle})
			}
		}
	}
	return l
}

// tileName counts rows from the north by letters and columns from the west by figures.
func tileName(row, column int) string {
	letters := ""
	for n := row + 1; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return fmt.Sprintf("%s%d", letters, column+1)
}

// lies reports whether anything of the area lies in a window.
func (c *areaChart) lies(window orb.Bound) bool {
	h := c.field.Harbor()
	for i := range h.Moorings {
		if h.Moorings[i].Area != c.area || far(c.field, h.Moorings[i].Position) {
			continue
		}
		at := planePoint(c.field.Frame().Project(h.Moorings[i].Position))
		if window.Pad(float64(c.field.Swing(i).Radius.Or(0))).Contains(at) {
			return true
		}
	}
	a, ok := h.Area(c.area)
	return ok && len(clipped(window, c.ground.plane(a.Shape))) > 0
}

// beside names the tiles that go on from one.
func (l layout) beside(t tile) string {
	at := func(row, column int) string {
		for _, other := range l.tiles {
			if other.row == row && other.column == column {
				return other.name
			}
		}
		return "–"
	}
	return fmt.Sprintf("Goes on to the north: %s, east: %s, south: %s, west: %s.", at(t.row-1, t.column), at(t.row, t.column+1),
		at(t.row+1, t.column), at(t.row, t.column-1))
}

// overviewScale is the largest round scale at which all tiles fit on one page.
func (l layout) overviewScale() int {
	b := l.box()
	wM, hM := metres(b.wMM, l.scale), metres(b.hMM, l.scale)
	var eastM, northM float64
	for _, t := range l.tiles {
		d := t.middle.Sub(l.middle)
		eastM, northM = max(eastM, 2*math.Abs(d.EastM)+wM), max(northM, 2*math.Abs(d.NorthM)+hM)
	}
	least := max(eastM/(b.wMM-4), northM/(b.hMM-4)) * 1000
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, times := range []float64{1, 2, 2.5, 5} {
		if times*power >= least {
			return int(times * power)
		}
	}
	return int(10 * power)
}
