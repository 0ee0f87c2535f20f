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
	scales := Chart.Scales()
	if c.options.Scale != 0 {
		scales = []int{c.options.Scale}
	}
	var best layout
	for _, scale := range scales {
		best = c.layOut(scale)
		if len(best.tiles) == 1 {
			break
		}
	}
	if n := len(best.tiles); n == 0 || n > maxTiles {
		return layout{}, invalid("chart", "scale", scaleText(best.scale),
			fmt.Sprintf("the area would take more than %d pages: a smaller scale or larger paper is expected", maxTiles))
	}
	return best, nil
}

// layOut lays the area out at a scale, upright or across, whichever takes fewer pages. No tiles: it takes more than maxGrid.
func (c *areaChart) layOut(scale int) layout {
	wMM, hMM := c.options.Paper.upright()
	upright := c.grid(layout{wMM: wMM, hMM: hMM, scale: scale})
	across := c.grid(layout{wMM: hMM, hMM: wMM, scale: scale})
	if n := len(across.tiles); n > 0 && (n < len(upright.tiles) || len(upright.tiles) == 0) {
		return across
	}
	return upright
}

// maxGrid is how many places for tiles are looked at, many times more than anybody prints.
const maxGrid = 10000

// grid puts tiles over the area and leaves out those in which nothing of it lies.
func (c *areaChart) grid(l layout) layout {
	l.extent = c.extent.Pad(metres(rimMM, l.scale))
	l.middle = offsetOf(l.extent.Center())
	b := l.box()
	wM, hM := metres(b.wMM, l.scale), metres(b.hMM, l.scale)
	stepEastM, stepNorthM := wM-metres(overlapMM, l.scale), hM-metres(overlapMM, l.scale)
	columns := tilesAcross(l.extent.Max.X()-l.extent.Min.X(), wM, stepEastM)
	rows := tilesAcross(l.extent.Max.Y()-l.extent.Min.Y(), hM, stepNorthM)
	if columns*rows > maxGrid {
		return l
	}
	for row := range int(rows) {
		for column := range int(columns) {
			middle := l.middle.Plus(geo.Offset{EastM: (float64(column) - (columns-1)/2) * stepEastM,
				NorthM: ((rows-1)/2 - float64(row)) * stepNorthM})
			if c.touches(window(middle, wM, hM)) {
				l.tiles = append(l.tiles, tile{tileName(row, column), row, column, middle})
			}
		}
	}
	return l
}

// tilesAcross is how many tiles of a length, a step apart, it takes to cover so much.
func tilesAcross(coverM, lengthM, stepM float64) float64 {
	return 1 + math.Ceil(max(0, coverM-lengthM)/stepM)
}

func window(middle geo.Offset, wM, hM float64) orb.Bound {
	return orb.Bound{Min: orb.Point{middle.EastM - wM/2, middle.NorthM - hM/2},
		Max: orb.Point{middle.EastM + wM/2, middle.NorthM + hM/2}}
}

// tileName counts rows from the north by letters and columns from the west by figures.
func tileName(row, column int) string {
	letters := ""
	for n := row + 1; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return fmt.Sprintf("%s%d", letters, column+1)
}

// touches reports whether anything of the area lies in a window.
func (c *areaChart) touches(window orb.Bound) bool {
	h := c.field.Harbor()
	for i := range h.Moorings {
		if h.Moorings[i].Area == c.area && c.circleTouches(window, i) {
			return true
		}
	}
	a, ok := h.Area(c.area)
	return ok && len(clipped(window, c.base.plane(a.Shape))) > 0
}

// circleTouches reports whether a mooring stands so near to a window that its swing circle may be in it.
func (c *areaChart) circleTouches(window orb.Bound, i int) bool {
	p := c.field.Harbor().Moorings[i].Position
	return !far(c.field, p) &&
		window.Pad(float64(c.field.Swing(i).Radius.Or(0))).Contains(planePoint(c.field.Frame().Project(p)))
}

// adjacent names the tiles that go on from one.
func (l layout) adjacent(t tile) string {
	return fmt.Sprintf("Goes on to the north: %s, east: %s, south: %s, west: %s.", l.nameAt(t.row-1, t.column), l.nameAt(t.row, t.column+1),
		l.nameAt(t.row+1, t.column), l.nameAt(t.row, t.column-1))
}

// nameAt is the name of the tile at a place, a dash where there is none.
func (l layout) nameAt(row, column int) string {
	for _, t := range l.tiles {
		if t.row == row && t.column == column {
			return t.name
		}
	}
	return "–"
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
	return roundScale(max(eastM/(b.wMM-4), northM/(b.hMM-4)) * 1000)
}

// roundScale is the next round number N of a scale 1:N from a smallest on.
func roundScale(minN float64) int {
	power := math.Pow(10, math.Floor(math.Log10(minN)))
	for _, times := range []float64{1, 2, 2.5, 5} {
		if times*power >= minN {
			return int(times * power)
		}
	}
	return int(10 * power)
}
